"""Text of XML and HTML as a person would read it, and the files that lie in it as Base64."""

import base64
import binascii
import html
import re

from packets.outbound.carriers.text import BASE64, LONG_WORD, UUID

_TAG = re.compile(r"<[^<>]*+>")


def read_markup(text: str) -> tuple[str, tuple[bytes, ...]]:
    """The text between the tags, without identifiers that no person made; and enclosed files."""
    body = _TAG.sub("\n", text) if text.lstrip("\ufeff \t\r\n").startswith("<") else text
    enclosed = tuple(
        plain for run in BASE64.findall(body)[:200] if (plain := _decoded(run)) is not None
    )
    return html.unescape(UUID.sub("\n", LONG_WORD.sub("\n", body))), enclosed


def _decoded(run: str) -> bytes | None:
    letters = "".join(run.split()).rstrip("=")
    letters = letters[: len(letters) - (len(letters) % 4 == 1)]
    try:
        return base64.b64decode(letters + "=" * (-len(letters) % 4))
    except binascii.Error:
        return None
