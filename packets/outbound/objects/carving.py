"""Finding every object in the bytes of a file, whether or not anything leads to it.

Other readers follow the cross-reference; here the bytes are searched from end
to end for `N G obj`, so that older revisions, unreferenced objects and objects
that hide inside another's stream come to light too.
"""

import re
from bisect import bisect_left
from dataclasses import dataclass

from packets.base.errors import Damaged, OverLimit
from packets.base.limits import Limits
from packets.outbound.objects.lexer import REGULAR, read_value
from packets.outbound.objects.values import FileObject, Value, place_of

_BETWEEN = rb"(?:[\x00\t\n\x0c\r ]|%[^\r\n]{0,80}[\r\n]){1,40}+"
_HEADER = re.compile(
    rb"([0-9](?<![0-9][0-9])[0-9]{0,9})" + _BETWEEN
    + rb"(\d{1,5})" + _BETWEEN + rb"obj(?!" + REGULAR + rb")"
)  # fmt: skip
_STREAM = re.compile(rb"(?:[\x00\t\n\x0c\r ]|%[^\r\n]{0,80}[\r\n]){0,40}+stream(\r\n|\n|\r)")
_ENDSTREAM = re.compile(rb"endstream")
_END = re.compile(rb"(?:[\x00\t\n\x0c\r ]|%[^\r\n]{0,80}[\r\n]){0,40}+end(?:obj|stream)")
_STRAY = re.compile(rb"(?<!end)(?<![A-Za-z])obj(?!" + REGULAR + rb")")
_TRAILER = re.compile(rb"trailer(?=[\x00\t\n\x0c\r <])")
_LENGTH = re.compile(rb"[\x00\t\n\x0c\r ]{0,8}(\d{1,12})(?!\d)")


@dataclass(frozen=True)
class Carved:
    """All that was found in a file's bytes."""

    objects: tuple[FileObject, ...]
    trailers: tuple[dict[str, Value], ...]
    unread: tuple[str, ...]
    revisions: int
    """How many times `startxref` occurs: once for each time the file was saved."""
    between: tuple[bytes, ...]
    """What lies before, between and behind the objects."""


class _Carver:
    def __init__(self, data: bytes, limits: Limits) -> None:
        self.data = data
        self.limits = limits
        self.headers = list(_HEADER.finditer(data))
        if len(self.headers) > limits.objects:
            raise OverLimit("more objects than this program promises to read")
        self.offsets = {int(match[1]): match.end() for match in self.headers}
        self.stream_ends = [match.start() for match in _ENDSTREAM.finditer(data)]
        self.allowance = 4 * len(data) + 65_536
        self.objects: list[FileObject] = []
        self.unread: list[str] = []
        self.covered = 0
        self.between: list[bytes] = []

    def run(self) -> None:
        for header in self.headers:
            within_stream = header.start() < self.covered
            try:
                found, end = self.read(header)
            except Damaged as fault:
                if not within_stream:
                    self.unread.append(f"{place_of(int(header[1]), int(header[2]))}: {fault.what}")
                continue
            self.objects.append(found)
            if not within_stream:
                self.between.append(self.data[self.covered : header.start()])
            self.covered = max(self.covered, end)

    def read(self, header: re.Match[bytes]) -> tuple[FileObject, int]:
        spare: list[Value] = []
        value, at = read_value(self.data, header.end(), nesting=self.limits.nesting, spare=spare)
        raw = None
        stream = _STREAM.match(self.data, at) if isinstance(value, dict) else None
        if stream is not None and isinstance(value, dict):
            raw, at = self.stream(value, stream.end())
        elif _END.match(self.data, at) is None:
            raise Damaged("an object without an end")
        number, generation = int(header[1]), int(header[2])
        return FileObject(number, generation, value, raw, spare=tuple(spare)), at

    def stream(self, entries: dict[str, Value], start: int) -> tuple[bytes, int]:
        """The bytes of a stream: by its length where that is true, else up to `endstream`."""
        end = self.declared_end(entries.get("Length"), start)
        if end is None:
            at = bisect_left(self.stream_ends, start)
            if at == len(self.stream_ends):
                raise Damaged("a stream without an end")
            end = self.stream_ends[at]
        self.allowance -= end - start
        if self.allowance < 0:
            raise OverLimit("streams that lie over one another")
        return self.data[start:end], end

    def declared_end(self, length: Value, start: int) -> int | None:
        if isinstance(length, tuple):
            at = self.offsets.get(length[0])
            number = _LENGTH.match(self.data, at) if at is not None else None
            length = int(number[1]) if number is not None else None
        if not isinstance(length, int) or length < 0:
            return None
        end = start + length
        return end if _END.match(self.data, end) is not None else None


def carve(data: bytes, limits: Limits) -> Carved:
    """Every object and trailer in `data`, and in words what could not be read.

    Raises OverLimit where the file holds more than `limits` allow.
    """
    carver = _Carver(data, limits)
    carver.run()
    between = (*carver.between, data[carver.covered :])
    if any(_STRAY.search(gap) for gap in between):
        carver.unread.append("an object whose beginning cannot be read")
    trailers: list[dict[str, Value]] = []
    for match in _TRAILER.finditer(data):
        try:
            value, _ = read_value(data, match.end(), nesting=limits.nesting)
        except Damaged:
            carver.unread.append("a trailer that cannot be read")
            continue
        if isinstance(value, dict):
            trailers.append(value)
    return Carved(
        tuple(carver.objects),
        tuple(trailers),
        tuple(carver.unread),
        data.count(b"startxref"),
        between,
    )
