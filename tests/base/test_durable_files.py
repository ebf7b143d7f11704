"""A durable write leaves the old file or the new one, whatever happens in between."""

import errno
import hashlib
import os
from pathlib import Path

import pytest
from killed_runs import die, nth_disk_call, was_killed

from packets.base.files import (
    PARTIAL_PREFIX,
    file_sha256,
    partial_file,
    sweep_partials,
    sync_folder,
    write_durably,
)

OLD, NEW = b"old content", b"new content, longer than the old"
CALLS_OF_A_WRITE = ("fsync", "replace", "unlink", "open")


def refuse() -> None:
    raise OSError(errno.ENOSPC, "full")


def write_and_die(path: Path, number: int) -> None:
    with nth_disk_call(number, die, calls=CALLS_OF_A_WRITE):
        write_durably(path, NEW)


def test_a_write_killed_at_any_call_leaves_the_old_file_or_the_new(tmp_path: Path) -> None:
    path = tmp_path / "file"
    found = set()
    for number in range(20):
        path.write_bytes(OLD)
        killed = was_killed(write_and_die, path, number)
        found.add(path.read_bytes())
        sweep_partials(tmp_path)
        assert [each.name for each in tmp_path.iterdir()] == ["file"]
        if not killed:
            break
    assert found == {OLD, NEW}
    assert not killed


def test_a_disk_that_refuses_leaves_the_old_file_and_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "file"
    for number in range(20):
        path.write_bytes(OLD)
        with nth_disk_call(number, refuse, calls=CALLS_OF_A_WRITE):
            try:
                write_durably(path, NEW)
                refused = False
            except OSError:
                refused = True
        assert path.read_bytes() in (OLD, NEW)
        assert [each.name for each in tmp_path.iterdir()] == ["file"]
        if not refused and path.read_bytes() == NEW and number > 5:
            break
    assert number < 19


def test_the_file_is_for_the_owner_alone_unless_said_otherwise(tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        write_durably(tmp_path / "private", NEW)
        write_durably(tmp_path / "shared", NEW, mode=0o644)
    finally:
        os.umask(old)
    assert (tmp_path / "private").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "shared").stat().st_mode & 0o777 == 0o644


def test_content_and_folder_are_synced_in_that_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    synced, renamed = os.fsync, os.replace

    def fsync(descriptor: int) -> None:
        is_file = os.fstat(descriptor).st_size == len(NEW)
        done.append("file" if is_file else "folder")
        synced(descriptor)

    def replace(source: str, target: str) -> None:
        done.append("rename")
        renamed(source, target)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "replace", replace)
    write_durably(tmp_path / "file", NEW)
    assert done == ["file", "rename", "folder"]


def test_a_link_under_the_name_is_replaced_and_not_followed(tmp_path: Path) -> None:
    (tmp_path / "target").write_bytes(OLD)
    (tmp_path / "link").symlink_to(tmp_path / "target")
    write_durably(tmp_path / "link", NEW)
    assert (tmp_path / "target").read_bytes() == OLD
    assert not (tmp_path / "link").is_symlink()


@pytest.mark.parametrize("failure", [RuntimeError, KeyboardInterrupt])
def test_a_partial_file_is_whole_inside_and_gone_outside(
    tmp_path: Path, failure: type[BaseException]
) -> None:
    def stage() -> None:
        with partial_file(tmp_path / "file", NEW) as partial:
            assert partial.read_bytes() == NEW
            assert partial.parent == tmp_path
            assert partial.name.startswith(PARTIAL_PREFIX)
            raise failure

    with pytest.raises(failure):
        stage()
    assert list(tmp_path.iterdir()) == []


def test_a_renamed_partial_file_stays(tmp_path: Path) -> None:
    with partial_file(tmp_path / "file", NEW) as partial:
        partial.replace(tmp_path / "file")
    assert (tmp_path / "file").read_bytes() == NEW


def test_sweeping_takes_leftovers_only_and_counts_them(tmp_path: Path) -> None:
    for name in (f"{PARTIAL_PREFIX}1", f"{PARTIAL_PREFIX}2", "partial-3", "kept"):
        (tmp_path / name).write_bytes(OLD)
    assert sweep_partials(tmp_path) == 2
    assert {path.name for path in tmp_path.iterdir()} == {"partial-3", "kept"}
    assert sweep_partials(tmp_path) == 0
    assert sweep_partials(tmp_path / "absent") == 0


@pytest.mark.parametrize("size", [0, 1, 1_000_003])
def test_the_digest_of_a_file_is_that_of_its_bytes(tmp_path: Path, size: int) -> None:
    data = bytes(range(251)) * (size // 251 + 1)
    (tmp_path / "file").write_bytes(data[:size])
    assert file_sha256(tmp_path / "file") == hashlib.sha256(data[:size]).hexdigest()


def test_syncing_a_folder_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        sync_folder(tmp_path / "absent")
