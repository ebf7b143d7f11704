"""Masked documents kept from one build to the next, so that a source is masked once.

A folder (0700) holds one file (0600) for each: AES-256-GCM (NIST SP 800-38D) under a key
that lies elsewhere, so it is no plaintext on the disk, and nothing that somebody else has
written is taken. Its name is an HMAC-SHA-256 (RFC 2104) over all that decides over the
masked bytes: the flattened document, the pages, the numbers, the rules, the code of the
program and its engines. Only masked pages are kept: no document of which something was
left unread, and none that shows full numbers by design. The oldest go when there are
too many. The folder may be deleted at any time.

What is taken from here is judged by the outbound check like everything else.
"""

import contextlib
import errno
import hmac
import json
import os
import secrets
import stat
from collections.abc import Iterator
from contextvars import ContextVar
from pathlib import Path

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from packets.base.canonical import Json, canonical_json, sha256_hex
from packets.base.files import PARTIAL_PREFIX, sweep_partials
from packets.base.geometry import Box
from packets.handover.program import program_digest_once
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.masking.mask_document import MaskOrder
from packets.masking.records import Masked, MaskedDocument

MOST_BYTES = 64 * 1024 * 1024
"""Of all kept documents of one client together."""
_NONCE, _LENGTH = 12, 8
_ENDING = ".masked"


class MaskedShelf:
    """The folder of one client. Whatever is wrong with it costs time, never a build."""

    def __init__(self, folder: Path, key: bytes, most_bytes: int = MOST_BYTES) -> None:
        self._folder, self._most = folder, most_bytes
        self._naming = hmac.digest(key, b"name", "sha256")
        self._cipher = AESGCM(hmac.digest(key, b"content", "sha256"))

    def find(self, order: MaskOrder) -> MaskedDocument | None:
        """The very document that this order would make, or None."""
        if order.policy is None:
            return None
        name = self._name(order, order.policy)
        with contextlib.suppress(OSError, InvalidTag, ValueError, KeyError, TypeError):
            file = self._folder / name
            data = self._read(file)
            plain = self._cipher.decrypt(data[:_NONCE], data[_NONCE:], name.encode())
            os.utime(file)  # the last to go when room is needed
            return _document(plain)
        return None

    def keep(self, order: MaskOrder, masked: MaskedDocument) -> None:
        """Keep what was made, if it may be kept."""
        if order.policy is None or masked.unread:
            return
        plain = _plain(masked)
        if len(plain) > self._most // 2:
            return
        name = self._name(order, order.policy)
        nonce = secrets.token_bytes(_NONCE)
        with contextlib.suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            sweep_partials(self._folder)
            self._make_room(len(plain))
            sealed = nonce + self._cipher.encrypt(nonce, plain, name.encode())
            self._write(self._folder / name, sealed)

    def _read(self, file: Path) -> bytes:
        """A plain file of no more than what is ever kept. Raises OSError for anything else."""
        # A pipe in its place would be waited for without an end.
        descriptor = os.open(file, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
        with os.fdopen(descriptor, "rb") as opened:
            facts = os.fstat(descriptor)
            if not stat.S_ISREG(facts.st_mode) or facts.st_size > self._most:
                raise FileNotFoundError(errno.ENOENT, "nothing that was kept")
            return opened.read(self._most)

    @staticmethod
    def _write(path: Path, data: bytes) -> None:
        """Whole or not there for who reads it now. A power cut may tear it: then it is not read."""
        partial = path.with_name(f"{PARTIAL_PREFIX}{path.stem}")
        descriptor = os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600)
        with os.fdopen(descriptor, "wb") as file:
            file.write(data)
        partial.replace(path)

    def _name(self, order: MaskOrder, policy: MaskPolicy) -> str:
        told: list[Json] = [
            program_digest_once(),
            sha256_hex(order.pdf),
            [*order.pages],
            [*sorted(order.blank)],
            [_told(number) for number in order.known],
            [*sorted(kind.value for kind in policy.kinds)],
            [*sorted(kind.value for kind in policy.keep)],
            policy.glyph,
        ]
        return hmac.digest(self._naming, canonical_json(told), "sha256").hex() + _ENDING

    def _make_room(self, wanted: int) -> None:
        """Let the oldest go until so many bytes more are within the bound."""
        files = [(file.lstat(), file) for file in self._folder.glob(f"*{_ENDING}")]
        files.sort(key=lambda pair: pair[0].st_mtime)
        total = sum(facts.st_size for facts, _ in files) + wanted
        for facts, file in files:
            if total <= self._most:
                return
            file.unlink(missing_ok=True)
            total -= facts.st_size


def _told(number: KnownNumber) -> Json:
    return [number.kind.value, number.digits.reveal(), number.given]


def _plain(masked: MaskedDocument) -> bytes:
    """The length of the facts, the facts, then the pages."""
    facts = canonical_json(
        {
            "pages": masked.pages,
            "left_behind": list(masked.left_behind),
            "masks": [
                {
                    "kind": mask.kind.value,
                    "shown": mask.shown,
                    "page": mask.page,
                    "place": [mask.place.x0, mask.place.y0, mask.place.x1, mask.place.y1],
                    "within": mask.within,
                }
                for mask in masked.masks
            ],
        }
    )
    return len(facts).to_bytes(_LENGTH, "big") + facts + masked.pdf


def _document(plain: bytes) -> MaskedDocument:
    end = _LENGTH + int.from_bytes(plain[:_LENGTH], "big")
    facts = json.loads(plain[_LENGTH:end])
    return MaskedDocument(
        pdf=plain[end:],
        masks=tuple(
            Masked(
                Kind(mask["kind"]), mask["shown"], mask["page"], Box(*mask["place"]), mask["within"]
            )
            for mask in facts["masks"]
        ),
        pages=facts["pages"],
        left_behind=tuple(facts["left_behind"]),
    )


_IN_USE: ContextVar[MaskedShelf | None] = ContextVar("shelf of masked documents", default=None)


@contextlib.contextmanager
def shelf_in_use(shelf: MaskedShelf) -> Iterator[None]:
    """Inside, masking asks this shelf first, and puts there what it has made."""
    token = _IN_USE.set(shelf)
    try:
        yield
    finally:
        _IN_USE.reset(token)


def shelf_at_hand() -> MaskedShelf | None:
    """The shelf to ask, or None where nothing is kept."""
    return _IN_USE.get()
