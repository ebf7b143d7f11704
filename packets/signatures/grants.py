"""`signatures/grants.toml`: who allowed which signature image, for what, from when until when."""

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path, PurePosixPath
from typing import Annotated, Any, Literal, Self

from pydantic import AwareDatetime, Field, field_validator, model_validator

from packets.base.errors import InputRefused
from packets.recipe.key_faults import KeyFault
from packets.recipe.loader import load_file
from packets.recipe.model import CategoryPattern, Role, Table
from packets.signatures.authority import is_bank_product, refusal

GRANTS_FILE = "grants.toml"
How = Literal["signature-pad", "on-screen", "remote", "wet-ink-scan", "stamp"]
"""The ways that the IRS Electronic Signature Guidance for Forms 8878 and 8879 lists and an
office can store as a picture; `stamp` is the facsimile of Notices 2007-79 and 2004-54."""


class Grant(Table):
    """One recorded permission to place one signature image."""

    id: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]*$", max_length=60)]
    role: Role
    image: Annotated[str, Field(max_length=200)]
    """Name of a PNG or JPEG file in `signatures/`."""
    given_at: AwareDatetime
    """When the person signed, with the offset from UTC; this date is the one printed."""
    how: How
    covers: Annotated[tuple[CategoryPattern, ...], Field(min_length=1)]
    """Document categories, with `*`; a bank product is only covered by its own full name."""
    valid_until: dt.date
    """Last day on which the image may be placed."""
    identity_check: Annotated[str, Field(max_length=200)] = ""
    recorded_by: Annotated[str, Field(min_length=1, max_length=120)]
    document_sha256: Annotated[str, Field(max_length=64)] = ""
    """Optional: binds the grant to the one file that the person saw and signed."""

    @field_validator("image")
    @classmethod
    def _plain_name(cls, value: str) -> str:
        name = PurePosixPath(value)
        if value.startswith(".") or "\\" in value or name.name != value or not value.isprintable():
            raise ValueError("this must be the name of a file in signatures/, without a path")
        if name.suffix.lower() not in (".png", ".jpg", ".jpeg"):
            raise ValueError("a signature image is a .png, .jpg or .jpeg file")
        return value

    @field_validator("document_sha256")
    @classmethod
    def _sha256(cls, value: str) -> str:
        if value and not re.fullmatch(r"[0-9a-f]{64}", value):
            raise ValueError("a SHA-256 is 64 digits and letters a to f, in small letters")
        return value

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.valid_until < self.given_at.date():
            raise ValueError("valid_until lies before given_at")
        bank = [is_bank_product(category) for category in self.covers]
        if any(bank) and not all(bank):
            raise ValueError("a bank product needs a grant of its own, without other categories")
        return self


class GrantsFile(Table):
    """The whole file."""

    grant: tuple[Grant, ...] = ()


@dataclass(frozen=True)
class Refused:
    """No grant allows it, and why, in words."""

    why: str


@dataclass(frozen=True)
class GrantBook:
    """All grants of one client folder."""

    grants: tuple[Grant, ...] = ()
    folder: Path = Path()
    """The `signatures/` folder."""

    def grant_for(
        self,
        role: Role,
        category: str,
        *,
        tax_year: int,
        today: dt.date,
        document_sha256: str = "",
    ) -> Grant | Refused:
        """The latest grant that covers this role, this category and this day.

        Where several hold, the one given last; where none does, the reasons.
        """
        reasons: list[str] = []
        good: list[Grant] = []
        for grant in self.grants:
            if grant.role is not role:
                continue
            why = refusal(
                grant,
                category=category,
                tax_year=tax_year,
                today=today,
                document_sha256=document_sha256,
            )
            if why:
                reasons.append(f"grant {grant.id} {why}")
            else:
                good.append(grant)
        if good:
            return max(good, key=lambda grant: (grant.given_at, grant.id))
        return Refused("; ".join(reasons) or f"no grant of the {role.value} is recorded")

    def image_path(self, grant: Grant) -> Path:
        """The image file of a grant, proven to lie in `signatures/`.

        Raises InputRefused when it is missing or leads out of the folder.
        """
        fault = _image_fault(self.folder, grant.image)
        if fault:
            raise InputRefused(fault, where=f"signatures/{grant.image}")
        return (self.folder / grant.image).resolve(strict=True)


def load_grants(signatures_folder: Path) -> GrantBook:
    """Read `grants.toml` of a `signatures/` folder; no file means no grant.

    Raises FileFaults with every fault at once: keys, values, an id used twice,
    an image that is missing or leads out of the folder.
    """
    path = signatures_folder / GRANTS_FILE
    if not path.exists():
        return GrantBook(folder=signatures_folder)
    check = partial(_faults_between, signatures_folder)
    return GrantBook(load_file(path, GrantsFile, check).grant, signatures_folder)


def _faults_between(folder: Path, table: Mapping[str, Any]) -> Iterator[KeyFault]:
    """Faults that no key shows alone. The table is as parsed: nothing is known to be right."""
    grants = table.get("grant")
    seen: set[str] = set()
    for index, grant in enumerate(grants if isinstance(grants, list) else []):
        if not isinstance(grant, dict):
            continue
        identity, image = grant.get("id"), grant.get("image")
        if isinstance(identity, str):
            if identity in seen:
                yield KeyFault(("grant", index, "id"), "an earlier grant has this id")
            seen.add(identity)
        if isinstance(image, str) and (what := _image_fault(folder, image)):
            yield KeyFault(("grant", index, "image"), what)


def _image_fault(folder: Path, name: str) -> str:
    try:
        target = (folder / name).resolve(strict=True)
        inside = target.is_relative_to(folder.resolve(strict=True))
    except (OSError, RuntimeError, ValueError):  # a loop of symbolic links, a zero byte
        return "there is no such file in signatures/"
    if not inside:
        return "this leads out of signatures/"
    return "" if target.is_file() else "this is not a file"
