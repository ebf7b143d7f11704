"""Files to prove the check on, and checks that are blind in one eye."""

import io
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import pikepdf
from reportlab.pdfgen import canvas

from packets.base.secret import Secret
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement, Verdict
from packets.proving.place import Place
from packets.proving.places import PLACES

WORDS = Secret("plain-orchard-window-seven-lantern-moss")
READERS = ("page text", "objects and streams", "bytes of the file", "pixels")


def pages_pdf(*texts: str, size: tuple[float, float] = (612, 792), turn: int = 0) -> bytes:
    """One page for each text."""
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=size, invariant=1)
    for text in texts:
        sheet.setPageRotation(turn)
        sheet.drawString(72, 700, text)
        sheet.showPage()
    sheet.save()
    return out.getvalue()


def locked(data: bytes, revision: int = 6) -> bytes:
    """The file locked with `WORDS`."""
    out = io.BytesIO()
    modern = revision >= 4
    how = pikepdf.Encryption(
        user=WORDS.reveal(), owner="o", R=revision, aes=modern, metadata=modern
    )
    with pikepdf.open(io.BytesIO(data)) as pdf:
        pdf.save(out, encryption=how, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return out.getvalue()


def place_named(family: str, name: str) -> Place:
    (found,) = (place for place in PLACES if (place.family, place.name) == (family, name))
    return found


@dataclass
class Watched:
    """The real check; remembers the copies, and may be blind to what some readers see."""

    blind: Sequence[str] = ()
    copies: list[bytes] = field(default_factory=list)

    def __call__(self, file: bytes, **how: Any) -> Verdict:
        self.copies.append(file)
        verdict = check_pdf(file, **how)
        kept = tuple(seen for seen in verdict.sightings if seen.reader not in self.blind)
        clean = not kept and not verdict.unread
        judgement = Judgement.CLEAN if clean else Judgement.HELD
        return replace(verdict, sightings=kept, judgement=judgement)
