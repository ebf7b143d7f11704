"""Print the kit: each place, who recovers the number before it is masked, and who after.

    python tests/planting/show_planting_kit.py [WORD ...]

With words, only places whose name holds one of them.
"""

import sys

from hiding_places import HidingPlace
from masking_run import known_number, mask
from outside_readers import recovered_by, remains
from planted_pages import NUMBER
from planting_kit import PLACES


def row(place: HidingPlace) -> tuple[str, str, str]:
    """Name, readers before, and readers after or that the packet is held."""
    pdf = place.make()
    result = mask(pdf, [known_number(NUMBER)] if place.known else ())
    before = ", ".join(recovered_by(pdf, place.told_by, place.times))
    after = ", ".join(remains(result.pdf, place.told_by)) or "nobody"
    return place.name, before, "held" if result.unread else after


def main(words: list[str]) -> None:
    """Print the table, a line to each place."""
    chosen = [
        place for name, place in PLACES.items() if not words or any(word in name for word in words)
    ]
    width = max((len(place.name) for place in chosen), default=0)
    for place in chosen:
        name, before, after = row(place)
        sys.stdout.write(f"{name:{width}}  before: {before:42}  after: {after}\n")
    sys.stdout.write(f"{len(chosen)} places\n")


if __name__ == "__main__":
    main(sys.argv[1:])
