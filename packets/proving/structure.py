"""Structure, marked content and names (ISO 32000-2, 7.3.5, 14.6 to 14.9)."""

from collections.abc import Callable

from pikepdf import Array, Dictionary, Name, String

from packets.proving.copies import Copy
from packets.proving.place import Place
from packets.proving.records import Told
from packets.proving.shown_text import literal

_STRUCTURE = "structure and marked content"
_NAMES = "names"

Plant = Callable[[Copy, str], None]


def _element(key: str, words: str = "Card with %s") -> Plant:
    def plant(copy: Copy, number: str) -> None:
        element = copy.add(Dictionary(Type=Name.StructElem, S=Name.Figure))
        element[f"/{key}"] = String(words % number)
        copy.set_in_root("StructTreeRoot", Dictionary(Type=Name.StructTreeRoot, K=element))

    return plant


def _attribute(copy: Copy, number: str) -> None:
    attribute = Dictionary(O=Name.Table, Summary=String(f"numbers of {number}"))
    element = copy.add(Dictionary(Type=Name.StructElem, S=Name.Table, A=attribute))
    copy.set_in_root("StructTreeRoot", Dictionary(Type=Name.StructTreeRoot, K=element))


def _role(copy: Copy, number: str) -> None:
    roles = Dictionary({f"/R{number}": Name.Span})
    copy.set_in_root("StructTreeRoot", Dictionary(Type=Name.StructTreeRoot, RoleMap=roles))


def _inline_properties(key: bytes) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        copy.show(b"/Span << /" + key + b" " + literal(number) + b" >> BDC BT ET EMC")

    return plant


def _property_list(copy: Copy, number: str) -> None:
    name = copy.resource("Properties", copy.add(Dictionary(ActualText=String(number))))
    copy.show(b"/Span " + name.encode() + b" BDC BT ET EMC")


def _marked_point(copy: Copy, number: str) -> None:
    copy.show(b"/N" + number.encode() + b" MP")


def _content_comment(copy: Copy, number: str) -> None:
    copy.show(b"% about " + number.encode() + b"\n0 0 m n")


def _resource_name(copy: Copy, number: str) -> None:
    copy.resource("ExtGState", Dictionary(Type=Name.ExtGState), f"/Gs{number}")


def _font_name(copy: Copy, number: str) -> None:
    font = copy.helvetica()
    font.BaseFont = Name(f"/ABCDEF+Font{number}")
    copy.resource("Font", font)


def _font_family(copy: Copy, number: str) -> None:
    font = copy.helvetica()
    described = Dictionary(Type=Name.FontDescriptor, FontName=Name.Helvetica, Flags=32)
    described.FontFamily = String(f"Face {number}")
    font.FontDescriptor = copy.add(described)
    copy.resource("Font", font)


def _character_set(copy: Copy, number: str) -> None:
    font = copy.helvetica()
    described = Dictionary(Type=Name.FontDescriptor, FontName=Name.Helvetica, Flags=32)
    described.CharSet = String(f"/a{number}/b")
    font.FontDescriptor = copy.add(described)
    copy.resource("Font", font)


def _glyph_name(copy: Copy, number: str) -> None:
    font = copy.helvetica()
    names = Array([1, Name(f"/g{number}")])
    font.Encoding = Dictionary(Type=Name.Encoding, Differences=names)
    copy.resource("Font", font)


def _map_comment(copy: Copy, number: str) -> None:
    font = copy.helvetica()
    table = b"%" + number.encode() + b"\n/CIDInit /ProcSet findresource begin end"
    font.ToUnicode = copy.stream(table)
    copy.resource("Font", font)


def _layer_name(copy: Copy, number: str) -> None:
    layer = copy.add(Dictionary(Type=Name.OCG, Name=String(f"Layer {number}")))
    copy.set_in_root("OCProperties", Dictionary(OCGs=[layer], D=Dictionary(Order=[layer])))


def _ink_name(copy: Copy, number: str) -> None:
    tint = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0], C1=[1], N=1)
    space = Array([Name.Separation, Name(f"/Ink{number}"), Name.DeviceGray, tint])
    copy.resource("ColorSpace", copy.add(space))


def _colour_profile(copy: Copy, number: str) -> None:
    profile = bytes(128) + b"desc" + bytes(8) + number.encode() + bytes(40)
    copy.resource("ColorSpace", Array([Name.ICCBased, copy.stream(profile, N=1)]))


def _key(copy: Copy, number: str) -> None:
    copy.set_in_root("PieceInfo", Dictionary({f"/Key{number}": Dictionary(Private=1)}))


def _calculator(copy: Copy, number: str) -> None:
    program = b"{ pop % " + number.encode() + b"\n 0 }"
    function = copy.stream(program, FunctionType=4, Domain=[0, 1], Range=[0, 1])
    space = Array([Name.Separation, Name("/Spot"), Name.DeviceGray, function])
    copy.resource("ColorSpace", copy.add(space))


def _of_structure(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_STRUCTURE, name, plant, told, bare=told is Told.KNOWN)


def _of_names(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_NAMES, name, plant, told, bare=told is Told.KNOWN)


_KNOWN = Told.KNOWN
PLACES = (
    _of_structure("alternate text", _element("Alt")),
    _of_structure("replacement text", _element("ActualText", "%s"), _KNOWN),
    _of_structure("expansion of an abbreviation", _element("E")),
    _of_structure("title of an element", _element("T"), _KNOWN),
    _of_structure("identifier of an element", _element("ID", "e-%s"), _KNOWN),
    _of_structure("attribute of an element", _attribute),
    _of_structure("role name", _role, _KNOWN),
    _of_structure("replacement text in the content", _inline_properties(b"ActualText")),
    _of_structure("expansion in the content", _inline_properties(b"E"), _KNOWN),
    _of_structure("property list", _property_list),
    _of_structure("tag of a marked point", _marked_point, _KNOWN),
    _of_structure("comment in the content", _content_comment),
    _of_names("resource", _resource_name),
    _of_names("font", _font_name),
    _of_names("family of a font", _font_family, _KNOWN),
    _of_names("character set of a font", _character_set, _KNOWN),
    _of_names("glyph", _glyph_name, _KNOWN),
    _of_names("comment in a map to Unicode", _map_comment),
    _of_names("layer", _layer_name),
    _of_names("ink", _ink_name),
    _of_names("colour profile", _colour_profile, _KNOWN),
    _of_names("dictionary key", _key),
    _of_names("comment in a calculator function", _calculator, _KNOWN),
)
