"""The rebuild by list: a new document made only of what the allow-list admits.

Pages are made anew, object by object, each in the role it plays; keys that the
role does not list are not copied, resources that no operator names are not
copied, and nothing that is not reachable from a page's drawing is ever looked
at. So earlier revisions, unreferenced objects, metadata, scripts, attachments
and what nobody has thought of yet stay behind.
"""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Pdf, Stream, String

from packets.base.errors import Damaged, OverLimit
from packets.base.limits import DEFAULT_LIMITS
from packets.masking.allowed import PLAIN, RESOURCE_KINDS, ROLES, TEXTUAL
from packets.masking.content_streams import names_in, without_marked_content

Value = Object | int | float | bool | Decimal


def rebuilt(source: Pdf, pages: Sequence[int]) -> Pdf:
    """A new document with the given pages (from 0) of `source`, kept by list."""
    target = pikepdf.new()
    builder = _Builder(target)
    for number in pages:
        target.pages.append(pikepdf.Page(builder.page(source.pages[number])))
    return target


class _Builder:
    """Copies objects by role; the same source object in the same role is copied once."""

    def __init__(self, target: Pdf) -> None:
        self._target = target
        self._made: dict[tuple[tuple[int, int], str], Object] = {}

    def page(self, page: pikepdf.Page) -> Object:
        new = self._dictionary(page.obj, "page", 0)
        for key in ("/MediaBox", "/CropBox", "/Rotate"):  # inheritable (Table 31)
            value = page.get(key)
            if value is not None:
                new[key] = self._value(value, PLAIN, 0)
        data = _page_content(page)
        content = without_marked_content(page.obj, data)
        new.Contents = self._target.make_stream(content)
        resources = page.get("/Resources")
        new.Resources = self._resources(resources, names_in(data, page.obj), 0)
        return self._target.make_indirect(new)

    def _value(self, value: Value, role: str, depth: int) -> Value | None:
        """Copy one value in its role; None when it may not come along."""
        if depth > DEFAULT_LIMITS.nesting:
            raise OverLimit("objects are nested too deeply inside one another")
        if isinstance(value, (bool, int, float, Decimal, Name)):
            return value
        if isinstance(value, String):
            return value if role in (TEXTUAL, "colour space") else None
        if not isinstance(value, (Array, Dictionary, Stream)):
            return None
        key = (value.objgen, role)
        if key[0] == (0, 0):
            return self._compound(value, role, depth)
        if key not in self._made:
            # A placeholder ends loops: an object inside itself is left out.
            self._made[key] = self._target.make_indirect(Dictionary())
            made = self._compound(value, role, depth)
            if made is None:
                return None
            self._made[key] = self._target.make_indirect(made)
        return self._made[key]

    def _compound(self, value: Object, role: str, depth: int) -> Object | None:
        role = _exact_role(value, role)
        if isinstance(value, Array):
            return self._array(value, role, depth)
        if isinstance(value, Stream):
            return self._stream(value, role, depth)
        if role in ROLES:
            return self._dictionary(value, role, depth)
        return None

    def _array(self, value: Array, role: str, depth: int) -> Array:
        items = (self._value(item, role, depth + 1) for item in value)
        return Array([item for item in items if item is not None])

    def _dictionary(self, value: Object, role: str, depth: int) -> Dictionary:
        new = Dictionary()
        for key, inner in ROLES[role].items():
            item = value.get(key)
            if item is not None:
                copied = self._value(item, inner, depth + 1)
                if copied is not None:
                    new[key] = copied
        if role == "font" and "/CharProcs" in value:
            self._glyph_procedures(value, new, depth)
        return new

    def _stream(self, value: Stream, role: str, depth: int) -> Stream | None:
        if role not in ROLES:
            return None
        if role in ("form", "tiling"):
            return self._drawing(value, role, depth)
        new = self._target.make_stream(value.read_raw_bytes())
        for key, item in self._dictionary(value, role, depth).items():
            new[key] = item
        filters = self._value(value.get("/Filter", Array()), PLAIN, depth)
        if filters is not None and filters != Array():
            new["/Filter"] = filters
            parameters = value.get("/DecodeParms")
            copied = parameters and self._value(parameters, "decode parameters", depth + 1)
            if copied:
                new["/DecodeParms"] = copied
        return new

    def _drawing(self, value: Stream, role: str, depth: int) -> Stream:
        data = _decoded(value)
        new = self._target.make_stream(without_marked_content(value, data))
        for key, item in self._dictionary(value, role, depth).items():
            new[key] = item
        if "/Resources" in value:
            new.Resources = self._resources(value.Resources, names_in(data, value), depth + 1)
        return new

    def _glyph_procedures(self, font: Object, new: Dictionary, depth: int) -> None:
        procedures = Dictionary()
        used: set[str] = set()
        for name, procedure in font.CharProcs.items():
            if isinstance(procedure, Stream):
                data = _decoded(procedure)
                used |= names_in(data, procedure)
                content = without_marked_content(procedure, data)
                procedures[name] = self._target.make_stream(content)
        new.CharProcs = procedures
        if "/Resources" in font:
            new.Resources = self._resources(font.Resources, frozenset(used), depth + 1)

    def _resources(self, source: object, names: frozenset[str], depth: int) -> Dictionary:
        new = Dictionary()
        if not isinstance(source, Dictionary):
            return new
        names = _with_borrowed(names, source)
        for kind, role in RESOURCE_KINDS.items():
            entries = source.get(kind)
            if not isinstance(entries, Dictionary):
                continue
            kept = Dictionary()
            for name in sorted(names & set(entries.keys())):
                copied = self._value(entries[name], role, depth + 1)
                if copied is not None:
                    kept[name] = copied
            if len(kept):
                new[kind] = kept
        return new


def _with_borrowed(names: frozenset[str], resources: Dictionary) -> frozenset[str]:
    """`names` and those used by forms and Type 3 fonts that borrow these resources."""
    known, waiting = set(names), list(names)
    while waiting:
        name = waiting.pop()
        for drawing in _borrowers(name, resources):
            new = names_in(_decoded(drawing), drawing) - known
            known |= new
            waiting.extend(new)
    return frozenset(known)


def _borrowers(name: str, resources: Dictionary) -> Iterator[Stream]:
    forms, fonts = resources.get("/XObject"), resources.get("/Font")
    form = forms.get(name) if isinstance(forms, Dictionary) else None
    if isinstance(form, Stream) and _is_borrowing_form(form):
        yield form
    font = fonts.get(name) if isinstance(fonts, Dictionary) else None
    if isinstance(font, Dictionary) and "/CharProcs" in font and "/Resources" not in font:
        yield from (proc for proc in font.CharProcs.values() if isinstance(proc, Stream))


def _is_borrowing_form(stream: Stream) -> bool:
    return stream.get("/Subtype") == Name.Form and "/Resources" not in stream


def _exact_role(value: Object, role: str) -> str:
    """The role that an object plays where its place allows several."""
    if role == "drawn object":
        kinds = {"/Image": "image", "/Form": "form"}
        return kinds.get(str(value.get("/Subtype", "")), "nothing")
    if role == "pattern":
        return "tiling" if isinstance(value, Stream) else "shading pattern"
    if role == "colour space" and isinstance(value, (Stream, Dictionary)):
        if "/FunctionType" in value:
            return "function"
        if isinstance(value, Stream):
            return "colour profile" if "/N" in value else "data"
        return "calibration"
    return role


def _page_content(page: pikepdf.Page) -> bytes:
    contents = page.obj.get("/Contents")
    if contents is None:
        return b""
    parts: Iterable[Object] = contents if isinstance(contents, Array) else [contents]
    return b"\n".join(_decoded(part) for part in parts if isinstance(part, Stream))


def _decoded(stream: Stream) -> bytes:
    try:
        data = stream.read_bytes()
    except (pikepdf.PdfError, pikepdf.DataDecodingError) as error:
        raise Damaged("a drawing in this document cannot be decoded") from error
    if len(data) > DEFAULT_LIMITS.stream_bytes:
        raise OverLimit("a drawing in this document is too large")
    return bytes(data)
