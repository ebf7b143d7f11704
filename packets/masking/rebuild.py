"""The rebuild by list: a new document made only of what the allow-list admits.

Pages are made anew, object by object, each in the role it plays; keys that the
role does not list are not copied, resources that no operator names are not
copied, and nothing that is not reachable from a page's drawing is ever looked
at. So earlier revisions, unreferenced objects, metadata, scripts, attachments
and what nobody has thought of yet stay behind.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Pdf, Stream, String

from packets.base.errors import OverLimit
from packets.base.limits import DEFAULT_LIMITS
from packets.masking.allowed import PLAIN, RESOURCE_KINDS, ROLES, TEXTUAL
from packets.masking.bare_pictures import bare_picture
from packets.masking.content_streams import CleanContent, cleaned
from packets.masking.judged_streams import JudgedStreams
from packets.masking.kept_streams import without_words
from packets.masking.palettes import bare_palette, without_hidden_colours
from packets.masking.resource_names import Renaming, without_digits

Value = Object | int | float | bool | Decimal


@dataclass(frozen=True)
class Rebuilt:
    """A document made anew."""

    document: Pdf
    fonts: Mapping[tuple[int, int], Object]
    """Its fonts, by the object numbers that they had in the source."""


def rebuilt(source: Pdf, pages: Sequence[int], judged: JudgedStreams | None = None) -> Rebuilt:
    """A new document with the given pages (from 0) of `source`, kept by list.

    `judged`: what is known of the source's streams.
    """
    target = pikepdf.new()
    builder = _Builder(target, judged or JudgedStreams())
    for number in pages:
        target.pages.append(pikepdf.Page(builder.page(source.pages[number])))
    return Rebuilt(target, builder.fonts())


class _Builder:
    """Copies objects by role; the same source object in the same role is copied once."""

    def __init__(self, target: Pdf, judged: JudgedStreams) -> None:
        self._target, self._judged = target, judged
        self._renaming = Renaming()
        self._made: dict[tuple[tuple[int, int], str], Object] = {}

    def fonts(self) -> dict[tuple[int, int], Object]:
        return {number: made for (number, role), made in self._made.items() if role == "font"}

    def page(self, page: pikepdf.Page) -> Object:
        new = self._dictionary(page.obj, "page", 0)
        for key in ("/MediaBox", "/CropBox", "/Rotate"):  # inheritable (Table 31)
            value = page.get(key)
            if value is not None:
                new[key] = self._value(value, PLAIN, 0)
        resources = page.get("/Resources", Dictionary())
        content = self._cleaned(page.obj, resources, page=True)
        new.Contents = self._target.make_stream(content.data)
        new.Resources = self._resources(resources, content.names, 0)
        return self._target.make_indirect(new)

    def _cleaned(self, holder: Object, resources: object, *, page: bool = False) -> CleanContent:
        return cleaned(
            holder, resources, self._renaming, font_in_force=not page, judged=self._judged
        )

    def _value(self, value: Value, role: str, depth: int) -> Value | None:
        """Copy one value in its role; None when it may not come along."""
        if depth > DEFAULT_LIMITS.nesting:
            raise OverLimit("objects are nested too deeply inside one another")
        if isinstance(value, (bool, int, float, Decimal, Name)):
            return max(-_LARGEST, min(value, _LARGEST)) if type(value) is int else value
        if isinstance(value, String):
            return _text(value, role)
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
        items = [self._value(item, role, depth + 1) for item in value]
        made = Array([item for item in items if item is not None])
        if role == "colour space":
            made = bare_palette(Array([self._glyph(item) for item in made]))
        return made

    def _dictionary(self, value: Object, role: str, depth: int) -> Dictionary:
        new = Dictionary()
        for key, inner in ROLES[role].items():
            item = value.get(key)
            if item is not None:
                copied = self._value(item, inner, depth + 1)
                if copied is not None:
                    new[key] = _named(copied) if key in _FREE_NAMES else copied
        if role == "encoding" and "/Differences" in new:
            new.Differences = Array([self._glyph(item) for item in new.Differences])
        if role == "font" and "/CharProcs" in value:
            self._glyph_procedures(value, new, depth)
        return new

    def _stream(self, value: Stream, role: str, depth: int) -> Stream | None:
        if role not in ROLES:
            return None
        if role in ("form", "tiling"):
            return self._drawing(value, role, depth)
        if role == "image":
            return self._picture(value, depth)
        clean = without_words(value, role)
        new = self._target.make_stream(value.read_raw_bytes() if clean is None else clean)
        for key, item in self._dictionary(value, role, depth).items():
            new[key] = item
        if clean is None:
            self._take_filters(new, value.get("/Filter"), value.get("/DecodeParms"), depth)
        return new

    def _picture(self, value: Stream, depth: int) -> Stream:
        bare = bare_picture(value, self._target)
        new = self._target.make_stream(bare.data)
        for key, item in self._dictionary(value, "image", depth).items():
            new[key] = item
        if bare.filter is None:
            self._take_filters(new, value.get("/Filter"), value.get("/DecodeParms"), depth)
        else:
            self._take_filters(new, bare.filter, bare.parameters, depth)
        space = without_hidden_colours(new)
        if space is not None:
            new.ColorSpace = space
        return new

    def _take_filters(
        self, new: Stream, filters: Object | None, parameters: Object | None, depth: int
    ) -> None:
        names = None if filters is None else self._value(filters, PLAIN, depth)
        if names is None or names == Array():
            return
        new["/Filter"] = names
        kept = parameters and self._value(parameters, "decode parameters", depth + 1)
        if kept:
            new["/DecodeParms"] = kept

    def _drawing(self, value: Stream, role: str, depth: int) -> Stream:
        content = self._cleaned(value, value.get("/Resources"))
        new = self._target.make_stream(content.data)
        for key, item in self._dictionary(value, role, depth).items():
            new[key] = item
        if "/Resources" in value:
            new.Resources = self._resources(value.Resources, content.names, depth + 1)
        return new

    def _glyph_procedures(self, font: Object, new: Dictionary, depth: int) -> None:
        procedures = Dictionary()
        used: set[str] = set()
        for name, procedure in font.CharProcs.items():
            if isinstance(procedure, Stream):
                content = self._cleaned(procedure, font.get("/Resources"))
                used |= content.names
                procedures[str(self._glyph(Name(name)))] = self._target.make_stream(content.data)
        new.CharProcs = procedures
        if "/Resources" in font:
            new.Resources = self._resources(font.Resources, frozenset(used), depth + 1)

    def _glyph(self, item: Value) -> Value:
        """A glyph's or an ink's name, another where it holds seven or more digits."""
        if isinstance(item, Name) and sum(char.isdigit() for char in str(item)) >= 7:
            return Name(self._renaming.of(str(item)))
        return item

    def _resources(self, source: object, names: frozenset[str], depth: int) -> Dictionary:
        new = Dictionary()
        if not isinstance(source, Dictionary):
            return new
        names = self._with_borrowed(names, source)
        for kind, role in RESOURCE_KINDS.items():
            entries = source.get(kind)
            if not isinstance(entries, Dictionary):
                continue
            kept = Dictionary()
            for name in sorted(names & set(entries.keys())):
                copied = self._value(entries[name], role, depth + 1)
                if copied is not None:
                    if role == "font" and isinstance(copied, Dictionary) and not copied.is_indirect:
                        copied = self._target.make_indirect(copied)
                    kept[self._renaming.of(name)] = copied
            if len(kept):
                new[kind] = kept
        return new

    def _with_borrowed(self, names: frozenset[str], resources: Dictionary) -> frozenset[str]:
        """`names` and those used by forms and Type 3 fonts that borrow these resources."""
        known, waiting = set(names), list(names)
        while waiting:
            name = waiting.pop()
            for drawing in _borrowers(name, resources):
                new = self._cleaned(drawing, None).names - known
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


_LARGEST = 99_999_999
"""No place, size or code on a page is larger; with one digit more it could be a number."""
_FREE_NAMES = frozenset({"/BaseFont", "/FontName", "/CMapName"})
"""Names that a program makes up, and that nothing refers to."""


def _named(value: Value) -> Value:
    return Name(without_digits(str(value))) if isinstance(value, Name) else value


def _text(value: String, role: str) -> Value | None:
    """Strings come along in colour tables (bytes) and character collections (short names)."""
    if role == "colour space":
        return value
    return String(without_digits(str(value))) if role == TEXTUAL else None
