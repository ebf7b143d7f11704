"""The front page: every client folder under the root, those first that need a person."""

from dataclasses import dataclass

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from packets.base.errors import InputRefused, PacketsError
from packets.decisions.records import ClientRow, State
from packets.review.addresses import client_letters, letters_for, recipe_letters
from packets.review.answers import BuildAnswer, answer_in
from packets.review.building import came_of, rebuilt
from packets.review.open_cases import Gone
from packets.review.room import AUTOMATIC, Room
from packets.review.templates import Templates, not_here, told
from packets.review.words import (
    STATE_MEANS,
    STATE_WORDS,
    cut,
    recipe_words,
    short_moment,
    shown,
)
from packets.review.works import Busy, Standing

NEEDS = (State.UNREADABLE, State.HELD, State.CHANGED, State.TO_REVIEW)
"""States in which nothing goes on without a person."""


@dataclass(frozen=True)
class RowView:
    """One client folder as the front page prints it."""

    letters: str
    address: str
    household: str
    engagement: str
    year: str
    folder: str
    state: str
    note: str
    needs: bool
    recipe: str
    when: str
    build: str
    """What the button builds by, as an address; empty where nothing can be built."""
    by: str
    again: bool


class Front:
    """The front page and what is asked from it."""

    def __init__(self, room: Room, templates: Templates) -> None:
        self._room, self._templates = room, templates

    async def page(self, request: Request) -> Response:  # noqa: ARG002 - as Starlette calls it
        """All clients; for one client alone its own page."""
        try:
            rows = await run_in_threadpool(self._room.rows)
        except PacketsError as error:
            return self._templates.trouble(error, "", "")
        if self._room.single and rows:
            return RedirectResponse(f"{client_letters(rows[0])}/", 303)
        views = [self._view(row) for row in rows]
        return self._templates.page(
            "front.html",
            base="",
            rows=views,
            root=shown(self._room.root.name),
            waiting=sum(view.needs for view in views),
            minutes=self._room.idle_minutes,
        )

    async def works(self, request: Request) -> Response:  # noqa: ARG002 - as Starlette calls it
        """Every build that is under way, by the letters of its client."""
        under_way = self._room.works.all()
        return JSONResponse({client: form_of(one) for client, one in under_way.items()})

    async def client(self, request: Request) -> Response:
        """Lead to the packet of this client that needs a person most."""
        try:
            row = await run_in_threadpool(self._room.row, request.path_params["client"])
        except Gone:
            return not_here()
        return RedirectResponse(self._landing(row), 303)

    async def build(self, request: Request) -> Response:
        """Put a build in line, by a recipe that this page offered."""
        try:
            row = await run_in_threadpool(self._room.row, request.path_params["client"])
            asked = answer_in(BuildAnswer, await request.body())
            self._start(row, asked.recipe)
        except Gone:
            return not_here()
        except PacketsError as error:
            return told(error, 422)
        except Busy:
            return told(UNDER_WAY, 409)
        return JSONResponse({})

    async def work(self, request: Request) -> Response:
        """How far the build of this client is; behind its end, where the client stands."""
        client = request.path_params["client"]
        standing = self._room.works.standing(client)
        form = form_of(standing)
        if standing.phase in ("done", "failed"):
            try:
                row = await run_in_threadpool(self._room.row, client)
            except Gone:
                return not_here()
            form["state"] = STATE_WORDS[row.state]
        return JSONResponse(form)

    def _start(self, row: ClientRow, recipe: str) -> None:
        offered = self._room.recipes(row)
        chosen = next((one for one in offered if letters_for(one) == recipe), None)
        if chosen is None:
            raise InputRefused(
                "this page offers no such recipe", remedy="Choose one of the list and try again."
            )
        key = client_letters(row)
        self._room.works.start(key, rebuilt, self._room.desk, row.folder, chosen, then=came_of)

    def _landing(self, row: ClientRow) -> str:
        asked = self._room.recipe
        for one in row.recipes:
            if asked in (one.recipe, one.given) or not asked:
                return f"{recipe_letters(one.recipe)}/"
        if row.recipes and not self._room.single:
            return f"{recipe_letters(row.recipe)}/"
        return f"{AUTOMATIC}/"

    def _view(self, row: ClientRow) -> RowView:
        given = next((one.given for one in row.recipes if one.recipe == row.recipe), "")
        build = self._room.recipe or given or next(iter(self._room.recipes(row)), "")
        return RowView(
            letters=client_letters(row),
            address=f"{client_letters(row)}/",
            household=shown(row.household) or shown(row.folder.name),
            engagement=shown(row.engagement_id),
            year=str(row.tax_year or ""),
            folder=shown(row.name) if row.name != "." and row.household else "",
            state=STATE_WORDS[row.state],
            note=cut(row.note.replace(f"{row.folder}/", "")) or STATE_MEANS[row.state],
            needs=row.state in NEEDS,
            recipe=shown(row.recipe),
            when=short_moment(row.when) if row.when else "",
            build="" if row.state is State.UNREADABLE or not build else letters_for(build),
            by=recipe_words(build),
            again=bool(row.recipe),
        )


UNDER_WAY = InputRefused(
    "this folder is being built already", remedy="Wait until that build has ended."
)


def form_of(standing: Standing) -> dict[str, object]:
    """How far a piece of work is, for a script."""
    return {
        "phase": standing.phase,
        "words": standing.station if standing.under_way else standing.what,
        "remedy": standing.remedy,
        "share": standing.done / standing.total if standing.total > 1 else None,
    }
