"""Cryptographic signatures that sources bear, as answers to the lines of a form."""

from dataclasses import replace

from packets.intake.records import SignatureVerdict, SourceDocument
from packets.signatures.records import MissingSignature, SignedDocument


def without_broken_signatures(signed: SignedDocument, source: SourceDocument) -> SignedDocument:
    """A signature that was found not to hold answers nothing: its line is missing one."""
    broken = {one.field for one in source.signatures if one.verdict is SignatureVerdict.NOT_VALID}
    missing = tuple(
        MissingSignature(
            line.role,
            line.document,
            line.page,
            line.field,
            "the cryptographic signature that stands there does not hold",
        )
        for line in signed.already
        if line.field in broken
    )
    kept = tuple(line for line in signed.already if line.field not in broken)
    return replace(signed, missing=(*signed.missing, *missing), already=kept)
