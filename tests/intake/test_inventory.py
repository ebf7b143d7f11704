"""The inventory as a whole: order of evidence, what is told, what is refused with its line."""

from pathlib import Path

import pytest
from client_folders import ENGAGEMENT, lay_out
from drawn_pages import Draw, form_front, form_later, letter, page_of, pdf_of, prose
from drawn_papers import PAPERS
from PIL import Image

from packets.base.errors import Damaged, FileFaults, InputRefused, UsageError
from packets.base.progress import Step
from packets.intake.client_folder import open_client_folder
from packets.intake.inventory import take_inventory
from packets.intake.records import EvidenceKind, Inventory
from packets.reading.ocr import OcrReader

LETTER = letter("Enclosed is your return.")
FRONT = form_front("1040", "U.S. Individual Income Tax Return", footer="Form 1040 (2025)")
BACK = form_later("Form 1040 (2025)", 2)
UNKNOWN = page_of(*prose("Nothing here says what this is. " * 8, first=300))


def _inventory(root: Path) -> Inventory:
    with OcrReader() as ocr:
        return take_inventory(open_client_folder(root), ocr)


def _of(tmp_path: Path, *pages: Draw, more: str = "") -> Inventory:
    return _inventory(
        lay_out(tmp_path / "c", {"a.pdf": pdf_of(*pages)}, engagement=ENGAGEMENT + more)
    )


def _help(category: str, pages: str = "", file: str = "documents/a.pdf") -> str:
    return f'[[document]]\nfile = "{file}"\ncategory = "{category}"\npages = "{pages}"\n'


def test_every_page_of_every_document_is_there_once(tmp_path: Path) -> None:
    root = lay_out(
        tmp_path / "c",
        {"return.pdf": pdf_of(LETTER, FRONT, BACK), "scan-2.pdf": pdf_of(UNKNOWN)},
    )
    Image.new("L", (850, 1100), 255).save(root / "documents" / "scan-10.png", dpi=(100, 100))
    inventory = _inventory(root)
    assert [document.file for document in inventory.documents] == [
        "documents/return.pdf",
        "documents/scan-2.pdf",
        "documents/scan-10.png",
    ]
    assert [(page.document, page.number) for page in inventory.pages] == [
        (0, 1),
        (0, 2),
        (0, 3),
        (1, 1),
        (2, 1),
    ]
    assert [page.category for page in inventory.pages] == [
        "letter",
        "form-1040",
        "form-1040",
        None,
        "blank",
    ]


def test_engagement_beats_sub_folder_beats_title(tmp_path: Path) -> None:
    pdf = pdf_of(LETTER, LETTER, LETTER)
    root = lay_out(
        tmp_path / "c",
        {"w-2/a.pdf": pdf, "b.pdf": pdf},
        engagement=ENGAGEMENT + _help("1098-t", "2-3", "documents/w-2/a.pdf"),
    )
    pages = _inventory(root).pages
    assert [page.category for page in pages] == ["letter"] * 3 + ["w-2", "1098-t", "1098-t"]
    assert [page.evidence.kind for page in pages[2:5]] == [
        EvidenceKind.TITLE,
        EvidenceKind.FOLDER,
        EvidenceKind.ENGAGEMENT,
    ]
    assert pages[3].title == "Form W-2"


def test_a_help_without_pages_names_the_whole_file(tmp_path: Path) -> None:
    inventory = _of(tmp_path, UNKNOWN, UNKNOWN, more=_help("receipt"))
    assert {page.category for page in inventory.pages} == {"receipt"}


def test_a_voucher_stays_a_voucher_whatever_its_folder_says(tmp_path: Path) -> None:
    voucher = form_front("1040-V", "Payment Voucher", footer="Form 1040-V (2025)")
    root = lay_out(tmp_path / "c", {"receipt/a.pdf": pdf_of(voucher)})
    page = _inventory(root).pages[0]
    assert (page.category, page.to_be_filed) == ("receipt", True)


def test_a_help_for_a_file_in_another_unicode_form_is_understood(tmp_path: Path) -> None:
    root = lay_out(
        tmp_path / "c",
        {"Re\u0301sume\u0301.pdf": pdf_of(UNKNOWN)},
        engagement=ENGAGEMENT + _help("receipt", file="documents/R\u00e9sum\u00e9.pdf"),
    )
    assert _inventory(root).pages[0].category == "receipt"


@pytest.mark.parametrize(
    ("more", "line", "words"),
    [
        (_help("receipt", file="documents/b.pdf"), 6, "no such file"),
        (_help("reciept"), 7, "did you mean 'receipt'"),
        (_help("receipt", "2-3"), 8, "beyond the end"),
        (_help("receipt", "3-2"), 8, "backwards"),
        (_help("receipt", "one"), 8, "not page numbers"),
        (_help("receipt", "1-2") + _help("letter", "2"), 9, "another category above"),
        (_help("receipt", file="../a.pdf"), 6, "no such file"),
    ],
)
def test_a_help_that_fits_no_page_is_a_fault_with_its_line(
    tmp_path: Path, more: str, line: int, words: str
) -> None:
    with pytest.raises(FileFaults) as caught:
        _of(tmp_path, UNKNOWN, UNKNOWN, more=more)
    fault = next(fault for fault in map(str, caught.value.faults) if words in fault)
    assert fault.startswith(f"line {line},")


def test_all_faults_of_helps_are_named_at_once(tmp_path: Path) -> None:
    more = _help("reciept", "9") + _help("letter", "0") + _help("letter", file="documents/x.pdf")
    with pytest.raises(FileFaults) as caught:
        _inventory(
            lay_out(
                tmp_path / "c",
                {"a.pdf": pdf_of(UNKNOWN)},
                engagement=ENGAGEMENT + more.replace('"0"', '"7-9"'),
            )
        )
    assert len(caught.value.faults) == 4


def test_a_sub_folder_that_is_no_category_is_named_with_the_nearest(tmp_path: Path) -> None:
    root = lay_out(tmp_path / "c", {"reciept/a.pdf": pdf_of(LETTER), "misc/b.pdf": b""})
    with pytest.raises(UsageError) as caught:
        _inventory(root)
    assert "documents/reciept" in str(caught.value)
    assert "did you mean 'receipt'" in str(caught.value)
    assert "documents/misc" in str(caught.value)


def test_a_damaged_document_is_refused_by_its_path_in_the_folder(tmp_path: Path) -> None:
    with pytest.raises(Damaged) as caught:
        _inventory(lay_out(tmp_path / "c", {"w-2/a.pdf": b""}))
    assert caught.value.where == "documents/w-2/a.pdf"


def test_all_refused_documents_are_named_at_once_with_what_to_do(tmp_path: Path) -> None:
    files = {"a.pdf": b"", "b.png": b"\x89PNG\r\n\x1a\n cut off", "good.pdf": pdf_of(LETTER)}
    with pytest.raises(InputRefused) as caught:
        _inventory(lay_out(tmp_path / "c", files))
    assert "2 files" in str(caught.value)
    assert "documents/a.pdf: the file is empty. Scan or export it again." in str(caught.value)
    assert "documents/b.png: " in str(caught.value)


def test_unknown_and_unsure_pages_are_told(tmp_path: Path) -> None:
    inventory = _of(tmp_path, UNKNOWN, letter("Some words.", close=False))
    told = "\n".join(inventory.unsure)
    assert "documents/a.pdf page 1: not known what this is" in told
    assert "documents/a.pdf page 2: perhaps letter" in told


@pytest.mark.parametrize(
    ("pages", "told"),
    [
        ((FRONT,), "Form 1040 page 2 is missing"),
        ((BACK,), "Form 1040 page 1 is missing"),
        ((FRONT, BACK, FRONT), "Form 1040 page 2 is missing"),
        ((BACK, FRONT), "the pages of Form 1040 are out of order"),
        ((FRONT, FRONT, BACK, BACK), "the pages of Form 1040 are out of order"),
        ((FRONT, BACK), None),
        ((FRONT, BACK, FRONT, BACK), None),
        ((FRONT, LETTER, BACK), None),
    ],
)
def test_missing_pages_and_wrong_order_are_told(
    tmp_path: Path, pages: tuple[Draw, ...], told: str | None
) -> None:
    notes = [note for note in _of(tmp_path, *pages).unsure if "Form 1040" in note]
    assert [told in note for note in notes] == ([True] if told else [])


def test_a_form_of_another_year_is_told(tmp_path: Path) -> None:
    old = form_front("8962", "Premium Tax Credit (PTC)", year=2023, footer="Form 8962 (2023)")
    assert any(
        "Form 8962 is for 2023, the engagement is for 2025" in note
        for note in _of(tmp_path, old).unsure
    )


def test_passed_over_files_and_notes_on_documents_are_told(tmp_path: Path) -> None:
    root = lay_out(tmp_path / "c", {".DS_Store": b"x"})
    Image.new("L", (400, 300), 200).save(root / "documents" / "a.png")
    told = "\n".join(_inventory(root).unsure)
    assert "not looked at: documents/.DS_Store" in told
    assert "documents/a.png: no usable resolution" in told


def test_an_empty_documents_folder_is_told(tmp_path: Path) -> None:
    inventory = _inventory(lay_out(tmp_path / "c"))
    assert inventory.pages == ()
    assert "holds no files" in inventory.unsure[0]


def test_progress_names_each_document(tmp_path: Path) -> None:
    root = lay_out(tmp_path / "c", {"a.pdf": pdf_of(LETTER), "b.pdf": pdf_of(LETTER)})
    steps: list[Step] = []
    with OcrReader() as ocr:
        take_inventory(open_client_folder(root), ocr, steps.append)
    assert {step.station for step in steps} == {"inventory"}
    assert sum("documents/b.pdf" in step.detail for step in steps) == 2
    assert (steps[-1].done, steps[-1].total) == (2, 2)


def test_the_same_folder_gives_the_same_inventory(tmp_path: Path) -> None:
    drawings = {f"{name}.pdf": pdf_of(draw) for name, (_, draw) in PAPERS.items()}
    root = lay_out(tmp_path / "c", drawings)
    assert _inventory(root) == _inventory(root)


def test_no_number_of_a_page_reaches_the_inventorys_words(tmp_path: Path) -> None:
    numbered = form_later("Form 1040 (2025) 000-12-3456 SAMPLE", 2)
    inventory = _of(tmp_path, numbered, page_of(*prose("Account 0001234567 " * 9, first=300)))
    for page in inventory.pages:
        assert "3456" not in repr(page)
    assert not any("3456" in note for note in inventory.unsure)
