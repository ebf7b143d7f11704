"""Where a file can hold a number around its pages: information, trees, lists, layers."""

import functools
from collections.abc import Callable

from hiding_places import family
from pikepdf import Array, Dictionary, Name, OutlineItem, Pdf, String
from plain_page import DIGITS, N, document_with
from planted_pages import NUMBER, as_bytes
from planted_pictures import drawn, flate, small

Plant = Callable[[Pdf], None]


def info(d: Pdf) -> None:
    d.docinfo["/Title"] = f"Return of {NUMBER}"


def info_of_its_own(d: Pdf) -> None:
    d.docinfo["/Client"] = NUMBER


def key_of_the_info(d: Pdf) -> None:
    d.docinfo[f"/Key{DIGITS}"] = "x"


def xmp(d: Pdf) -> None:
    stream = d.make_stream(
        b'<?xpacket?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF '
        b'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description '
        b'xmlns:pdf="http://ns.adobe.com/pdf/1.3/" pdf:Keywords="' + N + b'"/></rdf:RDF>'
        b"</x:xmpmeta>" + b" " * 200
    )
    stream.Type, stream.Subtype = Name.Metadata, Name.XML
    d.Root.Metadata = stream


def metadata_of_a_page(d: Pdf) -> None:
    d.pages[0].obj.Metadata = d.make_stream(N)


def metadata_in_utf_16(d: Pdf) -> None:
    d.pages[0].obj.Metadata = d.make_stream(b"\xfe\xff" + NUMBER.encode("utf-16-be"))


def private_data(d: Pdf) -> None:
    d.pages[0].obj.PieceInfo = Dictionary(App=Dictionary(Private=String(NUMBER)))
    d.Root.PieceInfo = Dictionary(App=Dictionary(Private=d.make_stream(N)))


def thumbnail_key(d: Pdf) -> None:
    d.pages[0].obj.Thumb = d.make_indirect(flate(d, small(), Name.DeviceGray))
    d.pages[0].obj.Thumb[f"/N{DIGITS}"] = 1


def attachment(d: Pdf) -> None:
    d.attachments["number.txt"] = N


def name_of_an_attachment(d: Pdf) -> None:
    d.attachments[f"{NUMBER}.txt"] = b"x"


def associated_file_of_a_page(d: Pdf) -> None:
    d.pages[0].obj.AF = Array([file_specification(d)])


def associated_file_of_the_document(d: Pdf) -> None:
    d.Root.AF = Array([file_specification(d)])


def file_specification(d: Pdf) -> object:
    file = d.make_stream(N)
    file.Params = Dictionary(Size=1)
    return d.make_indirect(
        Dictionary(Type=Name.Filespec, F=String("a"), Desc=String(NUMBER), EF=Dictionary(F=file))
    )


def outline(d: Pdf) -> None:
    with d.open_outline() as items:
        items.root.append(OutlineItem(NUMBER, 0))


def destination_names(d: Pdf) -> None:
    place = Array([d.pages[0].obj, Name.Fit])
    d.Root.Names = Dictionary(Dests=Dictionary(Names=Array([String(NUMBER), place])))


def old_destination_names(d: Pdf) -> None:
    d.Root.Dests = Dictionary({f"/D{DIGITS}": Array([d.pages[0].obj, Name.Fit])})


def page_labels(d: Pdf) -> None:
    d.Root.PageLabels = Dictionary(Nums=Array([0, Dictionary(P=String(NUMBER))]))


def article_threads(d: Pdf) -> None:
    bead = d.make_indirect(Dictionary(Type=Name.Bead, P=d.pages[0].obj, R=Array([0, 0, 9, 9])))
    bead.N = bead.V = bead
    thread = d.make_indirect(
        Dictionary(Type=Name.Thread, F=bead, I=Dictionary(Title=String(NUMBER)))
    )
    bead.T = thread
    d.Root.Threads, d.pages[0].obj.B = Array([thread]), Array([bead])


def structure(key: str, d: Pdf) -> None:
    element = d.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Figure))
    element[f"/{key}"] = String(NUMBER)
    d.Root.StructTreeRoot = Dictionary(Type=Name.StructTreeRoot, K=element)


def structure_attribute(d: Pdf) -> None:
    user = Dictionary(N=String("number"), V=String(NUMBER), F=String(NUMBER))
    owner = Dictionary(O=Name.UserProperties, P=Array([user]))
    element = d.make_indirect(Dictionary(Type=Name.StructElem, S=Name.P, A=owner))
    d.Root.StructTreeRoot = Dictionary(Type=Name.StructTreeRoot, K=element)


def structure_roles(d: Pdf) -> None:
    d.Root.StructTreeRoot = Dictionary(
        Type=Name.StructTreeRoot,
        RoleMap=Dictionary({f"/R{DIGITS}": Name.P}),
        ClassMap=Dictionary({f"/C{DIGITS}": Dictionary(O=Name.Layout)}),
        IDTree=Dictionary(Names=Array([String(NUMBER), Dictionary(S=Name.P)])),
    )


def language(d: Pdf) -> None:
    d.Root.Lang = String(NUMBER)


def layer_names(d: Pdf) -> None:
    group = d.make_indirect(Dictionary(Type=Name.OCG, Name=String(NUMBER)))
    d.Root.OCProperties = Dictionary(OCGs=Array([group]), D=Dictionary(Order=Array([group])))


def layer_usage(d: Pdf) -> None:
    user = Dictionary(User=Dictionary(Type=Name.Ind, Name=String(NUMBER)))
    group = d.make_indirect(Dictionary(Type=Name.OCG, Name=String("x"), Usage=user))
    setting = Dictionary(Name=String(NUMBER), Creator=String(NUMBER))
    d.Root.OCProperties = Dictionary(OCGs=Array([group]), D=setting, Configs=Array([setting]))


def output_intent(d: Pdf) -> None:
    condition = {"Info": String(NUMBER), "OutputConditionIdentifier": String(NUMBER)}
    d.Root.OutputIntents = Array([Dictionary(S=Name.GTS_PDFA1, **condition)])


def collection(d: Pdf) -> None:
    field = Dictionary(Subtype=Name.S, N=String(NUMBER))
    d.Root.Collection = Dictionary(
        Schema=Dictionary({"/F1": field}), D=String(NUMBER), Folders=Dictionary(Name=String(NUMBER))
    )


def document_parts(d: Pdf) -> None:
    part = d.make_indirect(Dictionary(Type=Name.DPart, DPM=Dictionary(Client=String(NUMBER))))
    d.Root.DPartRoot = Dictionary(Type=Name.DPartRoot, DPartRootNode=part)
    d.pages[0].obj.DPart = part


def web_capture(d: Pdf) -> None:
    d.Root.SpiderInfo = Dictionary(V=1.0, C=Array([Dictionary(URL=String(NUMBER))]))
    d.pages[0].obj.ID = String(NUMBER)


def validation_data(d: Pdf) -> None:
    d.Root.DSS = Dictionary(Certs=Array([d.make_stream(b"CN=" + N)]))


def legal_attestation(d: Pdf) -> None:
    d.Root.Legal = Dictionary(Attestation=String(NUMBER))


def developer_extension(d: Pdf) -> None:
    d.Root.Extensions = Dictionary(XXXX=Dictionary(BaseVersion=Name("/1.7"), URL=String(NUMBER)))


def separation_of_a_page(d: Pdf) -> None:
    d.pages[0].obj.SeparationInfo = Dictionary(DeviceColorant=String(NUMBER))


def steps_of_presentation(d: Pdf) -> None:
    d.pages[0].obj.PresSteps = Dictionary(Type=Name.NavNode, NA=Dictionary(S=Name.JavaScript,
                                          JS=String(NUMBER)))  # fmt: skip


def measures(d: Pdf) -> None:
    scale = Dictionary(Type=Name.Measure, R=String(NUMBER))
    d.pages[0].obj.VP = Array([Dictionary(Type=Name.Viewport, BBox=Array([0, 0, 9, 9]),
                                          Name=String(NUMBER), Measure=scale)])  # fmt: skip


def key_of_the_root(d: Pdf) -> None:
    d.Root[f"/X{DIGITS}"] = 1


def keys_of_a_page(d: Pdf) -> None:
    d.pages[0].obj["/Hidden"] = String(NUMBER)
    d.pages[0].obj[f"/Y{DIGITS}"] = Name(f"/Z{DIGITS}")


def signature(d: Pdf) -> None:
    value = Dictionary(
        Type=Name.Sig, Name=String(NUMBER), Reason=String(NUMBER), Location=String(NUMBER),
        ContactInfo=String(NUMBER), Contents=String(NUMBER),
    )  # fmt: skip
    lock = Dictionary(Type=Name.SigFieldLock, Action=Name.Include, Fields=Array([String(NUMBER)]))
    field = Dictionary(FT=Name.Sig, T=String("s"), V=value, Lock=lock)
    d.Root.AcroForm = Dictionary(Fields=Array([d.make_indirect(field)]))


def thumbnail(d: Pdf) -> None:
    d.pages[0].obj.Thumb = d.make_indirect(flate(d, drawn(), Name.DeviceGray))


PLANTS: list[Plant] = [
    info, info_of_its_own, key_of_the_info, xmp, metadata_of_a_page, metadata_in_utf_16,
    private_data, thumbnail_key, attachment, name_of_an_attachment, associated_file_of_a_page,
    associated_file_of_the_document, outline, destination_names, old_destination_names,
    page_labels, article_threads, structure_attribute, structure_roles, language, layer_names,
    layer_usage, output_intent, collection, document_parts, web_capture, validation_data,
    legal_attestation, developer_extension, separation_of_a_page, steps_of_presentation, measures,
    key_of_the_root, keys_of_a_page, signature,
]  # fmt: skip
STRUCTURE_TEXTS = ["Alt", "ActualText", "E", "T", "ID", "Lang"]


def planted(plant: Plant) -> bytes:
    document = document_with()
    plant(document)
    return as_bytes(document)


def makers(plants: list[Plant]) -> dict[str, object]:
    """Named after the functions."""
    return {plant.__name__.replace("_", " "): functools.partial(planted, plant) for plant in plants}


PLACES = {
    **family("file", makers(PLANTS), told_by="objects"),
    **family(
        "structure tree",
        {
            key: functools.partial(planted, functools.partial(structure, key))
            for key in STRUCTURE_TEXTS
        },
        told_by="objects",
    ),
    **family("file", makers([thumbnail]), told_by="stored pictures"),
}
