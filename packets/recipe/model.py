"""The recipe file as records. Every key a user may write is here, with its meaning."""

from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, JsonValue

from packets.identifiers.kinds import PERSONAL_KINDS, Kind, MaskPolicy


class Table(BaseModel):
    """A table of a file that a person writes: frozen, and unknown keys are faults."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        defer_build=True,
        populate_by_name=True,
        hide_input_in_errors=True,  # the values of some files are taxpayer numbers
    )


SECRET: dict[str, JsonValue] = {"secret": True}
"""`Field(json_schema_extra=SECRET)`: no message says anything about the value of this key."""


class Audience(StrEnum):
    """Who receives the packet; decides what must hold before it may leave."""

    CLIENT = "client"
    THIRD_PARTY = "third-party"
    OFFICE = "office"
    AGENCY = "agency"

    @property
    def masked(self) -> bool:
        """Client and third-party packets show no number beyond its last four digits."""
        return self in (Audience.CLIENT, Audience.THIRD_PARTY)

    @property
    def encrypted(self) -> bool:
        """All but agency attachments, which the agency wants without a password."""
        return self is not Audience.AGENCY

    @property
    def folder(self) -> str:
        """Folder inside the client folder where a finished packet lands."""
        return {"office": "office", "agency": "filing"}.get(self.value, "outbound")


class Role(StrEnum):
    """Who signs."""

    TAXPAYER = "taxpayer"
    SPOUSE = "spouse"
    ERO = "ero"
    PREPARER = "preparer"
    OTHER = "other"


MOST_TABLES = 60
"""Parts, or sign rules, of one recipe."""
MOST_ENTRIES = 100
"""Categories or fields in one list."""

CategoryPattern = Annotated[str, Field(pattern=r"^[a-z0-9*][a-z0-9*-]*$", max_length=60)]
"""A category such as `form-1040`, or a pattern with `*`."""
FieldPattern = Annotated[str, Field(min_length=1, max_length=200)]
"""A full form field name, exact or with `*`."""


class Part(Table):
    """One part of the packet: a heading and the categories that go under it."""

    heading: Annotated[str, Field(min_length=1, max_length=80)]
    take: Annotated[tuple[CategoryPattern, ...], Field(min_length=1, max_length=MOST_ENTRIES)]
    leave: Annotated[tuple[CategoryPattern, ...], Field(max_length=MOST_ENTRIES)] = ()
    order: Literal["folder", "as-listed", "attachment-sequence"] = "folder"
    """`folder`: as the documents lie in the client folder. `as-listed`: in the order of `take`.
    `attachment-sequence`: in the order in which the forms themselves ask to be assembled."""
    required: Annotated[tuple[CategoryPattern, ...], Field(max_length=MOST_ENTRIES)] = ()
    """The build stops when this part gets no page of one of these."""
    signed_by: tuple[Role, ...] = ()
    """These roles must have signed every line in this part that asks for them."""


class SignRule(Table):
    """Form fields that ask for one role's signature, and the date fields beside them."""

    role: Role
    on: Annotated[tuple[CategoryPattern, ...], Field(min_length=1, max_length=MOST_ENTRIES)]
    fields: Annotated[tuple[FieldPattern, ...], Field(min_length=1, max_length=MOST_ENTRIES)]
    date_fields: Annotated[tuple[FieldPattern, ...], Field(max_length=MOST_ENTRIES)] = ()
    date_format: str = "%m/%d/%Y"


Words = Annotated[str, Field(min_length=2, max_length=120)]
Points = tuple[
    Annotated[float, Field(ge=-400, le=800, allow_inf_nan=False)],
    Annotated[float, Field(ge=-400, le=800, allow_inf_nan=False)],
]
"""Points to the right and downward, on a form printed in its own size."""


class LineRule(Table):
    """A printed line that one role signs on a page without a form field for it."""

    role: Role
    on: Annotated[tuple[CategoryPattern, ...], Field(min_length=1, max_length=MOST_ENTRIES)]
    labels: Annotated[tuple[Words, ...], Field(min_length=1, max_length=MOST_ENTRIES)]
    """What is printed beside the line, any one of these. Capitals, spaces and punctuation do not
    count. `/` stands between words one below the other; `...` at the end: the print may go on."""
    side: Literal["above", "below", "right"]
    """Where the line lies, seen from its label."""
    at: Points
    """From the foot of the label to the left end of the line: from the label's left edge, or, with
    `side = "right"`, from its right edge."""
    room: Points
    """Length of the line and height of the space above it."""
    type: Annotated[float, Field(ge=3, le=30)] = 7.0
    """Size of the label's type in points: tells by how much a page was scaled."""
    by_name: bool = False
    """The paper is one person's, `role` being the taxpayer for the person of whom it is: the name
    printed highest on the page tells whether that is the taxpayer or the spouse."""
    expected: bool = False
    """Papers of this category always have this line: where it is not found, that is told."""
    after: Annotated[tuple[Words, ...], Field(max_length=MOST_ENTRIES)] = ()
    """One of these stands above the label on the same page."""
    before: Annotated[tuple[Words, ...], Field(max_length=MOST_ENTRIES)] = ()
    """One of these stands below the label on the same page."""
    date_labels: Annotated[tuple[Words, ...], Field(max_length=MOST_ENTRIES)] = ()
    """What is printed at the place of the date, to the right on the same line."""
    date_at: Points = (0.0, 0.0)
    date_room: Points = (60.0, 12.0)
    date_format: str = "%m/%d/%Y"


class MaskRules(Table):
    """Which numbers are masked, and how."""

    kinds: frozenset[Kind] = PERSONAL_KINDS
    keep: frozenset[Kind] = frozenset()
    with_: Annotated[Literal["X", "*"], Field(alias="with")] = "X"
    vouchers: Literal["leave-out", "blank"] = "leave-out"
    """Pages that are themselves to be filed or paid with are never masked to the last four:
    they are left out and named, or their numbers are blanked whole for the client to write in."""

    def policy(self) -> MaskPolicy:
        """The same rules as a record for the masking and checking stations."""
        return MaskPolicy(kinds=self.kinds, keep=self.keep, glyph=self.with_)


class CoverRules(Table):
    """Sheets that `packets` adds of its own."""

    sheet: bool = True
    dividers: bool = True
    signing_record: bool | None = None
    """A last sheet that lists each grant used, with its evidence. Left out: in the office's own
    copy it is there, in others not."""


class StampRules(Table):
    """What is printed in the margin of every page."""

    text: Annotated[str, Field(max_length=60)] = ""
    page_numbers: bool = False


class SealRules(Table):
    """How the packet is protected."""

    passphrase: Annotated[
        Literal["generate", "ask", "file"], Field(json_schema_extra={**SECRET})
    ] = "generate"  # noqa: S105 - a way, not a word
    """Where the passphrase comes from. The passphrase itself never stands in a recipe. With
    `generate`, a packet for the client takes the client's standing one where there is one."""
    words: Annotated[int, Field(ge=5, le=12)] = 6
    """Random words in a generated passphrase; six of 7,776 are 77 bits."""
    bits: Annotated[int, Field(ge=40, le=120)] = 60
    """What a client's standing passphrase must be worth: two to this power tries, as zxcvbn
    estimates it."""


MAIL_BODY = """\
Dear {household},

attached are your {tax_year} tax documents as an encrypted PDF file. Any
current PDF viewer opens it with your passphrase.

You get the passphrase from us by telephone or in person; it stands in
no message. Please do not send it by mail either, and call us at the
number that you know if anything looks odd.

{office}
"""


class MailRules(Table):
    """How the packet is announced by mail."""

    subject: Annotated[str, Field(max_length=120)] = "Your {tax_year} tax documents"
    """May hold {tax_year}."""
    body: Annotated[str, Field(min_length=1, max_length=4000)] = MAIL_BODY
    """Paragraphs, parted by empty lines. May hold {tax_year}, {household} and {office}. Never a
    passphrase or a number."""
    max_message_mb: Annotated[int, Field(ge=1, le=150)] = 20
    """Megabytes (1,000,000 bytes) of one whole message, after base64 has made it a third larger."""


class ReleaseRules(Table):
    """What must happen before a checked packet may go out."""

    review: bool = False
    """The packet waits in to-review/ until a person has looked at it and released it."""


def _usual_sheets(filled: dict[str, Any]) -> CoverRules:
    """Cover and dividers for everybody but an agency, which gets only what is filed."""
    wanted = filled.get("audience") is not Audience.AGENCY
    return CoverRules(sheet=wanted, dividers=wanted)


class Recipe(Table):
    """One recipe file."""

    recipe: Literal[1]
    """Version of the recipe format."""
    name: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=40)]
    title: Annotated[str, Field(min_length=1, max_length=120)]
    """May hold {tax_year}."""
    audience: Audience
    part: Annotated[tuple[Part, ...], Field(min_length=1, max_length=MOST_TABLES)]
    unknown_pages: Literal["stop", "leave-out"] = "stop"
    """A page of no known category stops the build, or is left out and named."""
    sign: Annotated[tuple[SignRule, ...], Field(max_length=MOST_TABLES)] = ()
    line: Annotated[tuple[LineRule, ...], Field(max_length=MOST_TABLES)] = ()
    """Printed lines beside those that are known to the house."""
    mask: MaskRules = MaskRules()
    cover: CoverRules = Field(default_factory=_usual_sheets)
    stamp: StampRules = StampRules()
    seal: SealRules = SealRules()
    mail: MailRules = MailRules()
    release: ReleaseRules = ReleaseRules()

    @property
    def signing_record(self) -> bool:
        """Whether the packet ends with a signing record; never in what is filed."""
        wanted = self.cover.signing_record
        if wanted is None:
            return self.audience is Audience.OFFICE
        return wanted and self.audience is not Audience.AGENCY
