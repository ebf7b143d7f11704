"""Text of XML and HTML: what a person reads over the seams of its tags, and what lies in them."""

import html
import re

from packets.outbound.carriers.found import Finding, Sort, Text, Unread

_PIECE = re.compile(
    r"<!--(?P<comment>.*?)(?:-->|\Z)"
    r"|<!\[CDATA\[(?P<plain>.*?)(?:\]\]>|\Z)"
    r"|<(?P<end>/?)(?P<name>[A-Za-z_][\w:.-]*)(?P<inside>[^<>]*)>"
    r"|<(?P<other>[!?][^<>]*)>",
    re.DOTALL,
)
_ATTRIBUTE = re.compile(r"""(?<![\w:.-])([\w:.-]++)\s*+=\s*("[^"]*"|'[^']*'|[^\s"'>]+)""")
_READ_BY_PERSONS = frozenset(
    ["value", "alt", "title", "placeholder", "content", "label", "summary", "descr", "aria-label"]
)
_IN_LINE = frozenset(
    [
        "a",
        "abbr",
        "acronym",
        "b",
        "bdi",
        "bdo",
        "big",
        "cite",
        "code",
        "del",
        "dfn",
        "em",
        "font",
        "i",
        "ins",
        "kbd",
        "label",
        "mark",
        "nobr",
        "q",
        "s",
        "samp",
        "small",
        "span",
        "strike",
        "strong",
        "sub",
        "sup",
        "tspan",
        "tt",
        "u",
        "var",
        "wbr",
    ]
)
"""Tags of HTML and SVG between which a word goes on."""
_OFFICE_PREFIXES = frozenset({"w", "a", "text", "w14", "m"})
_OFFICE_BREAKS = frozenset(
    ["p", "tc", "tr", "tbl", "br", "cr", "tab", "h", "line-break", "txbxContent", "list-item"]
)
"""Tags of office files (ISO/IEC 29500, ISO/IEC 26300) at which a line, cell or word ends."""
_APART = "\n.\n"
"""Between attributes: the label in one says nothing of what stands in the next."""
_SHEET = re.compile(r"\s*(?:<[?!][^<>]*>\s*)*<(?:\w+:)?(?:sst|worksheet)\b")
_SHEET_BREAKS = frozenset({"si", "is", "c", "row", "v", "f"})


def read_markup_text(text: str) -> Finding:
    """The text three times: words over seams, each element apart, and all run together."""
    over_seams: list[str] = []
    apart: list[str] = []
    joined: list[str] = []
    comments: list[str] = []
    told: list[str] = []
    hidden: list[str] = []
    orders: list[str] = []
    is_sheet = _SHEET.match(text) is not None

    def plain(words: str) -> None:
        for kept in (over_seams, apart, joined):
            kept.append(words)

    at = 0
    for piece in _PIECE.finditer(text):
        plain(html.unescape(text[at : piece.start()]))
        at = piece.end()
        if piece["comment"] is not None:
            comments.append(piece["comment"])
        elif piece["plain"] is not None:
            plain(piece["plain"])
        elif piece["name"] is not None:
            apart.append("\n")
            over_seams.append("" if _goes_on(piece["name"], is_sheet) else "\n")
            for name, value in _ATTRIBUTE.findall(piece["inside"]):
                words = html.unescape(value.strip("\"'"))
                (told if name.lower() in _READ_BY_PERSONS else hidden).append(f"{name}: {words}")
        elif "ENTITY" in piece["other"]:
            yield Unread("a text that defines characters of its own")
        else:
            (orders if piece["other"].lstrip("<").startswith("?") else hidden).append(
                piece["other"]
            )
    plain(html.unescape(text[at:]))
    yield Text("text of the file", "".join(over_seams))
    yield Text("text of the file", "".join(apart))
    yield Text("text of the file", "".join(joined), Sort.JOINED)
    yield Text("a comment", html.unescape("\n".join(comments)))
    yield Text("an attribute", _APART.join(told))
    yield Text("an attribute", _APART.join(hidden), Sort.HIDDEN)
    # Orders to a program hold words beside coordinates: a label there names no number.
    yield Text("an order to a program", _APART.join(orders), Sort.JOINED)


def _goes_on(tag: str, is_sheet: bool) -> bool:
    """Whether the text before a tag goes on behind it without a break."""
    prefix, _, name = tag.rpartition(":")
    if is_sheet:
        return name not in _SHEET_BREAKS
    if prefix in _OFFICE_PREFIXES:
        return name not in _OFFICE_BREAKS
    return tag.lower() in _IN_LINE
