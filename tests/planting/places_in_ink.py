"""A number that no font tells: outlines, segments, clips, codes, fonts with false names."""

import functools
import sys
from pathlib import Path

import zxingcpp
from hiding_places import family
from planted_barcodes import SYMBOLOGIES, barcode
from planted_pages import NUMBER
from planted_pictures import flate, picture_sheet

sys.path.append(str(Path(__file__).parents[1] / "drawn"))

import misnaming_fonts
from drawn_samples import code, form, outline, page_of, pattern, separate, shading, soft_mask
from pikepdf import Name

DIGITS = NUMBER.replace("-", "")


@functools.cache
def filled(size: float = 14, face: str = "helv") -> str:
    return outline(NUMBER, size=size, face=face) + "f\n"


def clipped(what: str) -> str:
    return "q " + outline(NUMBER) + "W n " + what + " Q\n"


DRAWN = {
    "each digit a path": lambda: page_of(separate(NUMBER)),
    "one path": lambda: page_of("1 0 0 rg " + filled()),
    "small type": lambda: page_of(filled(7)),
    "a serif face": lambda: page_of(outline(NUMBER, face="tiro") + "f*\n"),
    "filled and stroked": lambda: page_of("0.2 w " + outline(NUMBER) + "B\n"),
    "outlines only": lambda: page_of("0.3 w " + outline(NUMBER) + "S\n"),
    "a clip over a shading": lambda: page_of(clipped("/S1 sh"), shading),
    "a clip over a box": lambda: page_of(clipped("0 0 600 700 re f")),
    "a form": lambda: page_of("/Fm1 Do\n", form(filled())),
    "a soft mask": lambda: page_of(
        "/G1 gs 0 0 600 700 re f\n", soft_mask("1 g " + filled())
    ),
    "a tiling pattern": lambda: page_of(
        "/Pattern cs /P1 scn 60 300 400 400 re f\n",
        pattern(outline(NUMBER, x=12, y=200) + "f\n"),
    ),
    "upwards": lambda: page_of("q 0 1 -1 0 700 100 cm " + filled() + "Q\n"),
    "upside down": lambda: page_of("q -1 0 0 -1 500 900 cm " + filled() + "Q\n"),
    "on a turned page": lambda: page_of("q 0 1 -1 0 700 100 cm " + filled() + "Q\n", rotate=90),
}  # fmt: skip


def renumbered(make: object) -> object:
    """The makers of fonts with false names write another number."""

    def made() -> bytes:
        before = misnaming_fonts.NUMBER, misnaming_fonts.LINE
        misnaming_fonts.NUMBER, misnaming_fonts.LINE = NUMBER, f"SSN {NUMBER} of record"
        try:
            return make()  # type: ignore[operator]
        finally:
            misnaming_fonts.NUMBER, misnaming_fonts.LINE = before

    return made


MISNAMED = {
    "an embedded face, letters for digits": misnaming_fonts.with_false_map,
    "an embedded face, digits for digits": lambda: misnaming_fonts.with_false_map(3),
    "an embedded face, private characters": misnaming_fonts.without_map,
    "a standard face, letters for digits": misnaming_fonts.standard_encoding_with_false_map,
    "a face that draws its letters": misnaming_fonts.type_three,
    "two-byte codes": misnaming_fonts.composite,
}

KINDS = [zxingcpp.BarcodeFormat.PDF417, zxingcpp.BarcodeFormat.QRCode,
         zxingcpp.BarcodeFormat.DataMatrix, zxingcpp.BarcodeFormat.Code128]  # fmt: skip


def drawn_code(kind: zxingcpp.BarcodeFormat) -> bytes:
    linear = kind == zxingcpp.BarcodeFormat.Code128
    return page_of(code(DIGITS if linear else f"W2|{NUMBER}|X", kind, 2.4))


def stored_code(symbology: str, turns: int = 0) -> bytes:
    payload = DIGITS if symbology in ("Code128", "Code39") else f"W2|{NUMBER}|50000.00"
    picture = barcode(symbology, payload, 2 if symbology == "Code39" else 4)
    picture = picture.rotate(90 * turns, expand=True)
    placed = [b"%f 0 0 %f 10 60 cm" % (picture.width / 3, picture.height / 3)]
    return picture_sheet(lambda d: flate(d, picture, Name.DeviceGray), placed=placed)


PLACES = {
    **family("ink", DRAWN, told_by="pixels", known=False),
    **family(
        "false names",
        {name: renumbered(make) for name, make in MISNAMED.items()},
        told_by="pixels", known=False,
        alike=False,  # what follows on the line may move by a tenth of a point
    ),
    **family(
        "bars of ink",
        {str(kind).rsplit(".", 1)[-1]: functools.partial(drawn_code, kind) for kind in KINDS},
        told_by="bars", known=False,
    ),
    **family(
        "bars in a picture",
        {name: functools.partial(stored_code, name) for name in SYMBOLOGIES},
        told_by="bars", known=False,
    ),
    **family(
        "bars in a picture turned by",
        {str(90 * turns): functools.partial(stored_code, "PDF417", turns) for turns in (1, 2, 3)},
        told_by="bars", known=False,
    ),
}  # fmt: skip
