"""The page on which one page is corrected, and what is written for it to engagement.toml."""

from dataclasses import dataclass

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from packets.base.errors import InputRefused, PacketsError
from packets.base.geometry import Box
from packets.decisions.records import (
    BlankRegion,
    Correction,
    LeaveOut,
    Mark,
    NotANumber,
    Origin,
    PageCategory,
)
from packets.review.addresses import client_letters, letters_for
from packets.review.answers import (
    CategoryAnswer,
    CorrectAnswer,
    HideAnswer,
    LeaveOutAnswer,
    NotANumberAnswer,
    answer_in,
    pages_in,
    place_in,
)
from packets.review.corrected_place import file_at, pages_of, shown_source
from packets.review.open_cases import Gone, OpenCase
from packets.review.pictures import PageSize
from packets.review.records import CorrectView
from packets.review.room import Room
from packets.review.templates import Templates, not_here, told
from packets.review.views import marks_by_page, origin_of, origin_words
from packets.review.words import shown

WRITTEN = "Written to engagement.toml. Build again to see what it does."
Answer = CategoryAnswer | LeaveOutAnswer | HideAnswer | NotANumberAnswer


@dataclass(frozen=True)
class Place:
    """The page that is corrected: where it comes from, and its size where it is shown."""

    opened: OpenCase
    origin: Origin
    packet_page: int
    """0 for a page that is in no packet."""
    size: PageSize | None


class CorrectPage:
    """Correcting one page."""

    def __init__(self, room: Room, templates: Templates) -> None:
        self._room, self._templates = room, templates

    async def page(self, request: Request) -> Response:
        """The page with its picture and what can be corrected on it."""
        try:
            return await run_in_threadpool(self._rendered, request)
        except (Gone, IndexError):
            return not_here()
        except PacketsError as error:
            return self._templates.trouble(error, up_from(request), up_from(request)[6:])

    async def correct(self, request: Request) -> Response:
        """Write one correction down."""
        body = await request.body()
        try:
            written = await run_in_threadpool(self._written, request, body)
        except (Gone, IndexError):
            return not_here()
        except PacketsError as error:
            return told(error, 409)
        return JSONResponse({"what": WRITTEN, "engagement": written})

    def _rendered(self, request: Request) -> Response:
        place = self._place(request)
        view = self._view(request, place)
        case = place.opened.case
        return self._templates.page(
            "correct.html",
            base=up_from(request),
            view=view,
            case=case,
            household=shown(case.household),
            sha256=case.packet.sha256 if case.packet else "",
            categories=self._room.desk.categories(),
            most=pages_of(case, place.origin.file),
            client=client_letters(self._room.row(request.path_params["client"])),
            given=letters_for(case.given),
            minutes=self._room.idle_minutes,
        )

    def _view(self, request: Request, place: Place) -> CorrectView:
        origin, at = place.origin, request.path_params
        size = place.size or PageSize(612.0, 792.0)
        if place.packet_page:
            opened = place.opened
            marks = marks_by_page(opened.case, opened.sizes).get(place.packet_page, ())
            picture = f"../../packet/{opened.key}/{place.packet_page}.png"
            heading = f"Correct page {place.packet_page}"
            unshown = ""
        else:
            marks, heading = (), "Correct a page of the folder"
            picture, unshown = shown_source(self._room, at, origin)
        return CorrectView(
            heading=heading,
            origin=origin_words(origin),
            picture=picture,
            unshown=unshown,
            width=round(size.width, 1),
            height=round(size.height, 1),
            marks=marks,
            maskable=place.size is not None,
            source_page=origin.page,
            back=f"../../#page-{place.packet_page}" if place.packet_page else "../../../#left-out",
        )

    def _place(self, request: Request) -> Place:
        """The page that the address names. Raises Gone."""
        row = self._room.row(request.path_params["client"])
        recipe = self._room.wanted(row, request.path_params["recipe"])
        opened = self._room.cases.open(row.folder, recipe.recipe if recipe else None)
        number = request.path_params["page"]
        if "file" not in request.path_params:
            origin = origin_of(opened.case, number)
            if origin is None or number > len(opened.sizes):
                raise Gone
            return Place(opened, origin, number, opened.sizes[number - 1])
        file = file_at(opened.case, request.path_params["file"])
        origin = Origin(file, number)
        masked = self._room.sources.find(client_letters(row), row.folder, file, number)
        size = self._room.sources.size(masked) if masked and masked.pdf else None
        return Place(opened, origin, 0, size)

    def _written(self, request: Request, body: bytes) -> str:
        answer = answer_in(CorrectAnswer, body).correction
        place = self._place(request)
        case = place.opened.case
        return self._room.desk.correct(
            case.client,
            (correction_of(answer, place),),
            answer.who,
            engagement_sha256=answer.engagement,
            packet_sha256=case.packet.sha256 if case.packet else "",
        )


def up_from(request: Request) -> str:
    """From the page that is corrected to where all addresses begin."""
    return "../../../../../" if "file" in request.path_params else "../../../../"


def correction_of(answer: Answer, place: Place) -> Correction:
    """What the answer asks for, said of the source page. Raises InputRefused."""
    file, page = place.origin.file, place.origin.page
    most = pages_of(place.opened.case, file)
    match answer:
        case CategoryAnswer():
            return PageCategory(file, pages_in(answer.pages, most), answer.category)
        case LeaveOutAnswer():
            return LeaveOut(file, pages_in(answer.pages, most), answer.why)
        case HideAnswer():
            if place.size is None:
                raise InputRefused(
                    "a place can be hidden only on a page that is shown",
                    remedy="Leave the page out, or give its category.",
                )
            box = place_in(answer, place.size.width, place.size.height)
            return BlankRegion(file, page, box, answer.why)
        case NotANumberAnswer():
            return NotANumber(file, page, _mark(answer, place).box, answer.why)


def _mark(answer: NotANumberAnswer, place: Place) -> Mark:
    """The mark of that number, as the packet that was looked at has it."""
    case = place.opened.case
    if case.packet is None or case.packet.sha256 != answer.sha256:
        raise InputRefused(
            "this page shows a packet that is not there any more",
            remedy="Load the page again and look at the new one.",
        )
    marks = marks_by_page(case, place.opened.sizes).get(place.packet_page, ())
    for mark in marks:
        if mark.number == answer.mark and mark.what == "masked":
            x, y, width, height = mark.box
            box = Box(x, y, x + width, y + height)
            return min(
                (one for one in case.marks if one.page == place.packet_page),
                key=lambda one: abs(one.box.x0 - box.x0) + abs(one.box.y0 - box.y0),
            )
    raise InputRefused(
        "nothing was masked there", remedy="Load the page again and choose one of its masks."
    )
