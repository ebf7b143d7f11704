"""The pages as a web application; who may reach it is decided before, by `packets.loopback`."""

from collections.abc import Callable

from starlette.applications import Starlette
from starlette.background import BackgroundTask
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from packets.base.errors import OurFault
from packets.loopback.still import still, still_files
from packets.review.correct_page import CorrectPage
from packets.review.front import Front
from packets.review.left_out import LeftOut
from packets.review.packet_page import PacketPage
from packets.review.room import Room
from packets.review.templates import STILL, Templates, told

PACKET = "/{client:str}/{recipe:str}"
SOURCE = "/source/{file:str}/{page:int}"
POST = ["POST"]


def application(room: Room, stop: Callable[[], None]) -> Starlette:
    """Every page of one opening, and the answers to it; `stop` is called to end them."""
    templates = Templates()
    front, packet = Front(room, templates), PacketPage(room, templates)
    correct, left_out = CorrectPage(room, templates), LeftOut(room)
    files = still_files("packets.review", STILL)
    pages = Starlette(
        routes=[
            Route("/", front.page),
            *(Route(f"/{name}", file) for name, file in files.items()),
            Route("/works", front.works),
            Route("/end", _ending(stop), methods=POST),
            Route("/alive", still("", "text/plain"), methods=POST),
            Route("/{client:str}/", front.client),
            Route("/{client:str}/work", front.work),
            Route("/{client:str}/build", front.build, methods=POST),
            Route("/{client:str}/shown/{file:str}/{page:int}.png", packet.source_picture),
            Route(f"{PACKET}/", packet.page),
            Route(f"{PACKET}/packet/{{key:str}}/{{page:int}}.png", packet.picture),
            Route(f"{PACKET}/packet/{{key:str}}/{{page:int}}.txt", packet.words),
            Route(f"{PACKET}/release", packet.release, methods=POST),
            Route(f"{PACKET}/hold", packet.hold, methods=POST),
            Route(f"{PACKET}/left-out", left_out.standing),
            Route(f"{PACKET}/left-out", left_out.show, methods=POST),
            Route(f"{PACKET}/page/{{page:int}}/", correct.page),
            Route(f"{PACKET}/page/{{page:int}}/correct", correct.correct, methods=POST),
            Route(f"{PACKET}{SOURCE}/", correct.page),
            Route(f"{PACKET}{SOURCE}/correct", correct.correct, methods=POST),
            Route(f"{PACKET}{SOURCE}/left-out", left_out.standing),
            Route(f"{PACKET}{SOURCE}/left-out", left_out.show, methods=POST),
        ],
        exception_handlers={Exception: _fault},
    )
    pages.router.redirect_slashes = False
    return pages


async def _fault(request: Request, problem: Exception) -> Response:  # noqa: ARG001
    """Our own fault, told by its kind alone: its words may hold what nobody should read."""
    fault = OurFault(f"this could not be answered ({type(problem).__name__})")
    return told(fault, 500)


def _ending(stop: Callable[[], None]) -> Callable[[Request], Response]:
    """The last answer; the pages end behind it."""

    def answer(request: Request) -> Response:  # noqa: ARG001 - as Starlette calls it
        return JSONResponse({}, background=BackgroundTask(stop))

    return answer
