"""The number in other writings: digit scripts, separators, what cannot be seen, encodings."""

from collections.abc import Callable

from pikepdf import Dictionary, Name, String

from packets.proving.copies import Copy
from packets.proving.place import Place
from packets.proving.records import Told
from packets.proving.shown_text import literal

_FAMILY = "writings"

Plant = Callable[[Copy, str], None]


def _noted(text: Callable[[str], str]) -> Plant:
    """In a note on the page, in UTF-16 where it must be."""

    def plant(copy: Copy, number: str) -> None:
        copy.annotate(Subtype=Name.Text, Contents=String(f"about {text(number)} here"))

    return plant


def _script(zero: str) -> Callable[[str], str]:
    """Digits of another script, by its zero."""
    return lambda number: "".join(
        chr(ord(zero) + int(char)) if char.isdigit() else char for char in number
    )


def _apart(mark: str) -> Callable[[str], str]:
    """3-2-4 with another mark."""
    return lambda number: number.replace("-", mark)


def _between(mark: str) -> Callable[[str], str]:
    """A mark between any two characters."""
    return mark.join


def _superscript(number: str) -> str:
    return number.translate(str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹"))


def _circled(number: str) -> str:
    return number.translate(str.maketrans("0123456789", "⓪①②③④⑤⑥⑦⑧⑨"))


def _odd_groups(number: str) -> str:
    return " ".join((number[:2], number[2:4], number[4:7], number[7:]))


def _label_between(number: str) -> str:
    return f"SSN {number[:3]}, then {number[3:5]}, last {number[5:]}"


def _raw_string(encoding: str, before: bytes = b"") -> Plant:
    def plant(copy: Copy, number: str) -> None:
        text = before + f"note {number}".encode(encoding)
        copy.set_in_root("PieceInfo", Dictionary(Note=Dictionary(Private=String(text))))

    return plant


def _scripted_font(zero: str) -> Plant:
    """Shown by a font whose map says that its digits are those of another script."""

    def plant(copy: Copy, number: str) -> None:
        table = (
            b"/CIDInit /ProcSet findresource begin begincmap\n"
            b"1 begincodespacerange <00> <ff> endcodespacerange\n"
            b"2 beginbfrange <30> <39> <%04x> <2d> <2d> <002d> endbfrange\nendcmap end"
        ) % ord(zero)
        font = copy.helvetica()
        font.ToUnicode = copy.stream(table)
        copy.write(literal(number) + b" Tj", font=copy.resource("Font", font))

    return plant


def _row(name: str, plant: Plant, told: Told = Told.UNKNOWN, *, bare: bool = False) -> Place:
    return Place(_FAMILY, name, plant, told, bare)


_KNOWN = Told.KNOWN
PLACES = (
    _row("full-width digits", _noted(_script("\uff10"))),
    _row("Arabic-Indic digits", _noted(_script("\u0660")), _KNOWN, bare=True),
    _row("Devanagari digits", _noted(_script("\u0966"))),
    _row("mathematical digits", _noted(_script("\U0001d7ce")), _KNOWN, bare=True),
    _row("raised digits", _noted(_superscript), _KNOWN, bare=True),
    _row("circled digits", _noted(_circled), _KNOWN, bare=True),
    _row("digits of another script, shown", _scripted_font("\u0660")),
    _row("en dashes", _noted(_apart("\u2013"))),
    _row("minus signs", _noted(_apart("\u2212"))),
    _row("hyphens that do not break", _noted(_apart("\u2011"))),
    _row("soft hyphens", _noted(_apart("\u00ad"))),
    _row("spaces", _noted(_apart(" "))),
    _row("spaces that do not break", _noted(_apart("\u00a0"))),
    _row("spaces as wide as a digit", _noted(_apart("\u2007")), _KNOWN),
    _row("dots", _noted(_apart(".")), _KNOWN),
    _row("slashes", _noted(_apart("/")), _KNOWN),
    _row("other groups", _noted(_odd_groups), _KNOWN, bare=True),
    _row("a dot between any two digits", _noted(_between(".")), _KNOWN, bare=True),
    _row("invisible spaces between", _noted(_between("\u200b"))),
    _row("invisible joiners between", _noted(_between("\u2060")), _KNOWN, bare=True),
    _row("accents over the digits", _noted(_between("\u0301"))),
    _row("marks that turn the direction", _noted(_between("\u200e")), _KNOWN),
    _row("words between the groups", _noted(_label_between), _KNOWN, bare=True),
    _row("UTF-16", _raw_string("utf-16-be", b"\xfe\xff")),
    _row("UTF-16, low byte first", _raw_string("utf-16-le", b"\xff\xfe"), _KNOWN, bare=True),
    _row("UTF-16 without its mark", _raw_string("utf-16-be"), _KNOWN, bare=True),
    _row("UTF-8", _raw_string("utf-8", b"\xef\xbb\xbf")),
)
