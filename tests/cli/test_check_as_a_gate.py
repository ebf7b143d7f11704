"""The git hooks of README.md stop what shows a number, and let the rest pass."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PRE_COMMIT, PRE_RECEIVE = re.findall(
    r"^```bash\n(#!/bin/sh\n.*?)^```", README, re.MULTILINE | re.DOTALL
)
pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="there is no git here")
SHAPED = "the number is 666-12-3457\n"


class Repository:
    """A repository and a bare one that it pushes to, without anything of this machine's own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "work"
        tools = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
        self.world = {
            "PATH": tools,
            "HOME": str(folder),
            "XDG_CACHE_HOME": str(folder / "cache"),
            "GIT_CONFIG_NOSYSTEM": "1",
            "PYTHONPATH": str(ROOT),
        }
        self.git("init", "-q", "-b", "main", str(self.folder), at=folder)
        self.git("init", "-q", "--bare", str(folder / "server.git"), at=folder)
        self.git("config", "user.name", "A. Example")
        self.git("config", "user.email", "office@example.com")
        self.git("remote", "add", "origin", str(folder / "server.git"))

    def git(self, *words: str, at: Path | None = None) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            ["git", *words], cwd=at or self.folder, env=self.world, capture_output=True,
            text=True, check=False,
        )  # fmt: skip

    def commit(self, name: str, text: str | None, message: str = "a change") -> int:
        file = self.folder / name
        if text is None:
            file.unlink()
        else:
            file.write_text(text)
        self.git("add", "-A")
        return self.git("commit", "-q", "-m", message).returncode

    def push(self) -> int:
        return self.git("push", "-q", "origin", "main").returncode


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    return Repository(tmp_path)


def hook(file: Path, words: str) -> None:
    file.parent.mkdir(exist_ok=True)
    file.write_text(words)
    file.chmod(0o755)


def test_a_commit_with_a_number_is_stopped(repository: Repository) -> None:
    hook(repository.folder / ".git" / "hooks" / "pre-commit", PRE_COMMIT)
    assert repository.commit("letter one.txt", "Dear client\n") == 0
    assert repository.commit("odd\nname.txt", SHAPED) == 1
    (repository.folder / "odd\nname.txt").write_text("changed after it was staged\n")
    assert repository.git("commit", "-q", "-m", "again").returncode == 1
    assert repository.commit("odd\nname.txt", "Dear client\n") == 0
    assert repository.commit("letter one.txt", None) == 0
    assert not list(Path(repository.world["HOME"]).glob("tmp.*"))


def test_a_push_with_a_number_in_any_commit_is_stopped(
    repository: Repository, tmp_path: Path
) -> None:
    hook(tmp_path / "server.git" / "hooks" / "pre-receive", PRE_RECEIVE)
    assert repository.commit("letter.txt", "Dear client\n") == 0
    assert repository.push() == 0
    assert repository.commit("letter.txt", SHAPED) == 0
    assert repository.commit("letter.txt", "Dear client, again\n") == 0
    assert repository.push() == 1
    repository.git("reset", "-q", "--hard", "origin/main")
    assert repository.commit("letter.txt", "Dear client, once more\n") == 0
    assert repository.push() == 0


def test_a_push_with_a_number_in_a_message_is_stopped(
    repository: Repository, tmp_path: Path
) -> None:
    hook(tmp_path / "server.git" / "hooks" / "pre-receive", PRE_RECEIVE)
    assert repository.commit("letter.txt", "Dear client\n", "return of 666-12-3457") == 0
    assert repository.push() == 1


def test_a_branch_may_be_deleted_on_the_server(repository: Repository, tmp_path: Path) -> None:
    hook(tmp_path / "server.git" / "hooks" / "pre-receive", PRE_RECEIVE)
    assert repository.commit("letter.txt", "Dear client\n") == 0
    assert repository.git("push", "-q", "origin", "main:other").returncode == 0
    assert repository.git("push", "-q", "origin", ":other").returncode == 0
