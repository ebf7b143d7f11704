"""Signatures drawn as SVG: kept as strokes, read by a short list, refused beyond it."""

import contextlib
import io
import re
import zlib
from pathlib import Path

import pikepdf
import pymupdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pikepdf import Name
from PIL import Image
from signing_samples import add_field, form, grant_book, grant_text, pictures, sign

from packets.base.errors import Damaged, InputRefused, OverLimit, PacketsError
from packets.signatures.artwork import load_artwork
from packets.signatures.clean_image import clean_image
from packets.signatures.svg_ink import SIDE, clean_svg, svg_artwork
from packets.signatures.svg_paths import NotDrawn, path_steps, transform

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 100">'
STROKE = 'fill="none" stroke="#102080" stroke-width="3"'
WAVE = f'<path d="M10 50c20-60 40 60 60 0s30-40 50 0q10 20 20 0t20 0" {STROKE}/>'


def svg(inside: str = WAVE, head: str = HEAD) -> bytes:
    return f"{head}{inside}</svg>".encode()


def refusal(data: bytes) -> str:
    with pytest.raises(InputRefused) as caught:
        svg_artwork(data, "signatures/a.svg")
    return str(caught.value)


@pytest.mark.parametrize(
    "shape",
    [
        WAVE,
        f'<polyline points="10,10 60,40 110,10" {STROKE}/>',
        f'<line x1="10" y1="10" x2="90" y2="40" {STROKE}/>',
        f'<rect x="5" y="5" width="40" height="20" {STROKE}/>',
        f'<circle cx="30" cy="30" r="20" {STROKE}/>',
        f'<ellipse cx="30" cy="30" rx="20" ry="9" {STROKE}/>',
        '<polygon points="0,0 40,0 20,30"/>',
        f'<g transform="translate(5 5) rotate(10) scale(2)"><g {STROKE}>'
        '<path d="M0 0L30 20"/></g></g>',
        '<path style="fill:none; stroke:navy; stroke-width:2px" d="M0 0h40v20a15 10 30 1 1 9 5z"/>',
        f"<title>Ana</title><desc>signed</desc>{WAVE}",
    ],
)
def test_plain_strokes_are_taken(shape: str) -> None:
    artwork = svg_artwork(svg(shape), "a")
    assert max(artwork.width, artwork.height) == SIDE
    assert re.search(rb"[SfB]$", artwork.strokes)


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        ("<script>alert(1)</script>", "<script>"),
        ("<foreignObject/>", "<foreignObject>"),
        ('<image href="https://example.com/a.png"/>', "<image>"),
        ('<use href="#a"/>', "<use>"),
        ("<style>path{fill:url(#a)}</style>", "<style>"),
        ("<text>Ana</text>", "<text>"),
        ('<a href="https://example.com">x</a>', "<a>"),
        ("<defs/>", "<defs>"),
        ('<animate attributeName="d"/>', "<animate>"),
        ('<path d="M0 0L9 9" onclick="x()"/>', "the attribute onclick"),
        ('<path d="M0 0L9 9" href="https://example.com"/>', "the attribute href"),
        ('<path d="M0 0L9 9" filter="url(#f)"/>', "the attribute filter"),
        ('<path d="M0 0L9 9" fill="url(#g)"/>', "leads elsewhere"),
        ('<path d="M0 0L9 9" style="stroke:url(https://example.com)"/>', "leads elsewhere"),
        ('<path d="M0 0L9 9" style="background:red"/>', "a style other"),
        ('<path d="M0 0L9 9" style="fill:\\75rl(x)"/>', "leads elsewhere"),
        ('<path d="M0 0L9 9" opacity="0.5" stroke="black"/>', "transparency"),
        ('<path d="M0 0L9 9" stroke="inherit"/>', "plain colour"),
        ("loose words", "text"),
        ('<x:path xmlns:x="urn:other" d="M0 0"/>', "<path>"),
    ],
)
def test_anything_else_is_refused_by_name(inside: str, words: str) -> None:
    assert words in refusal(svg(inside + WAVE))


@pytest.mark.parametrize(
    "before",
    [
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://example.com/svg11.dtd">',
        '<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]>',
        '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>',
        '<?xml-stylesheet href="https://example.com/a.css"?>',
    ],
)
def test_document_types_entities_and_style_sheets_are_refused(before: str) -> None:
    assert re.search(
        "document type|entity|processing instruction", refusal(before.encode() + svg())
    )


@pytest.mark.parametrize(
    "data",
    [
        b"<svg",
        b"<html></html>",
        svg('<path d="L9 9"/>'),
        svg('<path d="M0 0L9"/>'),
        svg('<path d="M0 0 alert(1)"/>'),
        svg('<path d="M0 0L1e9 9"/>'),
        svg('<path d="M0 0L9 9" transform="rotate(1,2)"/>'),
        svg('<polyline points="1 2 3"/>'),
        svg('<circle cx="x" r="2"/>'),
        b"<svg>\xff\xfe</svg>",
    ],
)
def test_what_is_no_drawing_is_damaged(data: bytes) -> None:
    with pytest.raises(Damaged):
        svg_artwork(data, "a")


def test_sizes_are_bounded() -> None:
    with pytest.raises(OverLimit, match="too large"):
        svg_artwork(svg("<!--" + "x" * 2_000_001 + "-->"), "a")
    with pytest.raises(OverLimit, match="too many"):
        svg_artwork(svg(f'<path d="M0 0{"h1v1" * 40_000}" {STROKE}/>'), "a")
    with pytest.raises(OverLimit, match="nested"):
        svg_artwork(svg("<g>" * 60 + "</g>" * 60), "a")


@pytest.mark.parametrize(
    "inside",
    [
        "",
        '<rect width="300" height="100" fill="white"/>',
        f'<line x1="0" y1="0" x2="300" y2="0" {STROKE}/>',
        '<path d="M0 0L0 0" fill="none" stroke="black" stroke-width="0"/>',
        '<path d="M0 0L90 30" fill="none" stroke="none"/>',
    ],
)
def test_a_drawing_without_a_signature_is_refused(inside: str) -> None:
    assert re.search("no ink|cannot hold", refusal(svg(inside)))


def test_paper_behind_the_ink_is_gone() -> None:
    ground = '<rect width="300" height="100" fill="#fff"/>'
    assert clean_svg(svg(ground + WAVE), "a") == clean_svg(svg(), "a")


def test_what_is_kept_is_ours_and_stays_the_same() -> None:
    kept = clean_svg(svg(f'<title>Ana</title><g id="x" data-who="Ana">{WAVE}</g>'), "a")
    assert b"Ana" not in kept
    again, first = svg_artwork(kept, "a"), svg_artwork(svg(), "a")
    assert abs(again.width - first.width) + abs(again.height - first.height) <= 2


def test_a_recorded_drawing_keeps_its_strokes_beside_its_picture(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    path.write_bytes(svg())
    kept = clean_image(path)
    assert kept == clean_image(path)
    assert kept.svg.startswith(b"<svg")
    with Image.open(io.BytesIO(kept.png)) as picture:
        assert picture.mode == "RGBA"


def test_on_the_page_it_stays_strokes_in_one_object(tmp_path: Path) -> None:
    book = grant_book(tmp_path)
    (tmp_path / "ana.svg").write_bytes(svg())
    book = grant_book(tmp_path, grant_text(image='"ana.svg"'))
    document = form(pages=2)
    add_field(document, "taxpayer_signature_a")
    add_field(document, "taxpayer_signature_b", page=2)
    result = sign(document, book, categories={1: "form-8879", 2: "form-8879"})
    assert len(result.placements) == 2
    assert pictures(result.pdf) == []
    with pikepdf.open(io.BytesIO(result.pdf)) as signed:
        forms = [
            item
            for item in signed.objects
            if isinstance(item, pikepdf.Stream) and item.get("/Subtype") == Name.Form
        ]
        assert len(forms) == 1
        assert b" c\n" in forms[0].read_bytes()
    with pymupdf.open(stream=result.pdf, filetype="pdf") as drawn:
        assert len(drawn[0].get_drawings()) > 1
        box = result.placements[0].box
        pixels = drawn[0].get_pixmap(dpi=144, clip=(box.x0, box.y0, box.x1, box.y1))
        colours = {pixels.pixel(x, y) for x in range(pixels.width) for y in range(pixels.height)}
        assert (16, 32, 128) in {tuple(round(c / 16) * 16 for c in colour) for colour in colours}


def test_it_fills_its_box_like_its_pixels_do(tmp_path: Path) -> None:
    (tmp_path / "a.svg").write_bytes(svg())
    artwork = load_artwork(tmp_path / "a.svg")
    picture = Image.frombytes("RGBA", (artwork.width, artwork.height), artwork.rgba)
    box = picture.getchannel("A").getbbox()
    assert box is not None
    assert box[0] <= 6
    assert box[1] <= 6
    assert box[2] >= artwork.width - 6
    assert box[3] >= artwork.height - 6


@given(st.text(alphabet="MmLlHhVvCcSsQqTtAaZz0123456789 ,.-e", max_size=60))
def test_path_data_is_read_or_refused_and_nothing_else(data: str) -> None:
    try:
        steps = list(path_steps(data))
    except (NotDrawn, OverflowError):
        return
    assert all(name in "MLCZ" for name, _ in steps)


@given(st.binary(max_size=200))
def test_hostile_bytes_raise_only_our_errors(data: bytes) -> None:
    with contextlib.suppress(PacketsError):
        svg_artwork(b"<svg>" + data + b"</svg>", "a")


def test_transforms_apply_from_right_to_left() -> None:
    assert transform("translate(10,0) scale(2)") == (2, 0, 0, 2, 10, 0)
    assert transform("scale(2) translate(10,0)") == (2, 0, 0, 2, 20, 0)


def test_a_compressed_drawing_is_no_drawing(tmp_path: Path) -> None:
    (tmp_path / "a.svg").write_bytes(zlib.compress(svg()))
    with pytest.raises(Damaged, match="none of them"):
        load_artwork(tmp_path / "a.svg")
