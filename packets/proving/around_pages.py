"""What describes the document and leads through it (ISO 32000-2, 12.3, 12.4, 14.3, 14.5, 14.12)."""

from collections.abc import Callable

from pikepdf import Array, Dictionary, Name, OutlineItem, String

from packets.proving.copies import Copy
from packets.proving.place import Place
from packets.proving.records import Told

_METADATA = "information and metadata"
_WAYS = "outlines and destinations"

Plant = Callable[[Copy, str], None]


def _information(key: str, words: str = "Return of %s") -> Plant:
    def plant(copy: Copy, number: str) -> None:
        copy.pdf.docinfo[f"/{key}"] = String(words % number)

    return plant


def _packet(inner: str, after: str = "") -> bytes:
    return (
        "<?xpacket begin='' id='W5M0MpCehiHzreSzNTczkc9d'?><x:xmpmeta xmlns:x='adobe:ns:meta/'>"
        "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
        f"{inner}</rdf:RDF></x:xmpmeta>{after}<?xpacket end='w'?>"
    ).encode()


def _metadata(copy: Copy, data: bytes) -> object:
    return copy.stream(data, Type=Name.Metadata, Subtype=Name.XML)


def _xmp_text(copy: Copy, number: str) -> None:
    inner = f"<rdf:Description><note>about {number} here</note></rdf:Description>"
    copy.root.Metadata = _metadata(copy, _packet(inner))


def _xmp_attribute(copy: Copy, number: str) -> None:
    copy.root.Metadata = _metadata(copy, _packet(f"<rdf:Description note='{number}'/>"))


def _xmp_entity(copy: Copy, number: str) -> None:
    coded = "".join(f"&#x{ord(char):x};" for char in number)
    inner = f"<rdf:Description><note>about {coded} here</note></rdf:Description>"
    copy.root.Metadata = _metadata(copy, _packet(inner))


def _xmp_padding(copy: Copy, number: str) -> None:
    copy.root.Metadata = _metadata(copy, _packet("", " " * 60 + number + " " * 60))


def _xmp_utf_16(copy: Copy, number: str) -> None:
    data = _packet(f"<rdf:Description><note>{number}</note></rdf:Description>").decode()
    copy.root.Metadata = _metadata(copy, b"\xfe\xff" + data.encode("utf-16-be"))


def _page_metadata(copy: Copy, number: str) -> None:
    inner = f"<rdf:Description><note>about {number} here</note></rdf:Description>"
    copy.page.obj.Metadata = _metadata(copy, _packet(inner))


def _private_data(copy: Copy, number: str) -> None:
    inner = Dictionary(Private=Dictionary(Note=String(number)))
    copy.page.obj.PieceInfo = Dictionary(Program=inner)


def _document_parts(copy: Copy, number: str) -> None:
    part = Dictionary(Type=Name.DPart, DPM=Dictionary(Customer=String(number)))
    copy.set_in_root("DPartRoot", Dictionary(DPartRootNode=copy.add(part)))


def _output_intent(copy: Copy, number: str) -> None:
    intent = Dictionary(Type=Name.OutputIntent, Info=String(f"for {number}"))
    copy.set_in_root("OutputIntents", Array([copy.add(intent)]))


def _language(copy: Copy, number: str) -> None:
    copy.root.Lang = String(f"en-x-{number}")


def _outline_title(copy: Copy, number: str) -> None:
    with copy.pdf.open_outline() as outline:
        outline.root.append(OutlineItem(f"Return {number}", 0))


def _outline_destination(copy: Copy, number: str) -> None:
    with copy.pdf.open_outline() as outline:
        outline.root.append(OutlineItem("Return", String(f"page-{number}")))


def _named_destination(copy: Copy, number: str) -> None:
    page = Array([copy.page.obj, Name.Fit])
    tree = Dictionary(Names=Array([String(f"place {number}"), page]))
    names = copy.root.get("/Names", Dictionary())
    copy.root.Names = Dictionary({**dict(names.items()), "/Dests": copy.add(tree)})


def _destination_by_name(copy: Copy, number: str) -> None:
    page = Array([copy.page.obj, Name.Fit])
    copy.set_in_root("Dests", Dictionary({f"/p{number}": page}))


def _page_label(copy: Copy, number: str) -> None:
    label = Dictionary(S=Name.D, P=String(f"{number}-"))
    copy.set_in_root("PageLabels", Dictionary(Nums=Array([0, label])))


def _article(copy: Copy, number: str) -> None:
    thread = copy.add(Dictionary(Type=Name.Thread, I=Dictionary(Title=String(number))))
    copy.set_in_root("Threads", Array([thread]))


def _collection(copy: Copy, number: str) -> None:
    field = Dictionary(Subtype=Name.S, N=String(f"Client {number}"))
    copy.set_in_root("Collection", Dictionary(Schema=Dictionary(Client=field)))


def _link_to_place(copy: Copy, number: str) -> None:
    copy.annotate(Subtype=Name.Link, Dest=String(f"to-{number}"))


def _of_metadata(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_METADATA, name, plant, told, bare=told is Told.KNOWN)


def _of_ways(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_WAYS, name, plant, told, bare=told is Told.KNOWN)


_KNOWN = Told.KNOWN
PLACES = (
    _of_metadata("title", _information("Title")),
    _of_metadata("subject", _information("Subject"), _KNOWN),
    _of_metadata("keywords", _information("Keywords", "return, %s")),
    _of_metadata("an entry of a program's own", _information("ClientNo", "%s"), _KNOWN),
    _of_metadata("XMP text", _xmp_text),
    _of_metadata("XMP attribute", _xmp_attribute),
    _of_metadata("XMP text as character references", _xmp_entity),
    _of_metadata("padding of the XMP packet", _xmp_padding, _KNOWN),
    _of_metadata("XMP in UTF-16", _xmp_utf_16),
    _of_metadata("XMP of a page", _page_metadata, _KNOWN),
    _of_metadata("private data of a program", _private_data, _KNOWN),
    _of_metadata("data of document parts", _document_parts, _KNOWN),
    _of_metadata("output intent", _output_intent),
    _of_metadata("language tag", _language, _KNOWN),
    _of_ways("outline title", _outline_title),
    _of_ways("destination of an outline", _outline_destination, _KNOWN),
    _of_ways("named destination", _named_destination),
    _of_ways("destination named by a key", _destination_by_name),
    _of_ways("page label", _page_label),
    _of_ways("article thread", _article, _KNOWN),
    _of_ways("collection", _collection, _KNOWN),
    _of_ways("destination of a link", _link_to_place, _KNOWN),
)
