"""The proof over a path: every file is checked, and every PDF proved besides."""

from collections.abc import Callable, Sequence
from pathlib import Path

from packets.base.errors import InputRefused
from packets.base.limits import DEFAULT_LIMITS
from packets.base.progress import Progress, silent
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.outbound.check import file_bytes
from packets.outbound.folder import check_path, files_under
from packets.outbound.keys import keys_for
from packets.outbound.records import Verdict
from packets.proving.place import Place
from packets.proving.places import PLACES
from packets.proving.prove import prove_pdf
from packets.proving.records import FileProof

_NO_PDF = "this is no PDF"


def prove_path(
    path: Path,
    *,
    known: Sequence[KnownNumber],
    passphrase: Secret | None = None,
    find_key: Callable[[Path], Secret | None] = keys_for,
    thorough: bool = False,
    places: Sequence[Place] = PLACES,
    progress: Progress = silent,
) -> tuple[FileProof, ...]:
    """Check the file at `path`, or every file under it, and prove the check on every PDF.

    `known`, `passphrase` and `find_key` are those of the check of the files themselves
    (`outbound.folder.check_path`); the planted numbers are others.
    """
    verdicts = check_path(
        path,
        known=known,
        policy=MaskPolicy(),
        passphrase=passphrase,
        find_key=find_key,
        thorough=thorough,
        progress=progress,
    )
    files = files_under(path)
    if not files:
        return tuple(FileProof(verdict, None, why_not=_NO_PDF) for verdict in verdicts)
    proofs: list[FileProof] = []
    for (file, _), verdict in zip(files, verdicts, strict=True):
        word = passphrase or find_key(file)
        proofs.append(_of_file(file, verdict, word, places, thorough, progress))
    return tuple(proofs)


def _of_file(
    file: Path,
    verdict: Verdict,
    passphrase: Secret | None,
    places: Sequence[Place],
    thorough: bool,
    progress: Progress,
) -> FileProof:
    try:
        data = file_bytes(file, DEFAULT_LIMITS)
        if file.suffix.lower() != ".pdf" and b"%PDF-" not in data[:1024]:
            return FileProof(verdict, None, why_not=_NO_PDF)
        proof = prove_pdf(
            data, passphrase=passphrase, places=places, thorough=thorough, progress=progress
        )
    except InputRefused as refused:
        return FileProof(verdict, None, is_pdf=True, why_not=refused.what)
    return FileProof(verdict, proof, is_pdf=True)
