"""Hunting numbers in one picture: its letters and its bar codes."""

import io
import math
import re
import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from types import TracebackType
from typing import Any

import zxingcpp
from PIL import Image, ImageDraw

from packets.base.errors import Damaged, OverLimit
from packets.base.installed import version_of
from packets.base.limits import Limits
from packets.identifiers.layout import GlyphRun
from packets.outbound.barcode_text import spellings
from packets.outbound.crude_scan import Hit
from packets.outbound.hunting import Hunter
from packets.outbound.recognition import (
    SMALL_SIDE,
    CodesRead,
    Crop,
    Recognised,
    Recogniser,
    engine_version,
)

_LEAST_DARK = 0.2
"""Share of a code's place that is dark, or light, at the least."""
_MANY_LETTERS = 100
_POOR_CONFIDENCE = 55
_SURELY_READ = 88.0
_PLAIN = re.compile(
    r"(?<!\S)(?:\d{1,2}[-/]\d{1,2}[-/](?:\d\d){1,2}|\d{4}-\d\d-\d\d"
    r"|(?:1-)?[(]?\d{3}[)]?[-. ]\d{3}[-.]\d{4}|\d{9}|\d\d-\d{7}|\d{5}-\d{4}|\d{4}-\d{4}"
    r"|[$(]?\d[\d,]*\.\d\d[)]?)(?=[.,;:]?(?:\s|$))"
)
"""Dates, telephone numbers, explained numbers of nine digits, ZIP+4, OMB numbers and amounts:
what was surely read as one of these needs no second look."""


@dataclass(frozen=True)
class BarsFound:
    """What the bar codes of a picture said."""

    hits: frozenset[Hit]
    undecoded: bool
    """Whether there is a code whose content could not be read."""


@dataclass(frozen=True)
class LettersFound:
    """What the letters of a picture said."""

    hits: frozenset[Hit]
    poor: bool
    """Whether there is much text, read with so little confidence that it proves nothing."""


class PictureHunter:
    """Letters and bar codes of pictures, each distinct picture read once. Use it with `with`.

    A recogniser that is handed in stays open at the end.
    """

    def __init__(self, hunter: Hunter, recogniser: Recogniser | None = None) -> None:
        self._hunter = hunter
        self._recogniser = recogniser if recogniser is not None else Recogniser()
        self._is_own = recogniser is None
        self._bars: dict[bytes, BarsFound] = {}
        self.version = f"{engine_version()}, zxing-cpp {version_of('zxing-cpp')}"

    def __enter__(self) -> "PictureHunter":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        if self._is_own:
            self._recogniser.close()

    def letters(self, picture: Image.Image, *, scanned: bool = False) -> LettersFound:
        """Hits in the recognised text of a picture, and in print that grey does not show.

        `scanned`: print of common faces, to be read only where digits may stand.
        """
        grey = _grey(picture)
        readings = self._recogniser.read(grey, by_spots=scanned)
        hits = {hit for reading in readings for hit in self._hits(reading)}
        for reading in readings if not hits else ():
            for part in self._near_numbers(reading, grey):
                hits |= self._hits(self._recogniser.read_apart(grey, part))
        poor = all(map(_is_poor, readings)) and bool(readings)
        for other in _passed_over(picture, grey):
            hits |= {hit for reading in self._recogniser.read(other) for hit in self._hits(reading)}
        return LettersFound(frozenset(hits), poor)

    def _near_numbers(self, reading: Recognised, picture: Image.Image) -> Iterator[Crop]:
        """Where digits stand in a row that may be a number misread."""
        doubtful = {
            run.first
            for run, sure in zip(reading.runs, reading.sure, strict=True)
            if sure < _SURELY_READ and any(map(str.isdigit, run.text))
        }
        for row in _rows(reading.runs):
            text = " ".join(run.text for run in row)
            if doubtful.isdisjoint(run.first for run in row):
                text = _PLAIN.sub(" ", text)
            if self._hunter.is_near_number(text):
                runs = [run for run in row if any(map(str.isdigit, run.text))]
                top, foot = min(run.top for run in runs), max(run.bottom for run in runs)
                high = foot - top
                upper, lower = (
                    max(0, int(top - 3 * high)),
                    min(picture.height, int(foot + 3 * high)),
                )
                right = min(picture.width, int(max(run.x1[-1] for run in runs) + 12 * high))
                # With whatever label stands before it; a low picture was enlarged to be read.
                inside = lower > upper and picture.height >= SMALL_SIDE
                yield (0, upper, right, lower) if inside else (0, 0, *picture.size)

    def _hits(self, reading: Recognised) -> set[Hit]:
        by_place = self._hunter.on_page(reading.runs)
        return {*by_place, *self._hunter.in_recognised(reading.text)}

    def bars(self, picture: Image.Image) -> BarsFound:
        """Hits in the bar codes of a picture."""
        picture = _grey(picture)
        key = Recogniser.key(picture)
        if key not in self._bars:
            codes = self._recogniser.codes
            if key not in codes:
                codes[key] = _codes_in(picture)
            read = codes[key]
            hits = {hit for text in read.texts for hit in self._hunter.in_page(text)}
            self._bars[key] = BarsFound(frozenset(hits), read.undecoded)
        return self._bars[key]


def _passed_over(picture: Image.Image, grey: Image.Image) -> Iterator[Image.Image]:
    """Print that recognition of the grey picture passes over: faint, or aslant."""
    from packets.outbound.faint_tones import faint_tones  # noqa: PLC0415 - many files hold no picture
    from packets.outbound.print_aslant import turned_level  # noqa: PLC0415

    layer = faint_tones(picture)
    if layer is not None:
        yield layer
    yield from turned_level(grey)


def _codes_in(picture: Image.Image) -> CodesRead:
    texts: list[str] = []
    undecoded = False
    for code in zxingcpp.read_barcodes(picture, return_errors=True):
        undecoded |= not code.valid and _is_plausible(code) and _is_half_dark(picture, code)
        texts += spellings(code.text, bytes(code.bytes)) if code.valid else ()
    return CodesRead(tuple(texts), undecoded)


def _rows(runs: Sequence[GlyphRun]) -> Iterator[list[GlyphRun]]:
    """Runs that follow one another on a line."""
    row: list[GlyphRun] = []
    for run in runs:
        if row and not row[-1].top < (run.top + run.bottom) / 2 < row[-1].bottom:
            yield row
            row = []
        row.append(run)
    if row:
        yield row


def _is_poor(reading: Recognised) -> bool:
    letters = sum(len(run.text) for run in reading.runs)
    return letters >= _MANY_LETTERS and reading.confidence < _POOR_CONFIDENCE


def _is_plausible(code: Any) -> bool:
    """Whether a code with an error is one at all: a tidy rectangle whose check sums fail.

    In rules and letters the finder sees corners of codes that are none; their
    four corners make crooked figures.
    """
    if code.error.type != zxingcpp.ErrorType.Checksum:
        return False
    place = code.position
    corners = (place.top_left, place.top_right, place.bottom_right, place.bottom_left)
    sides = [
        (b.x - a.x, b.y - a.y) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    ]
    lengths = [math.hypot(*side) for side in sides]
    if min(lengths) < 8:
        return False
    for one in range(4):
        other = (one + 1) % 4
        turn = abs(sides[one][0] * sides[other][0] + sides[one][1] * sides[other][1])
        if turn > 0.35 * lengths[one] * lengths[other]:
            return False
    return all(
        max(lengths[i], lengths[i + 2]) <= 1.5 * min(lengths[i], lengths[i + 2]) for i in (0, 1)
    )


def _is_half_dark(picture: Image.Image, code: Any) -> bool:
    """Whether as much of the place is dark as of a code; of a form's frame far less is."""
    place = code.position
    corners = [
        (corner.x, corner.y)
        for corner in (place.top_left, place.top_right, place.bottom_right, place.bottom_left)
    ]
    inside = Image.new("1", picture.size)
    ImageDraw.Draw(inside).polygon(corners, fill=1)
    seen = picture.convert("L").histogram(inside)
    return _LEAST_DARK <= sum(seen[:128]) / max(sum(seen), 1) <= 1 - _LEAST_DARK


def _grey(picture: Image.Image) -> Image.Image:
    return picture if picture.mode == "L" else picture.convert("L")


def file_picture(data: bytes, limits: Limits) -> Image.Image:
    """The first picture of a picture file, grey or RGB. Raises Damaged or OverLimit."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data)) as picture:
                if getattr(picture, "n_frames", 1) > 1:
                    raise Damaged("a picture file with several pictures")
                width, height = picture.size
                if width * height > limits.picture_pixels or max(picture.size) >= (
                    limits.picture_side
                ):
                    raise OverLimit("a picture with too many pixels")
                return picture.convert("L" if picture.mode in ("1", "L") else "RGB")
    except Image.DecompressionBombError:
        raise OverLimit("a picture with too many pixels") from None
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError):
        raise Damaged("a picture that cannot be decoded") from None
