"""The check over a path: one verdict for every file in it."""

import os
from collections.abc import Callable, Sequence
from pathlib import Path

from packets.base.errors import InputRefused
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.progress import Progress, Step, silent
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.outbound.check import check_pdf, file_bytes, verdict
from packets.outbound.file_name import held_for_name, without_numbers
from packets.outbound.hunting import Hunter
from packets.outbound.keys import keys_for
from packets.outbound.records import Verdict
from packets.outbound.text_file import TEXT_ENDINGS, TEXT_NAMES, read_text_file

_MOST_FILES = 10_000


def check_path(
    path: Path,
    *,
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    passphrase: Secret | None = None,
    find_key: Callable[[Path], Secret | None] = keys_for,
    thorough: bool = False,
    ours: bool = False,
    progress: Progress = silent,
    limits: Limits = DEFAULT_LIMITS,
) -> tuple[Verdict, ...]:
    """Judge the file at `path`, or every file under it, in the order of their names.

    Without `passphrase`, `find_key` is asked for each PDF. A file that cannot be
    taken as a whole (damaged, locked, over a limit, of another kind) is held with
    the reason among what stayed unread; so is a folder with nothing in it.
    """

    def judge(file: Path, name: str) -> Verdict:
        data = b""
        try:
            data = _bytes_of(file, limits)
            if file.suffix.lower() != ".pdf" and b"%PDF-" not in data[:1024]:
                return _other(file, name, data, hunter)
            return check_pdf(
                data,
                name=name,
                passphrase=passphrase or find_key(file),
                known=known,
                policy=policy,
                thorough=thorough,
                ours=ours,
                progress=progress,
                limits=limits,
            )
        except InputRefused as refused:
            return verdict(name, data, (), (refused.what,))

    hunter = Hunter(known, policy)
    files = files_under(path)
    verdicts: list[Verdict] = []
    for done, (file, name) in enumerate(files, 1):
        shown, hits = without_numbers(name, hunter)
        progress(Step("check", shown, done, len(files)))
        verdicts.append(held_for_name(judge(file, shown), hits))
    if not verdicts:
        return (verdict(path.name, b"", (), ("nothing to check here",)),)
    return tuple(verdicts)


def _other(file: Path, name: str, data: bytes, hunter: Hunter) -> Verdict:
    if file.suffix.lower() in TEXT_ENDINGS or file.name in TEXT_NAMES:
        return verdict(name, data, read_text_file(data, hunter))
    return verdict(name, data, (), ("a file of a kind that this check cannot read",))


def files_under(path: Path) -> list[tuple[Path, str]]:
    """Files to judge with the names that stand in their verdicts; links are not followed."""
    if not path.is_dir():
        return [(path, path.name)]
    found: list[tuple[Path, str]] = []
    for folder, inner, names in os.walk(path):
        inner.sort()
        for name in sorted(names):
            file = Path(folder) / name
            found.append((file, file.relative_to(path).as_posix()))
            if len(found) > _MOST_FILES:
                raise InputRefused("more files than this program promises to check")
    return found


def _bytes_of(file: Path, limits: Limits) -> bytes:
    if not file.is_file():
        raise InputRefused("no file that can be read")
    return file_bytes(file, limits)
