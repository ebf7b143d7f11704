"""Text that lies on a page and is not seen (ISO 32000-2, 8.5.4, 8.11, 9.3.6, 14.11.2)."""

from collections.abc import Callable

from pikepdf import Array, Dictionary, Name, String

from packets.proving.copies import Copy
from packets.proving.nested_content import shape_form
from packets.proving.place import Place
from packets.proving.records import Told
from packets.proving.shown_text import literal

_FAMILY = "hidden text"


def _state(before: bytes) -> Callable[[Copy, str], None]:
    """Text after an operator that hides it."""

    def plant(copy: Copy, number: str) -> None:
        copy.write(literal(number) + b" Tj", state=before)

    return plant


def _zero_size(copy: Copy, number: str) -> None:
    copy.show(b"BT " + copy.font().encode() + b" 0 Tf 10 40 Td " + literal(number) + b" Tj ET")


def _around(before: bytes, after: bytes = b"") -> Callable[[Copy, str], None]:
    """Text between operators that hide it."""

    def plant(copy: Copy, number: str) -> None:
        text = b" BT %s 10 Tf 10 40 Td %s Tj ET " % (copy.font().encode(), literal(number))
        copy.show(before + text + after)

    return plant


def _far_off(copy: Copy, number: str) -> None:
    copy.write(b"5000 5000 Td " + literal(number) + b" Tj")


def _off_the_crop_box(copy: Copy, number: str) -> None:
    """The page is cut down to its right half, and the text stands in the left one."""
    x, y = copy.corner
    copy.write(literal(number) + b" Tj")
    _, _, right, top = (float(side) for side in copy.page.cropbox)
    copy.page.obj.CropBox = Array([x + 150, y, max(right, x + 300), max(top, y + 100)])


def _transparent(copy: Copy, number: str) -> None:
    state = copy.resource("ExtGState", Dictionary(Type=Name.ExtGState, ca=0, CA=0))
    copy.write(literal(number) + b" Tj", state=state.encode() + b" gs")


def _layer(copy: Copy, *, on: bool) -> object:
    layer = copy.add(Dictionary(Type=Name.OCG, Name=String("Notes")))
    shown = Dictionary(ON=[layer]) if on else Dictionary(OFF=[layer])
    copy.set_in_root("OCProperties", Dictionary(OCGs=[layer], D=shown))
    return layer


def _in_a_layer(copy: Copy, number: str, layer: object) -> None:
    name = copy.resource("Properties", layer).encode()
    text = b"BT %s 10 Tf 10 40 Td %s Tj ET" % (copy.font().encode(), literal(number))
    copy.show(b"/OC " + name + b" BDC " + text + b" EMC")


def _layer_off(copy: Copy, number: str) -> None:
    _in_a_layer(copy, number, _layer(copy, on=False))


def _layer_by_policy(copy: Copy, number: str) -> None:
    layer = _layer(copy, on=True)
    rule = Dictionary(Type=Name.OCMD, OCGs=Array([layer]), P=Name.AllOff)
    _in_a_layer(copy, number, copy.add(rule))


def _form_in_a_layer_off(copy: Copy, number: str) -> None:
    form = shape_form(copy, b"BT /F1 10 Tf 10 10 Td " + literal(number) + b" Tj ET")
    form.OC = _layer(copy, on=False)
    copy.show(copy.resource("XObject", form).encode() + b" Do")


def _artifact(copy: Copy, number: str) -> None:
    text = b"BT %s 10 Tf 10 40 Td %s Tj ET" % (copy.font().encode(), literal(number))
    copy.show(b"/Artifact <</Type /Pagination>> BDC " + text + b" EMC")


def _under_a_picture(copy: Copy, number: str) -> None:
    copy.write(literal(number) + b" Tj")
    copy.show(b"q 200 0 0 60 0 20 cm BI /W 1 /H 1 /BPC 8 /CS /G ID \xa0 EI Q")


def _place(name: str, plant: Callable[[Copy, str], None], told: Told = Told.UNKNOWN) -> Place:
    return Place(_FAMILY, name, plant, told, bare=told is Told.KNOWN)


PLACES = (
    _place("white", _state(b"1 g")),
    _place("invisible (render mode 3)", _state(b"3 Tr")),
    _place("used for clipping only (render mode 7)", _state(b"7 Tr"), Told.KNOWN),
    _place("raised off its line", _state(b"900 Ts")),
    _place("of size zero", _zero_size, Told.KNOWN),
    _place("clipped away", _around(b"0 0 1 1 re W n")),
    _place("clipped by an empty path", _around(b"0 0 m W n"), Told.KNOWN),
    _place("under a rectangle", _around(b"", b"0 g 0 20 250 60 re f")),
    _place("under a picture", _under_a_picture),
    _place("transparent", _transparent, Told.KNOWN),
    _place("off the page", _far_off),
    _place("off the crop box", _off_the_crop_box),
    _place("in a layer that is off", _layer_off),
    _place("in a layer that a rule turns off", _layer_by_policy, Told.KNOWN),
    _place("in a form of a layer that is off", _form_in_a_layer_off),
    _place("marked as no content", _artifact),
    _place("by a matrix that leaves no area", _around(b"0 0 0 0 0 0 cm"), Told.KNOWN),
)
