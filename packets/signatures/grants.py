"""`grants.toml`: the grants of a client folder and of the office's own store, and what they allow.

A client's grants lie in `signatures/` of the client folder. The grants of the ERO
and of paid preparers hold for a season and may lie in one store for the whole
office (`office.toml`).
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path, PurePath
from typing import Any

from packets.base.errors import Fault, FileFaults, InputRefused
from packets.base.files import file_sha256
from packets.recipe.key_faults import KeyFault
from packets.recipe.loader import load_file
from packets.recipe.model import Role
from packets.recipe.text_file import shown_path
from packets.signatures.authority import STANDING
from packets.signatures.grant import Grant, GrantsFile
from packets.signatures.rule import Asked, Refusal
from packets.signatures.rules import nobody, refusal

GRANTS_FILE = "grants.toml"
_FolderCheck = Callable[[Path, Mapping[str, Any]], Iterator[KeyFault]]


@dataclass(frozen=True)
class Refused:
    """No grant allows it; which rules said no."""

    reasons: tuple[Refusal, ...]

    @property
    def why(self) -> str:
        """All reasons in one line."""
        return "; ".join(map(str, self.reasons))


@dataclass(frozen=True)
class GrantBook:
    """All grants that may be used for one client."""

    grants: tuple[Grant, ...] = ()
    """Of the client folder, then of the office's store. Ids are unique over both."""
    folder: Path = Path()
    """The client's `signatures/` folder."""
    store: Path | None = None
    """The office's store, where there is one."""
    of_office: frozenset[str] = frozenset()
    """Ids of the grants that lie in the store."""

    def answer(self, asked: Asked) -> Grant | Refused:
        """The latest grant that keeps every rule on this line, or the rules that say no.

        Where several hold, the one given last.
        """
        reasons: list[Refusal] = []
        good: list[Grant] = []
        for grant in self.grants:
            if grant.role is not asked.role:
                continue
            no = refusal(grant, asked)
            if no:
                reasons.append(no)
            else:
                good.append(grant)
        if good:
            return max(good, key=lambda grant: (grant.given_at, grant.id))
        return Refused(tuple(reasons) or (nobody(asked),))

    def allowed(self, asked: Asked) -> tuple[Grant, ...]:
        """Every grant that keeps every rule on this line."""
        return tuple(grant for grant in self.grants if refusal(grant, asked) is None)

    def by_id(self, identity: str) -> Grant | None:
        """The grant of that id, if there is one."""
        return next((grant for grant in self.grants if grant.id == identity), None)

    def home(self, grant: Grant) -> Path:
        """The folder in which a grant and its image lie."""
        return self.store if self.store and grant.id in self.of_office else self.folder

    def image_path(self, grant: Grant) -> Path:
        """The image file of a grant, proven to lie in the folder of its grant.

        Raises InputRefused when it is missing, leads out of the folder, or is not the
        file that was recorded.
        """
        folder = self.home(grant)
        fault = _image_fault(folder, grant.image, grant.image_sha256)
        if fault:
            raise InputRefused(fault, where=f"signatures/{grant.image}")
        return (folder / grant.image).resolve(strict=True)

    def artwork_path(self, grant: Grant) -> Path:
        """The file that is placed: the drawing of a grant that has one, else its image.

        Raises what `image_path` raises, for either.
        """
        image = self.image_path(grant)
        if not grant.drawing_sha256:
            return image
        name = f"{PurePath(grant.image).stem}.svg"
        fault = _image_fault(self.home(grant), name, grant.drawing_sha256)
        if fault:
            raise InputRefused(
                fault.replace("(image_sha256)", "(drawing_sha256)"), where=f"signatures/{name}"
            )
        return (self.home(grant) / name).resolve(strict=True)


def load_grants(signatures_folder: Path, store: Path | None = None) -> GrantBook:
    """Read `grants.toml` of a client's `signatures/` folder and of the office's store.

    No file means no grant. Raises FileFaults with every fault of a file at once:
    keys, values, an id used twice, an image that is missing, leads out of the
    folder or was replaced, a client's grant in the office's store.
    """
    own = _grants_in(signatures_folder, _faults_between)
    if store is None:
        return GrantBook(own, signatures_folder)
    shared = _grants_in(store, _faults_of_store)
    twice = {grant.id for grant in own} & {grant.id for grant in shared}
    if twice:
        faults = tuple(
            Fault(where=f"grant {name}", what="the office's store has a grant of this id")
            for name in sorted(twice)
        )
        raise FileFaults(shown_path(signatures_folder / GRANTS_FILE), faults)
    return GrantBook(
        (*own, *shared), signatures_folder, store, frozenset(grant.id for grant in shared)
    )


def _grants_in(folder: Path, check: _FolderCheck) -> tuple[Grant, ...]:
    path = folder / GRANTS_FILE
    if not path.exists():
        return ()
    return load_file(path, GrantsFile, partial(check, folder)).grant


def _tables(table: Mapping[str, Any]) -> Iterator[tuple[int, dict[str, Any]]]:
    grants = table.get("grant")
    for index, grant in enumerate(grants if isinstance(grants, list) else []):
        if isinstance(grant, dict):
            yield index, grant


def _faults_between(folder: Path, table: Mapping[str, Any]) -> Iterator[KeyFault]:
    """Faults that no key shows alone. The table is as parsed: nothing is known to be right."""
    seen: set[str] = set()
    for index, grant in _tables(table):
        identity, image = grant.get("id"), grant.get("image")
        if isinstance(identity, str):
            if identity in seen:
                yield KeyFault(("grant", index, "id"), "an earlier grant has this id")
            seen.add(identity)
        digest = grant.get("image_sha256")
        recorded = digest if isinstance(digest, str) else ""
        if isinstance(image, str) and (what := _image_fault(folder, image, recorded)):
            yield KeyFault(("grant", index, "image"), what)


def _faults_of_store(folder: Path, table: Mapping[str, Any]) -> Iterator[KeyFault]:
    """The same, and roles that have no place in a store for the whole office."""
    yield from _faults_between(folder, table)
    standing = tuple(role.value for role in STANDING)
    for index, grant in _tables(table):
        if grant.get("role") in [role.value for role in Role if role not in STANDING]:
            yield KeyFault(
                ("grant", index, "role"),
                "a client's grant lies in the client's own folder, not in the office's store",
                ", ".join(standing),
            )


def _image_fault(folder: Path, name: str, recorded: str = "") -> str:
    try:
        target = (folder / name).resolve(strict=True)
        inside = target.is_relative_to(folder.resolve(strict=True))
    except (OSError, RuntimeError, ValueError):  # a loop of symbolic links, a zero byte
        return "there is no such file in signatures/"
    if not inside:
        return "this leads out of signatures/"
    if not target.is_file():
        return "this is not a file"
    try:
        other = bool(recorded) and file_sha256(target) != recorded
    except OSError:
        return "this file may not be read by you"
    return "this is another picture than the one recorded (image_sha256)" if other else ""
