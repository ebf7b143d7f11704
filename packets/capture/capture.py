"""A signature drawn by a person in front of this machine, put on record for one document.

In this order: everything that the grant needs is judged before anybody is asked to
sign; the document is masked and checked; the page is open until it is answered,
nobody is there any more, or the interrupt key is pressed. Until strokes are accepted
nothing is written anywhere, and then whole: image, outlines, grant, ledger line.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

from packets.base.errors import Held, UsageError
from packets.base.progress import Progress, Step, silent
from packets.capture.application import application
from packets.capture.judged_before import demand_usable
from packets.capture.records import Sheet
from packets.capture.session import Session
from packets.capture.sheet import consent_to, sheet_of
from packets.handover.grant_records import DrawnSignature, GrantRequest, RecordedGrant
from packets.handover.grants_kept import prospective, record
from packets.handover.shown_copy import ScreenPages, masked_for_screen
from packets.intake.client_folder import open_client_folder
from packets.intake.take_in import take_in
from packets.loopback.admission import Admission
from packets.loopback.gate import Gate
from packets.loopback.presence import Presence
from packets.loopback.serving import Serving, free_port
from packets.reading.engine import quiet_engine

Announce = Callable[[str], None]
"""Tells the person at the command line where the page is."""


def capture(
    request: GrantRequest, idle_minutes: int, announce: Announce, progress: Progress = silent
) -> RecordedGrant:
    """Let somebody sign `request.signed` on a page of this machine; return the grant on record.

    Raises Held where nobody signed, the person would not, or the document cannot be
    shown without its numbers; UsageError where a grant of this kind would place
    nothing; and what the reading of the document and the recording raise.
    """
    quiet_engine()
    wanted, sheet = _prepared(request, idle_minutes, progress)

    def keep(drawn: DrawnSignature, at: dt.datetime) -> RecordedGrant:
        return record(replace(wanted, image=drawn, given_at=at))

    progress(Step("waiting for the signature", sheet.file))
    session = Session(keep)
    ending = _served(sheet, session, idle_minutes, announce)
    if session.recorded is not None:
        return session.recorded
    if session.error is not None:
        raise session.error
    if ending == "interrupted":
        raise KeyboardInterrupt
    if session.phase == "declined":
        raise Held("the signer chose not to sign", remedy="Nothing was recorded.")
    raise Held(
        f"nobody signed within {idle_minutes} minutes of the last sign of life",
        remedy="Nothing was recorded. Run the command again when the signer is there.",
    )


def _prepared(
    wanted: GrantRequest, idle_minutes: int, progress: Progress
) -> tuple[GrantRequest, Sheet]:
    """What is to be recorded, complete but for the ink, and the page that says so."""
    if wanted.signed is None:
        raise UsageError(
            "the document is missing",
            where="--document",
            remedy="Give the document that is to be signed with --document.",
        )
    folder = open_client_folder(wanted.client)
    source = take_in(wanted.signed)
    consent = consent_to(wanted, folder.engagement, source)
    wanted = replace(wanted, signed_sha256=source.sha256, consent=consent)
    grant = prospective(wanted)
    demand_usable(grant, folder.engagement.engagement.tax_year)
    pages = ScreenPages(masked_for_screen(source, folder.known, progress))
    return wanted, sheet_of(grant, folder.engagement, source.file, pages, idle_minutes)


def _served(sheet: Sheet, session: Session, idle_minutes: int, announce: Announce) -> str:
    """Serve the page to its end; `done`, `idle` or `interrupted`."""
    presence = Presence(idle_minutes * 60)
    with free_port() as (listener, port):
        admission, serving = Admission(port), Serving(presence)
        page = application(sheet, session, serving.stop)
        announce(admission.address)
        try:
            return serving.run(Gate(page, admission, presence), listener)
        except KeyboardInterrupt:
            return "interrupted"
        finally:
            session.close()
