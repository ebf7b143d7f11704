"""Places where a person says that what is masked is no taxpayer number.

Only a number that nothing but its shape gives away, in the text of a page, may be let
through. One that a label names, that identifiers.toml gives, or that is known from
anywhere else in the folder stays masked, and the build stops and says so.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from packets.base.geometry import Box
from packets.base.secret import Secret
from packets.handover.standing_elsewhere import stands_elsewhere
from packets.identifiers.kinds import KnownNumber
from packets.identifiers.records import Sureness
from packets.intake.page_corrections import Region
from packets.masking.findings import NumberOnPage
from packets.masking.survey import Survey, learned

_SHOWN = 4
"""Digits that a mask leaves."""
_SLACK = 2.0
"""Points by which a number may reach beyond the box that a person drew."""


@dataclass(frozen=True)
class Excepted:
    """One number that is left as it is."""

    page: int
    """From 1, in its source."""
    box: Box
    """Where it stands on the page as shown."""
    digits: Secret = field(repr=False)
    why: str


@dataclass(frozen=True)
class Exceptions:
    """All of one folder, by document index."""

    of: Mapping[int, tuple[Excepted, ...]] = field(default_factory=dict)
    known: tuple[KnownNumber, ...] = ()
    """Every number that is known without them."""
    refused: tuple[tuple[int, str], ...] = ()
    """Document index and reason; any holds the packet."""


def exceptions(
    surveys: Mapping[int, Survey],
    regions: Mapping[int, Sequence[Region]],
    given: Iterable[KnownNumber],
    also: Mapping[int, Survey],
    endings: frozenset[str] = frozenset(),
) -> Exceptions:
    """What may be let through of what a person named, and why anything may not.

    `surveys` are those of the documents as they go on; `also` saw more of the same.
    `endings` are the last four digits of numbers that somebody has masked in the folder.
    """
    refused: list[tuple[int, str]] = []
    found: dict[int, tuple[Excepted, ...]] = {}
    for index, wanted in regions.items():
        taken = tuple(_taken(surveys[index], wanted, index, refused))
        if taken:
            found[index] = taken
    left = [
        without(survey, found.get(index, ()))
        for looked in (surveys, also)
        for index, survey in looked.items()
    ]
    known = (*given, *learned(left))
    digits = {number.digits.reveal() for number in known}
    for index, taken in found.items():
        for one in taken:
            text = one.digits.reveal()
            if text[-_SHOWN:] in endings:
                words = "a masked number in this folder ends so, so this one stays masked"
                refused.append((index, f"page {one.page}: {words}"))
            looks = _with_places(text, found, (surveys, also))
            if text in digits or stands_elsewhere(text, looks):
                words = f"page {one.page}: this number is known from elsewhere, so it stays masked"
                refused.append((index, words))
    return Exceptions(found, known, tuple(refused))


def _with_places(
    digits: str,
    found: Mapping[int, tuple[Excepted, ...]],
    looked: Iterable[Mapping[int, Survey]],
) -> Iterator[tuple[Survey, list[int]]]:
    """Each survey with the pages of its document on which these digits are let through."""
    for surveys in looked:
        for index, survey in surveys.items():
            here = [it.page for it in found.get(index, ()) if it.digits.reveal() == digits]
            yield survey, here


def _unsure(one: NumberOnPage) -> bool:
    """Whether nothing but its shape gives it away."""
    return one.sureness <= Sureness.SHAPE and not one.given


def _taken(
    survey: Survey, wanted: Sequence[Region], index: int, refused: list[tuple[int, str]]
) -> Iterator[Excepted]:
    for region in wanted:
        area = region.box.grown(_SLACK)
        there = [one for one in survey.pages[region.page - 1].seen if one.place.lies_in(area)]
        if not there:
            words = "nothing is masked here in the text of the page"
            refused.append((index, f"page {region.page}: {words}, so nothing is to be let through"))
        if len({one.digits.reveal() for one in there}) > 1:
            words = "several numbers stand here; each is to be named by a place of its own"
            refused.append((index, f"page {region.page}: {words}"))
            continue
        for one in there:
            if not _unsure(one):
                words = "a label names this number, so it stays masked"
                refused.append((index, f"page {region.page}: {words}"))
                continue
            yield Excepted(region.page, one.place, one.digits, region.why)


def without(survey: Survey, excepted: Sequence[Excepted]) -> Survey:
    """The survey as if these very numbers, at these very places, had not been seen.

    One that a label names there is no such number, whatever a region has made of the label.
    """
    if not excepted:
        return survey
    gone = {(one.page, one.box, one.digits.reveal()) for one in excepted}
    return replace(
        survey,
        pages=tuple(
            replace(
                page,
                seen=tuple(
                    one
                    for one in page.seen
                    if not _unsure(one) or (number, one.place, one.digits.reveal()) not in gone
                ),
            )
            for number, page in enumerate(survey.pages, start=1)
        ),
    )
