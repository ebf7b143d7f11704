"""Printed labels: which of them name a taxpayer number, and which explain a run as something else.

The wordings are those of the official forms (facts of the trade where no form
prints them). A label decides over the run that follows it on its line, or that
stands below it.
"""

from dataclasses import dataclass

import regex

from packets.identifiers.kinds import Kind


@dataclass(frozen=True)
class Label:
    """One printed label in a text: where it stands and what it means."""

    start: int
    end: int
    kind: Kind | None
    """None: the label explains the run as something that is no taxpayer number."""
    generic: bool = False
    """True for labels such as TIN, which speak of personal numbers and EINs alike."""


_APOSTROPHE = "['\u2019\u2018`]?"

_NAMED = {
    Kind.EIN: r"employer(?:s)? (?:identification|id|i\.d\.)|\b(?:f?ein)\b"
    r"|federal id(?:entification)? (?:no|num)",
    Kind.ITIN: r"\bitin\b|individual taxpayer identification",
    Kind.ATIN: r"\batin\b|adoption taxpayer identification",
    Kind.SSN: (
        r"social security n|social security no|\bssn\b|\bss ?(?:no|#|num)|\bs\.s\.n\b"
        r"|soc\.? ?sec"
        r"|\btins?\b|taxpayer (?:identification|id)|identification (?:number|no)|identifying number"
        r"|\btax(?:payer)? id\b|claim number"
    ),
    Kind.IP_PIN: (
        r"identity protection|\befin ?/ ?pin\b|\befin followed by|\bip ?pin\b|\b(?:5|6|five|six)[- ]digit pin\b"
        r"|\bpin\b(?! ?pad)|prior[- ]year pin"
    ),
    Kind.CARD: r"\b(?:credit|debit|card) ?(?:card)? ?(?:number|no|#)",
    Kind.ACCOUNT: (
        r"\b(?:account|acct)\.? ?(?:number|num|no|#)|\ba/c\b|\biban\b|policy (?:number|no)"
        r"|\b(?:checking|savings|account|acct)\b ?[:#]|bank account|account ending in"
    ),
}

_EXPLAINED = (
    r"routing|\brtn\b|\baba\b|transit|control (?:number|no)|invoice|order (?:number|no)|reference"
    r"|\bref\b|tele?phone|\bphone\b|\btel\b|\bfax\b|\bmobile\b|\bzip\b|postal|\bomb\b"
    r"|\bcat(?:alog)?\.? ?no"
    r"|submission id|\bsid\b|\bdln\b|document (?:locator|number|no)|\befin\b|\betin\b"
    r"|receipt (?:number|no)"
    r"|\bcheck (?:number|no)|serial|tracking|confirmation"
    r"|customer (?:number|no)|client (?:number|no)"
    r"|file (?:number|no)|\bamount\b|\bptin\b|version|software id|product (?:number|code)"
)

_CAPTION = regex.compile(
    "|".join(f"(?P<k_{kind.name}>{words})" for kind, words in _NAMED.items())
    + f"|(?P<other>{_EXPLAINED})",
    regex.IGNORECASE,
)


_SPECIFIC_SSN = regex.compile(r"soc|s\.?s\.?n|claim", regex.IGNORECASE)
_SAME_CAPTION = 40
"""Two labels of one kind closer than this are one caption: `Identity Protection PIN`."""


def labels_in(text: str) -> tuple[Label, ...]:
    """Every label in folded text, left to right; neighbours of one kind are joined."""
    found: list[Label] = []
    for match in _CAPTION.finditer(text):
        group = match.lastgroup or "other"
        kind = None if group == "other" else Kind[group.removeprefix("k_")]
        generic = kind is Kind.SSN and not _SPECIFIC_SSN.match(match.group())
        label = Label(match.start(), match.end(), kind, generic)
        before = found[-1] if found else None
        if before and before.kind is kind and _is_one_caption(text, before.end, label.start):
            found[-1] = Label(before.start, label.end, kind, before.generic and generic)
        else:
            found.append(label)
    return tuple(found)


def _is_one_caption(text: str, end: int, start: int) -> bool:
    between = text[end:start]
    return (
        len(between) <= _SAME_CAPTION
        and "\t" not in between
        and "\n" not in between
        and not any(char in "0123456789" for char in between)
    )
