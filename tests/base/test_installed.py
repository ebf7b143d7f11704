"""The version that is told is the one that Python's own reader of metadata tells."""

from importlib import metadata

import pytest

from packets.base.installed import version_of


def test_of_every_library_here_the_same_version_is_told_as_by_python():
    names = {found.metadata["Name"] for found in metadata.distributions()}
    assert len(names) > 20
    assert {name: version_of(name) for name in names} == {
        name: metadata.version(name) for name in names
    }


@pytest.mark.parametrize(
    "head",
    [
        "Metadata-Version: 2.1\nName: made-up\nVersion: 1.2.3\n\nVersion: 9 is in the manual\n",
        "Metadata-Version: 2.1\r\nName: made-up\r\nVersion: 1.2.3\r\n\r\nVersion: 9\r\n",
        "Metadata-Version: 2.1\nName: made-up\nversion: 1.2.3\nSummary: none\n",
    ],
)
def test_only_the_head_counts_however_it_is_written(tmp_path, monkeypatch, head):
    folder = tmp_path / "made_up-1.2.3.dist-info"
    folder.mkdir()
    (folder / "METADATA").write_bytes(head.encode())
    monkeypatch.syspath_prepend(tmp_path)
    version_of.cache_clear()
    assert version_of("made-up") == "1.2.3"
    version_of.cache_clear()


def test_what_is_not_installed_is_not_found():
    with pytest.raises(metadata.PackageNotFoundError):
        version_of("no-such-library-anywhere")
