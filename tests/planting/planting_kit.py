"""The one registry of hiding places: by name, each with its maker."""

from dataclasses import replace

import places_around_pages
import places_beside_pixels
import places_by_operator
import places_in_annotations
import places_in_contents
import places_in_files
import places_in_fonts
import places_in_ink
import places_in_pictures
import places_in_scripts
import places_nested
import places_of_pictures

_EVERY = {
    **places_around_pages.PLACES,
    **places_beside_pixels.PLACES,
    **places_by_operator.PLACES,
    **places_in_annotations.PLACES,
    **places_in_contents.PLACES,
    **places_in_files.PLACES,
    **places_in_fonts.PLACES,
    **places_in_ink.PLACES,
    **places_in_pictures.PLACES,
    **places_in_scripts.PLACES,
    **places_nested.PLACES,
    **places_of_pictures.PLACES,
}

OPEN: dict[str, str] = {}
"""Places that leak somewhere still, and why: their tests must fail."""
PLACES = {name: replace(place, leak=OPEN.get(name, "")) for name, place in _EVERY.items()}
