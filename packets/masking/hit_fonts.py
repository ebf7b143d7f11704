"""Which fonts held something that was masked, or that stands on pages left out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import pikepdf
from pikepdf import Object

from packets.masking.font_use import Key, fonts_under
from packets.masking.survey import Survey
from packets.masking.text_masking import MaskedText

_DIRECT = (0, 0)


@dataclass(frozen=True)
class HitFonts:
    """Fonts in which something was masked."""

    removed: Mapping[Key, frozenset[int]] = field(default_factory=dict)
    """By object number: the codes that masking took out."""
    all_fonts: bool = False
    """It is not known which: any."""
    every: bool = False
    """Codes go by false names: whatever is not in use goes."""

    def in_copy(self, fonts: Mapping[Key, Object]) -> "HitFonts":
        """The same for a copy of the document; `fonts` are its fonts by their old numbers."""
        there = {fonts[key].objgen: codes for key, codes in self.removed.items() if key in fonts}
        return HitFonts(there, self.all_fonts, self.every)


def fonts_hit(
    document: pikepdf.Pdf, survey: Survey, pages: Sequence[int], text: MaskedText, *, every: bool
) -> HitFonts:
    """Fonts that were masked in, and those of pages left out that hold a number."""
    removed = {key: frozenset(codes) for key, codes in text.removed.items()}
    for number in set(range(len(survey.pages))) - set(pages):
        if survey.pages[number].seen:
            for key in fonts_under(document.pages[number].get("/Resources")):
                removed.setdefault(key, frozenset())
    return HitFonts(removed, every or _DIRECT in removed, every)
