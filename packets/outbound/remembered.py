"""Verdicts remembered from one run to the next, so that an unchanged file is not read again.

A folder (0700) holds a random key (0600) and a file of lines (0600). The name of a
line is an HMAC-SHA-256 (RFC 2104) over the file's digest and name, the rules, the
numbers that were looked for, and whatever else decides; so the lines tell nobody
without the key what numbers those were. Each line is sealed with the same key: one
that was changed, cut or put in counts as not there, and its file is read again.
The folder may be deleted at any time; then everything is read again.
"""

import contextlib
import hmac
import json
import os
import stat
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from packets.base.canonical import Json, canonical_json
from packets.base.kept_key import kept_key
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.outbound.records import Judgement, ReaderReport, Sighting, Verdict

_KEY, _LINES = "key", "verdicts"
_KEY_BYTES = 32
_MOST_BYTES = 256 * 1024 * 1024
_FLUSH_AFTER = 64
_HEXADECIMAL = 64


class RecordFolder:
    """The folder of remembered verdicts. Raises OSError where it cannot be kept safely."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        facts = folder.stat()
        if facts.st_uid != os.geteuid() or facts.st_mode & 0o022:
            raise PermissionError("others may write to the folder of remembered verdicts")
        self._file = folder / _LINES
        forget = partial(self._file.unlink, missing_ok=True)
        self._key = kept_key(folder / _KEY, _KEY_BYTES, anew=forget)
        self._lines = _lines(self._file)
        self.fault = ""
        """Why verdicts of a run could not be written down; empty when they were."""

    def under(
        self,
        rules: str,
        known: Sequence[KnownNumber],
        policy: MaskPolicy,
        *,
        thorough: bool,
        ours: bool,
    ) -> "Remembered":
        """What is remembered of runs under these rules and with these numbers."""
        numbers = sorted(f"{n.kind.value} {n.digits.reveal()} {n.given}" for n in known)
        kinds = sorted(kind.value for kind in policy.kinds)
        keep = sorted(kind.value for kind in policy.keep)
        how = canonical_json([rules, list(numbers), list(kinds), list(keep), thorough, ours])
        return Remembered(self, self._key, self._lines, self.seal(b"how", how))

    def add(self, lines: bytes) -> None:
        """Write lines behind the others. A full disk costs the memory, never a verdict."""
        try:
            flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC
            descriptor = os.open(self._file, flags, 0o600)
            try:
                os.write(descriptor, b"\n" + lines)
            finally:
                os.close(descriptor)
        except OSError as error:
            self.fault = os.strerror(error.errno or 0).lower()

    def seal(self, purpose: bytes, data: bytes) -> bytes:
        """An HMAC that serves one purpose only."""
        return hmac.digest(self._key, purpose + b"\0" + data, "sha256")


class Remembered:
    """Verdicts of one sort of run. Close it in the end."""

    def __init__(
        self, folder: RecordFolder, key: bytes, lines: dict[bytes, bytes], how: bytes
    ) -> None:
        self._folder, self._key, self._lines, self._how = folder, key, lines, how
        self._waiting: list[bytes] = []

    def verdict(self, name: str, sha256: str, passphrase: Secret | None) -> Verdict | None:
        """The verdict on a file of this name and digest, if there is one whose seal is whole."""
        identity = self._identity(name, sha256, passphrase)
        line = self._lines.get(identity)
        if line is None:
            return None
        seal, body = line[:_HEXADECIMAL], line[_HEXADECIMAL + 1 :]
        if not hmac.compare_digest(seal, self._seal(identity, body)):
            return None
        with contextlib.suppress(ValueError, KeyError, TypeError):
            verdict = _verdict(name, json.loads(body))
            return verdict if verdict.sha256 == sha256 else None
        return None

    def keep(self, name: str, verdict: Verdict, passphrase: Secret | None) -> None:
        """Remember a verdict; it is on disk at the latest when this is closed."""
        identity = self._identity(name, verdict.sha256, passphrase)
        body = canonical_json(_form(verdict))
        self._waiting.append(b" ".join((identity, self._seal(identity, body), body)) + b"\n")
        if len(self._waiting) >= _FLUSH_AFTER:
            self.close()

    def close(self) -> None:
        """Write what waits."""
        if self._waiting:
            self._folder.add(b"".join(self._waiting))
            self._waiting.clear()

    def _identity(self, name: str, sha256: str, passphrase: Secret | None) -> bytes:
        word = passphrase.reveal() if passphrase else ""
        parts = [
            self._how,
            *(text.encode("utf-8", "surrogatepass") for text in (name, sha256, word)),
        ]
        told = b"".join(len(part).to_bytes(8, "big") + part for part in parts)
        return hmac.digest(self._key, b"file\0" + told, "sha256").hex().encode()

    def _seal(self, identity: bytes, body: bytes) -> bytes:
        return hmac.digest(self._key, b"seal\0" + identity + body, "sha256").hex().encode()


def _lines(file: Path) -> dict[bytes, bytes]:
    """Every line by its name, the last of a name; a file out of bounds is begun anew."""
    try:
        facts = file.lstat()
        if not stat.S_ISREG(facts.st_mode) or facts.st_size > _MOST_BYTES:
            file.unlink()
            return {}
        data = file.read_bytes()
    except FileNotFoundError:
        return {}
    return {
        line[:_HEXADECIMAL]: line[_HEXADECIMAL + 1 :]
        for line in data.split(b"\n")
        if line[_HEXADECIMAL : _HEXADECIMAL + 1] == b" "
    }


def _form(verdict: Verdict) -> dict[str, Json]:
    return {
        "sha256": verdict.sha256,
        "verdict": verdict.judgement.value,
        "readers": [[r.name, r.version, r.pages, r.findings] for r in verdict.readers],
        "sightings": [
            [s.kind, s.page, _safe(s.place), s.reader, s.how_sure] for s in verdict.sightings
        ],
        "unread": [_safe(place) for place in verdict.unread],
    }


def _safe(words: str) -> str:
    """Words that can be written as UTF-8, whatever bytes stood in a name."""
    return words.encode("utf-8", "replace").decode("utf-8")


def _verdict(name: str, form: "dict[str, list[list[str]]]") -> Verdict:
    return Verdict(
        name,
        str(form["sha256"]),
        Judgement(str(form["verdict"])),
        tuple(ReaderReport(n, v, int(pages), int(seen)) for n, v, pages, seen in form["readers"]),
        tuple(
            Sighting(kind, int(page), place, reader, sure)
            for kind, page, place, reader, sure in form["sightings"]
        ),
        tuple(map(str, form["unread"])),
    )
