"""A passphrase that seals a packet is strong, means the same to every viewer, and can be told."""

import os
import threading
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.base.errors import OurFault, UsageError
from packets.base.secret import Secret
from packets.sealing import passphrase
from packets.sealing.passphrase import check_strength, from_file, generate, prepared


def written(folder: Path, data: bytes, mode: int = 0o600) -> Path:
    path = folder / "passphrase.txt"
    path.write_bytes(data)
    path.chmod(mode)
    return path


def test_six_generated_words_can_be_read_over_the_telephone() -> None:
    words = generate().reveal().split("-")
    assert len(words) == 6
    assert all(word.isascii() and word.isalpha() and word.islower() for word in words)


def test_generated_passphrases_differ_and_are_strong_enough() -> None:
    made = {generate().reveal() for _ in range(20)}
    assert len(made) == 20
    for text in made:
        check_strength(Secret(text))


@pytest.mark.parametrize("words", [5, 12])
def test_as_many_words_as_asked(words: int) -> None:
    assert generate(words).reveal().count("-") == words - 1


@pytest.mark.parametrize("words", [4, 0, -1])
def test_too_few_words_are_refused(words: int) -> None:
    with pytest.raises(UsageError):
        generate(words)


def test_a_missing_word_list_is_never_replaced_by_another(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        passphrase.xkcd_password, "generate_wordlist", lambda **_: ["only", "these", "words"]
    )
    with pytest.raises(OurFault):
        generate()


@pytest.mark.parametrize("end", [b"", b"\n", b"\r\n", b"\nsecond line\n", b"\r\n\r\n"])
def test_the_first_line_counts_without_its_end(tmp_path: Path, end: bytes) -> None:
    path = written(tmp_path, "correct Pferd: Öl".encode() + end)
    assert from_file(path) == Secret("correct Pferd: Öl")


def test_a_byte_order_mark_is_no_part_of_the_passphrase(tmp_path: Path) -> None:
    assert from_file(written(tmp_path, b"\xef\xbb\xbfsome words here\n")) == Secret(
        "some words here"
    )


@pytest.mark.parametrize(
    "data", [b"", b"\n", b"\r\nnext", b"\xff\xfeh\x00", b"x" * 5000], ids=range(5)
)
def test_an_unusable_file_is_refused(tmp_path: Path, data: bytes) -> None:
    with pytest.raises(UsageError):
        from_file(written(tmp_path, data))


def test_a_missing_file_is_refused_by_name(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="absent"):
        from_file(tmp_path / "absent.txt")


@pytest.mark.parametrize("mode", [0o640, 0o604, 0o620, 0o644])
def test_a_file_that_others_may_touch_is_refused(tmp_path: Path, mode: int) -> None:
    with pytest.raises(UsageError, match="others") as refused:
        from_file(written(tmp_path, b"some words of mine\n", mode))
    assert "chmod 600" in refused.value.remedy


def test_a_pipe_is_read_as_it_comes(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe, 0o644)
    writer = threading.Thread(target=pipe.write_bytes, args=(b"words through a pipe\n",))
    writer.start()
    assert from_file(pipe) == Secret("words through a pipe")
    writer.join()


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("fourteen chars", "14 characters"),
        ("é" * 10 + "abcdefgh" * 14, "132 bytes"),
        ("ÄÖÜäöüßé" * 8, "128 bytes"),
        ("tab\tbetween these words", "control"),
        ("null\x00between these words", "control"),
        (" starts with a space", "space"),
        ("ends with a space   ", "space"),
        ("abababababababababab", "repeats"),
        ("my number 000-12-3456 here", "number"),
        ("emoji \U0001f600 in these words", "Unicode 3.2"),
        ("private \ue000 use of words", "private"),
        ("lone \ud800 surrogate here", "surrogate"),
        ("right שלום and left together", "right-to-left"),
        ("word\u202es turned around here", "direction"),
    ],
)
def test_a_weak_or_ambiguous_passphrase_is_refused_with_the_reason(text: str, reason: str) -> None:
    with pytest.raises(UsageError, match=reason) as refused:
        check_strength(Secret(text))
    assert text not in str(refused.value) + refused.value.remedy


@pytest.mark.parametrize(
    "text", ["fifteen letters", "a" + "bcdefg" * 21, "x" + "äöüéèà" * 10, "שלום חברים יקרים"]
)
def test_a_passphrase_at_the_edge_is_taken(text: str) -> None:
    check_strength(Secret(text))


def test_length_is_counted_after_preparation() -> None:
    with pytest.raises(UsageError, match="12 characters"):
        check_strength(Secret("soft\u00adhyphens" + "\u00ad" * 20 + "x"))


@given(st.text(max_size=40))
def test_preparing_twice_changes_nothing(text: str) -> None:
    try:
        once = prepared(Secret(text))
    except UsageError:
        return
    assert prepared(once) == once


@given(st.text(st.characters(min_codepoint=0x20, max_codepoint=0x7E), max_size=60))
def test_printable_ascii_is_left_alone(text: str) -> None:
    assert prepared(Secret(text)) == Secret(text)
    assert passphrase.is_printable_ascii(Secret(text))


def test_letters_that_viewers_treat_differently_are_told_apart() -> None:
    assert not passphrase.is_printable_ascii(Secret("größer als alles"))
