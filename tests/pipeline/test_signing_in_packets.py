"""Signatures in a built packet: by authority, counted, recorded, and told the same everywhere."""

import re
import shutil
from io import BytesIO
from pathlib import Path
from typing import Any

import pikepdf
import pymupdf
import pytest
from office_folders import SAMPLES_ROOT, Run, build, run_packets, sample_copy
from pypdf import PdfReader
from signed_papers import signed

from packets import pipeline
from packets.base.errors import FileFaults
from packets.base.progress import Step
from packets.masking.flatten import flatten
from packets.pipeline_records import BuildRequest

RECIPE = """\
recipe = 1
name = "signed"
title = "{tax_year} forms"
audience = "office"
[[part]]
heading = "Authorizations"
take = ["form-8879", "consent-*"]
signed_by = ["taxpayer", "spouse"]
[[sign]]
role = "taxpayer"
on = ["form-8879", "consent-*"]
fields = ["taxpayer_signature*"]
date_fields = ["taxpayer_sign_date*"]
[[sign]]
role = "spouse"
on = ["form-8879", "consent-*"]
fields = ["spouse_signature*"]
[[sign]]
role = "ero"
on = ["form-8879"]
fields = ["ero_signature*"]
"""


@pytest.fixture
def client(tmp_path: Path) -> Path:
    """A single filer with nothing but Form 8879."""
    folder = sample_copy("single-filer", tmp_path / "clients" / "0152")
    for path in (folder / "documents").iterdir():
        if path.name != "form-8879.pdf":
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    (tmp_path / "signed.toml").write_text(RECIPE)
    return folder


def built(client: Path) -> Run:
    return build(client, str(client.parents[1] / "signed.toml"))


def change(client: Path, old: str, new: str) -> None:
    file = client / "signatures" / "grants.toml"
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new, 1))


def opened(document: dict[str, Any]) -> bytes:
    released = document["released"]
    key = Path(released["key_file"]).read_text().splitlines()
    passphrase = next(line for line in key if line.strip() and not line.startswith("#"))
    out = BytesIO()
    with pikepdf.open(released["packet"], password=passphrase.strip()) as pdf:
        pdf.save(out)
    return out.getvalue()


def test_lines_are_counted_by_role_and_the_record_tells_what_the_manifest_tells(client) -> None:
    run = built(client)
    assert run.status == 0, run.said
    counted = {line["role"]: line for line in run.document["signature_lines"]}
    assert (counted["taxpayer"]["asked"], counted["taxpayer"]["signed"]) == (1, 1)
    assert (counted["spouse"]["signed"], counted["spouse"]["nobody"]) == (0, True)
    pages = [page.extract_text() for page in PdfReader(BytesIO(opened(run.document))).pages]
    record = pages[-1]
    assert "Signing record" in record
    for line in run.document["signatures"]:
        told = record.split(f"grant {line['grant']}")[1]
        assert str(line["page"]) in told.split("Stands on pages")[1].split()
    assert record.count("Stands on pages") == len(run.document["signatures"]) == 2
    assert not re.search(r"\d{9}|\d{3}-\d{2}-\d{4}", record.replace(" ", "x"))


def test_the_summary_says_how_many_lines_ask_and_how_many_are_signed(client) -> None:
    said = run_packets("build", client, "--recipe", client.parents[1] / "signed.toml").said
    assert "1 line asks for the taxpayer, 1 signed" in said
    assert "1 line asks for the spouse, 0 signed; engagement.toml names nobody" in said


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        ("agi = 40671", "agi = 40620", "figures unchanged: Pub. 1345"),
        ("refund = 559", "refund = 544", "figures unchanged: Pub. 1345"),
        ("valid_until = 2126-12-31", "valid_until = 2026-03-01", "days of the grant: IRM 10.10.1"),
        ('how = "wet-ink-scan"', 'how = "remote"', "remote evidence: Pub. 1345"),
        ('covers = ["form-8879", "form-1040"]', 'covers = ["form-1040"]', "papers covered"),
        (
            'how = "wet-ink-scan"',
            'withdrawn_at = 2026-03-01T09:00:00-05:00\nwithdrawn_why = "asked"\nhow = "on-screen"',
            "withdrawn: IRM 10.10.1",
        ),
    ],
)
def test_a_missing_signature_holds_and_names_rule_and_source(client, old, new, rule) -> None:
    change(client, old, new)
    run = built(client)
    assert run.status == 1
    (reason,) = run.document["held"]
    assert "the taxpayer's signature is missing" in reason
    assert rule in reason


@pytest.mark.parametrize(("old", "new"), [("agi = 40671", "agi = 40721"), ("= 559", "= 573")])
def test_figures_within_the_limits_need_no_new_signature(client, old, new) -> None:
    change(client, old, new)
    assert built(client).status == 0


def test_a_form_printed_flat_is_signed_on_its_printed_lines(client) -> None:
    form = client / "documents" / "form-8879.pdf"
    form.write_bytes(flatten(form.read_bytes()).pdf)
    run = built(client)
    assert run.status == 0, run.said
    counted = {line["role"]: line for line in run.document["signature_lines"]}
    assert (counted["taxpayer"]["asked"], counted["taxpayer"]["signed"]) == (1, 1)
    assert len(run.document["signatures"]) == 2


def test_a_form_whose_lines_are_not_found_is_held(client) -> None:
    form = client / "documents" / "form-8879.pdf"
    with pymupdf.open(stream=flatten(form.read_bytes()).pdf, filetype="pdf") as document:
        page = document[0]
        for label in page.search_for("Taxpayer's signature"):
            page.add_redact_annot(label)
        page.apply_redactions()
        form.write_bytes(document.tobytes())
    run = built(client)
    assert run.status == 1
    assert any("no line for it was found" in reason for reason in run.document["held"])


def test_a_spouse_on_the_return_is_asked_as_well(client) -> None:
    with (client / "engagement.toml").open("a") as file:
        file.write('\n[[person]]\nrole = "spouse"\nname = "Cy Pell"\n')
    run = built(client)
    assert run.status == 1
    assert any("the spouse's signature is missing" in reason for reason in run.document["held"])


def test_the_eros_signature_comes_from_the_offices_store(client, tmp_path) -> None:
    change(client, 'id = "2026-ero-1"\nrole = "ero"', 'id = "old"\nrole = "preparer"')
    (client.parent / "office.toml").write_text(
        '[office]\nname = "Aldertree Tax"\nsignatures = "store"\n'
    )
    image = SAMPLES_ROOT / "single-filer" / "signatures" / "ero.jpg"
    run = run_packets(
        *("sign", "record", client, "--role", "ero", "--image", image, "--store", "office"),
        *("--how", "computer-software", "--covers", "form-887*", "--until", "2126-12-31"),
        *("--given-at", "2026-01-05T09:00:00-05:00", "--by", "H. Brandt", "--json"),
    )
    assert run.status == 0, run.said
    grants = [line["grant"] for line in built(client).document["signatures"]]
    assert run.document["grant"]["id"] in grants


def test_a_fault_in_the_grants_is_told_before_any_page_is_read(client) -> None:
    change(client, 'how = "wet-ink-scan"', 'how = "by fax"')
    steps: list[Step] = []
    request = BuildRequest(client, str(client.parents[1] / "signed.toml"))
    with pytest.raises(FileFaults, match="how"):
        pipeline.build(request, steps.append)
    with pytest.raises(FileFaults, match="how"):
        pipeline.plan(client, request.recipe, steps.append)
    assert steps == []


def test_a_source_signed_electronically_is_told_in_plan_manifest_and_record(client) -> None:
    pytest.importorskip("pyhanko")
    consent = SAMPLES_ROOT / "joint-return" / "documents" / "consent-to-disclose.pdf"
    target = client / "documents" / "consent.pdf"
    target.write_bytes(signed(consent.read_bytes(), "signed_by_ana"))
    recipe = client.parents[1] / "signed.toml"
    plan = run_packets("plan", client, "--recipe", recipe, "--json").document
    (told,) = plan["signed_sources"]
    assert (told["file"], told["signatures"][0]["verdict"]) == ("documents/consent.pdf", "valid")
    said = run_packets("plan", client, "--recipe", recipe).said
    assert "the signature ends in the packet" in said
    change(client, '"form-1040"]', '"form-1040", "consent-*"]')
    run = built(client)
    assert run.status == 0, run.said
    (source,) = [entry for entry in run.document["sources"] if entry["signatures"]]
    assert source["signatures"][0]["signer"] == "Ana Sample"
    last = PdfReader(BytesIO(opened(run.document))).pages[-1].extract_text()
    assert "Signed electronically before" in last
    assert "Ana Sample" in last
