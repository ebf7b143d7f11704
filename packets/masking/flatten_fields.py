"""Form fields made ready for drawing: which keep their appearance, which get one from the value."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import pikepdf
import pymupdf
from pikepdf import Array, Dictionary, Name, Object, String

from packets.signatures.appearances import normal_appearance, shows_content
from packets.signatures.form_fields import Widget, array, dictionary, inherited, text_of

PASSWORD, MULTILINE = 1 << 13, 1 << 12
"""Text field flags (12.7.5.3)."""
PUSH_BUTTON = 1 << 16
"""Button flag (12.7.5.2)."""
COMBO = 1 << 17
"""Choice flag (12.7.5.4)."""

FACE = re.compile(r"/([^\s/()<>\[\]]+)\s+[-+.\d]+\s+Tf\b")
FACES = (("cour", "Cour"), ("tim", "TiRo"), ("tiro", "TiRo"), ("serif", "TiRo"))


@dataclass
class FieldPreparation:
    """Goes over the widgets of one document; afterwards each looks as it should be drawn."""

    document: pikepdf.Pdf
    stale: bool
    """The form says that its appearances are out of date (NeedAppearances)."""
    from_value: int = 0
    button_differs: list[int] = field(default_factory=list)
    lists: int = 0
    expected: dict[int, list[tuple[tuple[float, ...], str]]] = field(
        default_factory=dict, repr=False
    )
    """By page: place (default user space) and value of fields that keep their appearance."""

    def prepare(self, widget: Widget) -> bool:
        """Ready one widget; False when nothing of it is to be drawn."""
        if widget.kind == "Sig":
            # MuPDF would draw a mark of its own for a signature field without an appearance.
            return normal_appearance(widget.annotation) is not None
        if widget.kind == "Btn":
            self._button(widget)
        elif widget.kind in ("Tx", "Ch"):
            self._text(widget)
        return True

    def notes(self) -> Iterator[str]:
        """Sentences about what was decided here."""
        if self.from_value:
            yield f"{self.from_value} fields showed nothing or were marked out of date: drawn anew."
        if self.lists:
            yield f"{self.lists} list fields without an appearance show their chosen lines only."
        for page in sorted(set(self.button_differs)):
            yield f"Page {page}: a box shows another state than its field holds; that stays."

    def differing(self, document: pymupdf.Document) -> list[str]:
        """Notes on pages where a field shows something else than its value (drawn already)."""
        found = []
        for number, fields in sorted(self.expected.items()):
            page = document[number - 1]
            to_page = page.transformation_matrix
            words = page.get_text("words", clip=pymupdf.INFINITE_RECT())
            count = 0
            for rect, value in fields:
                x0, y0, x1, y1 = pymupdf.Rect(rect) * to_page
                shown = "".join(
                    word[4]
                    for word in words
                    if word[0] < x1 and word[2] > x0 and word[1] < y1 and word[3] > y0
                )
                count += _bare(value) not in _bare(shown)
            if count:
                found.append(
                    f"Page {number}: {count} fields show something else than their value; "
                    "what they show stays."
                )
        return found

    def _button(self, widget: Widget) -> None:
        if widget.flags & PUSH_BUTTON:
            return
        annotation = widget.annotation
        value = widget.value if isinstance(widget.value, Name) else Name.Off
        states = _states(annotation)
        if not isinstance(annotation.get("/AS"), Name):
            annotation["/AS"] = value if not states or str(value) in states else Name.Off
        elif states and str(value) in states and annotation.get("/AS") != value:
            self.button_differs.append(widget.page)

    def _text(self, widget: Widget) -> None:
        annotation = widget.annotation
        shown = _shown_value(widget)
        has_look = normal_appearance(annotation) is not None
        if has_look and not self.stale:
            if shows_content(normal_appearance(annotation)):
                if shown.strip() and widget.rect and not widget.flags & PASSWORD:
                    self.expected.setdefault(widget.page, []).append((widget.rect, shown))
                return
            if not shown.strip():
                return
        if has_look:
            self.from_value += 1
        if "/AP" in annotation:
            del annotation["/AP"]
        self._write(widget, shown)

    def _write(self, widget: Widget, shown: str) -> None:
        """Put the text that is to be drawn where MuPDF looks for it: on the widget itself."""
        annotation = widget.annotation
        if widget.kind == "Ch":
            annotation["/FT"] = Name.Tx
            annotation["/Ff"] = 0 if widget.flags & COMBO else MULTILINE
            self.lists += not widget.flags & COMBO
        elif widget.flags & PASSWORD:
            shown = "*" * len(shown)
        annotation["/V"] = String(shown)
        annotation["/DA"] = String(self._known_face(widget.default_appearance))

    def _known_face(self, appearance: str) -> str:
        """A default appearance naming one of the three faces MuPDF draws fields in.

        It takes every name it does not know for Helvetica, a typewriter face included.
        """
        found = FACE.search(appearance)
        if found is None:
            return appearance
        form = dictionary(self.document.Root.get("/AcroForm"))
        resources = dictionary(form.get("/DR")) if form is not None else None
        fonts = dictionary(resources.get("/Font")) if resources is not None else None
        font = dictionary(fonts.get("/" + found.group(1))) if fonts is not None else None
        face = str(font.get("/BaseFont")) if font is not None else found.group(1)
        known = next((ours for part, ours in FACES if part in face.lower()), "Helv")
        return appearance[: found.start(1)] + known + appearance[found.end(1) :]


def _states(annotation: Object) -> set[str]:
    appearances = annotation.get("/AP")
    normal = appearances.get("/N") if isinstance(appearances, Dictionary) else None
    return set(normal.keys()) if isinstance(normal, Dictionary) else set()


def _shown_value(widget: Widget) -> str:
    """The value as a person sees it: a choice's words instead of its export value."""
    value = widget.value
    if widget.kind != "Ch":
        return text_of(value)
    chosen = [text_of(item) for item in array(value)] or [text_of(value)]
    words = _words_of_choices(widget.annotation)
    return "\n".join(words.get(item, item) for item in chosen)


def _words_of_choices(annotation: Object) -> dict[str, str]:
    words = {}
    for option in array(inherited(annotation, "/Opt")):
        pair = array(option)
        if isinstance(option, Array) and len(pair) == 2:
            words[text_of(pair[0])] = text_of(pair[1])
    return words


def _bare(text: str) -> str:
    """Letters and digits only: spacing and punctuation are the appearance's own affair."""
    return "".join(mark for mark in text if mark.isalnum()).casefold()
