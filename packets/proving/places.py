"""Every hiding place, family by family."""

from packets.proving import (
    annotations,
    around_pages,
    attached,
    bar_codes,
    file_level,
    hidden_text,
    nested_content,
    outlines,
    pictures,
    shown_text,
    spellings,
    structure,
)
from packets.proving.place import Place

PLACES: tuple[Place, ...] = (
    *shown_text.PLACES,
    *hidden_text.PLACES,
    *nested_content.PLACES,
    *annotations.PLACES,
    *around_pages.PLACES,
    *structure.PLACES,
    *attached.PLACES,
    *pictures.PLACES,
    *outlines.PLACES,
    *bar_codes.PLACES,
    *spellings.PLACES,
    *file_level.PLACES,
)
"""Places of a PDF where a number can survive, after ISO 32000-2."""
