"""Text that a page shows, however it is drawn (ISO 32000-2, 9.4)."""

from pikepdf import Array, Dictionary, Name

from packets.proving.copies import Copy
from packets.proving.place import Place
from packets.proving.records import Told

_FAMILY = "text on a page"


def literal(text: str) -> bytes:
    """A string of a content stream."""
    return b"(" + text.encode("latin-1") + b")"


def _in_a_sentence(copy: Copy, number: str) -> None:
    copy.write(literal(f"Number {number} on file") + b" Tj")


def _kerned(copy: Copy, number: str) -> None:
    copy.write(b"[" + b" -20 ".join(literal(char) for char in number) + b"] TJ")


def _one_glyph_per_operator(copy: Copy, number: str) -> None:
    copy.write(b" ".join(literal(char) + b" Tj" for char in number))


def _in_hexadecimal(copy: Copy, number: str) -> None:
    copy.write(b"<" + number.encode().hex().encode() + b"> Tj")


def _by_quote_operator(copy: Copy, number: str) -> None:
    copy.write(b"12 TL 0 1 " + literal(number) + b' "')


def _placed(copy: Copy, order: list[int], number: str, step: float) -> None:
    """Each digit at its own place, drawn in another order."""
    shown = [b"1 0 0 1 %.1f 40 Tm " % (10 + step * at) + literal(number[at]) for at in order]
    copy.write(b"".join(glyph + b" Tj " for glyph in shown))


def _right_to_left(copy: Copy, number: str) -> None:
    _placed(copy, list(range(len(number)))[::-1], number, 6)


def _out_of_order(copy: Copy, number: str) -> None:
    _placed(copy, [4, 0, 7, 2, 8, 1, 6, 3, 5], number, 6)


def _in_boxes_of_a_form(copy: Copy, number: str) -> None:
    boxes = b"".join(b"%d 35 18 18 re S " % (5 + 18 * at) for at in range(9))
    copy.show(b"0.5 w " + boxes)
    _placed(copy, list(range(9)), number, 18)


def _under_one_another(copy: Copy, number: str) -> None:
    copy.write(b"0 110 Td " + b" 0 -12 Td ".join(literal(char) + b" Tj" for char in number))


def _upward(copy: Copy, number: str) -> None:
    copy.write(b"0 1 -1 0 40 10 Tm " + literal(f"Number {number} on file") + b" Tj")


def _aslant(copy: Copy, number: str) -> None:
    copy.write(b"0.9 0.43 -0.43 0.9 10 10 Tm " + literal(f"Number {number} on file") + b" Tj")


def _mirrored(copy: Copy, number: str) -> None:
    copy.write(b"-1 0 0 1 150 40 Tm " + literal(number) + b" Tj")


def _over_two_lines(copy: Copy, number: str) -> None:
    copy.write(literal(f"number {number[:7]}") + b" Tj 0 -12 Td " + literal(number[7:]) + b" Tj")


def _tiny(copy: Copy, number: str) -> None:
    copy.write(b"0.02 0 0 0.02 10 40 Tm " + literal(number) + b" Tj")


def _squeezed(copy: Copy, number: str) -> None:
    copy.write(b"10 Tz " + literal(number) + b" Tj")


def _spread_out(copy: Copy, number: str) -> None:
    copy.write(b"14 Tc " + literal(number) + b" Tj")


def _behind_a_label(copy: Copy, number: str) -> None:
    copy.write(literal(f"Social security number {number}") + b" Tj")


def _no_label(copy: Copy, number: str) -> None:
    copy.write(literal(f"Sample {number}") + b" Tj")


def _in_two_streams(copy: Copy, number: str) -> None:
    font = copy.font().encode()
    head, tail = literal(number[:5]), literal(number[5:])
    copy.show(b"BT " + font + b" 10 Tf 10 40 Td " + head + b" Tj ET")
    copy.show(b"BT " + font + b" 10 Tf 38 40 Td " + tail + b" Tj ET")


def _with_two_fonts(copy: Copy, number: str) -> None:
    first, second = copy.font().encode(), copy.resource("Font", copy.helvetica()).encode()
    turns = [
        (second if at % 2 else first) + b" 10 Tf " + literal(char) + b" Tj "
        for at, char in enumerate(number)
    ]
    copy.write(b"".join(turns))


def coded_font(copy: Copy) -> object:
    """A font with two-byte codes: each letter's code is its own plus 0x0300."""
    table = (
        b"/CIDInit /ProcSet findresource begin begincmap\n"
        b"1 begincodespacerange <0000> <ffff> endcodespacerange\n"
        b"1 beginbfrange <0320> <037e> <0020> endbfrange\nendcmap end"
    )
    name = Name("/ABCDEF+Sans")
    system = Dictionary(Registry="Adobe", Ordering="Identity", Supplement=0)
    described = Dictionary(Type=Name.FontDescriptor, FontName=name, Flags=4)
    inner = Dictionary(
        Type=Name.Font,
        Subtype=Name.CIDFontType2,
        BaseFont=name,
        CIDSystemInfo=system,
        FontDescriptor=copy.add(described),
    )
    outer = Dictionary(
        Type=Name.Font,
        Subtype=Name.Type0,
        BaseFont=name,
        Encoding=Name("/Identity-H"),
        DescendantFonts=Array([copy.add(inner)]),
        ToUnicode=copy.stream(table),
    )
    return copy.add(outer)


def coded(text: str) -> bytes:
    """`text` in the codes of `coded_font`."""
    return "".join(f"03{ord(char):02x}" for char in text).encode()


def _in_two_byte_codes(copy: Copy, number: str) -> None:
    font = copy.resource("Font", coded_font(copy))
    copy.write(b"<" + coded(number) + b"> Tj", font=font)


def _in_codes_of_its_own(copy: Copy, number: str) -> None:
    """A simple font whose codes 1 to 10 are the digits, by their glyph names."""
    names = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    differences = Array([1, *(Name(f"/{name}") for name in names)])
    font = Dictionary(
        Type=Name.Font,
        Subtype=Name.Type1,
        BaseFont=Name.Helvetica,
        Encoding=Dictionary(Type=Name.Encoding, Differences=differences),
    )
    codes = bytes(1 + int(digit) for digit in number).hex().encode()
    copy.write(b"<" + codes + b"> Tj", font=copy.resource("Font", copy.add(font)))


def _place(name: str, plant: object, told: Told = Told.UNKNOWN, *, bare: bool = False) -> Place:
    return Place(_FAMILY, name, plant, told, bare)  # type: ignore[arg-type]  # makers of this file


_KNOWN = Told.KNOWN
PLACES = (
    _place("in a sentence", _in_a_sentence),
    _place("kerned, glyph by glyph", _kerned, _KNOWN, bare=True),
    _place("one glyph per operator", _one_glyph_per_operator),
    _place("in hexadecimal", _in_hexadecimal),
    _place("by the operator that moves to the next line", _by_quote_operator, _KNOWN, bare=True),
    _place("drawn from right to left", _right_to_left, _KNOWN, bare=True),
    _place("drawn in a mixed order", _out_of_order, _KNOWN, bare=True),
    _place("one digit in each box of a form", _in_boxes_of_a_form, _KNOWN, bare=True),
    _place("digits under one another", _under_one_another, _KNOWN, bare=True),
    _place("running upward", _upward),
    _place("running aslant", _aslant),
    _place("mirrored", _mirrored, _KNOWN, bare=True),
    _place("broken over two lines", _over_two_lines, _KNOWN),
    _place("too small to see", _tiny),
    _place("squeezed", _squeezed),
    _place("letters far apart", _spread_out, _KNOWN, bare=True),
    _place("behind a label", _behind_a_label, bare=True),
    _place("a bare run of nine digits", _no_label, bare=True),
    _place("begun in one stream, ended in another", _in_two_streams, _KNOWN),
    _place("in two fonts by turns", _with_two_fonts, _KNOWN, bare=True),
    _place("in two-byte codes", _in_two_byte_codes),
    _place("in codes told by glyph names", _in_codes_of_its_own, _KNOWN, bare=True),
)
