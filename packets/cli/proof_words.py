"""How one answer of a proof is told."""

from packets.base.canonical import Json
from packets.cli.plain_text import plain
from packets.cli.sheet import BAD, GOOD
from packets.sealing.proof_records import Finding, Standing

STYLES = {Standing.PROVED: GOOD, Standing.NOT_PROVED: "bold", Standing.CONTRADICTED: BAD}


def finding_form(finding: Finding) -> Json:
    """One answer, with the fingerprint of the key that is said to have signed."""
    return {
        "what": finding.what,
        "standing": finding.standing.value,
        "words": plain(finding.words),
        "key": finding.key or None,
    }
