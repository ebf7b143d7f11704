"""`SHA256SUMS`: one line per packet of a folder, in the form that `sha256sum -c` reads.

Digest, two spaces, name. Where a name holds a backslash, a line feed or a carriage
return, these are written `\\\\`, `\\n`, `\\r` and the line starts with a backslash
(GNU coreutils manual, "cksum output modes").
"""

from pathlib import Path

FILE_NAME = "SHA256SUMS"
_ESCAPES = (("\\", "\\\\"), ("\n", "\\n"), ("\r", "\\r"))


def checksum_line(name: str, digest: str) -> bytes:
    """One line with its line feed; `name` as the file system has it."""
    escaped = name
    for plain, written in _ESCAPES:
        escaped = escaped.replace(plain, written)
    mark = "\\" if escaped != name else ""
    return f"{mark}{digest}  {escaped}\n".encode("utf-8", "surrogateescape")


def with_packet(listed: bytes, name: str, digest: str) -> bytes:
    """The list with exactly one line for `name`; every other line stays as it is."""
    kept = _lines_without(listed, name)
    lines = {_name_part(line): line for line in [*kept, checksum_line(name, digest)]}
    return b"".join(line for _, line in sorted(lines.items()))


def without_packet(listed: bytes, name: str) -> bytes:
    """The list with no line for `name`."""
    return b"".join(_lines_without(listed, name))


def names_packet(listed: bytes, name: str) -> bool:
    """Whether the list has a line for `name`."""
    return _lines_without(listed, name) != _whole_lines(listed)


def read_list(folder: Path) -> bytes:
    """The bytes of the folder's list, empty when there is none."""
    try:
        return (folder / FILE_NAME).read_bytes()
    except FileNotFoundError:
        return b""


def _whole_lines(listed: bytes) -> list[bytes]:
    return [line + b"\n" for line in listed.split(b"\n") if line]


def _lines_without(listed: bytes, name: str) -> list[bytes]:
    wanted = _name_part(checksum_line(name, "0" * 64))
    return [line for line in _whole_lines(listed) if _name_part(line) != wanted]


def _name_part(line: bytes) -> bytes:
    """What follows the digest and the two-character gap (a space, then a space or a star)."""
    return line.removeprefix(b"\\")[66:]
