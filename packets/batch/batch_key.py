"""The client's own random key, by which a batch remembers without telling anything.

A nine-digit number is found from its bare digest by trying all of them. So whatever a
batch keeps is named and sealed by HMAC-SHA-256 (RFC 2104) with this key, which lies
with the passphrases in `keys/` (0600), apart from what it seals. It may be deleted:
then everything counts as never seen.
"""

import hmac
from pathlib import Path

from packets.base.kept_key import kept_key
from packets.sealing.keys import keys_folder, make_keys_folder

KEY_FILE = "batch-key"
_BYTES = 32


class BatchKey:
    """The key; it shows itself nowhere."""

    def __init__(self, key: bytes) -> None:
        self._key = key

    def __repr__(self) -> str:
        return "BatchKey(***)"

    def digest(self, purpose: str, data: bytes) -> bytes:
        """An HMAC of `data` that serves one purpose only."""
        return hmac.digest(self._key, purpose.encode() + b"\0" + data, "sha256")

    def seals(self, purpose: str, data: bytes, seal: bytes) -> bool:
        """Whether `seal` is the digest, compared in constant time."""
        return hmac.compare_digest(self.digest(purpose, data), seal)


def batch_key(client: Path) -> BatchKey:
    """The client's key; a new one where there is none that only we could have read.

    Raises OSError where it cannot be kept.
    """
    make_keys_folder(client)
    return BatchKey(kept_key(keys_folder(client) / KEY_FILE, _BYTES))
