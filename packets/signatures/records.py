"""What signing hands on."""

from dataclasses import dataclass, field

from packets.base.geometry import Box


@dataclass(frozen=True)
class Artwork:
    """A signature image, ready to be placed: ink on nothing, trimmed to the ink."""

    width: int
    height: int
    """Pixels."""
    rgba: bytes = field(repr=False)
    """Four bytes a pixel, row by row from the top; colour not multiplied by alpha."""
    sha256: str
    """Of the image file as it lies in the folder."""
    strokes: bytes = field(default=b"", repr=False)
    """For a drawing that stays one: path operators (ISO 32000-2, 8.5) in a box of width x height,
    origin lower left. Its pixels then serve only to measure by."""


@dataclass(frozen=True)
class Placement:
    """One signature image that was placed."""

    role: str
    document: int
    """Index into `Inventory.documents`."""
    page: int
    """Page number inside that document, from 1."""
    box: Box
    field: str
    grant: str
    """Identity of the grant that allows it."""
    image_sha256: str
    dated: str = ""
    """The date as printed beside it, or empty."""


@dataclass(frozen=True)
class MissingSignature:
    """A field that asks for a role and got nothing, with the reason."""

    role: str
    document: int
    page: int
    field: str
    why: str
    is_date: bool = False
    """True for a date field beside a signature line."""


@dataclass(frozen=True)
class AlreadySigned:
    """A field that came with a cryptographic signature (ISO 32000-2, 12.8), left as it is.

    It answers the role that the field asks for, unless intake found that it does not
    hold. Rewriting the file ends its validity: the packet shows it, the source proves it.
    Also a line that was signed in ink on the page that was scanned, where a grant on
    record is bound to that very file.
    """

    role: str
    document: int
    page: int
    field: str


@dataclass(frozen=True)
class SignedDocument:
    """A source document after signing, before flattening."""

    pdf: bytes
    placements: tuple[Placement, ...]
    missing: tuple[MissingSignature, ...]
    already: tuple[AlreadySigned, ...] = ()


@dataclass(frozen=True)
class RoleLines:
    """How many signature lines of a packet ask for one role, and how many are signed."""

    role: str
    asked: int
    signed: int
    """By an image placed in this run, or by a cryptographic signature that was there."""
    nobody: bool = False
    """True where engagement.toml names nobody in this role: no line is demanded then."""
