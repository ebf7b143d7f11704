"""What a person or a file is called shows on a page as it is, in the order in which it stands."""

import pytest

from packets.review.words import shown


@pytest.mark.parametrize("sign", ["\u202e", "\u2066", "\u200f", "\u061c", "\n", "\x1b", "\u2028"])
def test_what_turns_or_ends_a_line_shows_as_a_sign(sign):
    assert shown(f"Pell{sign}and Marsh") == "Pell\ufffdand Marsh"


def test_a_name_in_any_script_stays_as_it_is():
    name = "Zoë Ñandú, بهار\u200cک, अक्\u200dष <b>"
    assert shown(name) == name
