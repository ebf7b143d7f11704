"""What a bar code may say: as it stands, and behind the wrappings that are in use."""

import base64
import binascii
import re
import urllib.parse
import zlib

_BASE64 = re.compile(rb"[A-Za-z0-9+/_-]{12,}={0,2}")
_MOST = 1_000_000


def spellings(text: str, raw: bytes) -> tuple[str, ...]:
    """The text of a code, its bytes, and both unwrapped from percent, Base64 and deflate."""
    found = [text, raw.decode("latin-1"), urllib.parse.unquote_plus(text)]
    for run in _BASE64.findall(raw)[:50]:
        plain = _unbased(run)
        if plain:
            found += [plain.decode("latin-1"), _inflated(plain).decode("latin-1")]
    found.append(_inflated(raw).decode("latin-1"))
    return tuple(dict.fromkeys(spelling for spelling in found if spelling))


def _unbased(run: bytes) -> bytes:
    body = run.rstrip(b"=").translate(bytes.maketrans(b"-_", b"+/"))
    body = body[: len(body) - (len(body) % 4 == 1)]
    try:
        return base64.b64decode(body + b"=" * (-len(body) % 4))
    except binascii.Error:
        return b""


def _inflated(data: bytes) -> bytes:
    for window in (zlib.MAX_WBITS | 32, -zlib.MAX_WBITS):
        try:
            return zlib.decompressobj(window).decompress(data, _MOST)
        except zlib.error:
            continue
    return b""
