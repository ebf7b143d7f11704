"""Office files (ISO/IEC 29500, ISO/IEC 26300): zip archives of XML parts and media.

The XML of every part is read as markup by whoever judges the parts. A workbook
is read as a grid besides: what its cells show stands in other parts.
"""

import re
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from packets.outbound.carriers.archives import zip_members
from packets.outbound.carriers.found import Budget, Finding, Part, Sort, Text, Unread
from packets.outbound.carriers.markup import read_markup_text
from packets.outbound.carriers.text import padded
from packets.outbound.objects.strings import texts_of

_ROOT = re.compile(r"[\ufeff\s]*(?:<[?!][^<>]*>\s*)*<(?:\w+:)?(sst|styleSheet|\w*sheet)\b")
"""The root that tells what an XML part of a workbook is, whatever its name."""
_CELL = re.compile(
    r"<(?:\w+:)?(?:(?P<row>row)\b[^<>]*>"
    r"|c\b(?P<told>[^<>]*?)(?:/>|>(?P<body>(?:[^<]++|<(?!/?(?:\w+:)?c[\s/>]))*+)</(?:\w+:)?c>))"
)
_VALUE = re.compile(r"<(?:\w+:)?v\b[^<>]*>([^<]*)</(?:\w+:)?v>")
_IN_LINE = re.compile(r"<(?:\w+:)?is\b[^<>]*>((?:[^<]++|<(?!/?(?:\w+:)?is[\s/>]))*+)</(?:\w+:)?is>")
_SHARED = re.compile(
    r"<(?:\w+:)?si\b[^<>]*?(?:/>|>((?:[^<]++|<(?!/?(?:\w+:)?si[\s/>]))*+)</(?:\w+:)?si>)"
)
_FORMAT = re.compile(r"<(?:\w+:)?numFmt\b([^<>]*)>")
_STYLES = re.compile(
    r"<(?:\w+:)?cellXfs\b[^<>]*>((?:[^<]++|<(?!/?(?:\w+:)?cellXfs[\s/>]))*+)</(?:\w+:)?cellXfs>"
)
_STYLE = re.compile(r"<(?:\w+:)?xf\b([^<>]*)>")
_ATTRIBUTE = re.compile(r"""(?<![\w:])([\w:]++)\s*+=\s*["']([^"']*)["']""")
_NOT_SHOWN = re.compile(r"\[[^\]]*\]|[\\\"]|_.|\*.")
_WITH_ZEROS = re.compile(r"[0# ()-]*0{2,}[0# ()-]*")
_MOST_DIGITS = 19


def read_zip_or_office(data: bytes, budget: Budget) -> Finding:
    """Every member of an archive; and the sheets of a workbook as a person sees them."""
    shared: list[str] = []
    formats: list[str] = []
    sheets: list[str] = []
    for found in zip_members(data, budget):
        yield found
        root = _ROOT.match(_text(found.data[:4096])) if isinstance(found, Part) else None
        if root is None or isinstance(found, Unread):
            continue
        if root[1] == "sst":
            shared += [words(body) for body in _SHARED.findall(_text(found.data))]
        elif root[1] == "styleSheet":
            formats += _formats(_text(found.data))
        else:
            sheets.append(_text(found.data))
    for sheet in sheets:
        yield from _grid(sheet, shared, formats)


def _text(data: bytes) -> str:
    return texts_of(data)[-1]


def words(markup: str) -> str:
    """The words of a string in pieces, run together."""
    pieces = read_markup_text("<sst>" + markup)
    return next((found.words for found in pieces if isinstance(found, Text)), "")


def _formats(styles: str) -> list[str]:
    """The number format of each style of a cell, by its index."""
    codes = {}
    for told in _FORMAT.findall(styles):
        named = dict(_ATTRIBUTE.findall(told))
        codes[named.get("numFmtId", "")] = named.get("formatCode", "")
    found = _STYLES.search(styles)
    return [
        codes.get(dict(_ATTRIBUTE.findall(told)).get("numFmtId", ""), "")
        for told in _STYLE.findall(found[1] if found else "")
    ]


def _grid(sheet: str, shared: list[str], formats: list[str]) -> Iterator[Text]:
    """The cells of a sheet in rows, and its whole numbers with the zeros they may have lost."""
    rows: list[list[str]] = [[]]
    whole: list[str] = []
    digits: list[str] = []
    for cell in _CELL.finditer(sheet):
        if cell["row"]:
            rows.append([])
            continue
        told = dict(_ATTRIBUTE.findall(cell["told"]))
        body = cell["body"] or ""
        value = _VALUE.search(body)
        in_line = _IN_LINE.search(body)
        if in_line:
            rows[-1].append(words(in_line[1]))
        elif value and told.get("t") == "s":
            at = int(value[1]) if value[1].isdecimal() else -1
            rows[-1].append(shared[at] if 0 <= at < len(shared) else "")
        elif value and told.get("t", "n") == "n":
            style = told.get("s", "")
            code = formats[int(style)] if style.isdecimal() and int(style) < len(formats) else ""
            rows[-1].append(shown_number(value[1], code))
            digits.append(re.sub(r"\D", "", value[1]))
            whole += _whole(value[1])
        elif value:
            rows[-1].append(words(value[1]))
    yield Text("cells of a sheet", "\n".join("\t".join(row) for row in rows))
    yield Text("numbers of a sheet", padded(whole), Sort.DIGITS)
    yield Text("numbers of a sheet", "x".join(digits), Sort.DIGITS)
    yield Text("cells of a sheet", "\n".join("".join(row) for row in rows), Sort.JOINED)


def _whole(value: str) -> list[str]:
    number = _number(value)
    return [] if number is None else [str(number)]


def _number(value: str) -> int | None:
    """The whole number that a cell holds, however it is written; None for any other."""
    try:
        number = Decimal(value.strip())
        if number.is_finite() and abs(number) < 10**_MOST_DIGITS:
            return int(abs(number)) if number == number.to_integral_value() else None
    except (InvalidOperation, ValueError):
        pass
    return None


def shown_number(value: str, code: str) -> str:
    """A number as its cell shows it: `000\\-00\\-0000` puts zeros and dashes in."""
    number = _number(value)
    if number is None:
        try:
            return f"{Decimal(value.strip()):.2f}"
        except (InvalidOperation, ValueError):
            return value
    pattern = _NOT_SHOWN.sub("", code.split(";", maxsplit=1)[0])
    if not _WITH_ZEROS.fullmatch(pattern) or pattern.count("0") + pattern.count("#") < 5:
        return str(number)
    left = list(str(number).zfill(pattern.count("0")))
    out: list[str] = []
    for sign in reversed(pattern):
        if sign in "0#":
            out.append(left.pop() if left else "")
        else:
            out.append(sign)
    return "".join(left) + "".join(reversed(out))
