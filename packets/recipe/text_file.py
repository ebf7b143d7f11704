"""Reading a small file that a person writes: bounded, regular, UTF-8, nothing odd."""

import codecs
import os
import re
import stat
from pathlib import Path

from packets.base.errors import Fault, FileFaults

LARGEST_TEXT_FILE = 256 * 1024
"""Bytes. A recipe of 200 lines has 8 KB; whatever is larger was not typed by a person."""

_NUMBER = re.compile(
    r"(?<!\d)(?:"
    r"\d{3}[^\w/]?_?\d{2}[^\w/]?_?\d{4}"  # three-two-four, with or without separators
    r"|\d{2}[^\w/]\d{7}"  # an EIN
    r"|(?!(?:19|20)\d{2}[01]\d[0-3]\d)\d{10,}"  # an account or card, not a scanner's date
    r")(?!\d)"
)
_WIDE_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_SAVE_AS = "save it as plain text in UTF-8 without a byte order mark"


def shown_path(path: Path | str) -> str:
    """A path or other name for messages; what looks like somebody's number is not repeated."""
    return _NUMBER.sub("(number)", str(path))


def read_small_file(path: Path) -> bytes:
    """The bytes of a regular file of at most `LARGEST_TEXT_FILE` bytes.

    Raises `FileFaults` when there is none, when it is a folder, pipe or device
    (which could block forever), when it may not be read, or when it is too large.
    """
    fault = None
    data = b""
    try:
        # O_NONBLOCK: opening a pipe nobody writes to must not hang.
        descriptor = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
        with os.fdopen(descriptor, "rb") as file:
            if stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                data = file.read(LARGEST_TEXT_FILE + 1)
            else:
                fault = "this is a pipe or device, not a file"
    except FileNotFoundError:
        fault = "there is no such file"
    except IsADirectoryError:
        fault = "this is a folder, not a file"
    except PermissionError:
        fault = "this file may not be read by you"
    except (OSError, ValueError):
        fault = "this file cannot be read"
    if fault is None and len(data) > LARGEST_TEXT_FILE:
        fault = f"this file is too large; allowed: up to {LARGEST_TEXT_FILE // 1024} KB"
    if fault is not None:
        raise _refusal(path, fault)
    return data


def text_of(data: bytes, file: Path | str) -> str:
    """The bytes as text. Raises `FileFaults` for anything but plain UTF-8 without BOM and NUL."""
    if data.startswith(codecs.BOM_UTF8):
        raise _refusal(file, f"the file starts with a byte order mark; {_SAVE_AS}", line=1)
    if data.startswith(_WIDE_MARKS):
        raise _refusal(file, f"the file is in UTF-16; {_SAVE_AS}", line=1)
    if b"\0" in data:
        line = data[: data.index(b"\0")].count(b"\n") + 1
        raise _refusal(file, f"there is a NUL character; {_SAVE_AS}", line=line)
    bad_at = None
    text = ""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        bad_at = error.start
    if bad_at is not None:
        line = data[:bad_at].count(b"\n") + 1
        raise _refusal(file, f"a character is not in UTF-8; {_SAVE_AS}", line=line)
    return text


def _refusal(file: Path | str, what: str, *, line: int | None = None) -> FileFaults:
    where = "the file" if line is None else f"line {line}"
    return FileFaults(shown_path(file), (Fault(where=where, what=what),))
