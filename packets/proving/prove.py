"""The proof: a number in every hiding place of a copy of the file, each to be found.

One copy for each place, so that no plant can be found in the shadow of another. Where the
check is told the number, only a sighting of that very number counts. Where it is not told,
any sighting counts, because the copy without a plant (the control) showed none; in a file
that shows numbers by itself, all plants are told to the check.
"""

import contextlib
from collections.abc import Iterator, Sequence

import pikepdf

from packets.base.errors import InputRefused
from packets.base.progress import Progress, Step, silent
from packets.base.secret import Secret
from packets.identifiers.kinds import MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.recognition import Recogniser
from packets.outbound.records import Verdict
from packets.proving.copies import copy_of
from packets.proving.numbers import AREAS, as_known, never_assigned, with_hyphens
from packets.proving.place import Place
from packets.proving.places import PLACES
from packets.proving.records import Check, Outcome, Planted, Proof, Told

STATION = "proving"
_TOLD = "known number"


def prove_pdf(
    data: bytes,
    *,
    passphrase: Secret | None,
    places: Sequence[Place] = PLACES,
    thorough: bool = False,
    check: Check = check_pdf,
    progress: Progress = silent,
) -> Proof:
    """Plant in copies of the PDF `data`, check each, and tell what was found.

    `passphrase` opens the file, and locks the copies where the file is locked. Raises
    Damaged, Locked or OverLimit where the file cannot be opened for planting or checking.
    """
    with contextlib.closing(Recogniser()) as recogniser:
        run = _Run(data, passphrase, check, recogniser, thorough=thorough)
        run.take_control(len(places))
        rows = []
        for index, place in enumerate(places):
            progress(Step(STATION, f"{place.family}: {place.name}", index + 1, len(places)))
            rows.append(run.row(index, place))
    return Proof(tuple(rows))


class _Run:
    """What the copies of one file share."""

    def __init__(
        self,
        data: bytes,
        passphrase: Secret | None,
        check: Check,
        recogniser: Recogniser,
        *,
        thorough: bool,
    ) -> None:
        self.data = data
        self.passphrase = passphrase
        self.check = check
        self.recogniser = recogniser
        self.thorough = thorough
        self.area = AREAS[0]
        self.shows_numbers = False
        self.unread: frozenset[str] = frozenset()

    def take_control(self, count: int) -> None:
        """Check a copy without a plant, and choose numbers that do not occur in it."""
        copy = copy_of(self.data, self.passphrase)
        plain = copy.saved()
        for area in AREAS:
            digits = tuple(never_assigned(area, index) for index in range(count))
            control = self._judged(plain, digits)
            if not any(seen.how_sure == _TOLD for seen in control.sightings):
                self.area = area
                self.shows_numbers = bool(control.sightings)
                self.unread = frozenset(control.unread)
                return
        raise InputRefused("the file holds the very numbers that were to be planted in it")

    def row(self, index: int, place: Place) -> Planted:
        """Plant one number, check the copy, and say what became of it."""
        digits = never_assigned(self.area, index)
        told = Told.KNOWN if self.shows_numbers else place.told
        try:
            copy = copy_of(self.data, self.passphrase, index)
            place.plant(copy, digits if place.bare else with_hyphens(digits))
            verdict = self._judged(copy.saved(), (digits,) if told is Told.KNOWN else ())
        except InputRefused:
            # The check refuses the whole copy, which holds it; but it did not see the number.
            outcome = Outcome.HELD_UNREAD if place.unread else Outcome.MISSED
            return Planted(place.family, place.name, told, outcome, ())
        except (pikepdf.PdfError, ValueError, TypeError, KeyError, AttributeError):
            # A file so odd that a place cannot be made in it proves nothing about that place.
            return Planted(place.family, place.name, told, Outcome.MISSED, ())
        seen_by = tuple(dict.fromkeys(_readers(verdict, told)))
        return Planted(
            place.family, place.name, told, self._outcome(place, verdict, seen_by), seen_by
        )

    def _outcome(self, place: Place, verdict: Verdict, seen_by: tuple[str, ...]) -> Outcome:
        if seen_by:
            return Outcome.FOUND
        if place.unread and not self.unread.issuperset(verdict.unread):
            return Outcome.HELD_UNREAD
        return Outcome.MISSED

    def _judged(self, data: bytes, digits: tuple[str, ...]) -> Verdict:
        return self.check(
            data,
            name="copy.pdf",
            passphrase=self.passphrase,
            known=tuple(as_known(each) for each in digits),
            policy=MaskPolicy(),
            thorough=self.thorough,
            recogniser=self.recogniser,
        )


def _readers(verdict: Verdict, told: Told) -> Iterator[str]:
    for seen in verdict.sightings:
        if told is Told.UNKNOWN or seen.how_sure == _TOLD:
            yield seen.reader
