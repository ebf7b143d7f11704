"""Files of a page that never change, and the answers that give them out."""

from collections.abc import Callable
from importlib import resources

from starlette.requests import Request
from starlette.responses import Response

from packets.loopback.look import here_js, icon_svg, paper_css

Answer = Callable[[Request], Response]


def still(text: str, media: str) -> Answer:
    """An answer that never changes."""

    def answer(request: Request) -> Response:  # noqa: ARG001 - as Starlette calls it
        return Response(text, media_type=media)

    return answer


def still_files(package: str, media: dict[str, str]) -> dict[str, Answer]:
    """By name the files of a package's `page/` folder, and what all pages share.

    `media` names each file that may be asked for; there is no way to any other.
    """
    page = resources.files(package) / "page"
    own = {name: still((page / name).read_text("utf-8"), kind) for name, kind in media.items()}
    shared = {
        "paper.css": still(paper_css(), "text/css"),
        "icon.svg": still(icon_svg(), "image/svg+xml"),
        "here.js": still(here_js(), "text/javascript"),
    }
    return {**shared, **own}
