"""`packets verify`: is this packet the one that was released?"""

from pathlib import Path

import click
from rich.console import Console

from packets.base.errors import ExitStatus
from packets.cli.options import EXISTING_FILE, json_option, office_option, public_key_option
from packets.cli.outcome import Outcome
from packets.cli.proof_words import STYLES, finding_form
from packets.cli.sheet import BAD, GOOD, Verbatim, columns, heading, lines, points, say
from packets.handover.office_keys import trusted_keys
from packets.sealing.packet_proof import prove_packet
from packets.sealing.proof_papers import papers_beside
from packets.sealing.proof_records import PacketProof


@click.command("verify", short_help="Prove a packet by its papers, ledger and signature.")
@click.argument("packet", type=EXISTING_FILE)
@public_key_option
@click.option(
    "--ledger",
    type=click.Path(exists=True, path_type=Path),
    help="The ledger.jsonl, or its folder; looked for above and beside PACKET unless given.",
)
@office_option
@json_option
def command(
    packet: Path, public_keys: tuple[Path, ...], ledger: Path | None, office: Path | None
) -> Outcome:
    """Prove that the file PACKET is the one that was released, and say what was not proved.

    Asked are the manifest, SHA256SUMS and the signature beside it, and the ledger.
    On another machine the packet, its manifest, its signature and the office's public
    key are enough; no passphrase is needed. Exit status 0: the manifest describes this
    file, and the ledger or the signature (with --public-key: the signature) vouches for
    it; 1: something contradicts, or nothing vouches.
    """
    keys = trusted_keys(packet.resolve().parent, public_keys, office)
    papers = papers_beside(packet, keys, ledger=ledger, key_given=bool(public_keys))
    proof = prove_packet(packet, papers)
    return Outcome(
        status=ExitStatus.CLEAN if proof.proved else ExitStatus.HELD,
        document=lambda: {
            "packet": str(packet),
            "sha256": proof.sha256,
            "proved": proof.proved,
            "findings": [finding_form(finding) for finding in proof.findings],
            "not_asked": list(NOT_ASKED),
        },
        show=lambda console: _show(console, proof),
        note="" if proof.proved else "Held: this packet is not proved.",
    )


NOT_ASKED = (
    "What stands on the pages: whether the check found it clean stands in the manifest.",
    "The times: they are those of the office's own clock.",
    "Whose the public key is: compare its fingerprint with one told by another route.",
)
"""What no answer here says anything about."""


def _show(console: Console, proof: PacketProof) -> None:
    word = ("Proved", GOOD) if proof.proved else ("Not proved", BAD)
    say(console, word, f": {proof.packet.name}")
    rows = [
        (finding.what, (finding.standing.value, STYLES[finding.standing]), finding.words)
        for finding in proof.findings
    ]
    columns(console, rows, narrow=(0, 1))
    keys = dict.fromkeys(finding.key for finding in proof.findings if finding.key)
    lines(console, [("SHA-256", Verbatim(proof.sha256)), *(("key", Verbatim(key)) for key in keys)])
    heading(console, "Not asked here")
    points(console, NOT_ASKED)
