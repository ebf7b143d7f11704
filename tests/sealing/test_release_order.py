"""What a power cut would need: content is on the disk before its name, names in their order."""

import os
from pathlib import Path

import pytest
from sealing_samples import packet_facts, sealed_packet

from packets.sealing.release import release


def kind_of(path: str) -> str:
    name = Path(path).name
    for end, kind in (
        (".manifest.json", "manifest"),
        ("SHA256SUMS", "list"),
        (".pdf.txt", "key"),
        ("ledger.head", "head"),
        ("ledger.jsonl", "ledger"),
        (".pdf", "packet"),
    ):
        if name.endswith(end):
            return kind
    return "staged" if name.startswith(".partial-") else name


@pytest.fixture
def calls(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The disk calls of one release, in words; a staged file is told by its inode's later name."""
    done: list[tuple[str, str, int]] = []
    synced, renamed, linked = os.fsync, os.replace, os.link

    def fsync(descriptor: int) -> None:
        path = str(Path(f"/proc/self/fd/{descriptor}").readlink())
        done.append(("sync", path, os.fstat(descriptor).st_ino))
        synced(descriptor)

    def replace(source: str, target: str) -> None:
        done.append(("name", str(target), Path(source).stat().st_ino))
        renamed(source, target)

    def link(source: str, target: str) -> None:
        done.append(("name", str(target), Path(source).stat().st_ino))
        linked(source, target)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "replace", replace)
    monkeypatch.setattr(os, "link", link)
    release(tmp_path, tmp_path / "outbound", packet_facts(), sealed_packet(), keep_passphrase=True)
    return [
        f"{what} {_later_name(done[place:]) if kind_of(path) == 'staged' else kind_of(path)}"
        for place, (what, path, _) in enumerate(done)
    ]


def _later_name(calls: list[tuple[str, str, int]]) -> str:
    """What the staged file of the first call is called next; an inode may serve again later."""
    inode = calls[0][2]
    return next(kind_of(path) for what, path, of in calls if what == "name" and of == inode)


def test_every_file_is_synced_before_it_gets_its_name(calls: list[str]) -> None:
    for kind in ("packet", "manifest", "list", "key"):
        assert calls.index(f"sync {kind}") < calls.index(f"name {kind}")


def test_the_ledger_line_is_on_the_disk_before_any_final_name(calls: list[str]) -> None:
    first_name = min(calls.index(f"name {kind}") for kind in ("packet", "manifest", "list", "key"))
    assert calls.index("sync ledger") < first_name
    assert calls.index("sync packet") < calls.index("sync ledger")


def test_the_names_of_the_rest_are_on_the_disk_before_the_packet_has_its_own(
    calls: list[str],
) -> None:
    packet = calls.index("name packet")
    assert calls.index("name key") < calls.index("sync keys") < packet
    for kind in ("manifest", "list"):
        assert "sync outbound" in calls[calls.index(f"name {kind}") : packet]


def test_the_packet_is_on_the_disk_under_its_name_before_the_ledger_says_released(
    calls: list[str],
) -> None:
    packet = calls.index("name packet")
    assert calls[packet + 1] == "sync outbound"
    assert "sync ledger" in calls[packet:]
