"""The check that lets a file out: four readers, one verdict."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from packets.base.alongside import either_way
from packets.base.errors import Damaged, InputRefused, Locked, OverLimit
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.progress import Progress, silent
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.outbound.carriers.found import Budget
from packets.outbound.drawn_aside import pages_drawn_aside
from packets.outbound.enclosed import check_enclosed
from packets.outbound.false_names import glyph_names
from packets.outbound.file_name import held_for_name, without_numbers
from packets.outbound.hunting import Hunter
from packets.outbound.loose_pictures import PictureIndex, picture_index, read_loose_pictures
from packets.outbound.object_reader import read_objects
from packets.outbound.objects.drawing_load import check_drawing_load
from packets.outbound.objects.opened import InflationAllowance, OpenedFile, open_file
from packets.outbound.page_ink import PageInk
from packets.outbound.page_text_reader import PageLooks, read_page_text
from packets.outbound.pdfium_document import Page, pdfium_document
from packets.outbound.picture_hunt import PictureHunter
from packets.outbound.pixel_reader import PageSeen, PixelReading
from packets.outbound.raw_reader import read_raw
from packets.outbound.recognition import Recogniser
from packets.outbound.records import Judgement, ReaderReport, Reading, Verdict
from packets.outbound.structure import unlisted
from packets.outbound.unreadable_text import draws_letters_by_procedure, has_odd_fonts

Readings = tuple[Reading, ...]
_MANY = 200
"""Objects of a file by which a copy of the process earns what it costs."""


def check_pdf(
    file: Path | bytes,
    *,
    name: str,
    passphrase: Secret | None,
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    thorough: bool = False,
    ours: bool = False,
    progress: Progress = silent,
    limits: Limits = DEFAULT_LIMITS,
    recogniser: Recogniser | None = None,
) -> Verdict:
    """Judge one PDF: CLEAN only when no reader saw a number and nothing stayed unread.

    `name` stands in the verdict. `thorough` reads every page as pixels too.
    `ours` says that the file claims to be a packet of ours: then anything that a
    packet does not hold by list counts as unread. `recogniser` remembers the pictures
    that it has read, for whoever checks several copies of a file. Raises Locked, Damaged or
    OverLimit where the file as a whole cannot be taken.
    """
    data = file_bytes(file, limits)
    hunter = Hunter(known, policy)
    with PictureHunter(hunter, recogniser) as pictures:
        inspection = _Inspection(hunter, pictures, limits, progress, thorough=thorough)
        readings, unread = inspection.pdf(data, passphrase, ours=ours, depth=0)
    shown, hits = without_numbers(name, hunter)
    return held_for_name(verdict(shown, data, readings, unread), hits)


def pdf_readings(
    data: bytes,
    passphrase: Secret | None,
    hunter: Hunter,
    pictures: PictureHunter,
    limits: Limits,
    *,
    thorough: bool,
    budget: Budget,
) -> tuple[Readings, tuple[str, ...]]:
    """All readings of a PDF that lies in another file, and what stayed unread besides.

    Raises Locked, Damaged or OverLimit.
    """
    inspection = _Inspection(hunter, pictures, limits, silent, thorough=thorough, budget=budget)
    return inspection.pdf(data, passphrase, ours=False, depth=1)


def file_bytes(file: Path | bytes, limits: Limits) -> bytes:
    """The bytes of `file`. Raises Damaged or OverLimit."""
    if isinstance(file, bytes):
        data = file
    else:
        try:
            if file.stat().st_size > limits.file_bytes:
                raise OverLimit("the file is larger than this program promises to read")
            data = file.read_bytes()
        except OSError:
            raise Damaged("the file cannot be read from disk", where=file.name) from None
    if len(data) > limits.file_bytes:
        raise OverLimit("the file is larger than this program promises to read")
    return data


def verdict(name: str, data: bytes, readings: Readings, unread: tuple[str, ...] = ()) -> Verdict:
    """One verdict over all readings: any sighting and any unread place holds the file."""
    sightings = tuple(sorted({s for reading in readings for s in reading.sightings}))
    places = tuple(dict.fromkeys([u for reading in readings for u in reading.unread] + [*unread]))
    clean = not sightings and not places
    return Verdict(
        name,
        hashlib.sha256(data).hexdigest(),
        Judgement.CLEAN if clean else Judgement.HELD,
        _reports(readings),
        sightings,
        places,
    )


def _reports(readings: Readings) -> tuple[ReaderReport, ...]:
    """One report for each reader, also where it read several things."""
    reports: dict[str, ReaderReport] = {}
    for reading in readings:
        one = reading.report
        before = reports.get(one.name)
        if before is not None:
            one = replace(one, pages=before.pages, findings=before.findings + one.findings)
        reports[one.name] = one
    return tuple(reports.values())


class _Inspection:
    """What the readers of one file, and of the files inside it, share."""

    def __init__(
        self,
        hunter: Hunter,
        pictures: PictureHunter,
        limits: Limits,
        progress: Progress,
        *,
        thorough: bool,
        budget: Budget | None = None,
    ) -> None:
        self.budget = budget or Budget()
        self.hunter = hunter
        self.pictures = pictures
        self.limits = limits
        self.progress = progress
        self.thorough = thorough

    def pdf(
        self, data: bytes, passphrase: Secret | None, *, ours: bool, depth: int
    ) -> tuple[Readings, tuple[str, ...]]:
        """All readings of one PDF, and what stayed unread besides."""
        allowance = InflationAllowance(self.limits)
        opened = open_file(data, passphrase, self.limits, allowance)
        check_drawing_load(opened, allowance)
        below = partial(self._below_the_pages, data, opened, allowance.share())
        with either_way(below, apart=len(opened.objects) >= _MANY) as objects_and_bytes:
            index = picture_index(opened)
            text, pixels, seen = self._pages(data, passphrase, opened, index, allowance)
            objects, raw, spent = objects_and_bytes()
        allowance.take(spent)
        loose = read_loose_pictures(
            opened, index, pixels.drawn, self.pictures, allowance, self.limits
        )
        unread = unlisted(opened) if ours else ()
        inside = check_enclosed(
            objects.enclosed,
            self.hunter,
            self.pictures,
            self.limits,
            self._inner(depth),
            self._other(depth),
        )
        return (text, objects, raw, seen, loose, *inside), unread

    def _below_the_pages(
        self, data: bytes, opened: OpenedFile, allowance: InflationAllowance
    ) -> tuple[Reading, Reading, int]:
        """The readings of the objects and of the bytes, and what they spent of the allowance."""
        before = allowance.left
        objects = read_objects(opened, self.hunter, allowance)
        return objects, read_raw(data, self.hunter, opened), before - allowance.left

    def _pages(
        self,
        data: bytes,
        passphrase: Secret | None,
        opened: OpenedFile,
        index: PictureIndex,
        allowance: InflationAllowance,
    ) -> tuple[Reading, PixelReading, Reading]:
        """The readings of the pages as text and as pixels."""
        pixels = PixelReading(self.pictures, self.limits, index.is_masked)
        with pdfium_document(data, passphrase, self.limits) as document:
            by_procedure = draws_letters_by_procedure(opened)
            aside = pages_drawn_aside(opened, len(document), allowance)

            def look(page: Page, number: int, ink: PageInk, told: bool) -> PageSeen:
                told = told and not by_procedure
                whole = self.thorough or not told or number in aside
                return pixels.page(page, number, ink, whole=whole, told=told)

            names = glyph_names(opened, allowance)
            looks = PageLooks(
                document, self.hunter, self.thorough, has_odd_fonts(opened), names, look
            )
            # What is remembered from page to page, pictures above all, stays in one process.
            remembers = names.by_sight or by_procedure or aside or index.objects or self.thorough
            text, pages = read_page_text(looks, self.progress, shared=not remembers)
            pixels.take(pages)
            return text, pixels, pixels.reading(document)

    def _inner(self, depth: int) -> "Callable[[bytes], tuple[Readings, tuple[str, ...]]]":
        def check(data: bytes) -> tuple[Readings, tuple[str, ...]]:
            if depth >= 4:
                raise OverLimit("files inside files inside files")
            try:
                return self.pdf(data, None, ours=False, depth=depth + 1)
            except Locked:
                raise InputRefused("a locked file") from None

        return check

    def _other(self, depth: int) -> "Callable[[bytes], Readings]":
        def pdf_inside(data: bytes, name: str) -> tuple[Readings, tuple[str, ...]]:  # noqa: ARG001 - a name opens nothing here
            return self._inner(depth)(data)

        def check(data: bytes) -> Readings:
            from packets.outbound.contents import Contents  # noqa: PLC0415 - most files hold no other

            contents = Contents(self.hunter, self.pictures, self.limits, pdf_inside, self.budget)
            return contents.readings("", data)

        return check
