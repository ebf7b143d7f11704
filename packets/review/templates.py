"""Templates and answers: what the pages are made of."""

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.responses import HTMLResponse, JSONResponse, Response

from packets.base.errors import PacketsError
from packets.review.words import counted, moment, shown

STILL = {
    "review.css": "text/css",
    "send.js": "text/javascript",
    "front.js": "text/javascript",
    "packet.js": "text/javascript",
    "correct.js": "text/javascript",
}
"""Files of `page/` that the pages ask for, by name."""


class Templates:
    """The templates, every value escaped."""

    def __init__(self) -> None:
        self._environment = Environment(
            loader=PackageLoader("packets.review", "page"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self._environment.filters.update(shown=shown, moment=moment, counted=counted)

    def page(self, name: str, status: int = 200, **values: object) -> Response:
        """A page from its template."""
        return HTMLResponse(self._environment.get_template(name).render(**values), status)

    def trouble(self, error: PacketsError, base: str, back: str) -> Response:
        """A page that says what is wrong and what to do."""
        return self.page(
            "trouble.html",
            409,
            base=base,
            what=shown(str(error)),
            remedy=shown(error.remedy),
            back=back,
        )


def told(error: PacketsError, status: int) -> Response:
    """What is wrong, for a script."""
    return JSONResponse({"what": shown(str(error)), "remedy": shown(error.remedy)}, status)


def not_here() -> Response:
    """There is nothing at this address."""
    return Response("There is no such page.", 404, media_type="text/plain")
