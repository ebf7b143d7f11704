"""Places on a page are met where they stand, whatever lies about them."""

from hypothesis import given, settings
from hypothesis import strategies as st

from packets.masking.targets import _NEAR, Place, Targets

coordinates = st.sampled_from([-1.2, -0.3, 0.0, 0.34, 0.36, 0.69, 0.99, 1.0, 1.3, 2.04, 5.5])
masks = st.sampled_from(["X", "*", None])
places = st.lists(
    st.builds(Place, coordinates, coordinates, masks, st.just((0.5, 0.0))), max_size=9
)


def looked_for_one_by_one(places: list[Place], x: float, y: float) -> Place | None:
    """The strictest place here, of equals the first by its cell and then by its number."""
    near = [place for place in places if abs(place.x - x) <= _NEAR and abs(place.y - y) <= _NEAR]
    near.sort(key=lambda place: (place.x // 1.0, place.y // 1.0))
    return next((place for place in near if place.mask is not None), near[0] if near else None)


@given(places=places, points=st.lists(st.tuples(coordinates, coordinates), max_size=6))
@settings(max_examples=300, deadline=None)
def test_what_is_near_a_point_is_found(places, points):
    targets = Targets(places)
    for x, y in points:
        assert targets.at(x, y) is looked_for_one_by_one(places, x, y)
    met = [
        place.mask is not None
        and any(abs(place.x - x) <= _NEAR and abs(place.y - y) <= _NEAR for x, y in points)
        for place in places
    ]
    assert targets.missed == sum(place.mask is not None for place in places) - sum(met)
