"""Pages on which one number is planted, made operator by operator."""

import io
from collections.abc import Callable, Mapping, Sequence

import pikepdf
from pikepdf import Array, Dictionary, Name, Object

NUMBER = "987-65-4320"
"""Never assigned, and every digit in it stands once: what goes and what stays never mix."""
GOING = "98765"
STAYING = "4320"

Make = Callable[[pikepdf.Pdf], Object]


def standard_font(document: pikepdf.Pdf, face: str = "Helvetica") -> Object:
    return document.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.Type1,
            BaseFont=Name("/" + face),
            Encoding=Name.WinAnsiEncoding,
        )
    )


def as_bytes(document: pikepdf.Pdf) -> bytes:
    out = io.BytesIO()
    document.save(out, deterministic_id=True)
    return out.getvalue()


def blank_sheet(pages: int = 1, size: tuple[float, float] = (400, 400)) -> pikepdf.Pdf:
    document = pikepdf.new()
    for _ in range(pages):
        document.add_blank_page(page_size=size)
    return document


def sheet(
    content: bytes | Sequence[bytes],
    *,
    fonts: Mapping[str, Make] | None = None,
    resources: Mapping[str, Mapping[str, Make]] | None = None,
    keys: Mapping[str, object] | None = None,
) -> bytes:
    """One page of 400 x 400 points; /F1 is Helvetica unless `fonts` says otherwise."""
    document = blank_sheet()
    page = document.pages[0].obj
    fill_page(document, page, content, fonts or {}, resources or {})
    for key, value in (keys or {}).items():
        page[key] = value
    return as_bytes(document)


def fill_page(
    document: pikepdf.Pdf,
    page: Object,
    content: bytes | Sequence[bytes],
    fonts: Mapping[str, Make],
    resources: Mapping[str, Mapping[str, Make]],
) -> None:
    parts = [content] if isinstance(content, bytes) else content
    streams = [document.make_stream(part) for part in parts]
    page.Contents = streams[0] if len(streams) == 1 else Array(streams)
    listed = {"F1": standard_font, **fonts}
    page.Resources = Dictionary(
        Font=Dictionary({"/" + name: make(document) for name, make in listed.items()})
    )
    for kind, entries in resources.items():
        page.Resources["/" + kind] = Dictionary(
            {"/" + name: make(document) for name, make in entries.items()}
        )


def form(
    content: bytes,
    *,
    matrix: Sequence[float] = (1, 0, 0, 1, 0, 0),
    fonts: Mapping[str, Make] | None = None,
    inner: Mapping[str, Make] | None = None,
    borrowing: bool = False,
    **keys: object,
) -> Make:
    """A maker of a Form XObject; `borrowing` leaves its resources out."""

    def make(document: pikepdf.Pdf) -> Object:
        stream = document.make_stream(content)
        stream.Type, stream.Subtype = Name.XObject, Name.Form
        stream.BBox, stream.Matrix = Array([0, 0, 400, 400]), Array(list(matrix))
        if not borrowing:
            listed = {"F1": standard_font, **(fonts or {})}
            stream.Resources = Dictionary(
                Font=Dictionary({"/" + k: f(document) for k, f in listed.items()}),
                XObject=Dictionary({"/" + k: f(document) for k, f in (inner or {}).items()}),
            )
        for key, value in keys.items():
            stream["/" + key] = value
        return stream

    return make
