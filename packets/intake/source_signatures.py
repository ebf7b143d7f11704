"""A cryptographic signature that a source already bears: who, when, and whether it holds.

Signing, flattening and masking write a document anew, which ends any signature over its
bytes; so it is examined on the file as it came. pyHanko does it where it is installed
(the extra `signed-sources`); else the signature is recorded as not verified. Nothing is
fetched from any network, and who issued the certificate is not judged: anybody can make
one in any name.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from packets.intake.records import SignatureVerdict, SourceSignature
from packets.intake.signed_fields import SignedField

if TYPE_CHECKING:
    from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

LARGEST = 32 * 1024 * 1024
"""Bytes of a file whose signatures are examined; comparing its revisions takes long."""
ISSUER = "who issued the certificate was not judged"
Examiner = Callable[[bytes], Mapping[str, SourceSignature]]
"""Examines the signatures in the bytes of a file; the result is by field name."""


def source_signatures(
    data: bytes, fields: Sequence[SignedField], find_examiner: Callable[[], Examiner | None]
) -> tuple[SourceSignature, ...]:
    """One record for each signed field. `find_examiner` gives None where none is installed."""
    if not fields:
        return ()
    examiner = find_examiner()
    examined: Mapping[str, SourceSignature] = {}
    why = "pyHanko is not installed (the extra `signed-sources`)"
    if examiner is not None and len(data) > LARGEST:
        why = "the file is too large to be examined"
    elif examiner is not None:
        why = "it could not be examined"
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            try:
                examined = examiner(data)
            except Exception:  # a hostile file may make the library fail in any way
                examined = {}
    return tuple(
        examined.get(field.name)
        or SourceSignature(
            field.name,
            field.claimed_name,
            field.claimed_time,
            SignatureVerdict.NOT_VERIFIED,
            f"{why}; name and time are what the signature claims",
        )
        for field in fields
    )


def installed_examiner() -> Examiner | None:
    """The examiner of pyHanko, or None where it is not installed."""
    try:
        import pyhanko.sign.validation  # noqa: F401, PLC0415 - an extra, loaded only when needed
    except ImportError:
        return None
    return examine


def examine(data: bytes) -> Mapping[str, SourceSignature]:
    """Verify every signature of a PDF by itself, offline. Raises whatever pyHanko raises."""
    from pyhanko.pdf_utils.reader import PdfFileReader  # noqa: PLC0415 - an extra

    reader = PdfFileReader(io.BytesIO(data))
    found = {}
    for signature in reader.embedded_signatures:
        try:
            found[signature.field_name] = _judged(signature)
        except Exception:  # noqa: S112 - one that cannot be examined is told as not verified
            continue
    return found


def _judged(signature: EmbeddedPdfSignature) -> SourceSignature:
    from pyhanko.sign.diff_analysis import ModificationLevel  # noqa: PLC0415 - an extra
    from pyhanko.sign.validation import validate_pdf_signature  # noqa: PLC0415
    from pyhanko.sign.validation.status import SignatureCoverageLevel  # noqa: PLC0415
    from pyhanko_certvalidator import ValidationContext  # noqa: PLC0415

    context = ValidationContext(trust_roots=[], allow_fetching=False)
    status = validate_pdf_signature(signature, signer_validation_context=context)
    whole = status.coverage == SignatureCoverageLevel.ENTIRE_FILE
    level = status.modification_level
    kept = whole or (level is not None and level != ModificationLevel.OTHER and status.docmdp_ok)
    if not (status.intact and status.valid):
        verdict, why = SignatureVerdict.NOT_VALID, "the signed bytes were changed"
    elif not kept:
        verdict, why = SignatureVerdict.NOT_VALID, "the document was changed after signing"
    else:
        verdict, why = SignatureVerdict.VALID, ISSUER
    subject = status.signing_cert.subject.native
    moment = status.signer_reported_dt
    return SourceSignature(
        field=signature.field_name,
        signer=str(subject.get("common_name") or ""),
        signed_at=moment.isoformat(timespec="seconds") if moment else "",
        verdict=verdict,
        why=why,
    )
