"""A folder with everything in it that a folder can hold: nothing is passed over in silence."""

import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from outbound_pages import page_pdf

from packets.base.progress import Step
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.folder import FolderJudge, check_path
from packets.outbound.records import Judgement, Verdict
from packets.outbound.remembered import RecordFolder
from packets.outbound.side_by_side import judged_apart, judged_side_by_side

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)


def judged(path: Path, **how: object) -> dict[str, Verdict]:
    verdicts = check_path(path, known=KNOWN, policy=MaskPolicy(), **how)  # type: ignore[arg-type]
    return {verdict.file: verdict for verdict in verdicts}


def held(path: Path) -> set[str]:
    return {name for name, each in judged(path).items() if each.judgement is Judgement.HELD}


def test_a_loop_of_links_is_held_and_ends(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "again").symlink_to(tmp_path, target_is_directory=True)
    (tmp_path / "a" / "self").symlink_to("self")
    (tmp_path / "b.txt").write_text("Dear client")
    assert held(tmp_path) == {"a/again", "a/self"}


def test_pipes_sockets_and_devices_are_held_without_waiting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    os.mkfifo(tmp_path / "pipe.txt")
    monkeypatch.chdir(tmp_path)
    with socket.socket(socket.AF_UNIX) as listener:
        listener.bind("socket.txt")
        assert held(tmp_path) == {"pipe.txt", "socket.txt"}


def test_names_with_line_feeds_and_odd_bytes_are_judged(tmp_path: Path) -> None:
    for name in (b"a\nb.txt", b"\xff\xfe.txt", b"c\x1b[31m.txt"):
        Path(os.fsdecode(os.fsencode(tmp_path) + b"/" + name)).write_text("666-12-3457")
    verdicts = judged(tmp_path)
    assert len(verdicts) == 3
    assert all(verdict.sightings for verdict in verdicts.values())


def test_odd_names_are_remembered_as_well(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    Path(os.fsdecode(os.fsencode(tmp_path / "out") + b"/\xff.txt")).write_text("Dear client")
    first = judged(tmp_path / "out", record=RecordFolder(tmp_path / "record"))
    assert judged(tmp_path / "out", record=RecordFolder(tmp_path / "record")) == first


@pytest.mark.parametrize("name", ["666-12-3457", "of 000 12 3456 x"])
def test_a_number_in_the_name_of_a_folder_is_seen(tmp_path: Path, name: str) -> None:
    (tmp_path / "out" / name / "empty").mkdir(parents=True)
    (verdict,) = judged(tmp_path / "out").values()
    assert verdict.sightings
    (tmp_path / "out" / name / "a.txt").write_text("Dear client")
    assert all(each.sightings for each in judged(tmp_path / "out").values())
    assert judged(tmp_path / "out" / name)["a file whose name shows a number"].sightings


def test_a_known_number_over_folder_and_file_name_is_seen(tmp_path: Path) -> None:
    (tmp_path / "00012").mkdir()
    (tmp_path / "00012" / "3456.txt").write_text("Dear client")
    assert all(each.sightings for each in judged(tmp_path).values())


def test_what_this_account_may_not_read_is_held(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.txt").write_text("Dear client")
    (tmp_path / "b.txt").write_text("Dear client")
    plain = os.open

    def shut(path: object, *how: int) -> int:
        if str(path).endswith("a.txt"):
            raise PermissionError(13, "Permission denied", str(path))
        return plain(path, *how)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "open", shut)
    verdicts = judged(tmp_path)
    assert verdicts["a.txt"].unread == ("this account may not read it",)
    assert verdicts["b.txt"].judgement is Judgement.CLEAN


def test_a_folder_that_cannot_be_listed_is_held(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "shut").mkdir()
    (tmp_path / "a.txt").write_text("Dear client")
    plain = os.scandir

    def scan(path: object) -> object:
        if str(path).endswith("shut"):
            raise PermissionError(13, "Permission denied", str(path))
        return plain(path)  # type: ignore[call-overload]

    monkeypatch.setattr(os, "scandir", scan)
    assert held(tmp_path) == {"shut"}


def test_a_reader_that_breaks_down_holds_its_file_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.txt").write_text("Dear client")
    (tmp_path / "b.pdf").write_bytes(page_pdf())

    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("000-12-3456")

    monkeypatch.setattr("packets.outbound.any_file.check_pdf", broken)
    assert held(tmp_path) == {"b.pdf"}
    assert judged(tmp_path)["b.pdf"].unread == (
        "a reader broke down on this file (ZeroDivisionError)",
    )


def folder_of(path: Path, count: int) -> Path:
    path.mkdir()
    for number in range(count):
        (path / f"{number:03}.txt").write_text(f"Dear client {'666-12-3457' * (number % 3 == 0)}")
    return path


def test_two_processes_find_what_one_finds(tmp_path: Path) -> None:
    folder = folder_of(tmp_path / "out", 40)
    steps: list[Step] = []
    assert judged(folder, processes=2, progress=steps.append) == judged(folder)
    assert [step.done for step in steps] == list(range(1, 41))
    assert {step.total for step in steps} == {40}


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere one process does the work")
def test_a_reader_that_dies_takes_only_its_file_along(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = folder_of(tmp_path / "out", 20)
    plain = FolderJudge.read

    def dying(self: FolderJudge, entry: object, *more: object) -> Verdict:
        if entry.name == "007.txt":  # type: ignore[attr-defined]
            os.kill(os.getpid(), signal.SIGKILL)
        return plain(self, entry, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(FolderJudge, "read", dying)
    verdicts = judged(folder, processes=2)
    assert len(verdicts) == 20
    assert verdicts["007.txt"].unread == ("the reader ended before the file did",)
    assert verdicts["008.txt"].judgement is Judgement.CLEAN


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere one process does the work")
def test_work_apart_leaves_no_process_behind() -> None:
    assert judged_apart(os.getpid) != os.getpid()
    done = dict(judged_side_by_side(lambda item: os.getpid(), range(700)))
    assert len(done) == 700
    assert len(set(done.values())) >= 3  # each is replaced after some hundred items
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


def test_two_runs_at_once_share_one_record(tmp_path: Path) -> None:
    folder = folder_of(tmp_path / "outbound", 30)
    words = [sys.executable, "-m", "packets", "check", str(folder), "--json"]
    world = {**os.environ, "XDG_CACHE_HOME": str(tmp_path / "cache")}
    runs = [subprocess.Popen(words, env=world, stdout=subprocess.PIPE) for _ in range(2)]
    told = [run.communicate()[0] for run in runs]
    assert [run.returncode for run in runs] == [1, 1]
    assert told[0] == told[1]
    again = subprocess.run(words, env=world, capture_output=True, check=False)
    assert again.stdout == told[0]
