"""Published test vectors of the standards that manifest, ledger and passphrases rest on.

RFC 8785 (June 2020), sections 3.2.2 to 3.2.4 and Appendix B; FIPS 180-4 with the
example messages NIST publishes for SHA-256; RFC 4013, section 3 (SASLprep).
"""

import json
import struct
import unicodedata

import pytest

from packets.base.canonical import canonical_json, checksum_of, sha256_hex
from packets.base.errors import UsageError
from packets.base.secret import Secret
from packets.sealing.passphrase import prepared

RFC_8785_SAMPLE = r"""
{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}
"""
RFC_8785_CANONICAL = bytes.fromhex(
    """
    7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72
    75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22 3a
    5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31
    65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37
    5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30
    30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
    """
)


def test_rfc_8785_sample_becomes_its_118_published_bytes() -> None:
    assert len(RFC_8785_CANONICAL) == 118
    assert canonical_json(json.loads(RFC_8785_SAMPLE)) == RFC_8785_CANONICAL


def test_the_checksum_is_over_those_bytes_and_leaves_itself_out() -> None:
    expected = "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"
    record = json.loads(RFC_8785_SAMPLE)
    assert checksum_of(record) == expected
    assert checksum_of({**record, "checksum": "anything"}) == expected


def test_rfc_8785_sorts_members_by_utf_16_code_units() -> None:
    """Section 3.2.3, with a member outside the basic plane before one at its end."""
    shuffled = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }
    assert list(json.loads(canonical_json(shuffled)).values()) == [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Euro Sign",
        "Emoji: Grinning Face",
        "Hebrew Letter Dalet With Dagesh",
    ]


@pytest.mark.parametrize(
    ("bits", "text"),
    [
        ("0000000000000000", "0"),
        ("8000000000000000", "0"),
        ("0000000000000001", "5e-324"),
        ("8000000000000001", "-5e-324"),
        ("7fefffffffffffff", "1.7976931348623157e+308"),
        ("ffefffffffffffff", "-1.7976931348623157e+308"),
        ("4340000000000000", "9007199254740992"),
        ("c340000000000000", "-9007199254740992"),
        ("4430000000000000", "295147905179352830000"),
        ("44b52d02c7e14af5", "9.999999999999997e+22"),
        ("44b52d02c7e14af6", "1e+23"),
        ("44b52d02c7e14af7", "1.0000000000000001e+23"),
        ("444b1ae4d6e2ef4e", "999999999999999700000"),
        ("444b1ae4d6e2ef4f", "999999999999999900000"),
        ("444b1ae4d6e2ef50", "1e+21"),
        ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
        ("3eb0c6f7a0b5ed8d", "0.000001"),
        ("41b3de4355555553", "333333333.3333332"),
        ("41b3de4355555554", "333333333.33333325"),
        ("41b3de4355555555", "333333333.3333333"),
        ("41b3de4355555556", "333333333.3333334"),
        ("41b3de4355555557", "333333333.33333343"),
        ("becbf647612f3696", "-0.0000033333333333333333"),
        ("43143ff3c1cb0959", "1424953923781206.2"),
    ],
)
def test_rfc_8785_appendix_b_numbers(bits: str, text: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical_json(number) == text.encode()


@pytest.mark.parametrize("unsafe", [2**53, -(2**53), float("nan"), float("inf")])
def test_numbers_that_json_cannot_carry_safely_are_refused(unsafe: float) -> None:
    """RFC 8785, 3.2.2.3 and Appendix D: integers beyond 2**53 - 1 lose their value."""
    with pytest.raises(ValueError, match=r"."):
        canonical_json(unsafe)


@pytest.mark.parametrize(
    ("message", "digest"),
    [
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
        (
            b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        ),
        (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
    ],
    ids=["24 bits", "empty", "448 bits", "one million a"],
)
def test_fips_180_4_example_messages(message: bytes, digest: str) -> None:
    assert sha256_hex(message) == digest


@pytest.mark.parametrize(
    ("text", "result"),
    [
        ("I\u00adX", "IX"),
        ("user", "user"),
        ("USER", "USER"),
        ("\u00aa", "a"),
        ("\u2168", "IX"),
    ],
)
def test_rfc_4013_examples(text: str, result: str) -> None:
    assert prepared(Secret(text)) == Secret(result)


@pytest.mark.parametrize("text", ["\u0007", "\u0627\u0031"])
def test_rfc_4013_examples_of_prohibited_texts(text: str) -> None:
    with pytest.raises(UsageError):
        prepared(Secret(text))


def test_saslprep_rests_on_unicode_3_2() -> None:
    assert unicodedata.ucd_3_2_0.unidata_version == "3.2.0"
