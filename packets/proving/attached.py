"""Files in the file, and actions that lead out of it (ISO 32000-2, 7.11, 12.6, 14.13)."""

import base64
import io
import json
import zipfile
from collections.abc import Callable
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, String
from reportlab.pdfgen import canvas

from packets.proving.copies import Copy
from packets.proving.glyph_pictures import sentence_picture
from packets.proving.place import Place
from packets.proving.records import Told

_FILES = "files inside the file"
_ACTIONS = "scripts and links"

Plant = Callable[[Copy, str], None]


def _attach(copy: Copy, name: str, data: bytes) -> None:
    copy.pdf.attachments[name] = data


def _text(encoding: str, words: str = "the number is %s") -> Plant:
    def plant(copy: Copy, number: str) -> None:
        _attach(copy, "note.txt", (words % number).encode(encoding))

    return plant


def _table(copy: Copy, number: str) -> None:
    _attach(copy, "list.csv", f"name,ssn\r\nAna Sample,{number}\r\n".encode())


def _members(copy: Copy, number: str) -> None:
    _attach(copy, "record.json", json.dumps({"client": {"ssn": number}}).encode())


def _mark_up(copy: Copy, number: str) -> None:
    coded = "".join(f"&#{ord(char)};" for char in number)
    _attach(copy, "note.html", f"<html><p>Number {coded}</p></html>".encode())


def _base64(copy: Copy, number: str) -> None:
    inner = base64.b64encode(f"the number of the taxpayer is {number}, as told".encode())
    _attach(copy, "note.xml", b"<file>" + inner + b"</file>")


def _packed(method: int) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", method) as packed:
            packed.writestr(zipfile.ZipInfo("note.txt"), f"the number is {number}", method)
        _attach(copy, "papers.zip", out.getvalue())

    return plant


def page_pdf(text: str) -> bytes:
    """A PDF of one page with one line of text."""
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(612, 792), invariant=1)
    sheet.setFont("Helvetica", 11)
    sheet.drawString(72, 700, text)
    sheet.showPage()
    sheet.save()
    return out.getvalue()


def _document(copy: Copy, number: str) -> None:
    _attach(copy, "inner.pdf", page_pdf(f"Number {number} on file"))


def _document_in_a_document(copy: Copy, number: str) -> None:
    with pikepdf.open(io.BytesIO(page_pdf("Nothing here"))) as outer:
        outer.attachments["inner.pdf"] = page_pdf(f"Number {number} on file")
        out = io.BytesIO()
        outer.save(out, deterministic_id=True)
    _attach(copy, "outer.pdf", out.getvalue())


def _locked_document(copy: Copy, number: str) -> None:
    with pikepdf.open(io.BytesIO(page_pdf(f"Number {number} on file"))) as inner:
        out = io.BytesIO()
        inner.save(out, encryption=pikepdf.Encryption(user="another word", owner="and one more"))
    _attach(copy, "locked.pdf", out.getvalue())


def _picture(copy: Copy, number: str) -> None:
    out = io.BytesIO()
    sentence_picture(number).save(out, "PNG")
    _attach(copy, "scan.png", out.getvalue())


def _name(copy: Copy, number: str) -> None:
    _attach(copy, f"{number}.txt", b"nothing in here")


def _specification(copy: Copy, **more: Any) -> Any:
    """A file of its own with what describes it."""
    data = copy.stream(b"nothing in here", Type=Name.EmbeddedFile)
    entries = {"F": String("note.txt"), "EF": Dictionary(F=data), **more}
    return copy.add(Dictionary(Type=Name.Filespec, **entries))


def _description(copy: Copy, number: str) -> None:
    copy.annotate(
        Subtype=Name.FileAttachment, FS=_specification(copy, Desc=String(f"papers of {number}"))
    )


def _file_of_a_page(copy: Copy, number: str) -> None:
    data = copy.stream(f"the number is {number}".encode(), Type=Name.EmbeddedFile)
    found = Dictionary(Type=Name.Filespec, F=String("note.txt"), EF=Dictionary(F=data))
    found.AFRelationship = Name.Data
    copy.page.obj.AF = Array([copy.add(found)])


def _script(copy: Copy, number: str) -> None:
    code = String(f"var note = '{number}';")
    copy.set_in_root("OpenAction", Dictionary(S=Name.JavaScript, JS=code))


def _script_in_a_stream(copy: Copy, number: str) -> None:
    code = copy.stream(f"var note = '{number}';".encode())
    copy.set_in_root("OpenAction", Dictionary(S=Name.JavaScript, JS=code))


def _script_by_name(copy: Copy, number: str) -> None:
    action = Dictionary(S=Name.JavaScript, JS=String(f"n = {number};"))
    tree = Dictionary(Names=Array([String("start"), action]))
    names = copy.root.get("/Names", Dictionary())
    copy.root.Names = Dictionary({**dict(names.items()), "/JavaScript": copy.add(tree)})


def _script_in_pieces(copy: Copy, number: str) -> None:
    code = String(f"var note = '{number[:4]}' + '{number[4:]}';")
    copy.page.obj.AA = Dictionary(O=Dictionary(S=Name.JavaScript, JS=code))


def _action(kind: str, key: str, words: str) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        action = Dictionary(S=Name(f"/{kind}"))
        action[f"/{key}"] = String(words % number)
        copy.annotate(Subtype=Name.Link, A=action)

    return plant


def _address_in_percents(copy: Copy, number: str) -> None:
    coded = "".join(f"%{ord(char):02X}" for char in number)
    action = Dictionary(S=Name.URI, URI=String(f"https://example.test/?n={coded}"))
    copy.annotate(Subtype=Name.Link, A=action)


def _of_files(name: str, plant: Plant, told: Told = Told.UNKNOWN, *, unread: bool = False) -> Place:
    return Place(_FILES, name, plant, told, bare=told is Told.KNOWN, unread=unread)


def _of_actions(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_ACTIONS, name, plant, told, bare=told is Told.KNOWN)


_KNOWN = Told.KNOWN
PLACES = (
    _of_files("text", _text("ascii")),
    _of_files("text in UTF-16", _text("utf-16"), _KNOWN),
    _of_files("text with a label", _text("ascii", "SSN: %s")),
    _of_files("table", _table),
    _of_files("JSON", _members, _KNOWN),
    _of_files("HTML with character references", _mark_up),
    _of_files("Base64 in XML", _base64),
    _of_files("zip, as it is", _packed(zipfile.ZIP_STORED), _KNOWN),
    _of_files("zip, packed", _packed(zipfile.ZIP_DEFLATED)),
    _of_files("PDF", _document),
    _of_files("PDF in a PDF", _document_in_a_document, _KNOWN),
    _of_files("locked PDF", _locked_document, unread=True),
    _of_files("picture", _picture),
    _of_files("name of a file", _name),
    _of_files("description of a file", _description),
    _of_files("file of a page", _file_of_a_page, _KNOWN),
    _of_actions("script on opening", _script),
    _of_actions("script in a stream", _script_in_a_stream, _KNOWN),
    _of_actions("script by name", _script_by_name, _KNOWN),
    _of_actions("script that puts the number together", _script_in_pieces, _KNOWN),
    _of_actions("address", _action("URI", "URI", "https://example.test/?n=%s")),
    _of_actions("address, coded in percents", _address_in_percents, _KNOWN),
    _of_actions("address to send data to", _action("SubmitForm", "F", "https://example.test/%s")),
    _of_actions("program to start", _action("Launch", "F", "c:\\\\clients\\\\%s.exe")),
    _of_actions("file to go to", _action("GoToR", "F", "%s.pdf"), _KNOWN),
)
