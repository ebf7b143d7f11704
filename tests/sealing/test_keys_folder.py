"""Passphrases lie in `keys/`, for the owner alone, and are found again by their packet."""

import errno
import os
import traceback
from pathlib import Path

import pytest

from packets.base.errors import InputRefused, UsageError
from packets.base.secret import Secret
from packets.sealing import keys

WORDS = Secret("walnut-harbor-ribbon-candle-tundra-mosaic")


def test_a_kept_passphrase_is_found_from_its_packet(tmp_path: Path) -> None:
    path = keys.keep(tmp_path, "a.pdf", WORDS)
    assert path == tmp_path / "keys" / "a.pdf.txt"
    (tmp_path / "outbound").mkdir()
    assert keys.kept_for(tmp_path / "outbound" / "a.pdf") == WORDS
    assert keys.kept_for(tmp_path / "outbound" / "b.pdf") is None


def test_a_discarded_passphrase_is_gone_and_discarding_twice_is_fine(tmp_path: Path) -> None:
    keys.keep(tmp_path, "a.pdf", WORDS)
    keys.discard(tmp_path, "a.pdf")
    keys.discard(tmp_path, "a.pdf")
    assert list((tmp_path / "keys").iterdir()) == []


@pytest.mark.parametrize("out", ["keys", "keys/x", "."])
@pytest.mark.parametrize("linked", [False, True])
def test_packets_may_not_lie_beside_their_keys(tmp_path: Path, out: str, linked: bool) -> None:
    client = tmp_path / "client"
    (client / out).mkdir(parents=True)
    folder = client / out
    if linked:
        folder = tmp_path / "link"
        folder.symlink_to(client / out)
    with pytest.raises(UsageError):
        keys.refuse_beside_keys(client, folder)


@pytest.mark.parametrize("out", ["outbound", "keys-of-others", "../elsewhere"])
def test_any_other_folder_may_hold_packets(tmp_path: Path, out: str) -> None:
    keys.refuse_beside_keys(tmp_path / "client", tmp_path / "client" / out)


def test_a_disk_that_refuses_shows_no_passphrase_even_in_local_variables(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_descriptor: int) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputRefused) as refused:
        keys.keep(tmp_path, "a.pdf", WORDS)
    told = traceback.TracebackException.from_exception(refused.value, capture_locals=True)
    assert WORDS.reveal() not in "".join(told.format())
    assert refused.value.__context__ is None
    assert list((tmp_path / "keys").iterdir()) == []
