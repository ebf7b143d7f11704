"""Source pages on demand: masked for the screen in a process of their own, then shown."""

import threading
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from packets.base.canonical import Json
from packets.base.errors import PacketsError
from packets.review.addresses import client_letters, letters_for
from packets.review.corrected_place import file_at
from packets.review.front import form_of
from packets.review.open_cases import Gone
from packets.review.room import Room
from packets.review.source_pages import MaskedPage, masked_source_pages
from packets.review.templates import not_here, told
from packets.review.words import shown
from packets.review.works import Busy

MOST_AT_ONCE = 200
"""Left-out pages that are shown; of the rest the list tells file, page and reason."""


@dataclass(frozen=True)
class _Asked:
    """Which pages a page of the browser asked for."""

    client: str
    folder: Path
    pages: tuple[tuple[str, int], ...]


class LeftOut:
    """Starts the masking of source pages and tells how far it is."""

    def __init__(self, room: Room) -> None:
        self._room = room
        self._lock = threading.Lock()
        self._last: dict[str, _Asked] = {}
        """By the address that asked: so that nobody who waits makes the folder be read anew."""

    async def show(self, request: Request) -> Response:
        """Begin to mask what stays out of this packet, or the one page that is named."""
        try:
            await run_in_threadpool(self._start, request)
        except Gone:
            return not_here()
        except Busy:
            return JSONResponse({})
        except PacketsError as error:
            return told(error, 409)
        return JSONResponse({})

    async def standing(self, request: Request) -> Response:
        """How far it is; and, where it has ended, what can be shown and what cannot."""
        try:
            can, cannot = await run_in_threadpool(self._so_far, request)
        except Gone:
            return not_here()
        except PacketsError as error:
            return told(error, 409)
        client = request.path_params["client"]
        work = form_of(self._room.maskings.standing(client))
        return JSONResponse({**work, "shown": can, "unshown": cannot})

    def _start(self, request: Request) -> None:
        asked = self._asked(request)
        with self._lock:
            self._last[request.url.path] = asked
        missing: dict[str, list[int]] = {}
        for file, page in asked.pages:
            if self._room.sources.find(asked.client, asked.folder, file, page) is None:
                missing.setdefault(file, []).append(page)
        if not missing:
            return

        def keep(masked: Iterable[MaskedPage]) -> str:
            self._room.sources.keep(asked.client, asked.folder, masked)
            return "The pages that stay out are shown below."

        self._room.maskings.start(
            asked.client, masked_source_pages, asked.folder, missing, then=keep
        )

    def _so_far(self, request: Request) -> tuple[list[Json], list[Json]]:
        """What can be shown (file, page, width, height), and what cannot (file, page, why)."""
        with self._lock:
            asked = self._last.get(request.url.path)
        if asked is None:
            return [], []
        can: list[Json] = []
        cannot: list[Json] = []
        for file, page in asked.pages:
            found = self._room.sources.find(asked.client, asked.folder, file, page)
            if found is not None and found.pdf:
                size = self._room.sources.size(found)
                can.append([letters_for(file), page, round(size.width), round(size.height)])
            elif found is not None:
                cannot.append([letters_for(file), page, shown(found.why)])
        return can, cannot

    def _asked(self, request: Request) -> _Asked:
        at = request.path_params
        row = self._room.row(at["client"])
        recipe = self._room.wanted(row, at["recipe"])
        case = self._room.desk.case(row.folder, recipe.recipe if recipe else None)
        if "file" in at:
            pages = [(file_at(case, at["file"]), int(at["page"]))]
        else:
            pages = [(out.file, page) for out in case.left_out for page in out.pages]
        return _Asked(client_letters(row), row.folder, tuple(pages[:MOST_AT_ONCE]))
