"""What the outbound check read and said, for a person."""

import re

from rich.console import Console

from packets.cli.plain_text import count_of
from packets.cli.sheet import BAD, GOOD, columns, points, say
from packets.identifiers.kind_words import kind_in_words
from packets.outbound.records import Judgement, Sighting, Verdict

_BRACKETS = re.compile(r" ?\([^()]*\)")
"""Builds of engines under a library: they stand in the manifest and in JSON."""


def show_verdict(console: Console, verdict: Verdict) -> None:
    """The word, the readers behind it, each sighting with its place, and what was not read."""
    if verdict.judgement is Judgement.CLEAN:
        say(console, "  ", ("Clean", GOOD), ": no reader saw a full number, and all was read.")
    else:
        seen = count_of(len(verdict.sightings), "full number")
        unread = count_of(len(verdict.unread), "place")
        say(console, "  ", ("Held", BAD), f": {seen} seen, {unread} not readable.")
    columns(
        console,
        [
            (
                reader.name,
                count_of(reader.pages, "page") if reader.pages else "",
                _saw(reader.findings),
                _BRACKETS.sub("", reader.version),
            )
            for reader in verdict.readers
        ],
        narrow=(1, 2),
    )
    if verdict.sightings:
        columns(
            console,
            [sighting_cells(sighting) for sighting in sorted(verdict.sightings)],
            names=("where", "kind", "place", "seen by", "how sure"),
            narrow=(0,),
        )
    points(console, [f"Not readable: {place}" for place in verdict.unread])


def sighting_cells(sighting: Sighting) -> tuple[str, str, str, str, str]:
    """Page, kind, place, reader and how sure; never a number, a sighting holds none."""
    where = f"page {sighting.page}" if sighting.page else "whole file"
    kind = kind_in_words(sighting.kind)
    return (where, kind, sighting.place, sighting.reader, sighting.how_sure)


def _saw(findings: int) -> str:
    return count_of(findings, "sighting") if findings else "saw none"
