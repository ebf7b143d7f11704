"""The stations in order. This file alone knows all of them.

client folder -> inventory -> choice of pages -> signed -> flattened -> masked ->
rebuilt by list -> assembled -> sealed -> checked from outside -> released and
recorded. Each station takes records and returns a frozen record of facts.
"""

import datetime as dt
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from packets.base.files import write_durably
from packets.base.progress import Progress, Step, silent
from packets.base.secret import Secret
from packets.handover.examination import examination
from packets.handover.examiner import examined_here
from packets.handover.facts import Made, gather, packet_pages
from packets.handover.grants_kept import grants_of
from packets.handover.hold_line import note_hold
from packets.handover.holds import (
    Hold,
    Station,
    blank_holds,
    consent_holds,
    hold_for,
    masking_holds,
    origins_of,
    proof_holds,
    size_holds,
    verdict_holds,
)
from packets.handover.input_files import input_files
from packets.handover.known_beside import known_for
from packets.handover.left_behind import sources_left_behind
from packets.handover.let_through import (
    let_through,
    let_through_holds,
    refused_exceptions,
    twin_of,
)
from packets.handover.masked import mask_all
from packets.handover.office_keys import office_signer
from packets.handover.on_record import noted_inventory
from packets.handover.out_folder import out_folder
from packets.handover.passphrase import passphrase_for
from packets.handover.prepared import prepare
from packets.handover.set_facts import CheckedShare, facts_of_each, facts_together
from packets.handover.shares import Bindery, Share, Shares, shares_of
from packets.handover.signature_lines import missing_signatures, role_lines, signature_holds
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.intake.client_folder import ClientFolder, open_client_folder
from packets.intake.identifiers_file import load_identifiers
from packets.intake.inventory import take_inventory
from packets.intake.records import Inventory
from packets.intake.take_in import take_in
from packets.intake.titles import known_categories
from packets.masking.flatten import flatten
from packets.masking.left_behind import left_behind
from packets.masking.mask_document import MaskOrder, mask_document
from packets.masking.survey import learned, survey_document
from packets.pipeline_records import BuildReport, BuildRequest, MaskReport
from packets.proving.records import Examine, FileProof
from packets.reading.engine import quiet_engine
from packets.reading.ocr import OcrReader
from packets.recipe.shelf import LoadedRecipe, find_recipe
from packets.sealing.encrypt import seal
from packets.sealing.records import PacketFacts, Released, SealedPacket
from packets.sealing.recovery import recover
from packets.sealing.release import release
from packets.sealing.storage_faults import storage_errors_of
from packets.selection.plan import plan_pages
from packets.selection.records import PagePlan
from packets.signatures.grants import GrantBook
from packets.signatures.known_lines import known_places


def inventory(client: Path, progress: Progress = silent) -> Inventory:
    """Every page of a client folder with its category and the evidence."""
    quiet_engine()
    with OcrReader() as ocr:
        return take_inventory(open_client_folder(client), ocr, progress)


def plan(
    client: Path, recipe: str, progress: Progress = silent, office: Path | None = None
) -> tuple[Inventory, PagePlan]:
    """What would go into a packet, page by page, and what would not; builds nothing."""
    loaded = find_recipe(recipe, known_categories(), known_places())
    grants_of(client, office)  # a fault in them is told before the long work begins
    pages = inventory(client, progress)
    return pages, plan_pages(loaded.recipe, pages)


def build(
    request: BuildRequest, progress: Progress = silent, examine: Examine = examined_here
) -> BuildReport:
    """Build one packet; release it only if nothing stands against it, its check proved."""
    quiet_engine()
    loaded = find_recipe(request.recipe, known_categories(), known_places())
    folder = open_client_folder(request.client)
    run = _Build(request, loaded, folder, grants_of(folder.root, request.office), examine)
    with OcrReader() as ocr:
        return run.run(ocr, progress)


class _Build:
    """One run of `packets build`: what it was asked, and what it has made so far."""

    def __init__(
        self,
        request: BuildRequest,
        loaded: LoadedRecipe,
        folder: ClientFolder,
        grants: GrantBook,
        examine: Examine,
    ) -> None:
        self.request, self.folder, self.loaded, self.recipe = request, folder, loaded, loaded.recipe
        self.grants, self.examine, self.signer = grants, examine, office_signer(request)
        review = loaded.recipe.release.review
        self.out = out_folder(folder.root, loaded.recipe.audience, request.out, review=review)
        self.passphrase = passphrase_for(loaded.recipe, request.passphrase, folder)
        self.now, self.started = dt.datetime.now(dt.UTC), time.monotonic()
        self.masked_whole: Bindery | None = None
        self.made = Made(inputs=input_files(folder.root, request.office))

    def run(self, ocr: OcrReader, progress: Progress) -> BuildReport:
        """Carry the folder through the stations; a hold ends the way and is reported."""
        recover(self.folder.root, self.out)
        pages = noted_inventory(self.folder, ocr, progress)
        self.plan = chosen = plan_pages(self.recipe, pages)
        try:
            hold_for(chosen.stops, Station.CHOICE)
            shares = self._assembled(pages, chosen, ocr, progress)
            checked = [self._sealed(share, pages, progress) for share in shares.shares]
            each, released = self._released(checked, pages, progress)
        except Hold as hold:
            facts = gather(pages, self.plan, self.loaded, self.made, self.now)
            note_hold(self.folder.root, facts, hold)
            return self._report(pages, chosen, facts, hold.reasons)
        facts = facts_together(each, pages, chosen, self.loaded, self.now)
        return self._report(pages, chosen, facts, (), released, shares.notes)

    def _assembled(
        self, pages: Inventory, chosen: PagePlan, ocr: OcrReader, progress: Progress
    ) -> Shares:
        today = self.now.date()
        prepared = prepare(pages, self.recipe, self.grants, self.folder.known, ocr, today, progress)
        self.made = replace(self.made, prepared=prepared)
        missing = missing_signatures(pages, prepared, chosen)
        consents = consent_holds(chosen, pages, prepared, self.grants, today)
        hold_for((*signature_holds(pages, missing), *consents), Station.SIGNING)
        refused = refused_exceptions(pages, prepared)
        hold_for((*blank_holds(pages, prepared), *refused), Station.MASKING)

        whole = mask_all(prepared, chosen, self.recipe, ocr, progress)
        masked = let_through(prepared, chosen, whole, self.recipe.mask.policy(), ocr)
        self.made = replace(self.made, masked=masked)
        left = (*masking_holds(pages, whole), *masking_holds(pages, masked))
        hold_for(dict.fromkeys(left), Station.MASKING)

        progress(Step("assembling"))
        bindery = Bindery(pages, self.recipe, prepared, self.grants, masked)
        self.masked_whole = replace(bindery, masked=whole) if prepared.exceptions else None
        return shares_of(bindery, chosen, self.request.most_message_bytes)

    def _sealed(self, share: Share, pages: Inventory, progress: Progress) -> CheckedShare:
        self.plan, self.made = share.plan, replace(self.made, assembled=share.assembled)
        hold_for(size_holds(self.recipe, len(share.assembled.pdf)), Station.SIZE)
        progress(Step("sealing"))
        sealed = seal(share.assembled.pdf, self.passphrase.secret)
        self._checked(sealed, share, pages, progress)
        return CheckedShare(share, self.made, sealed)

    def _checked(
        self, sealed: SealedPacket, share: Share, pages: Inventory, progress: Progress
    ) -> None:
        """The outbound check; office and agency packets carry full numbers by design."""
        prepared = self.made.prepared
        if not self.recipe.audience.masked or prepared is None:
            return
        progress(Step("checking"))
        twin = twin_of(self.masked_whole, share, sealed.passphrase) if self.masked_whole else None
        order = examination(sealed, twin, pages, self.recipe, prepared)
        examined = self.examine(order, progress)
        self.made = replace(self.made, verdict=examined.verdict, proof=examined.proof)
        origins = origins_of(pages, packet_pages(share.plan, share.assembled))
        hold_for(verdict_holds(examined.verdict, origins), Station.CHECK)
        hold_for(proof_holds(examined.proof), Station.PROOF)
        if twin:
            own = let_through_holds(prepared, share, twin, sealed, examined.as_sent)
            hold_for(own, Station.CHECK)

    def _released(
        self, checked: Sequence[CheckedShare], pages: Inventory, progress: Progress
    ) -> tuple[tuple[PacketFacts, ...], tuple[Released, ...]]:
        progress(Step("releasing"))
        keep, key = self.passphrase.secret is not None, self.signer
        each = facts_of_each(checked, pages, self.loaded, self.now)
        return each, tuple(
            release(self.folder.root, self.out, facts, one.sealed, keep_passphrase=keep, signer=key)
            for facts, one in zip(each, checked, strict=True)
        )

    def _report(
        self,
        pages: Inventory,
        chosen: PagePlan,
        facts: PacketFacts,
        held: tuple[str, ...],
        released: tuple[Released, ...] = (),
        fitted: tuple[str, ...] = (),
    ) -> BuildReport:
        prepared = self.made.prepared
        missing = missing_signatures(pages, prepared, chosen) if prepared else ()
        return BuildReport(
            inventory=pages,
            plan=chosen,
            facts=facts,
            verdict=self.made.verdict,
            proof=self.made.proof,
            released=released[0] if released else None,
            packets=released,
            fitted=fitted,
            held=held,
            passphrase=self.passphrase.made_up if released else None,
            missing=tuple(line for line, _ in missing),
            signature_lines=role_lines(pages, prepared, chosen) if prepared else (),
            left_behind=tuple(sources_left_behind(pages, chosen)),
            seconds=time.monotonic() - self.started,
        )


def mask(
    source: Path,
    target: Path,
    identifiers: Path | None,
    password: Secret | None,
    progress: Progress = silent,
) -> MaskReport:
    """A masked, unencrypted copy of one PDF, written only if the check finds nothing in it."""
    from packets.outbound.check import check_pdf  # noqa: PLC0415 - builds check in a process apart

    quiet_engine()
    given = load_identifiers(identifiers) if identifiers else ()
    policy = MaskPolicy(kinds=ALL_KINDS)
    taken = take_in(source, passwords=(password,) if password else ())
    with OcrReader() as ocr:
        progress(Step("looking for numbers", source.name))
        flat = flatten(taken.pdf)
        survey = survey_document(flat.pdf, ocr)
        known = (*given, *learned([survey]))
        progress(Step("masking", source.name))
        pages = tuple(range(len(survey.pages)))
        masked = mask_document(MaskOrder(flat.pdf, survey, pages, known, policy), ocr)
    verdict = check_pdf(
        masked.pdf, name=target.name, passphrase=None, known=known, policy=policy, progress=progress
    )
    held = (*masked.unread, *verdict_holds(verdict))
    if not held:
        with storage_errors_of(target.parent):
            write_durably(target, masked.pdf)
    return MaskReport(
        source=source,
        target=None if held else target,
        pages=masked.pages,
        masks=masked.masks,
        left_behind=left_behind(taken.pdf),
        verdict=verdict,
        held=held,
    )


def prove(
    paths: Sequence[Path],
    identifiers: Path | None,
    password: Secret | None,
    thorough: bool,
    progress: Progress = silent,
) -> tuple[FileProof, ...]:
    """Judge every file under the paths, and put the check to the proof on copies of the PDFs."""
    from packets.proving.prove_files import prove_path  # noqa: PLC0415 - builds have a small proof

    quiet_engine()
    return tuple(
        proof
        for path, known in known_for(paths, identifiers)
        for proof in prove_path(
            path, known=known, passphrase=password, thorough=thorough, progress=progress
        )
    )
