"""The check over a path: one verdict for every file in it."""

import hashlib
from collections.abc import Callable, Sequence
from pathlib import Path

from packets.base.errors import InputRefused
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.progress import Progress, Step, silent
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.outbound.any_file import check_file
from packets.outbound.check import verdict
from packets.outbound.file_name import held_for_name, without_numbers
from packets.outbound.hunting import Hunter
from packets.outbound.keys import keys_for
from packets.outbound.records import Verdict
from packets.outbound.remembered import RecordFolder, Remembered
from packets.outbound.rule_version import rule_version
from packets.outbound.side_by_side import judged_side_by_side
from packets.outbound.walk import Entry, bytes_of, entries_under

FindKey = Callable[[Path], Secret | None]


def check_path(
    path: Path,
    *,
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    passphrase: Secret | None = None,
    find_key: FindKey = keys_for,
    thorough: bool = False,
    ours: bool = False,
    progress: Progress = silent,
    limits: Limits = DEFAULT_LIMITS,
    record: RecordFolder | None = None,
    processes: int = 1,
) -> tuple[Verdict, ...]:
    """Judge the file at `path`, or every file under it, in the order of their names.

    Without `passphrase`, `find_key` is asked for each PDF. A file that cannot be
    taken as a whole (damaged, locked, over a limit, of another kind) is held with
    the reason among what stayed unread; so is a folder with nothing in it. What
    `record` remembers under the same rules and numbers is not read again.
    """
    judge = FolderJudge(known, policy, passphrase, find_key, thorough, ours, limits, record)
    found = _Verdicts(entries_under(path), judge, progress)
    try:
        verdicts = found.all(processes)
    finally:
        judge.close()
    return verdicts or (verdict(path.name, b"", (), ("nothing to check here",)),)


def files_under(path: Path) -> list[tuple[Path, str]]:
    """Files to judge with the names that stand in their verdicts; links are not followed."""
    return [(each.file, each.name) for each in entries_under(path) if not each.is_folder]


class FolderJudge:
    """All that decides over the files of one run. Close it in the end."""

    def __init__(
        self,
        known: Sequence[KnownNumber],
        policy: MaskPolicy,
        passphrase: Secret | None,
        find_key: FindKey,
        thorough: bool,
        ours: bool,
        limits: Limits,
        record: RecordFolder | None,
    ) -> None:
        self.known, self.policy = known, policy
        self.passphrase, self.find_key = passphrase, find_key
        self.thorough, self.ours, self.limits = thorough, ours, limits
        self.hunter = Hunter(known, policy)
        self.remembered: Remembered | None = None
        if record is not None:
            self.remembered = record.under(
                rule_version(), known, policy, thorough=thorough, ours=ours
            )

    def close(self) -> None:
        """Write down what is to be remembered."""
        if self.remembered is not None:
            self.remembered.close()

    def named(self, entry: Entry, judged: Verdict) -> Verdict:
        """The verdict, held where the name of the file or of a folder above it shows a number."""
        return held_for_name(judged, without_numbers(entry.name, self.hunter)[1])

    def shown(self, entry: Entry) -> str:
        """The name of an entry as it may be told."""
        return without_numbers(entry.name, self.hunter)[0]

    def known_already(self, entry: Entry) -> Verdict | None:
        """The verdict that is remembered for the bytes that lie there now."""
        if self.remembered is None:
            return None
        try:
            digest = hashlib.sha256(bytes_of(entry.file, self.limits)).hexdigest()
        except InputRefused:
            return None
        return self.remembered.verdict(self.shown(entry), digest, self.key(entry))

    def keep(self, entry: Entry, judged: Verdict) -> None:
        """Remember a verdict on bytes that were read."""
        # A key that is put there later would change what was said of a locked file.
        is_locked = any("password" in place for place in judged.unread)
        if self.remembered is not None and judged.readers and not is_locked:
            self.remembered.keep(self.shown(entry), judged, self.key(entry))

    def key(self, entry: Entry) -> Secret | None:
        """The passphrase for a file."""
        return self.passphrase or self.find_key(entry.file)

    def lost(self, entry: Entry) -> Verdict:
        """The verdict on a file whose reader came to an end before it."""
        return verdict(self.shown(entry), b"", (), ("the reader ended before the file did",))

    def read(self, entry: Entry, progress: Progress = silent) -> Verdict:
        """Read a file and judge it, apart from its name."""
        shown = self.shown(entry)
        if entry.fault:
            return verdict(shown, b"", (), (entry.fault,))
        try:
            data = bytes_of(entry.file, self.limits)
        except InputRefused as refused:
            return verdict(shown, b"", (), (refused.what,))
        return check_file(
            data,
            name=shown,
            known=self.known,
            policy=self.policy,
            passphrase=self.passphrase,
            key_of=lambda name: self.find_key(entry.file.with_name(name)) if name else None,
            thorough=self.thorough,
            ours=self.ours,
            progress=progress,
            limits=self.limits,
        )


class _Verdicts:
    """The verdicts of one run, by the place of their entry."""

    def __init__(self, entries: tuple[Entry, ...], judge: FolderJudge, progress: Progress) -> None:
        self.entries, self.judge, self.progress = entries, judge, progress
        self.done = 0
        self.total = sum(not entry.is_folder for entry in entries)

    def all(self, processes: int) -> tuple[Verdict, ...]:
        verdicts: dict[int, Verdict] = {}
        to_read: list[int] = []
        for at, entry in enumerate(self.entries):
            if entry.is_folder:
                judged = self.judge.named(entry, verdict(self.judge.shown(entry), b"", ()))
                if judged.sightings:
                    verdicts[at] = judged
                continue
            before = None if entry.fault else self.judge.known_already(entry)
            if before is None:
                to_read.append(at)
            else:
                verdicts[at] = self._told(entry, before)
        for at, judged_now in judged_side_by_side(self._read, to_read, processes=processes):
            entry = self.entries[at]
            result = judged_now or self.judge.lost(entry)
            self.judge.keep(entry, result)
            verdicts[at] = self._told(entry, result)
        return tuple(verdicts[at] for at in sorted(verdicts))

    def _read(self, at: int) -> Verdict:
        return self.judge.read(self.entries[at], self.progress)

    def _told(self, entry: Entry, judged: Verdict) -> Verdict:
        self.done += 1
        self.progress(Step("check", judged.file, self.done, self.total))
        return self.judge.named(entry, judged)
