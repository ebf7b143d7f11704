"""Content streams of one document that were found plain, so that none is judged twice."""

from hashlib import sha256

from packets.masking.plain_content import goes_on_plainly, is_plain, without_marks

_MOST = 50_000
"""Digests that are kept; what comes after is judged each time."""


class JudgedStreams:
    """Remembers digests, never a stream. They tell by themselves whether a stream has changed."""

    def __init__(self) -> None:
        self._plain: set[bytes] = set()

    def bare(self, data: bytes) -> bytes | None:
        """The stream without marked content, if it is plain then; else None."""
        if sha256(data).digest() in self._plain:
            return data
        bare = data
        if not is_plain(data):
            bare = without_marks(data)
            if bare == data or not is_plain(bare):
                return None
        self._note(bare)
        return bare

    def joined(self, head: bytes, rest: bytes) -> bytes:
        """Both in one; `rest` is the end of a plain stream, cut off between two operations."""
        whole = head + rest
        if goes_on_plainly(head, rest):
            self._note(whole)
        return whole

    def _note(self, plain: bytes) -> None:
        if len(self._plain) < _MOST:
            self._plain.add(sha256(plain).digest())
