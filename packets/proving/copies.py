"""A copy of a file in memory, with what it takes to plant a number in it.

Nothing here touches the disk. A locked file is opened with its passphrase, and
the copy is locked again with the same, so that the check has to decrypt it.
"""

import io
import re
import secrets
import warnings
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, Page, Pdf, Stream

from packets.base.errors import Damaged, Locked
from packets.base.secret import Secret
from packets.proving.page_frame import Corner, balanced, own_resources, page_to_plant_on

AES_256 = 6
"""Revision of the standard security handler (ISO 32000-2, Table 21)."""

_NO_LENGTH = re.compile(rb"(?<=/Filter /Standard )/Length 0(?= /O <)")
"""Written for a kept lock that states no length, as the packets' own do: readers stumble on it."""

Late = Callable[[bytes, "Lock"], bytes]
"""A change of the saved bytes: what no writer of whole files would write."""


@dataclass(frozen=True)
class Lock:
    """How a copy is locked: passphrase and revision; revision 0 where it is not."""

    passphrase: Secret = field(repr=False)
    revision: int
    file_key: bytes = field(default=b"", repr=False)
    """The file's own key, where the copy keeps the file's lock as it is."""

    def encryption(self) -> pikepdf.Encryption | bool | None:
        """What pikepdf wants to know to lock a copy; the owner's word is thrown away."""
        if not self.revision:
            return None
        if self.file_key:
            return True
        return pikepdf.Encryption(
            user=self.passphrase.reveal(),
            owner=secrets.token_urlsafe(24),
            R=self.revision,  # type: ignore[arg-type]  # one of 2 to 6, read from such a file
            aes=self.revision >= 4,
            metadata=self.revision >= 4,
        )

    def keeping(self, pdf: Pdf) -> "Lock":
        """The same for a copy that is `pdf` itself: no key is worked out anew."""
        if not self.revision:
            return self
        return replace(self, file_key=bytes(pdf.encryption.encryption_key))


class Copy:
    """One copy, open for planting."""

    def __init__(self, pdf: Pdf, lock: Lock, turn: int = 0) -> None:
        self.pdf = pdf
        self.lock = lock
        self.page: Page = page_to_plant_on(pdf, turn)
        self.corner: Corner = own_resources(self.page)
        self.object_streams = pikepdf.ObjectStreamMode.preserve
        self.late: list[Late] = []
        self._font: str = ""

    @property
    def root(self) -> Any:
        """The catalog."""
        return self.pdf.Root

    def add(self, value: Any) -> Any:
        """`value` as an object of its own."""
        return self.pdf.make_indirect(value)

    def stream(self, data: bytes, **entries: Any) -> Any:
        """A stream of its own; `Filter` among the entries says how `data` is coded already."""
        made = Stream(self.pdf, b"")
        coding = entries.pop("Filter", None)
        parameters = entries.pop("DecodeParms", None)
        made.write(data, filter=coding, decode_parms=parameters)
        for key, value in entries.items():
            made[f"/{key}"] = value
        return self.pdf.make_indirect(made)

    def resource(self, kind: str, value: Any, name: str = "") -> str:
        """Put `value` among the page's resources; returns its name with the slash."""
        shelf = self.page.obj.Resources.get(f"/{kind}")
        if shelf is None:
            shelf = self.page.obj.Resources[f"/{kind}"] = Dictionary()
        name = name or next(f"/Pv{n}" for n in range(1, 10_000) if f"/Pv{n}" not in shelf)
        shelf[name] = value
        return name

    def font(self) -> str:
        """The resource name of a plain Helvetica."""
        self._font = self._font or self.resource("Font", self.helvetica())
        return self._font

    def helvetica(self) -> Any:
        """A plain Helvetica."""
        return self.add(
            Dictionary(
                Type=Name.Font,
                Subtype=Name.Type1,
                BaseFont=Name.Helvetica,
                Encoding=Name.WinAnsiEncoding,
            )
        )

    def show(self, content: bytes) -> None:
        """Draw `content` over the page, in a frame whose origin is the planting corner."""
        before, after = balanced(self.page)
        x, y = self.corner
        frame = b"\nq 1 0 0 1 %.2f %.2f cm\n" % (x, y)
        self.page.contents_add(Stream(self.pdf, before), prepend=True)
        self.page.contents_add(Stream(self.pdf, after + frame + content + b"\nQ\n"), prepend=False)

    def write(self, shown: bytes, *, font: str = "", state: bytes = b"") -> None:
        """Show text: `shown` are the operators between BT and ET after the font is set."""
        name = (font or self.font()).encode()
        self.show(b"BT " + state + b" " + name + b" 10 Tf 10 40 Td " + shown + b" ET")

    def annotate(self, **entries: Any) -> Any:
        """An annotation on the page."""
        x, y = self.corner
        made = Dictionary(Type=Name.Annot, Rect=[x, y, x + 200, y + 20], **entries)
        return self.attach(self.add(made))

    def attach(self, annotation: Any) -> Any:
        """Put a finished annotation on the page."""
        listed = self.page.obj.get("/Annots")
        self.page.obj.Annots = Array([*(listed if listed is not None else ()), annotation])
        return annotation

    def set_in_root(self, key: str, value: Any) -> None:
        """An entry of the catalog, in place of what may be there."""
        self.pdf.Root[f"/{key}"] = value

    def saved(self) -> bytes:
        """The copy as bytes, locked as the file was."""
        out = io.BytesIO()
        encryption = self.lock.encryption()
        how: dict[str, Any] = {"encryption": encryption}
        if encryption is None:  # the writer packs again what it locks, and cannot be told not to
            keep = pikepdf.StreamDecodeLevel.none
            how = {
                "deterministic_id": True,
                "compress_streams": False,
                "stream_decode_level": keep,
            }
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what is odd about the file or a plant is no news
            self.pdf.save(
                out,
                object_stream_mode=self.object_streams,
                fix_metadata_version=False,
                **how,
            )
        self.pdf.close()
        data = out.getvalue()
        if self.lock.file_key:
            data = _NO_LENGTH.sub(lambda found: b" " * len(found[0]), data, count=1)
        for change in self.late:
            data = change(data, self.lock)
        return data


def opened(data: bytes, passphrase: Secret | None) -> tuple[Pdf, Lock]:
    """The file opened for planting, and how it was locked. Raises Damaged or Locked."""
    word = passphrase if passphrase is not None else Secret("")
    try:
        pdf = pikepdf.open(io.BytesIO(data), password=word.reveal())
    except pikepdf.PasswordError:
        raise Locked("the passphrase does not open this file") from None
    except pikepdf.PdfError:
        raise Damaged("nothing can be planted in this file: it does not open") from None
    return pdf, Lock(word, pdf.encryption.R if pdf.is_encrypted else 0)


def copy_of(data: bytes, passphrase: Secret | None, turn: int = 0) -> Copy:
    """A fresh copy of the file; `turn` decides on which page is planted."""
    pdf, lock = opened(data, passphrase)
    return Copy(pdf, lock, turn)
