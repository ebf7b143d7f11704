"""Passphrases: made of words, read from a file, judged before they seal anything.

ISO 32000-2:2020, 7.6.4.3.3 (Algorithm 2.A): the password is prepared with SASLprep
(RFC 4013), encoded as UTF-8 and *silently cut* at 127 bytes; what would be cut is
refused here. NIST SP 800-63B-4: at least 15 characters where the passphrase is the
only factor, no rules about kinds of characters, spaces and Unicode allowed.
"""

import os
import secrets
import stat
import stringprep
import unicodedata
from pathlib import Path

from xkcdpass import xkcd_password

from packets.base.errors import OurFault, UsageError
from packets.base.secret import Secret
from packets.sealing.number_free import holds_number, plain_text

LIST_WORDS = 7772
"""Words of the `eff-long` list (7,776) without the four that hold a hyphen.

Six of them make 6 x log2(7772) = 77.5 bits, five 64.6."""
DEFAULT_WORDS = 6
FEWEST_WORDS = 5
SHORTEST = 15
"""Characters; SP 800-63B-4, 3.1.1.2."""
LONGEST_BYTES = 127
"""UTF-8 bytes; ISO 32000-2:2020, 7.6.4.3.3."""
_FEWEST_DISTINCT = 6
_FILE_BYTES = 4096

_PROHIBITED = (
    (stringprep.in_table_c21_c22, "a control character"),
    (stringprep.in_table_c3, "a private-use character"),
    (stringprep.in_table_c4, "a code point that is no character"),
    (stringprep.in_table_c5, "half of a surrogate pair"),
    (stringprep.in_table_c6, "a character not fit for plain text"),
    (stringprep.in_table_c7, "a character not fit for canonical form"),
    (stringprep.in_table_c8, "a character that turns the direction of writing"),
    (stringprep.in_table_c9, "a tagging character"),
    (stringprep.in_table_a1, "a character newer than Unicode 3.2, such as an emoji"),
)


def generate(words: int = DEFAULT_WORDS) -> Secret:
    """A passphrase of random words, for a packet whose recipe says `generate`.

    Small letters with one hyphen between the words: it can be read over the
    telephone ("six words, all small, a hyphen between them"), a hyphen is seen
    and does not vanish at a line's end as a space does, and since no word of the
    list holds one, the words can be told apart. Raises `UsageError` under five.
    """
    if words < FEWEST_WORDS:
        raise UsageError(f"a passphrase of {words} words is too short; {FEWEST_WORDS} at least")
    listed = xkcd_password.generate_wordlist(
        wordfile="eff-long", min_length=3, max_length=9, valid_chars="[a-z]"
    )
    if len(listed) != LIST_WORDS:  # xkcdpass falls back to whatever dictionary it finds
        raise OurFault("the word list for passphrases is missing or altered")
    return Secret("-".join(secrets.choice(listed) for _ in range(words)))


def from_file(path: Path) -> Secret:
    """The first line of a passphrase file, without its line end.

    UTF-8, with or without a byte order mark. Raises `UsageError` for a file that
    is missing, readable by group or others, empty, or not UTF-8. Whether the
    passphrase is strong is not asked here: it may open a source that somebody
    else locked. A pipe is read as it comes.
    """
    where = plain_text(str(path))
    try:
        with path.open("rb") as file:
            mode = os.fstat(file.fileno()).st_mode
            data = file.readline(_FILE_BYTES + 1)
    except OSError:
        raise UsageError("the passphrase file cannot be read", where=where) from None
    if os.name == "posix" and stat.S_ISREG(mode) and mode & 0o077:
        raise UsageError(
            "others than you may read or change the passphrase file",
            where=where,
            remedy="Take their rights away (chmod 600) and run the command again.",
        )
    if len(data) > _FILE_BYTES:
        raise UsageError("the first line is too long for a passphrase", where=where)
    line = data.rstrip(b"\r\n").removeprefix(b"\xef\xbb\xbf")
    if not line:
        raise UsageError("the first line of the passphrase file is empty", where=where)
    if not _is_utf8(line):
        raise UsageError("the passphrase file is not UTF-8 text", where=where)
    return Secret(line.decode())


def _is_utf8(line: bytes) -> bool:
    try:
        line.decode()
    except UnicodeDecodeError:
        return False
    return True


def prepared(secret: Secret) -> Secret:
    """The passphrase as SASLprep (RFC 4013) makes it, which is what opens the packet.

    Raises `UsageError` naming the kind of a character that RFC 4013 prohibits;
    unassigned code points (RFC 3454, A.1) are prohibited too, because a stored
    passphrase must mean the same to every viewer.
    """
    mapped = "".join(
        " " if stringprep.in_table_c12(character) else character
        for character in secret.reveal()
        if not stringprep.in_table_b1(character)
    )
    result = unicodedata.ucd_3_2_0.normalize("NFKC", mapped)
    for forbidden, name in _PROHIBITED:
        if any(forbidden(character) for character in result):
            raise UsageError(f"the passphrase holds {name}", remedy=_CHOOSE_ASCII)
    if not _direction_is_plain(result):
        raise UsageError(
            "the passphrase mixes right-to-left and left-to-right letters", remedy=_CHOOSE_ASCII
        )
    return Secret(result)


_CHOOSE_ASCII = "Choose letters, digits and signs of a plain keyboard (printable ASCII)."


def _direction_is_plain(text: str) -> bool:
    """RFC 3454, 6: right-to-left text holds no left-to-right letter and is framed by its own."""
    if not any(stringprep.in_table_d1(character) for character in text):
        return True
    if any(stringprep.in_table_d2(character) for character in text):
        return False
    return stringprep.in_table_d1(text[0]) and stringprep.in_table_d1(text[-1])


def check_strength(secret: Secret) -> None:
    """Refuse, as `UsageError`, a passphrase that must not seal a packet.

    Prohibited characters, under 15 characters, over 127 bytes, a space at an end
    (nobody sees it), hardly any different characters, or a taxpayer number's
    shape inside (the packet itself shows the last four of one).
    """
    ready = prepared(secret)
    if len(ready) < SHORTEST:
        raise UsageError(
            f"the passphrase has {len(ready)} characters; a mailed file needs {SHORTEST} at least",
            remedy="Take several unrelated words, or let packets generate them.",
        )
    size = len(ready.reveal().encode())
    if size > LONGEST_BYTES:
        raise UsageError(
            f"the passphrase has {size} bytes; PDF viewers silently ignore all after "
            f"{LONGEST_BYTES} (ISO 32000-2, 7.6.4.3.3)",
            remedy="Shorten it; letters outside ASCII count two bytes and more.",
        )
    if ready.reveal() != ready.reveal().strip():
        raise UsageError("the passphrase begins or ends with a space, which nobody can see")
    if len(set(ready.reveal())) < _FEWEST_DISTINCT:
        raise UsageError("the passphrase repeats so few characters that it is soon guessed")
    if holds_number(ready.reveal()):
        raise UsageError("the passphrase holds what looks like a taxpayer or account number")


def is_printable_ascii(secret: Secret) -> bool:
    """Whether every viewer will take it alike; many skip SASLprep, so other letters are a risk."""
    return secret.reveal().isascii() and secret.reveal().isprintable()
