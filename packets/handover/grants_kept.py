"""Grants recorded, listed and withdrawn. Nothing is ever deleted: a record only grows.

What is written, in this order, each durably and under the folder's lock: the cleaned
image, `grants.toml`, one line of the ledger. A run that was stopped in between is
finished by the same command given once more.
"""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import UsageError
from packets.handover.grant_binding import binding_of_signed
from packets.handover.grant_records import DrawnSignature, GrantRequest, ListedGrant, RecordedGrant
from packets.handover.grant_writing import (
    SIGNATURES,
    drawing_path,
    may_be_kept,
    note_once,
    recorded_facts,
    refuse_links,
    write_grants,
    write_image,
)
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.intake.office import find_office
from packets.recipe.loader import load_bytes
from packets.recipe.text_file import shown_path
from packets.sealing.folder_lock import folder_locked
from packets.sealing.storage_faults import storage_errors_of
from packets.signatures.authority import STANDING
from packets.signatures.grant import Grant, GrantsFile
from packets.signatures.grant_text import grant_text, with_grant, with_withdrawal
from packets.signatures.grants import GrantBook, load_grants

RECORDED, WITHDRAWN = "grant recorded", "grant withdrawn"


def listed(
    client: Path, office: Path | None = None, today: dt.date | None = None
) -> tuple[ListedGrant, ...]:
    """Every grant of the client folder and of its office's store, with its state on a day."""
    book = grants_of(client, office)
    day = today or _now().date()
    return tuple(
        ListedGrant(grant, _state(grant, day), grant.id in book.of_office) for grant in book.grants
    )


def record(request: GrantRequest, now: dt.datetime | None = None) -> RecordedGrant:
    """Put a grant on record; the very same a second time is only told.

    Raises FileFaults for values that a grant may not have and for faults of the
    grants that are there, UsageError for a store that is not there or not for this
    role, and what the reading of the image and of the signed document raises.
    """
    _demand_client(request.client)
    home, lock = _home(request)
    png, svg = _ink(request.image)
    wanted = _wanted(request, png, svg, now or _now())
    with storage_errors_of(home):
        home.mkdir(mode=0o700, parents=True, exist_ok=True)
        refuse_links(home, lock)
        with folder_locked(lock):
            book = grants_of(request.client, request.office)
            same = _the_same(book, wanted, given=request.given_at is not None)
            if same is not None:
                note_once(lock, RECORDED, same, recorded_facts(same))
                return RecordedGrant(same, book.home(same), was_there=True)
            grant = _named(wanted, request, book)
            write_image(home / grant.image, png)
            if svg:
                write_image(drawing_path(home / grant.image), svg)
            write_grants(home, lambda text: with_grant(text, grant), (*_in(book, home), grant))
            note_once(lock, RECORDED, grant, recorded_facts(grant))
    return RecordedGrant(grant, home)


def withdraw(
    client: Path,
    identity: str,
    why: str,
    office: Path | None = None,
    now: dt.datetime | None = None,
) -> RecordedGrant:
    """Mark a grant as withdrawn; it stays on record and places nothing any more.

    Raises UsageError where there is no such grant or no reason is given.
    """
    if not why.strip():
        raise UsageError("a reason is missing", where="--why", remedy="Say why in a few words.")
    home = _book_with(client, identity, office)[1]
    lock = client if home == client / SIGNATURES else home
    with storage_errors_of(home), folder_locked(lock):
        book, home, grant = _book_with(client, identity, office)
        gone = grant
        if grant.withdrawn_at is None:
            refuse_links(home, lock)
            at = max((now or _now()).replace(microsecond=0), grant.given_at)
            gone = _checked(grant.model_copy(update={"withdrawn_at": at, "withdrawn_why": why}))
            kept = list(_in(book, home))
            place = kept.index(grant)
            kept[place] = gone
            write_grants(home, lambda text: with_withdrawal(text, place, at, why), kept)
        facts: dict[str, Json] = {"role": gone.role.value, "why": gone.withdrawn_why}
        note_once(lock, WITHDRAWN, gone, facts)
    return RecordedGrant(gone, home, was_there=gone is grant)


def _book_with(client: Path, identity: str, office: Path | None) -> tuple[GrantBook, Path, Grant]:
    """The grants, the home of one of them, and that one."""
    book = grants_of(client, office)
    grant = book.by_id(identity)
    if grant is None:
        raise UsageError(
            "there is no grant of this id",
            where=SIGNATURES,
            remedy="`packets sign list` with this folder shows what is there.",
        )
    return book, book.home(grant), grant


def _now() -> dt.datetime:
    return dt.datetime.now().astimezone().replace(microsecond=0)


def grants_of(client: Path, office: Path | None) -> GrantBook:
    """The grants of a client folder and of its office's store."""
    known = find_office(client, office)
    return load_grants(client / SIGNATURES, known.store if known else None)


def _demand_client(client: Path) -> None:
    if not (client / ENGAGEMENT_FILE).is_file():
        raise UsageError(
            f"this is no client folder: it has no {ENGAGEMENT_FILE}",
            where=shown_path(client),
            remedy="Give the folder of a client; `packets new` lays one out.",
        )


def _home(request: GrantRequest) -> tuple[Path, Path]:
    """The folder of the grant, and the folder whose lock and ledger go with it."""
    if not request.in_store:
        return request.client / SIGNATURES, request.client
    if request.role not in STANDING:
        raise UsageError(
            "a client's grant lies in the client's own folder, not in the office's store",
            where="--store office",
            remedy="Leave --store away.",
        )
    known = find_office(request.client, request.office)
    if known is None or known.store is None:
        raise UsageError(
            "no office.toml names a store for the office's signatures",
            where="--store office",
            remedy="Name the folder as `signatures` under [office] of office.toml.",
        )
    return known.store, known.store


def prospective(request: GrantRequest, now: dt.datetime | None = None) -> Grant:
    """The grant that `record` would write, without its image: judged, and bound to the document.

    Raises what `record` raises, before anybody is asked to sign. Writes nothing.
    """
    _demand_client(request.client)
    _home(request)
    taken = {grant.id for grant in grants_of(request.client, request.office).grants}
    if request.identity in taken:
        raise UsageError("another grant has this id", where="--id", remedy="Leave --id away.")
    return _wanted(request, b"", b"", now or _now())


def _ink(image: Path | DrawnSignature) -> tuple[bytes, bytes]:
    """The picture as it is kept, and its outlines where it has some."""
    if isinstance(image, DrawnSignature):
        return image.png, image.svg
    from packets.signatures.clean_image import (  # noqa: PLC0415 - builds read grants, not images
        clean_image,
    )

    kept = clean_image(image)
    return kept.png, kept.svg


def _wanted(request: GrantRequest, png: bytes, svg: bytes, now: dt.datetime) -> Grant:
    """The grant as asked for, under a name that is settled later."""
    bound = binding_of_signed(request)
    return _checked(
        Grant.model_construct(
            id=request.identity or "new",
            role=request.role,
            image="new.png",
            image_sha256=sha256_hex(png),
            drawing_sha256=sha256_hex(svg) if svg else "",
            given_at=(request.given_at or now).replace(microsecond=0),
            how=request.how,
            covers=request.covers,
            valid_until=request.valid_until,
            identity_check=request.identity_check,
            recorded_by=request.recorded_by,
            document_sha256=bound.document_sha256,
            figures=bound.figures,
            evidence=request.evidence,
            consent=request.consent,
        )
    )


def _checked(grant: Grant) -> Grant:
    """The same, judged as if somebody had written it into the file."""
    return load_bytes(grant_text(grant).encode(), "the grant to record", GrantsFile).grant[0]


def _the_same(book: GrantBook, wanted: Grant, *, given: bool) -> Grant | None:
    """A grant in force that says the same; its moment counts only where one was given."""

    def said(grant: Grant) -> dict[str, object]:
        left_out = {"id", "image"} | (set() if given else {"given_at"})
        return grant.model_dump(exclude=left_out)

    return next((grant for grant in book.grants if said(grant) == said(wanted)), None)


def _named(wanted: Grant, request: GrantRequest, book: GrantBook) -> Grant:
    taken = {grant.id for grant in book.grants}
    if request.identity in taken:
        raise UsageError("another grant has this id", where="--id", remedy="Leave --id away.")
    home, _ = _home(request)
    identity = request.identity or next(
        name
        for name in _names(wanted)
        if name not in taken
        and may_be_kept(home / f"{name}.png", wanted.image_sha256)
        and may_be_kept(drawing_path(home / f"{name}.png"), wanted.drawing_sha256)
    )
    return wanted.model_copy(update={"id": identity, "image": f"{identity}.png"})


def _names(wanted: Grant) -> Iterator[str]:
    number = 1
    while True:
        yield f"{wanted.given_at.year}-{wanted.role.value}-{number}"
        number += 1


def _in(book: GrantBook, home: Path) -> tuple[Grant, ...]:
    """The grants that lie in one folder, in the order of its file."""
    return tuple(grant for grant in book.grants if book.home(grant) == home)


def _state(grant: Grant, day: dt.date) -> Literal["valid", "not yet", "expired", "withdrawn"]:
    if grant.withdrawn_at is not None:
        return "withdrawn"
    if day > grant.valid_until:
        return "expired"
    return "not yet" if grant.given_at.date() > day else "valid"
