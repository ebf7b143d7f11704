"""The benchmark of two runs does what it says. Nothing is timed here."""

from pathlib import Path

import pytest
from ten_thousand_files import KINDS, told, two_runs, write_folder

COUNT = 10 * len(KINDS)


@pytest.mark.benchmark
def test_two_runs_find_the_same_and_their_ratio_is_printed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    planted = write_folder(tmp_path / "outbound", COUNT)
    runs = two_runs(tmp_path / "outbound")
    assert (runs.files, runs.held) == (COUNT, planted)
    assert f"ratio {runs.ratio:.1f}" in told(runs)
    assert (tmp_path / "cache" / "packets" / "checked" / "verdicts").stat().st_size
