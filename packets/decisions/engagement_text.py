"""Corrections as a person would write them into engagement.toml; all else stays as it is.

What is new is written behind the last line. An entry that is there already is touched
only where it says something else of the very pages that are corrected.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

import tomlkit
from tomlkit.items import AoT, Table

from packets.base.errors import UsageError
from packets.base.geometry import Box
from packets.decisions.records import BlankRegion, Correction, LeaveOut, NotANumber, PageCategory
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.intake.page_corrections import file_named
from packets.intake.page_ranges import page_range_text, parse_page_range

Written = list[tuple[str, str]]
"""Keys of one table with their values as TOML."""


def with_corrections(
    text: str,
    corrections: Sequence[Correction],
    pages: Mapping[str, int],
    digests: Mapping[str, str],
) -> str:
    """The text of engagement.toml with these corrections behind those that it holds.

    The files of the corrections are named as in documents/; `pages` and `digests` say
    how many pages each has and what its SHA-256 is. Raises `UsageError` for a file whose
    [[document]] entries are written in one line, as no page can be taken from them.
    """
    for correction in corrections:
        if isinstance(correction, PageCategory):
            text = _freed(text, correction, pages[correction.file])
        text = _behind(text, *_table(correction, pages, digests))
    return text


def _table(
    correction: Correction, pages: Mapping[str, int], digests: Mapping[str, str]
) -> tuple[str, Written]:
    file = ("file", _text(correction.file))
    match correction:
        case PageCategory():
            wanted = _pages(correction.pages, pages[correction.file])
            return "document", [file, *wanted, ("category", _text(correction.category))]
        case LeaveOut():
            wanted = _pages(correction.pages, pages[correction.file])
            return "leave_out", [file, *wanted, ("why", _text(correction.why))]
        case BlankRegion() | NotANumber():
            name = "blank" if isinstance(correction, BlankRegion) else "not_a_number"
            return name, [
                file,
                ("page", str(correction.page)),
                ("box", _box(correction.box)),
                ("why", _text(correction.why)),
                ("sha256", _text(digests[correction.file])),
            ]


def _pages(wanted: tuple[int, ...], count: int) -> Written:
    """Nothing where all pages are meant."""
    if len(set(wanted)) == count:
        return []
    return [("pages", _text(page_range_text(wanted)))]


def _text(value: str) -> str:
    return tomlkit.string(value).as_string()


def _box(box: Box) -> str:
    return "[" + ", ".join(f"{side:.1f}" for side in box.rounded()) + "]"


def _behind(text: str, name: str, written: Written) -> str:
    end = "\r\n" if "\r\n" in text else "\n"
    if text and not text.endswith("\n"):
        text += end
    return text + end.join(["", f"[[{name}]]", *(f"{key} = {value}" for key, value in written), ""])


def _freed(text: str, correction: PageCategory, count: int) -> str:
    """The corrected pages taken out of every [[document]] that names them."""
    document = tomlkit.parse(text)
    entries = document.get("document")
    if entries is None:
        return text
    if not isinstance(entries, AoT):
        raise UsageError(
            "the documents are listed in one line here, so no page can be corrected by itself",
            where=f"{ENGAGEMENT_FILE}, document",
            remedy="Write each entry under a heading [[document]] of its own, then correct again.",
        )
    changed = False
    for position in reversed(range(len(entries))):
        entry = entries[position]
        kept = _kept(entry, correction, count)
        if kept is None:
            continue
        changed = True
        if kept:
            entry["pages"] = page_range_text(kept)
        else:
            del entries[position]
    if not changed:
        return text
    if not entries:
        del document["document"]
    return tomlkit.dumps(document)


def _kept(entry: Table, correction: PageCategory, count: int) -> tuple[int, ...] | None:
    """Pages that an entry keeps; None where it names none of the corrected ones."""
    if file_named(str(entry.get("file", ""))) != correction.file:
        return None
    named = parse_page_range(str(entry.get("pages", ""))) or tuple(range(1, count + 1))
    kept = tuple(page for page in named if page not in correction.pages)
    return kept if len(kept) < len(named) else None


def in_words(corrections: Sequence[Correction], shown: Callable[[str], str]) -> Iterator[str]:
    """`documents/x.pdf page 3 is form-1040`, one for each; `shown` makes a file name fit for it."""
    for correction in corrections:
        file = shown(correction.file)
        match correction:
            case PageCategory():
                yield f"{file}, {_page_words(correction.pages)}: {correction.category}"
            case LeaveOut():
                yield f"{file}, {_page_words(correction.pages)}: left out, {correction.why}"
            case BlankRegion():
                yield f"{file}, page {correction.page}: a region blanked, {correction.why}"
            case NotANumber():
                yield f"{file}, page {correction.page}: no number there, {correction.why}"


def _page_words(pages: tuple[int, ...]) -> str:
    return f"page{'s' if len(set(pages)) > 1 else ''} {page_range_text(pages)}"
