"""One grant as `grants.toml` holds it: who allowed which image, how, for what, and the proof."""

import datetime as dt
import ipaddress
import re
from pathlib import PurePosixPath
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, AwareDatetime, Field, field_validator, model_validator

from packets.recipe.model import CategoryPattern, Role, Table
from packets.signatures.authority import is_bank_product

How = Literal[
    "signature-pad",
    "on-screen",
    "remote",
    "wet-ink-scan",
    "stamp",
    "rubber-stamp",
    "mechanical-device",
    "computer-software",
]
"""The ways that the IRS Electronic Signature Guidance for Forms 8878 and 8879 lists and an
office can store as a picture, and the three that Notices 2007-79 and 2004-54 give to an ERO and
a paid preparer; `stamp` says one of these three without saying which."""
FACSIMILES = ("stamp", "rubber-stamp", "mechanical-device", "computer-software")
IN_PERSON = ("signature-pad", "on-screen")
REMOTE = "remote"
WET_INK = "wet-ink-scan"
"""A form signed on paper and sent back by any way is not a remote e-signature transaction."""

_NUMBER_SHAPED = re.compile(r"(?<!\d)(?:\d{3}[-._ ]?\d{2}[-._ ]?\d{4}|\d{2}[-._ ]?\d{7})(?!\d)")


def _number_free(value: str) -> str:
    if _NUMBER_SHAPED.search(value):
        raise ValueError("this looks like somebody's number: write what was seen, not its number")
    return value


def _sha256(value: str) -> str:
    if value and not re.fullmatch(r"[0-9a-f]{64}", value):
        raise ValueError("a SHA-256 is 64 digits and letters a to f, in small letters")
    return value


def _address(value: str) -> str:
    try:
        return str(ipaddress.ip_address(value)) if value else ""
    except ValueError:
        raise ValueError("this is no IP address, such as 203.0.113.7 or 2001:db8::7") from None


Words = Annotated[str, Field(max_length=200), AfterValidator(_number_free)]
"""A short text that is shown in reports, so it may not hold a number of somebody."""
Digest = Annotated[str, Field(max_length=64), AfterValidator(_sha256)]
Dollars = Annotated[int, Field(ge=0, le=99_999_999_999)]
Income = Annotated[int, Field(ge=-99_999_999_999, le=99_999_999_999)]
"""Whole dollars; a loss is below zero."""


class Figures(Table):
    """The amounts of the return that the signer saw, in whole dollars (Form 8879, Part I)."""

    total_income: Income | None = None
    agi: Income | None = None
    """Adjusted gross income. One of these two must be there."""
    total_tax: Dollars
    withholding: Dollars
    refund: Dollars
    amount_owed: Dollars
    """0 for an empty line."""

    @model_validator(mode="after")
    def _some_income(self) -> Self:
        if self.total_income is None and self.agi is None:
            raise ValueError("total_income or agi must be there")
        return self


class Evidence(Table):
    """How the signer's identity was checked."""

    photo_id_seen: bool = False
    """In person: a government photo ID was looked at."""
    client_since: Annotated[int, Field(ge=1950, le=2100)] | None = None
    """In person, multi-year relationship: the year for which this office first originated the
    client's return and verified who it was."""
    verification: Literal["passed", "failed", ""] = ""
    """Remote: result of the identity verification."""
    verification_level: Annotated[int, Field(ge=1, le=4)] | None = None
    """Remote: level of NIST SP 800-63 by which it was done."""
    attempts: Annotated[int, Field(ge=1, le=99)] | None = None
    """Remote: identity quizzes taken, the passed one included."""
    ip_address: Annotated[str, Field(max_length=45), AfterValidator(_address)] = ""
    login_name: Words = ""

    @property
    def failed_quizzes(self) -> int:
        """Quizzes that were not passed."""
        return max(0, (self.attempts or 0) - (self.verification == "passed"))


class Grant(Table):
    """One recorded permission to place one signature image."""

    id: Annotated[
        str,
        Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]*$", max_length=60),
        AfterValidator(_number_free),
    ]
    role: Role
    image: Annotated[str, Field(max_length=200)]
    """Name of a PNG, JPEG or SVG file in `signatures/`."""
    image_sha256: Digest = ""
    """Optional: of that file; another picture under the same name is then a fault."""
    drawing_sha256: Digest = ""
    """Of the same ink as outlines, where it was drawn on a screen: an SVG under the same name."""
    given_at: AwareDatetime
    """When the person signed, with the offset from UTC; this date is the one printed."""
    how: How
    covers: Annotated[tuple[CategoryPattern, ...], Field(min_length=1)]
    """Document categories, with `*`; a bank product is only covered by its own full name."""
    valid_until: dt.date
    """Last day on which the image may be placed."""
    identity_check: Words = ""
    """How identity was checked, in words; `evidence` says it key by key."""
    recorded_by: Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_number_free)]
    document_sha256: Digest = ""
    """Optional: binds the grant to the one file that the person saw and signed."""
    figures: Figures | None = None
    """The amounts on the form that was signed: what Forms 8879 and 8878 may not stray from."""
    evidence: Evidence = Evidence()
    consent: Annotated[str, Field(max_length=1000), AfterValidator(_number_free)] = ""
    """The sentence to which the signer agreed on the screen (IRM 10.10.1, intent to sign)."""
    withdrawn_at: AwareDatetime | None = None
    """Since when it places nothing any more. The record stays."""
    withdrawn_why: Words = ""

    @field_validator("image")
    @classmethod
    def _plain_name(cls, value: str) -> str:
        name = PurePosixPath(value)
        if value.startswith(".") or "\\" in value or name.name != value or not value.isprintable():
            raise ValueError("this must be the name of a file in signatures/, without a path")
        if name.suffix.lower() not in (".png", ".jpg", ".jpeg", ".svg"):
            raise ValueError("a signature image is a .png, .jpg, .jpeg or .svg file")
        return value

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.valid_until < self.given_at.date():
            raise ValueError("valid_until lies before given_at")
        if self.withdrawn_at is not None and self.withdrawn_at < self.given_at:
            raise ValueError("withdrawn_at lies before given_at")
        if (self.withdrawn_at is not None) != bool(self.withdrawn_why.strip()):
            raise ValueError("withdrawn_at and withdrawn_why stand together or not at all")
        bank = [is_bank_product(category) for category in self.covers]
        if any(bank) and not all(bank):
            raise ValueError("a bank product needs a grant of its own, without other categories")
        return self


class GrantsFile(Table):
    """The whole file."""

    grant: tuple[Grant, ...] = ()
