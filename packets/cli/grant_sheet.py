"""Grants on the screen and in JSON."""

from collections.abc import Sequence

from rich.console import Console

from packets.base.canonical import Json
from packets.cli.plain_text import count_of, plain
from packets.cli.sheet import BAD, GOOD, Cell, Verbatim, columns, heading, lines, points, say
from packets.handover.grant_records import ListedGrant, RecordedGrant
from packets.signatures.authority import OWN_HAND, any_matches
from packets.signatures.grant import Grant

_STYLES = {"valid": GOOD, "not yet": "", "expired": BAD, "withdrawn": BAD}


def bound_in_words(grant: Grant) -> str:
    """To what a grant is bound."""
    bound = [
        words
        for words, there in (
            ("document", bool(grant.document_sha256)),
            ("figures", grant.figures is not None),
        )
        if there
    ]
    return " and ".join(bound) or "nothing"


def show_grants(console: Console, listed: Sequence[ListedGrant]) -> None:
    """A table of all grants."""
    valid = sum(entry.state == "valid" for entry in listed)
    say(console, f"{count_of(len(listed), 'grant')}, {valid} valid today")
    if listed:
        rows = [_row(entry) for entry in listed]
        names = ("grant", "role", "state", "given, until", "covers", "bound to")
        columns(console, rows, names=names, narrow=(0, 1, 2))
    unbound = [entry.grant.id for entry in listed if _lacks_binding(entry)]
    heading(console, "Next")
    points(
        console,
        [
            "`packets sign record` puts a new one on record.",
            *(
                f"Grant {name} is bound to nothing and places nothing on Forms 8879 and 8878 "
                "(Pub. 1345)."
                for name in unbound
            ),
        ],
    )


def _lacks_binding(entry: ListedGrant) -> bool:
    """A taxpayer's or spouse's grant that covers Form 8879 or 8878 and is bound to nothing."""
    grant = entry.grant
    covered = any(any_matches(grant.covers, category) for category in ("form-8879", "form-8878"))
    bound = grant.document_sha256 or grant.figures
    return entry.state == "valid" and grant.role in OWN_HAND and covered and not bound


def _row(entry: ListedGrant) -> tuple[Cell, ...]:
    grant = entry.grant
    state: Cell = (entry.state, _STYLES[entry.state]) if _STYLES[entry.state] else entry.state
    where = " (office)" if entry.in_store else ""
    return (
        grant.id + where,
        grant.role.value,
        state,
        f"{grant.given_at.date()}, {grant.valid_until}",
        ", ".join(grant.covers),
        bound_in_words(grant),
    )


def show_recorded(console: Console, recorded: RecordedGrant, what: str) -> None:
    """One grant after it was recorded or withdrawn."""
    grant = recorded.grant
    if recorded.was_there:
        say(console, f"{what} already as grant {grant.id}; nothing was written.")
    else:
        say(console, (what, GOOD), f": grant {grant.id} of the {grant.role.value}.")
    points(console, _points(grant))
    lines(console, [("image", Verbatim(recorded.home / grant.image))])


def _points(grant: Grant) -> list[str]:
    told = [
        f"given at {grant.given_at.isoformat()} by {grant.how}, recorded by {grant.recorded_by}",
        f"covers {', '.join(grant.covers)} until {grant.valid_until}",
        f"bound to {bound_in_words(grant)}",
    ]
    if grant.withdrawn_at is not None:
        told.append(f"withdrawn at {grant.withdrawn_at.isoformat()}: {grant.withdrawn_why}")
    return told


def recorded_form(recorded: RecordedGrant) -> dict[str, Json]:
    """One grant, where it lies, and whether it was there before."""
    return {
        "grant": grant_form(recorded.grant),
        "folder": plain(str(recorded.home)),
        "was_there": recorded.was_there,
    }


def grants_form(listed: Sequence[ListedGrant]) -> dict[str, Json]:
    """All grants with their state today."""
    return {
        "grants": [
            {**grant_form(entry.grant), "state": entry.state, "in_store": entry.in_store}
            for entry in listed
        ]
    }


def grant_form(grant: Grant) -> dict[str, Json]:
    """One grant, member by member."""
    gone = grant.withdrawn_at
    return {
        "id": plain(grant.id),
        "role": grant.role.value,
        "image": plain(grant.image),
        "image_sha256": grant.image_sha256,
        "drawing_sha256": grant.drawing_sha256,
        "given_at": grant.given_at.isoformat(),
        "how": grant.how,
        "covers": list(grant.covers),
        "valid_until": grant.valid_until.isoformat(),
        "identity_check": plain(grant.identity_check),
        "recorded_by": plain(grant.recorded_by),
        "document_sha256": grant.document_sha256,
        "figures": grant.figures.model_dump(exclude_none=True) if grant.figures else None,
        "evidence": grant.evidence.model_dump(exclude_defaults=True),
        "consent": plain(grant.consent),
        "withdrawn_at": gone.isoformat() if gone else None,
        "withdrawn_why": plain(grant.withdrawn_why),
    }
