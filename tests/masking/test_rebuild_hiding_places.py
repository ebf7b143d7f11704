"""Wherever a file can hold a number besides its pages, the rebuild by list leaves it behind."""

import pytest
from masking_run import mask
from object_walk import places_with_number
from pikepdf import Array, Dictionary, Name, OutlineItem, String
from pixels import differs_outside
from planted_pages import NUMBER, as_bytes, form
from planted_pictures import drawn, flate
from rebuild_samples import DIGITS, KNOWN, TEXT, N, document_with


def info(d):
    d.docinfo["/Title"] = f"Return of {NUMBER}"
    d.docinfo[f"/Key{DIGITS}"] = "x"


def xmp(d):
    stream = d.make_stream(
        b'<?xpacket?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF '
        b'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description '
        b'xmlns:pdf="http://ns.adobe.com/pdf/1.3/" pdf:Keywords="' + N + b'"/></rdf:RDF>'
        b"</x:xmpmeta>" + b" " * 200
    )
    stream.Type, stream.Subtype = Name.Metadata, Name.XML
    d.Root.Metadata = stream


def page_metadata(d):
    d.pages[0].obj.Metadata = d.make_stream(N)


def font_metadata(d):
    d.pages[0].obj.Resources.Font.F1.Metadata = d.make_stream(N)


def private_data(d):
    d.pages[0].obj.PieceInfo = Dictionary(App=Dictionary(Private=String(NUMBER)))
    d.Root.PieceInfo = Dictionary(App=Dictionary(Private=d.make_stream(N)))


def thumbnail(d):
    d.pages[0].obj.Thumb = d.make_indirect(flate(d, drawn(), Name.DeviceGray))
    d.pages[0].obj.Thumb[f"/N{DIGITS}"] = 1


def attachment(d):
    d.attachments["number.txt"] = N
    d.attachments[f"{NUMBER}.txt"] = b"x"


def associated_file(d):
    spec = Dictionary(Type=Name.Filespec, F=String(NUMBER), EF=Dictionary(F=d.make_stream(N)))
    d.pages[0].obj.AF = Array([d.make_indirect(spec)])
    d.Root.AF = Array([d.make_indirect(spec)])


def scripts(d):
    script = Dictionary(S=Name.JavaScript, JS=String(f"var n='{NUMBER}'"))
    d.Root.OpenAction = script
    d.Root.Names = Dictionary(
        JavaScript=Dictionary(Names=Array([String("n"), d.make_indirect(script)]))
    )
    d.pages[0].obj.AA = Dictionary(O=script)


def structure(d):
    d.Root.StructTreeRoot = Dictionary(
        Type=Name.StructTreeRoot,
        K=Dictionary(S=Name.P, Alt=String(NUMBER), ActualText=String(NUMBER), T=String(NUMBER)),
    )
    d.Root.Lang = String(NUMBER)


def outline(d):
    with d.open_outline() as items:
        items.root.append(OutlineItem(NUMBER, 0))


def destinations(d):
    d.Root.Dests = Dictionary({f"/D{DIGITS}": Array([d.pages[0].obj, Name.Fit])})
    d.Root.Names = Dictionary(
        Dests=Dictionary(Names=Array([String(NUMBER), Array([d.pages[0].obj, Name.Fit])]))
    )


def page_labels(d):
    d.Root.PageLabels = Dictionary(Nums=Array([0, Dictionary(P=String(NUMBER))]))


def link(d):
    d.pages[0].obj.Annots = Array(
        [
            Dictionary(
                Type=Name.Annot, Subtype=Name.Link, Rect=Array([0, 0, 9, 9]),
                Contents=String(NUMBER), NM=String(NUMBER), T=String(NUMBER),
                A=Dictionary(S=Name.URI, URI=String(f"https://example.org/?n={DIGITS}")),
            )
        ]
    )  # fmt: skip


def custom_keys(d):
    d.Root[f"/X{DIGITS}"] = 1
    d.pages[0].obj["/Hidden"] = String(NUMBER)
    d.pages[0].obj[f"/Y{DIGITS}"] = Name(f"/Z{DIGITS}")
    d.pages[0].obj.Resources["/Extra"] = String(NUMBER)
    d.pages[0].obj.Resources.Font.F1["/Note"] = String(NUMBER)


def unreferenced(d):
    d.Root["/Pocket"] = d.make_indirect(Dictionary(A=String(NUMBER)))


def unused_resources(d):
    d.pages[0].obj.Resources.XObject = Dictionary(Un=form(TEXT.replace(b"plain words", N))(d))
    d.pages[0].obj.Resources.Properties = Dictionary(MC0=Dictionary(Name=String(NUMBER)))


def form_extras(d):
    drawing = d.make_indirect(form(TEXT)(d))
    for key in ("/PieceInfo", "/OPI", "/Ref", "/LastModified", "/Name", "/Metadata"):
        drawing[key] = String(NUMBER)
    d.pages[0].obj.Resources.XObject = Dictionary(X1=drawing)
    d.pages[0].obj.Contents = d.make_stream(b"/X1 Do")


def picture_extras(d):
    image = d.make_indirect(flate(d, drawn(words="nothing"), Name.DeviceGray))
    image.Alternates = Array([Dictionary(Image=image, DefaultForPrinting=False)])
    for key in ("/Metadata", "/OPI", "/Name", "/ID", "/Measure", "/PtData"):
        image[key] = String(NUMBER)
    d.pages[0].obj.Resources.XObject = Dictionary(Im1=image)
    d.pages[0].obj.Contents = d.make_stream(b"q 90 0 0 30 9 9 cm /Im1 Do Q")


def layers(d):
    group = d.make_indirect(Dictionary(Type=Name.OCG, Name=String(NUMBER)))
    d.Root.OCProperties = Dictionary(OCGs=Array([group]), D=Dictionary(Name=String(NUMBER)))
    d.pages[0].obj.Resources.Properties = Dictionary(L1=group)
    d.pages[0].obj.Contents = d.make_stream(b"/OC /L1 BDC " + TEXT + b" EMC")


def signature(d):
    d.Root.AcroForm = Dictionary(
        Fields=Array([d.make_indirect(Dictionary(FT=Name.Sig, T=String(NUMBER), V=Dictionary(
            Type=Name.Sig, Name=String(NUMBER), Reason=String(NUMBER), Contents=String(NUMBER)))
        )])
    )  # fmt: skip


def output_intent(d):
    d.Root.OutputIntents = Array([Dictionary(Info=String(NUMBER), S=Name.GTS_PDFA1)])


FILES = [
    info, xmp, page_metadata, font_metadata, private_data, thumbnail, attachment, associated_file,
    scripts, structure, outline, destinations, page_labels, link, custom_keys, unreferenced,
    unused_resources, form_extras, picture_extras, layers, signature, output_intent,
]  # fmt: skip


@pytest.mark.parametrize("plant", FILES, ids=lambda plant: plant.__name__)
def test_what_a_file_carries_besides_its_pages_stays_behind(plant):
    document = document_with()
    plant(document)
    pdf = as_bytes(document)
    assert places_with_number(pdf)
    result = mask(pdf, KNOWN)
    assert places_with_number(result.pdf) == []
    assert differs_outside(pdf, result.pdf, []) == 0


CONTENTS = {
    "a comment": b"% " + N + b"\n" + TEXT,
    "a comment at the end": TEXT + b" % " + N,
    "marked content": b"/Span <</ActualText (" + N + b") /MCID 1>> BDC " + TEXT + b" EMC",
    "a marked point": b"/P <</E (" + N + b")>> DP " + TEXT,
    "a mark's tag": b"/T" + DIGITS.encode() + b" BMC " + TEXT + b" EMC",
    "an unknown operator between BX and EX": b"BX (" + N + b") nosuch EX " + TEXT,
    "an unknown operator": b"(" + N + b") nosuch " + TEXT,
    "operands without an operator": TEXT + b" (" + N + b")",
    "too many operands": TEXT.replace(b"50 300 Td", b"(" + N + b") 50 300 Td"),
    "a rendering intent": b"/I" + DIGITS.encode() + b" ri " + TEXT,
    "a name never defined": b"/G" + DIGITS.encode() + b" gs " + TEXT,
    "a string shown outside of text, in no font": b"(" + N + b") Tj " + TEXT,
}


@pytest.mark.parametrize("content", CONTENTS.values(), ids=CONTENTS.keys())
def test_what_a_content_stream_carries_unseen_stays_behind(content):
    pdf = as_bytes(document_with(content))
    assert places_with_number(pdf)
    assert places_with_number(mask(pdf, KNOWN).pdf) == []
