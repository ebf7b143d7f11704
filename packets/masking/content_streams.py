"""Content streams on their way into a packet: what they name, and what is left out of them.

Marked content (ISO 32000-2, 14.6) carries structure, alternative text and
layers; nothing of it is seen, and any of it can hold a number. Comments can
too. Both stay behind; the operators that draw are not touched.
"""

import re

import pikepdf

_MARKED = frozenset({"BMC", "BDC", "EMC", "MP", "DP", "BX", "EX"})
_TELLTALE = re.compile(rb"%|(?<![A-Za-z])(?:BMC|BDC|EMC|MP|DP|BX|EX)(?![A-Za-z])")
_STRING = re.compile(rb"\((?:[^()\\]|\\.|\((?:[^()\\]|\\.)*\))*\)", re.DOTALL)
_INLINE_IMAGE = re.compile(rb"(?<![A-Za-z])BI(?![A-Za-z])")
_NAME = re.compile(rb"/([^\x00\t\n\x0c\r \[\]<>(){}/%]+)")


def without_marked_content(holder: pikepdf.Object, data: bytes) -> bytes:
    """Decoded content without marked-content operators and comments.

    `holder` is the page or stream that `data` was decoded from. Content that
    shows no sign of either comes back as it is.
    """
    if not _TELLTALE.search(data):
        return data
    kept = [
        instruction
        for instruction in pikepdf.parse_content_stream(holder)
        if str(instruction.operator) not in _MARKED
    ]
    return pikepdf.unparse_content_stream(kept)


def names_in(data: bytes, holder: pikepdf.Object) -> frozenset[str]:
    """Resource names that decoded content uses; names inside strings do not count."""
    bare = _STRING.sub(b" ", data)
    if b"(" in bare or _INLINE_IMAGE.search(bare):
        return _names_by_parsing(holder)
    return frozenset("/" + _unescaped(match) for match in _NAME.findall(bare))


def _names_by_parsing(holder: pikepdf.Object) -> frozenset[str]:
    names: set[str] = set()
    for instruction in pikepdf.parse_content_stream(holder):
        if isinstance(instruction, pikepdf.ContentStreamInlineImage):
            space = instruction.iimage.obj.get("/ColorSpace") if instruction.iimage else None
            operands: list[object] = [space]
        else:
            operands = list(instruction.operands)
        names.update(str(value) for value in operands if isinstance(value, pikepdf.Name))
    return frozenset(names)


def _unescaped(name: bytes) -> str:
    plain = re.sub(rb"#([0-9A-Fa-f]{2})", lambda match: bytes([int(match.group(1), 16)]), name)
    return plain.decode("utf-8", "surrogateescape")
