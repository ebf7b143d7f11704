"""Small forms, signature pictures and grant files made on the spot."""

import datetime as dt
import io
import math
import warnings
from pathlib import Path

import pikepdf
from pikepdf import Array, Dictionary, Name, String
from PIL import Image, ImageDraw

from packets.recipe.model import SignRule
from packets.signatures.grants import GrantBook, load_grants
from packets.signatures.placing import sign_document
from packets.signatures.records import SignedDocument

TODAY = dt.date(2026, 3, 5)
GRANT = {
    "id": '"2026-taxpayer-1"',
    "role": '"taxpayer"',
    "image": '"taxpayer.png"',
    "given_at": "2026-03-03T10:15:00-05:00",
    "how": '"signature-pad"',
    "covers": '["form-8879", "form-1040", "consent-*"]',
    "valid_until": "2026-10-15",
    "identity_check": '"photo ID seen"',
    "recorded_by": '"front desk"',
}
FIGURES = {
    "agi": 60_000,
    "total_tax": 5_000,
    "withholding": 6_000,
    "refund": 1_000,
    "amount_owed": 0,
}
BOUND = "\n[grant.figures]\n" + "".join(f"{key} = {amount}\n" for key, amount in FIGURES.items())
"""What makes a grant good for Forms 8879 and 8878 (Pub. 1345)."""
RULE = SignRule(
    role="taxpayer",
    on=("form-8879",),
    fields=("taxpayer_signature*",),
    date_fields=("taxpayer_sign_date*",),
)
INK = (20, 30, 140)


def scribble(
    width: int = 600,
    height: int = 200,
    *,
    paper: tuple[int, ...] = (255, 255, 255),
    ink: tuple[int, ...] = INK,
    thickness: int = 6,
    mode: str = "RGB",
) -> Image.Image:
    picture = Image.new(mode, (width, height), paper)
    draw = ImageDraw.Draw(picture)
    points = [
        (width * (0.1 + 0.004 * step), height * (0.5 + 0.3 * math.sin(step / 9)))
        for step in range(200)
    ]
    draw.line(points, fill=ink, width=thickness, joint="curve")
    draw.line(
        [(width * 0.15, height * 0.88), (width * 0.8, height * 0.84)], fill=ink, width=thickness
    )
    return picture


def grant_text(bound: str = BOUND, **changes: str) -> str:
    """One [[grant]]; `bound` is what follows its own keys, such as its figures."""
    keys = {**GRANT, **changes}
    lines = "".join(f"{key} = {value}\n" for key, value in keys.items() if value)
    return f"[[grant]]\n{lines}{bound}"


def grant_book(folder: Path, *grants: str) -> GrantBook:
    folder.mkdir(exist_ok=True)
    scribble().save(folder / "taxpayer.png")
    scribble(ink=(150, 20, 20), width=500).save(folder / "spouse.png")
    (folder / "grants.toml").write_text("\n".join(grants or (grant_text(),)))
    return load_grants(folder)


def form(pages: int = 1, size: tuple[float, float] = (612, 792)) -> pikepdf.Pdf:
    document = pikepdf.new()
    for number in range(pages):
        page = document.add_blank_page(page_size=size)
        page.obj.Contents = document.make_stream(b"0.9 g 10 10 20 20 re f %d 0 0 rg" % number)
    document.Root.AcroForm = document.make_indirect(Dictionary(Fields=Array()))
    return document


def add_field(
    document: pikepdf.Pdf,
    name: str | None,
    rect: tuple[float, ...] | None = (100, 100, 300, 130),
    page: int = 1,
    parent: pikepdf.Object | None = None,
    **keys: object,
) -> pikepdf.Object:
    entries: dict[str, object] = {
        "Type": Name.Annot,
        "Subtype": Name.Widget,
        "F": 4,
        "DA": String("/Helv 10 Tf 0 g"),
    }
    if parent is None:
        entries["FT"] = Name.Sig
    if rect is not None:
        entries["Rect"] = Array(rect)
    if name is not None:
        entries["T"] = String(name)
    entries.update(keys)
    annotation = document.make_indirect(
        Dictionary(**{key: value for key, value in entries.items() if value is not None})
    )
    target = document.pages[page - 1].obj
    target.Annots = Array([*list(target.get("/Annots", [])), annotation])
    if parent is None:
        document.Root.AcroForm.Fields.append(annotation)
    else:
        annotation.Parent = parent
        parent.Kids = Array([*list(parent.get("/Kids", [])), annotation])
    return annotation


def as_bytes(document: pikepdf.Pdf) -> bytes:
    out = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # broken forms are the point of some samples
        document.save(out, deterministic_id=True)
    return out.getvalue()


def sign(
    document: pikepdf.Pdf | bytes,
    book: GrantBook,
    *rules: SignRule,
    categories: dict[int, str] | None = None,
    today: dt.date = TODAY,
) -> SignedDocument:
    """Sign it, on pages that show the figures to which the grants are bound."""
    pdf = document if isinstance(document, bytes) else as_bytes(document)
    return sign_document(
        pdf,
        0,
        {1: "form-8879"} if categories is None else categories,
        rules or (RULE,),
        book,
        tax_year=2025,
        today=today,
        figures=lambda page: FIGURES,
    )


def widget_names(pdf: bytes) -> list[str]:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return [
            str(annotation.get("/T"))
            for page in document.pages
            for annotation in page.obj.get("/Annots", [])
        ]


def pictures(pdf: bytes) -> list[pikepdf.Object]:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return [
            item.Width
            for item in document.objects
            if isinstance(item, pikepdf.Stream)
            and item.get("/Subtype") == Name.Image
            and "/SMask" in item
        ]
