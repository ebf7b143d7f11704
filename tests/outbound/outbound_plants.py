"""One maker for each hiding place: given a text, a small PDF that hides it there."""

import outbound_plants_around_pages
import outbound_plants_as_ink
import outbound_plants_in_objects
import outbound_plants_in_pictures
import outbound_plants_on_pages

PLACES = {
    **outbound_plants_on_pages.PLACES,
    **outbound_plants_around_pages.PLACES,
    **outbound_plants_in_objects.PLACES,
    **outbound_plants_in_pictures.PLACES,
    **outbound_plants_as_ink.PLACES,
}
