"""Printed labels: which of them name a taxpayer number, and which explain a run as something else.

The wordings are those of the official forms (facts of the trade where no form
prints them). A label decides over the run that follows it on its line, or that
stands below it. Spaces in a wording are optional: narrow type and OCR lose them.
"""

from dataclasses import dataclass

import regex

from packets.identifiers.kinds import NINE_DIGIT_KINDS, Kind


@dataclass(frozen=True, slots=True)
class Label:
    """One printed label in a text: where it stands and what it means."""

    start: int
    end: int
    kind: Kind | None
    """None: the label explains the run as something that is no taxpayer number."""
    generic: bool = False
    """True for labels such as TIN, which speak of personal numbers and EINs alike."""
    near: bool = False
    """True for a common word, which explains a run only when it stands close by."""


_NO = r" ?(?:numbers?\b|nos?\b|nbr\b|num\b|#)"
_ENDS = r"(?= ?(?:[\t\n]|$))"
"""The cell ends here: the rest of the caption is printed on its next line."""

_NAMED = {
    Kind.EIN: (
        r"(?:employer|partnership|corporation|estate|trust|payer|filer|lender)(?:'? ?s'?)? ?"
        r"(?:federal ?)?(?:employer ?)?(?:identification\b|id\b|i\.d\.)"
        rf"|f?eins?\b|federal ?id(?:entification)?{_NO}"
    ),
    Kind.ITIN: r"itins?\b|individual ?taxpayer ?id",
    Kind.ATIN: r"atins?\b|adoption ?taxpayer ?id",
    Kind.SSN: (
        rf"social ?security ?(?:n(?:umbers?\b|o\b|um\b|br\b)?|#|acc|card|{_ENDS})"
        r"|security ?numbers?\b|ssns?\b|ss ?(?:no\b|#|num)|s\.? ?s\.? ?n\b|s\.s\.|soc\.? ?sec"
        rf"|tins?\b|taxpayer ?id(?:entification)?\b|identification(?:{_NO}|{_ENDS})"
        rf"|identifying(?:{_NO}|{_ENDS})|tax(?:payer)? ?id\b|claim{_NO}"
    ),
    Kind.IP_PIN: (
        r"identity ?protection|efin ?/ ?pin\b|efin ?followed ?by|ip ?pin\b"
        r"|(?:5|6|five|six)[- ]?digit ?pin\b|prior[- ]?year ?pin|pin\b(?! ?pad)"
    ),
    Kind.CARD: r"(?:credit|debit|card) ?(?:card)? ?(?:numbers?\b|no\b|#)",
    Kind.ACCOUNT: (
        rf"(?:account|acct)\.?{_NO}|a/c\b|iban\b|policy{_NO}|loan{_NO}"
        r"|(?:checking|savings|account|acct)\b ?[:#]|bank ?account|account ?ending ?in\b"
        rf"|(?:(?<=\t)|(?<=\n)|(?<![^\n]))(?:account|acct\.?){_ENDS}"
    ),
}

_EXPLAINED = (
    rf"routing|rtn\b|aba\b|omb\b|cat(?:alog)?\.? ?no|cusip|isbn|issn\b|invoice{_NO}"
    r"|submission ?id|sid\b|dln\b|efin\b|etin\b|ptin\b|software ?id|naics|zip\b ?(?:code)?"
    r"|(?:control|order|reference|document(?: ?locator)?|receipt|check|serial|tracking"
    r"|confirmation|customer|client|file|case|member|group|parcel|permit|batch|licen[sc]e"
    rf"|registration|ref|product|state|trace)\.?(?:{_NO}| ?id\b| ?code\b)"
    rf"|(?:control|invoice|reference|tracking|confirmation|serial|order){_ENDS}"
    r"|driver'? ?s'? ?licen[sc]e|state ?(?:id|identification)\b|payer'? ?s'? ?state"
)
_EXPLAINED_NEAR = (
    r"transit|invoice|postal|(?:tele)?phone|tel\b|fax\b|mobile|amount\b|version|vin\b"
    r"|ref\.|(?:order|reference|receipt|check|serial|tracking|confirmation|trace) ?:"
)
"""Words that explain only what stands right behind them or below: `Amount due from …` does not."""

_CAPTION = regex.compile(
    "(?<![A-Za-z])(?:"
    + "|".join(f"(?P<k_{kind.name}>{words})" for kind, words in _NAMED.items())
    + f"|(?P<other>{_EXPLAINED})|(?P<near>{_EXPLAINED_NEAR}))",
    regex.IGNORECASE,
)

_SPECIFIC_SSN = regex.compile(r"soc|s\.? ?s|claim", regex.IGNORECASE)
_CHOICE = regex.compile(r"[ ,(]*(?:/|\bor\b)[ ,(]*|, ?", regex.IGNORECASE)
_SAME_CAPTION = 40
"""Two labels of one kind closer than this are one caption: `Identity Protection PIN`."""


def labels_in(text: str) -> tuple[Label, ...]:
    """Every label in folded text, left to right; neighbours that say one thing are joined."""
    found: list[Label] = []
    for match in _CAPTION.finditer(text):
        group = match.lastgroup or "other"
        kind = Kind[group.removeprefix("k_")] if group.startswith("k_") else None
        generic = kind is Kind.SSN and not _SPECIFIC_SSN.match(match.group())
        label = Label(match.start(), match.end(), kind, generic, near=group == "near")
        before = found[-1] if found else None
        if before and before.kind is kind and _is_one_caption(text, before.end, label.start):
            near = before.near and label.near
            found[-1] = Label(before.start, label.end, kind, before.generic and generic, near=near)
        elif before and _is_choice(text, before, label):
            found[-1] = Label(before.start, label.end, Kind.SSN, generic=True)
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


def _is_choice(text: str, before: Label, label: Label) -> bool:
    """`SSN or EIN`: the number may be a person's, whichever of the two is named last."""
    both = {before.kind, label.kind}
    return both <= NINE_DIGIT_KINDS and bool(_CHOICE.fullmatch(text, before.end, label.start))
