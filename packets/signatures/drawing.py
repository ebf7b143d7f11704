"""Drawing a signature image and a date onto a page, as page content."""

import re
import zlib
from dataclasses import dataclass, field
from decimal import Decimal

import pikepdf
from pikepdf import Array, Dictionary, Name
from PIL import Image
from reportlab.pdfbase.pdfmetrics import stringWidth

from packets.signatures.form_fields import COMB, Widget, dictionary, inherited
from packets.signatures.graphics_state import close_off
from packets.signatures.page_frame import Matrix, Rect, WidgetFrame
from packets.signatures.records import Artwork

MARGIN = 2.0
"""Points between a widget's left edge and what is drawn in it."""
CAP_HEIGHT = 0.718
"""Helvetica's capital and digit height as a share of the type size."""
LARGEST_DATE, SMALLEST_DATE = 12.0, 4.0
LINE_DATE = 9.0
"""Points."""
FONT = "Helvetica"
FONT_SIZE = re.compile(r"([-+]?\d*\.?\d+)\s+Tf\b")


@dataclass
class Pen:
    """Draws on the pages of one document; each image enters the file once."""

    document: pikepdf.Pdf
    images: dict[str, pikepdf.Object] = field(default_factory=dict)
    font: pikepdf.Object | None = None
    opened: set[int] = field(default_factory=set)
    """Pages whose own content is already closed off, by number from 1."""

    def image(self, page: int, artwork: Artwork, frame: WidgetFrame, part: Rect) -> None:
        """Draw the artwork into a part of a frame: a picture, or a drawing as a form of strokes."""
        if artwork.sha256 not in self.images:
            drawn = _drawing_object if artwork.strokes else _image_object
            self.images[artwork.sha256] = drawn(self.document, artwork)
        name = f"/PacketsSignature{list(self.images).index(artwork.sha256) + 1}"
        self._resource(page, "/XObject", name, self.images[artwork.sha256])
        x0, y0, x1, y1 = part
        placed = _numbers((x1 - x0, 0, 0, y1 - y0, x0, y0))
        self._append(page, frame.matrix, f"{placed} cm {name} Do")

    def text(
        self, page: int, frame: WidgetFrame, size: float, runs: list[tuple[float, str]]
    ) -> None:
        """Draw runs of text in black, each at its own x, on one line centred in the frame."""
        if self.font is None:
            self.font = self.document.make_indirect(
                Dictionary(
                    Type=Name.Font,
                    Subtype=Name.Type1,
                    BaseFont=Name("/" + FONT),
                    Encoding=Name.WinAnsiEncoding,
                )
            )
        self._resource(page, "/Font", "/PacketsDate", self.font)
        baseline = (frame.height - CAP_HEIGHT * size) / 2
        shown = " ".join(
            f"1 0 0 1 {_numbers((x, baseline))} Tm <{run.encode('cp1252').hex()}> Tj"
            for x, run in runs
        )
        self._append(page, frame.matrix, f"0 g BT /PacketsDate {_numbers((size,))} Tf {shown} ET")

    def _append(self, page: int, matrix: Matrix, operators: str) -> None:
        target = self.document.pages[page - 1]
        if page not in self.opened:
            close_off(target)
            self.opened.add(page)
        drawn = f"q {_numbers(matrix)} cm {operators} Q\n"
        target.contents_add(drawn.encode("ascii"), prepend=False)

    def _resource(self, page: int, kind: str, name: str, value: pikepdf.Object) -> None:
        """Enter a resource on this page alone: shared dictionaries are copied first."""
        target = self.document.pages[page - 1].obj
        own = dictionary(inherited(target, "/Resources"))
        resources = Dictionary(dict(own.items()) if own is not None else {})
        listed = dictionary(resources.get(kind))
        entries = Dictionary(dict(listed.items()) if listed is not None else {})
        entries[name] = value
        resources[kind] = entries
        target["/Resources"] = resources


def date_runs(
    widget: Widget, frame: WidgetFrame, date: str
) -> tuple[float, list[tuple[float, str]]] | None:
    """Type size and runs that write a date into a widget as its field asks.

    A field of fewer characters gets the digits alone; a comb gets one character
    in each cell. None when the date does not fit.
    """
    limit = widget.most_characters
    if limit and len(date) > limit:
        date = "".join(mark for mark in date if mark.isalnum())
        if len(date) > limit:
            return None
    size = _type_size(widget, frame)
    if widget.flags & COMB and limit:
        cell = frame.width / limit
        size = min(size, cell / 0.6)
        centred = [
            (cell * (at + 0.5) - stringWidth(mark, FONT, size) / 2, mark)
            for at, mark in enumerate(date)
        ]
        return None if size < SMALLEST_DATE else (size, centred)
    room = frame.width - 2 * MARGIN
    width = stringWidth(date, FONT, size)
    if width > room:
        size *= room / width
        width = room
    if size < SMALLEST_DATE:
        return None
    x = {1: (frame.width - width) / 2, 2: frame.width - MARGIN - width}.get(widget.quadding, MARGIN)
    return size, [(x, date)]


def line_runs(frame: WidgetFrame, date: str) -> tuple[float, list[tuple[float, str]]] | None:
    """The same for a printed line; None when the date does not fit."""
    size = min(LINE_DATE, frame.height / 1.1)
    room = frame.width - 2 * MARGIN
    width = run_width(date, size)
    size *= min(1.0, room / max(width, 0.1))
    return (size, [(MARGIN, date)]) if size >= SMALLEST_DATE else None


def run_width(run: str, size: float) -> float:
    """Width of a run of text in points."""
    return float(stringWidth(run, FONT, size))


def _type_size(widget: Widget, frame: WidgetFrame) -> float:
    found = FONT_SIZE.search(widget.default_appearance)
    size = float(found.group(1)) if found else 0.0
    if size <= 0:  # zero: the size follows the box (12.7.4.3)
        size = min(LARGEST_DATE, frame.height * 0.75)
    return min(size, frame.height / CAP_HEIGHT)


def _image_object(document: pikepdf.Pdf, artwork: Artwork) -> pikepdf.Object:
    pixels = Image.frombytes("RGBA", (artwork.width, artwork.height), artwork.rgba)
    alpha = pixels.getchannel("A").tobytes()
    mask = _picture(document, artwork, alpha, Name.DeviceGray)
    image = _picture(document, artwork, pixels.convert("RGB").tobytes(), Name.DeviceRGB)
    image["/SMask"] = mask
    return image


def _drawing_object(document: pikepdf.Pdf, artwork: Artwork) -> pikepdf.Object:
    """The strokes as a form XObject that fills the unit square, as an image does (8.10)."""
    stream = document.make_stream(artwork.strokes)
    stream.Type, stream.Subtype = Name.XObject, Name.Form
    stream.BBox = Array([0, 0, artwork.width, artwork.height])
    stream.Matrix = Array([_share(artwork.width), 0, 0, _share(artwork.height), 0, 0])
    stream.Resources = Dictionary()
    return stream


def _share(side: int) -> Decimal:
    return Decimal(f"{1 / side:.9f}")


def _picture(
    document: pikepdf.Pdf, artwork: Artwork, samples: bytes, space: pikepdf.Object
) -> pikepdf.Object:
    stream = document.make_stream(b"")
    stream.write(zlib.compress(samples, 9), filter=Name.FlateDecode)
    stream.Type, stream.Subtype = Name.XObject, Name.Image
    stream.Width, stream.Height = artwork.width, artwork.height
    stream.ColorSpace, stream.BitsPerComponent = space, 8
    return stream


def _numbers(values: tuple[float, ...]) -> str:
    """Plain decimals, four places, no exponent."""
    return " ".join(f"{value + 0.0:.4f}".rstrip("0").rstrip(".") for value in values)
