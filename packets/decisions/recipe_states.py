"""What became of the last build by each recipe, told by the ledger alone."""

from dataclasses import dataclass, field

from packets.base.canonical import Json
from packets.decisions.records import RecipeRow, State
from packets.handover.hold_line import HELD
from packets.mailing.sendings import earlier_sendings, in_words
from packets.sealing.ledger_chain import Entry
from packets.sealing.release_steps import PREPARED, RELEASED, WAITS, WITHDRAWN
from packets.sealing.waiting import DECIDED_HOLD, REVIEWED, SUPERSEDED, build_of, waiting

OWN_FOLDERS = ("office", "filing")
"""Folders of packets that go to no client."""


@dataclass
class Build:
    """The last build by one recipe."""

    recipe: str
    facts: dict[str, Json] = field(default_factory=dict)
    """Of its line `prepared` or `held`."""
    held: Entry | None = None
    """The line `held`; None where packets came of it."""
    packets: dict[tuple[str, str], Entry] = field(default_factory=dict)
    """Name and SHA-256 of each packet that was sealed, with the line that says where it stands."""
    prepared: dict[tuple[str, str], dict[str, Json]] = field(default_factory=dict)
    """The facts of each packet's line `prepared`."""
    notes: dict[tuple[str, str], Entry] = field(default_factory=dict)
    """The last decision to hold it, where that stands."""


def last_builds(entries: tuple[Entry, ...]) -> dict[str, Build]:
    """By name of the recipe; recipes of which nothing came are not in it."""
    builds: dict[str, Build] = {}
    prepared: dict[tuple[str, str], dict[str, Json]] = {}
    for entry in entries:
        key = (str(entry.facts.get("packet", "")), str(entry.facts.get("sha256", "")))
        if entry.event == PREPARED:
            prepared[key] = entry.facts
        elif entry.event == HELD:
            name = str(entry.facts.get("recipe"))
            builds[name] = Build(name, entry.facts, held=entry)
        elif entry.event in (WAITS, RELEASED) and key in prepared:
            _take(builds, key, prepared[key], entry)
        elif entry.event == REVIEWED and entry.facts.get("decision") == DECIDED_HOLD:
            for build in builds.values():
                if key in build.packets:
                    build.notes[key] = entry
        elif entry.event in (SUPERSEDED, WITHDRAWN) and not entry.facts.get("still_waits"):
            for build in builds.values():
                build.packets.pop(key, None)
    return {name: build for name, build in builds.items() if build.held or build.packets}


def _take(
    builds: dict[str, Build], key: tuple[str, str], facts: dict[str, Json], entry: Entry
) -> None:
    """A packet waits or is out; those of one build belong together."""
    name = str(facts.get("recipe"))
    build = builds.get(name)
    same = build is not None and not build.held and build_of(facts) == build_of(build.facts)
    if build is None or not same:
        if build is not None and entry.event == RELEASED and facts.get("moved"):
            return  # an older one that a person let out after a newer build was held
        build = builds[name] = Build(name, facts)
    build.packets[key] = entry
    build.prepared[key] = facts
    build.notes.pop(key, None)


def row_of(build: Build, entries: tuple[Entry, ...], changed: tuple[str, ...]) -> RecipeRow:
    """Where the build stands; `changed` says what is not as it was."""
    given = str(build.facts.get("recipe_given", ""))
    if build.held is not None:
        reasons = build.held.facts.get("reasons")
        found = reasons if isinstance(reasons, list) else []
        more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
        note = f"{found[0]}{more}" if found else ""
        return RecipeRow(build.recipe, given, State.HELD, "", "", build.held.at, note)
    return min(
        (_packet_row(build, key, entries, changed) for key in build.packets),
        key=lambda row: (list(State).index(row.state), row.packet),
    )


def _packet_row(
    build: Build, key: tuple[str, str], entries: tuple[Entry, ...], changed: tuple[str, ...]
) -> RecipeRow:
    given, entry = str(build.facts.get("recipe_given", "")), build.packets[key]
    packet, sha256 = key
    note = build.notes.get(key)
    if note is not None:
        words = f"{note.facts.get('who')}: {note.facts.get('note')}"
        return RecipeRow(build.recipe, given, State.HELD, packet, sha256, note.at, words)
    if changed:
        words = "; ".join(changed)
        return RecipeRow(build.recipe, given, State.CHANGED, packet, sha256, entry.at, words)
    state, when, words = _out_or_waiting(build, key, entry, entries)
    return RecipeRow(build.recipe, given, state, packet, sha256, when, words)


def _out_or_waiting(
    build: Build, key: tuple[str, str], entry: Entry, entries: tuple[Entry, ...]
) -> tuple[State, str, str]:
    if entry.event == WAITS:
        still = any((one.packet, one.sha256) == key for one in waiting(entries))
        return State.TO_REVIEW, entry.at, "" if still else "its move was cut short"
    if str(build.prepared[key].get("folder", "")).split("/", 1)[0] in OWN_FOLDERS:
        return State.BUILT, entry.at, ""
    sent = earlier_sendings(entries, *key)
    if sent:
        return State.SENT, sent[-1].at, in_words(sent[-1])
    return State.RELEASED, entry.at, ""
