"""The page of one packet: what it shows, its pictures, and the decisions about it."""

import asyncio
from collections.abc import Callable
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from packets.base.errors import PacketsError
from packets.decisions.records import ClientRow, RecipeRow, ReviewCase, State
from packets.review.addresses import client_letters, letters_for, recipe_letters
from packets.review.answers import HoldAnswer, ReleaseAnswer, answer_in
from packets.review.open_cases import Gone, OpenCase
from packets.review.records import HoldView
from packets.review.room import Room
from packets.review.templates import Templates, not_here, told
from packets.review.views import (
    choices_of,
    left_out_views,
    mark_count,
    page_views,
    part_views,
)
from packets.review.words import STATE_MEANS, STATE_WORDS, moment, recipe_words, shown, what_it_is

CLIENT_HAS_GONE = 499
"""The browser asked for a picture and scrolled on; nobody reads this."""


class PacketPage:
    """One packet of one client."""

    def __init__(self, room: Room, templates: Templates) -> None:
        self._room, self._templates = room, templates
        self._turn = asyncio.Lock()  # one picture after the other, in the order of asking

    async def page(self, request: Request) -> Response:
        """The packet as it stands now, or that nothing was built."""
        try:
            row, recipe = await run_in_threadpool(self._found, request)
        except Gone:
            return not_here()
        try:
            return await run_in_threadpool(self._rendered, row, recipe)
        except PacketsError as error:
            return self._templates.trouble(error, "../../", self._home)

    async def picture(self, request: Request) -> Response:
        """One page of a packet that is open."""
        at = request.path_params
        return await self._drawn(request, lambda: self._room.cases.png(at["key"], at["page"]))

    async def source_picture(self, request: Request) -> Response:
        """One source page that was masked for the screen."""
        at = request.path_params
        return await self._drawn(
            request, lambda: self._room.sources.png(at["client"], at["file"], at["page"])
        )

    async def words(self, request: Request) -> Response:
        """The words of one page."""
        at = request.path_params
        try:
            text = await run_in_threadpool(self._room.cases.words, at["key"], at["page"])
        except (Gone, IndexError):
            return not_here()
        return Response(text, media_type="text/plain")

    async def release(self, request: Request) -> Response:
        """A person says yes to the packet that was shown."""

        def decide(case: ReviewCase, body: bytes) -> None:
            answer = answer_in(ReleaseAnswer, body)
            name = case.packet.name if case.packet else ""
            self._room.desk.release(case.client, name, answer.sha256, answer.who)

        return await self._decided(request, decide)

    async def hold(self, request: Request) -> Response:
        """A person says no, with a note."""

        def decide(case: ReviewCase, body: bytes) -> None:
            answer = answer_in(HoldAnswer, body)
            name = case.packet.name if case.packet else ""
            self._room.desk.hold(case.client, name, answer.sha256, answer.who, answer.note)

        return await self._decided(request, decide)

    @property
    def _home(self) -> str:
        """From a packet's page to the front page; empty where there is none."""
        return "" if self._room.single else "../../"

    def _found(self, request: Request) -> tuple[ClientRow, RecipeRow | None]:
        row = self._room.row(request.path_params["client"])
        return row, self._room.wanted(row, request.path_params["recipe"])

    async def _drawn(self, request: Request, draw: Callable[[], bytes]) -> Response:
        await request.body()  # what comes after it tells whether the browser is still there
        async with self._turn:
            if await request.is_disconnected():
                return Response(status_code=CLIENT_HAS_GONE)
            try:
                png = await run_in_threadpool(draw)
            except (Gone, IndexError):
                return not_here()
        return Response(png, media_type="image/png")

    async def _decided(
        self, request: Request, decide: Callable[[ReviewCase, bytes], None]
    ) -> Response:
        body = await request.body()

        def run() -> None:
            row, recipe = self._found(request)
            decide(self._room.desk.case(row.folder, recipe.recipe if recipe else None), body)

        try:
            await run_in_threadpool(run)
        except Gone:
            return not_here()
        except PacketsError as error:
            return told(error, 409)
        return JSONResponse({})

    def _rendered(self, row: ClientRow, recipe: RecipeRow | None) -> Response:
        under_way = self._room.works.standing(client_letters(row))
        given = recipe.given if recipe else self._room.recipe
        common: dict[str, Any] = {
            "base": "../../",
            "home": self._home,
            "recipes": [
                (letters_for(one), recipe_words(one), one == given)
                for one in self._room.recipes(row)
            ],
            "others": [
                (recipe_letters(one.recipe), shown(one.recipe), STATE_WORDS[one.state])
                for one in row.recipes
                if recipe is None or one.recipe != recipe.recipe
            ],
            "building": under_way.under_way,
            "minutes": self._room.idle_minutes,
        }
        if recipe is None:
            return self._templates.page(
                "nothing.html",
                household=shown(row.household or row.folder.name),
                note=shown(row.note.replace(f"{row.folder}/", "")),
                state=STATE_WORDS[State.NOTHING_BUILT if row.recipes else row.state],
                means=STATE_MEANS[row.state],
                buildable=row.state is not State.UNREADABLE,
                **common,
            )
        opened = self._room.cases.open(row.folder, recipe.recipe)
        return self._templates.page("packet.html", **common, **packet_values(opened))


def packet_values(opened: OpenCase) -> dict[str, Any]:
    """What `packet.html` prints of a case."""
    case = opened.case
    return {
        "case": case,
        "key": opened.key,
        "unshown": opened.unshown,
        "sha256": case.packet.sha256 if case.packet else "",
        "state": STATE_WORDS[case.state],
        "means": STATE_MEANS[case.state],
        "household": shown(case.household),
        "what": what_it_is(case),
        "built_at": _built_at(case),
        "pages": page_views(case, opened.sizes),
        "parts": part_views(case),
        "marks": mark_count(case),
        "left_out": left_out_views(case),
        "file_letters": {out.file: letters_for(out.file) for out in case.left_out},
        "sources": [(letters_for(one.file), shown(one.file), one.pages) for one in case.sources],
        "holds": hold_views(case),
        "choices": choices_of(case),
        "decisions": [
            (moment(one.when), shown(one.who), one.what, shown(one.note))
            for one in reversed(case.decisions)
        ],
    }


def hold_views(case: ReviewCase) -> tuple[HoldView, ...]:
    """Why it is held; each with the way to the page that it is about."""
    told_ = []
    for hold in case.holds:
        origin = hold.origin
        address = f"source/{letters_for(origin.file)}/{origin.page}/" if origin else ""
        told_.append(HoldView(shown(hold.words), shown(hold.remedy), address))
    return tuple(told_)


def _built_at(case: ReviewCase) -> str:
    built = (case.manifest or {}).get("built_at")
    return moment(built) if isinstance(built, str) else ""
