"""Text of XML and HTML as a person would read it, and the files that lie in it as Base64."""

import base64
import binascii
import html
import re

_TAG = re.compile(r"<[^<>]*+>")
_UUID = re.compile(
    r"(?<![0-9A-Za-z])[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}(?![0-9a-f])",
    re.IGNORECASE,
)
_BASE64 = re.compile(r"(?:[A-Za-z0-9+/]{40,}+\s{0,4})++[A-Za-z0-9+/]{0,76}={0,2}")
_LONG_WORD = re.compile(r"(?<![A-Za-z0-9+/])(?=\d*[A-Za-z+/])[A-Za-z0-9+/]{40,}={0,2}")
"""What is left out of the hunt as Base64: never a word of digits, nor one that stands behind."""


def read_markup(text: str) -> tuple[str, tuple[bytes, ...]]:
    """The text between the tags, without identifiers that no person made; and enclosed files."""
    body = _TAG.sub("\n", text) if text.lstrip("\ufeff \t\r\n").startswith("<") else text
    enclosed = tuple(
        plain for run in _BASE64.findall(body)[:200] if (plain := _decoded(run)) is not None
    )
    return html.unescape(_UUID.sub("\n", _LONG_WORD.sub("\n", body))), enclosed


def _decoded(run: str) -> bytes | None:
    letters = "".join(run.split()).rstrip("=")
    letters = letters[: len(letters) - (len(letters) % 4 == 1)]
    try:
        return base64.b64decode(letters + "=" * (-len(letters) % 4))
    except binascii.Error:
        return None
