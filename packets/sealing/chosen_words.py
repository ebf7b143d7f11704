"""What a passphrase that somebody chose must be worth, and what it may not hold.

The packet shows the last four digits of numbers, names, addresses and dates of birth
to whoever opens it; whoever tries to open it knows some of them already. Four digits
are 13 bits, four with a ZIP code 30, a date of birth over a century 15.
"""

import datetime as dt
import math
import re
import unicodedata
from collections.abc import Sequence

from packets.base.errors import UsageError
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber
from packets.sealing.passphrase import check_strength, prepared

_LONGEST_JUDGED = 72
"""Characters that zxcvbn takes; what follows only adds to the strength."""
_SHOWN_DIGITS = 4
_FIVE_DIGITS = re.compile(r"\d{5}")
_APART = re.compile(r"(?<!\d)(?=(\d{1,4})[\W_]{1,3}(\d{1,2})[\W_]{1,3}(\d{2,4})(?!\d))")
_TOGETHER = re.compile(r"(?<!\d)(?:\d{6}|\d{8})(?!\d)")
_MONTHS = (
    "jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    "sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?"
)
_NAMED = re.compile(
    rf"(?<![a-z])(?:{_MONTHS})(?![a-z])[\W_]*\d{{1,2}}(?!\d)"
    rf"|(?<!\d)\d{{1,2}}(?:st|nd|rd|th)?[\W_]*(?:of[\W_]*)?(?:{_MONTHS})(?![a-z])"
)
_REMEDY = "Take several words that have nothing to do with the client or with each other."


def judge_chosen(
    secret: Secret, *, bits: int, known: Sequence[KnownNumber], words: Sequence[str]
) -> None:
    """Raise `UsageError`, with the reason and without the passphrase, unless it will do.

    `bits`: two to this power tries are asked (zxcvbn's estimate); `known`: numbers of
    which no four digits in a row may stand in it; `words`: names and the like that a
    guesser would try first. What `check_strength` refuses is refused first.
    """
    check_strength(secret)
    text = _ascii_digits(prepared(secret).reveal()).casefold()
    if _holds_four_of(text, known):
        raise _refused("four digits of a number of this client, which the packet itself may show")
    if holds_date(text):
        raise _refused("what may be a date of birth, which is soon guessed or looked up")
    if _FIVE_DIGITS.search(text):
        raise _refused("five digits in a row, which may be a ZIP code")
    worth = bits_of(secret, words)
    if worth < bits:
        raise UsageError(
            f"the passphrase is worth about {worth:.0f} bits, and the recipe asks for {bits}",
            remedy=_REMEDY,
        )


def bits_of(secret: Secret, words: Sequence[str] = ()) -> float:
    """How strong it is: the binary logarithm of the tries that zxcvbn estimates."""
    from zxcvbn import zxcvbn  # noqa: PLC0415 - its word lists take time, and few commands ask

    inputs = [part for word in words for part in (word, *re.split(r"[\W_]+", word)) if part]
    judged = zxcvbn(secret.reveal()[:_LONGEST_JUDGED], user_inputs=inputs)
    return float(judged["guesses_log10"]) / math.log10(2)


def holds_date(text: str) -> bool:
    """Whether small letters and ASCII digits hold a day, in figures or by its month's name."""
    apart = (found.groups() for found in _APART.finditer(text))
    together = (cut for found in _TOGETHER.finditer(text) for cut in _cuts(found[0]))
    return _NAMED.search(text) is not None or any(
        _is_day(*order) for parts in (*apart, *together) for order in _orders(*parts)
    )


def _cuts(digits: str) -> list[tuple[str, str, str]]:
    found = [(digits[:2], digits[2:4], digits[4:])]
    if len(digits) == 8:
        found.append((digits[:4], digits[4:6], digits[6:]))
    return found


def _orders(first: str, second: str, third: str) -> list[tuple[str, str, str]]:
    """As year, month and day: American, European and ISO 8601 order."""
    return [(third, first, second), (third, second, first), (first, second, third)]


def _is_day(year: str, month: str, day: str) -> bool:
    if len(year) not in (2, 4) or len(month) > 2 or len(day) > 2:
        return False
    number = int(year) if len(year) == 4 else 2000 + int(year)  # 2000 had a 29 February
    if not 1880 <= number <= 2100:
        return False
    try:
        dt.date(number if len(year) == 4 else 2000, int(month), int(day))
    except ValueError:
        return False
    return True


def _holds_four_of(text: str, known: Sequence[KnownNumber]) -> bool:
    """Looked for with everything between the digits left out."""
    digits = "".join(c for c in text if c in "0123456789")
    return any(
        number[at : at + _SHOWN_DIGITS] in digits
        for number in (each.digits.reveal() for each in known)
        for at in range(len(number) - _SHOWN_DIGITS + 1)
    )


def _ascii_digits(text: str) -> str:
    """Digits of every script as ASCII."""
    return "".join(str(unicodedata.decimal(c)) if c.isdecimal() else c for c in text)


def _refused(what: str) -> UsageError:
    return UsageError(f"the passphrase holds {what}", remedy=_REMEDY)
