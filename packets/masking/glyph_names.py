"""Glyph names and what they stand for (Adobe Glyph List; ISO 32000-2, Annex D)."""

from collections.abc import Mapping
from functools import cache

from fontTools import agl
from fontTools.encodings import StandardEncoding

from packets.masking.font_codes import told

_CODECS = {"WinAnsiEncoding": "cp1252", "MacRomanEncoding": "mac_roman"}


def text_of_name(name: str) -> str:
    """The characters that a glyph name stands for; empty where it only counts."""
    return told(str(agl.toUnicode(name)))


@cache
def names_of_encoding(encoding: str) -> Mapping[int, str]:
    """The glyph names of a standard encoding by code; empty for another one."""
    if encoding == "StandardEncoding":
        listed = enumerate(StandardEncoding.StandardEncoding)
        return {code: name for code, name in listed if name != ".notdef"}
    codec = _CODECS.get(encoding)
    if codec is None:
        return {}
    names = {}
    for code in range(32, 256):
        char = bytes([code]).decode(codec, "ignore")
        if char and ord(char) in agl.UV2AGL:
            names[code] = agl.UV2AGL[ord(char)]
    return names
