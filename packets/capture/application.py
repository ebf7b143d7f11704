"""The page as a web application; who may reach it is decided before, by `packets.loopback`."""

import asyncio
from collections.abc import Callable

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Route

from packets.base.errors import PacketsError
from packets.capture.records import Sheet
from packets.capture.session import Over, Session
from packets.capture.strokes import PAD_HEIGHT, PAD_WIDTH
from packets.loopback.still import still, still_files

PARTS = {"pad.css": "text/css", "pad.js": "text/javascript"}
"""Files of `page/` that the page asks for, by name."""


def application(sheet: Sheet, session: Session, stop: Callable[[], None]) -> Starlette:
    """The page, its pictures, and the answers to it. `stop` is called after the last word."""
    desk = _Desk(sheet, session, stop)
    files = still_files("packets.capture", PARTS)
    page = Starlette(
        routes=[
            Route("/", desk.page),
            *(Route(f"/{name}", file) for name, file in files.items()),
            Route("/pages/{number:int}.png", desk.picture),
            Route("/signature", desk.sign, methods=["POST"]),
            Route("/decline", desk.decline, methods=["POST"]),
            Route("/alive", still("", "text/plain"), methods=["POST"]),
        ]
    )
    page.router.redirect_slashes = False
    return page


class _Desk:
    """What the page answers with."""

    def __init__(self, sheet: Sheet, session: Session, stop: Callable[[], None]) -> None:
        self._sheet, self._session, self._stop = sheet, session, stop
        environment = Environment(
            loader=PackageLoader("packets.capture", "page"),
            autoescape=True,
            undefined=StrictUndefined,
        )
        self._html = environment.get_template("sign.html").render(
            sheet=sheet, pad_width=int(PAD_WIDTH), pad_height=int(PAD_HEIGHT)
        )

    async def page(self, request: Request) -> Response:  # noqa: ARG002 - as Starlette calls it
        """The page, or that it was answered already."""
        if self._session.phase != "open":
            return Response(OVER, 409, media_type="text/plain")
        return HTMLResponse(self._html)

    async def picture(self, request: Request) -> Response:
        """One page of the document, drawn without numbers."""
        try:
            number = request.path_params["number"]
            png = await run_in_threadpool(self._sheet.pages.png, number)
        except IndexError:
            return Response("There is no such page.", 404, media_type="text/plain")
        return Response(png, media_type="image/png")

    async def sign(self, request: Request) -> Response:
        """Strokes come, a grant is recorded, the page ends."""
        body = await request.body()
        try:
            recording = await run_in_threadpool(self._session.sign, body)
        except Over:
            return _told(409, OVER, "")
        except PacketsError as error:
            return _told(422, error.what, error.remedy)
        done = BackgroundTask(self._stop)
        try:
            recorded = await asyncio.shield(asyncio.wrap_future(recording))
        except PacketsError as error:
            return _told(409, error.what, error.remedy, done)
        facts = {"grant": recorded.grant.id, "given_at": recorded.grant.given_at.isoformat()}
        return JSONResponse(facts, background=done)

    async def decline(self, request: Request) -> Response:  # noqa: ARG002 - as Starlette calls it
        """The person does not sign; the page ends."""
        try:
            self._session.decline()
        except Over:
            return _told(409, OVER, "")
        return JSONResponse({}, background=BackgroundTask(self._stop))


OVER = "This page was answered already. Nothing more is recorded."


def _told(status: int, what: str, remedy: str, done: BackgroundTask | None = None) -> Response:
    return JSONResponse({"what": what, "remedy": remedy}, status, background=done)
