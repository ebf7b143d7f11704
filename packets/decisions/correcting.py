"""Put corrections on record: engagement.toml first, then one line of the ledger.

The file is written durably and only after the whole of it was read again without a
fault, so a correction never leaves a folder that cannot be built. The ledger keeps the
SHA-256 of the version before, as it does of every source that is changed.
"""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import Held, UsageError
from packets.base.files import write_durably
from packets.decisions.engagement_text import in_words, with_corrections
from packets.decisions.people import demand_name, demand_plain
from packets.decisions.records import Correction, LeaveOut, PageCategory
from packets.intake.client_folder import open_client_folder
from packets.intake.document_help import demand_corrections_fit
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.intake.folder_walk import FoundFile
from packets.intake.records import SourceDocument
from packets.intake.take_in import take_in
from packets.recipe.text_file import read_small_file, text_of
from packets.sealing.folder_lock import folder_locked
from packets.sealing.ledger import append_locked
from packets.sealing.ledger_chain import entries
from packets.sealing.number_free import plain_text
from packets.sealing.source_versions import current_sources
from packets.sealing.storage_faults import storage_errors_of

CORRECTED = "corrected"


def correct(
    client: Path,
    corrections: Sequence[Correction],
    who: str,
    *,
    engagement_sha256: str,
    packet_sha256: str = "",
) -> str:
    """Write the corrections; the new SHA-256 of engagement.toml. See `ReviewDesk.correct`."""
    who = demand_name(who)
    if not corrections:
        raise UsageError("there is nothing to correct", remedy="Say what is to be corrected.")
    path = client / ENGAGEMENT_FILE
    with storage_errors_of(client), folder_locked(client):
        before = read_small_file(path)
        if sha256_hex(before) != engagement_sha256:
            raise Held(
                "engagement.toml was changed in the meantime",
                where=ENGAGEMENT_FILE,
                remedy="Nothing was written. Open the page again; it shows what is there now.",
            )
        real, documents = _documents(client, corrections)
        text = with_corrections(
            text_of(before, ENGAGEMENT_FILE),
            real,
            {document.file: document.pages for document in documents},
            {document.file: document.sha256 for document in documents},
        )
        after = text.encode()
        demand_corrections_fit(after, documents)
        write_durably(path, after, mode=path.stat().st_mode & 0o777)
        facts: dict[str, Json] = {
            "who": who,
            "file": ENGAGEMENT_FILE,
            "what": [*in_words(real, plain_text)],
            "was_sha256": engagement_sha256,
            "sha256": sha256_hex(after),
        }
        if packet_sha256:
            facts["packet_sha256"] = packet_sha256
        append_locked(client, CORRECTED, facts)
    return sha256_hex(after)


def _documents(
    client: Path, corrections: Sequence[Correction]
) -> tuple[list[Correction], list[SourceDocument]]:
    """The corrections by the real names of their files, and these files taken in."""
    folder = open_client_folder(client)
    shown: dict[str, list[FoundFile]] = {}
    for found in folder.files:
        shown.setdefault(plain_text(found.name), []).append(found)
    known = {(one.file, one.sha256) for one in current_sources(entries(client))}
    documents: dict[str, SourceDocument] = {}
    real: list[Correction] = []
    for correction in corrections:
        found_all = shown.get(correction.file, [])
        if len(found_all) != 1:
            few = "two files are shown by this name" if found_all else "there is no such file"
            raise UsageError(
                few, where=correction.file, remedy="Rename the file, build again, and correct then."
            )
        found = found_all[0]
        if found.name not in documents:
            document = take_in(found.path, name=found.name, passwords=folder.passwords)
            if known and (correction.file, document.sha256) not in known:
                raise Held(
                    "this file was changed since the build",
                    where=correction.file,
                    remedy="Nothing was written. Build again, and correct what is shown then.",
                )
            documents[found.name] = document
        real.append(_checked(replace(correction, file=found.name), documents[found.name].pages))
    return real, list(documents.values())


def _checked(correction: Correction, count: int) -> Correction:
    """With pages that are there, and words that may stand in a file."""
    if isinstance(correction, (PageCategory, LeaveOut)):
        pages = tuple(sorted(set(correction.pages)))
        if not pages or pages[0] < 1 or pages[-1] > count:
            raise UsageError("there are no such pages", where=plain_text(correction.file))
        correction = replace(correction, pages=pages)
    if not isinstance(correction, PageCategory):
        why = demand_plain(correction.why, "the reason", most=200)
        correction = replace(correction, why=why)
    return correction
