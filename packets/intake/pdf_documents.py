"""Opening a PDF that somebody sent: limits, locks, damage."""

import io
from dataclasses import dataclass

import pikepdf

from packets.base.errors import Damaged, Locked, OverLimit
from packets.base.limits import Limits
from packets.base.secret import Secret
from packets.intake.signed_fields import SignedField, signed_fields
from packets.intake.stream_sizes import first_oversized_stream


@dataclass(frozen=True)
class TakenPdf:
    """PDF bytes that open without a password, with what was done to get them."""

    pdf: bytes
    pages: int
    notes: tuple[str, ...] = ()
    signed: tuple[SignedField, ...] = ()
    """Fields with a cryptographic signature."""


def take_pdf(
    data: bytes, shown: str, limits: Limits, passwords: tuple[Secret, ...] = ()
) -> TakenPdf:
    """Check a PDF and hand on bytes that are unlocked and whole.

    The bytes are the given ones unless the file was encrypted or needed repair;
    then they are written anew, so that every later reader sees the same file.
    Raises `Locked`, `Damaged` or `OverLimit`, with `shown` as the place.
    """
    pdf, opened_by = _opened(data, shown, passwords)
    try:
        with pdf:
            return _judged(pdf, data, opened_by, shown, limits)
    except (pikepdf.PdfError, pikepdf.ForeignObjectError, ValueError, TypeError, KeyError):
        raise _damaged(shown) from None
    except (RecursionError, MemoryError):
        raise OverLimit("the file is nested too deeply or too large", where=shown) from None


def _opened(data: bytes, shown: str, passwords: tuple[Secret, ...]) -> tuple[pikepdf.Pdf, str]:
    """The document and how it was opened: `` (no lock), `empty` or `password`."""
    for place, password in enumerate((Secret(""), *passwords)):
        try:
            pdf = pikepdf.open(io.BytesIO(data), password=password.reveal())
        except pikepdf.PasswordError:
            continue
        except (pikepdf.PdfError, ValueError, RuntimeError):
            raise _damaged(shown) from None
        if place:
            return pdf, "password"
        return pdf, "empty" if pdf.is_encrypted else ""
    tried = " and none of the given ones opens it" if passwords else ""
    raise Locked(
        f"the file asks for a password{tried}",
        where=shown,
        remedy="Put its password on a line of keys/source-passwords.txt (mode 600) in the client "
        "folder, give it with --password-file, or save an unlocked copy.",
    )


def _judged(pdf: pikepdf.Pdf, data: bytes, opened_by: str, shown: str, limits: Limits) -> TakenPdf:
    if len(pdf.objects) > limits.objects:
        raise OverLimit(f"the file has more than {limits.objects:,} objects", where=shown)
    pages = len(pdf.pages)
    if pages > limits.pages:
        raise OverLimit(f"the file has more than {limits.pages:,} pages", where=shown)
    if pages == 0:
        raise Damaged("the file has no pages", where=shown)
    if any(not isinstance(page.obj, pikepdf.Dictionary) for page in pdf.pages):
        raise _damaged(shown)
    oversized = first_oversized_stream(pdf, limits)
    if oversized:
        raise OverLimit(f"{oversized} unpacks to more than we handle safely", where=shown)
    notes = []
    if opened_by == "empty":
        notes.append("encrypted, but with an empty password; unlocked in memory")
    elif opened_by:
        notes.append("locked; unlocked in memory with a password of keys/source-passwords.txt")
    if pdf.get_warnings():
        notes.append("damaged, and repaired in memory; compare its pages with the original")
    signed = signed_fields(pdf)
    if not notes:
        return TakenPdf(data, pages, signed=signed)
    return TakenPdf(written(pdf), pages, tuple(notes), signed)


def written(pdf: pikepdf.Pdf) -> bytes:
    """The document as unencrypted bytes: the same for the same document."""
    target = io.BytesIO()
    pdf.save(target, deterministic_id=True, encryption=False)
    return target.getvalue()


def _damaged(shown: str) -> Damaged:
    return Damaged("the file is damaged and cannot be opened as a PDF", where=shown)
