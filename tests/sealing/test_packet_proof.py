"""A packet is proved by its papers; any single byte changed in any of them is found."""

import dataclasses
import json
import shutil
from pathlib import Path

import pytest
from sealing_samples import packet_facts, sealed_packet

from packets.base.canonical import canonical_json, checksum_of, sha256_hex
from packets.sealing.checksum_list import FILE_NAME as LIST_NAME
from packets.sealing.ledger import FILE_NAME as LEDGER_NAME
from packets.sealing.ledger import append, entries
from packets.sealing.ledger_chain import HEAD_NAME, Head, head_bytes
from packets.sealing.manifest import manifest_bytes
from packets.sealing.office_key import load_public, new_key, open_signer
from packets.sealing.packet_proof import prove_packet
from packets.sealing.proof_papers import papers_beside
from packets.sealing.proof_records import PacketProof, ProofPapers, Standing
from packets.sealing.release import release
from packets.sealing.signing import LEDGER_SIGNATURE, packet_signature, sign_head

SEALED = sealed_packet()
PROVED, NOT_PROVED, CONTRADICTED = Standing
PAPERS = ("manifest", "checksum_list", "signature", "ledger", "head", "head_signature")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory):
    return new_key(tmp_path_factory.mktemp("office"), None)


@pytest.fixture(scope="module")
def keys(office):
    return (load_public(office.public),)


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory, office) -> Path:
    """A client folder with two signed packets; only to be looked at."""
    folder = tmp_path_factory.mktemp("client")
    for _ in range(2):
        release(
            folder,
            folder / "outbound",
            packet_facts(),
            SEALED,
            keep_passphrase=True,
            signer=open_signer(office.private),
        )
    return folder


@pytest.fixture(scope="module")
def packet(client: Path) -> Path:
    return client / "outbound" / "2025-0147-client-copy-2.pdf"


@pytest.fixture(scope="module")
def papers(packet: Path, keys) -> ProofPapers:
    return papers_beside(packet, keys, key_given=True)


def proof_of(papers: ProofPapers) -> PacketProof:
    return prove_packet(Path(papers.packet), papers)


def standing(papers: ProofPapers) -> dict[str, Standing]:
    return {finding.what: finding.standing for finding in proof_of(papers).findings}


def contradicted(papers: ProofPapers) -> list[str]:
    return [what for what, how in standing(papers).items() if how is CONTRADICTED]


def test_a_released_packet_is_proved_by_each_of_its_papers(papers: ProofPapers) -> None:
    assert set(standing(papers).values()) == {PROVED}
    assert len(standing(papers)) == 6
    assert proof_of(papers).proved


def test_every_single_byte_of_a_packet_counts(papers: ProofPapers) -> None:
    for place, byte in enumerate(SEALED.pdf):
        changed = SEALED.pdf[:place] + bytes([byte ^ 1 << place % 8]) + SEALED.pdf[place + 1 :]
        other = dataclasses.replace(papers, sha256=sha256_hex(changed))
        assert {"packet", "checksum list", "ledger", "signature"} == set(contradicted(other))
        assert not proof_of(other).proved


def test_a_changed_packet_on_the_disk_is_found(client: Path, keys, tmp_path: Path) -> None:
    copy = tmp_path / "client"
    shutil.copytree(client, copy)
    packet = copy / "outbound" / "2025-0147-client-copy.pdf"
    assert proof_of(papers_beside(packet, keys)).proved
    whole = packet.read_bytes()
    for place in (0, len(whole) // 2, len(whole) - 1):
        packet.write_bytes(whole[:place] + bytes([whole[place] ^ 4]) + whole[place + 1 :])
        assert "packet" in contradicted(papers_beside(packet, keys))
    packet.write_bytes(whole + b"\n")
    assert "packet" in contradicted(papers_beside(packet, keys))


@pytest.mark.parametrize("paper", PAPERS)
def test_every_single_byte_of_every_paper_counts(papers: ProofPapers, paper: str) -> None:
    """But for the lines of other packets in SHA256SUMS, which say nothing of this one."""
    whole = getattr(papers, paper)
    ours = range(len(whole))
    if paper == "checksum_list":
        line = whole.index(papers.packet.encode()) - 66
        ours = range(line, whole.index(b"\n", line) + 1)
    step = 3 if paper == "ledger" else 1  # of the long one a sample
    for place in ours[::step]:
        other = whole[place] ^ 1 << place % 8
        changed = whole[:place] + bytes([other]) + whole[place + 1 :]
        judged = dataclasses.replace(papers, **{paper: changed})
        assert set(standing(judged).values()) != {PROVED}, place
        if paper != "head_signature":  # which says nothing of the packet
            assert not proof_of(judged).proved, place


@pytest.mark.parametrize("paper", [paper for paper in PAPERS if paper != "checksum_list"])
def test_a_paper_cut_anywhere_is_found(papers: ProofPapers, paper: str) -> None:
    whole = getattr(papers, paper)
    for length in range(1, len(whole) - 1, 7):
        judged = dataclasses.replace(papers, **{paper: whole[:length]})
        assert contradicted(judged), length


def test_on_another_machine_the_signature_alone_is_enough(packet: Path, keys, tmp_path) -> None:
    for name in (packet.name, f"{packet.stem}.manifest.json", f"{packet.stem}.signature.json"):
        shutil.copy(packet.with_name(name), tmp_path / name)
    carried = papers_beside(tmp_path / packet.name, keys, key_given=True)
    assert proof_of(carried).proved
    assert standing(carried) == {
        "manifest": PROVED,
        "packet": PROVED,
        "signature": PROVED,
        "checksum list": NOT_PROVED,
        "ledger": NOT_PROVED,
        "ledger signature": NOT_PROVED,
    }


def test_without_a_public_key_a_signature_proves_nothing(papers: ProofPapers) -> None:
    nobody = dataclasses.replace(papers, keys=(), key_given=False)
    assert standing(nobody)["signature"] is NOT_PROVED
    assert standing(nobody)["ledger"] is PROVED
    assert proof_of(nobody).proved
    assert not proof_of(dataclasses.replace(nobody, ledger=None)).proved


def test_a_signature_that_was_asked_for_must_be_there(papers: ProofPapers) -> None:
    unsigned = dataclasses.replace(papers, signature=None)
    assert contradicted(unsigned) == ["ledger"]
    assert not proof_of(unsigned).proved
    elsewhere = dataclasses.replace(unsigned, ledger=None)
    assert contradicted(elsewhere) == []
    assert not proof_of(elsewhere).proved


def test_a_manifest_alone_proves_nothing(papers: ProofPapers) -> None:
    alone = ProofPapers(papers.packet, papers.sha256, papers.size, papers.manifest)
    assert not proof_of(alone).proved
    assert not proof_of(ProofPapers(papers.packet, papers.sha256, papers.size)).proved


def test_a_forger_with_a_key_of_his_own_proves_nothing(papers: ProofPapers, tmp_path: Path) -> None:
    """He writes a packet, its manifest and a signature anew; all fit one another."""
    forger = open_signer(new_key(tmp_path, None).private)
    other = sealed_packet("Total income 84,120")
    facts = packet_facts(packet=papers.packet)
    manifest = manifest_bytes(facts, other)
    signature = packet_signature(
        forger, papers.packet, other.sha256, sha256_hex(manifest), Head(0, "0" * 64), facts.built_at
    )
    forged = ProofPapers(
        papers.packet,
        other.sha256,
        len(other.pdf),
        manifest,
        None,
        signature,
        keys=papers.keys,
        key_given=True,
    )
    assert standing(forged)["packet"] is PROVED
    assert standing(forged)["signature"] is NOT_PROVED
    assert not proof_of(forged).proved


def test_a_ledger_rewritten_as_a_whole_no_longer_agrees_with_the_signatures(
    client: Path, papers: ProofPapers
) -> None:
    """Chain, checksums and head are all made anew and right; only the key is missing."""
    lines, previous = [], "0" * 64
    for line in (client / LEDGER_NAME).read_bytes().splitlines():
        record = json.loads(line)
        record["at"] = "2026-01-01T00:00:00Z"
        record["previous"] = previous
        record["checksum"] = checksum_of(record)
        lines.append(canonical_json(record))
        previous = sha256_hex(lines[-1])
    ledger = b"".join(line + b"\n" for line in lines)
    judged = dataclasses.replace(papers, ledger=ledger, head=head_bytes(Head(4, previous)))
    assert standing(judged)["ledger"] is PROVED
    assert contradicted(judged) == ["signature", "ledger signature"]


def test_a_ledger_and_all_its_papers_set_back_are_found_by_a_packet_that_left(
    client: Path, papers: ProofPapers, office, tmp_path: Path
) -> None:
    """An older, rightly signed state of the ledger is put in place of the new one."""
    first = client / LEDGER_NAME
    kept = b"".join(first.read_bytes().splitlines(keepends=True)[:2])
    (tmp_path / LEDGER_NAME).write_bytes(kept)
    (tmp_path / HEAD_NAME).write_bytes(head_bytes(Head(2, entries(client)[1].sha256)))
    sign_head(tmp_path, open_signer(office.private))
    judged = dataclasses.replace(
        papers,
        ledger=kept,
        head=(tmp_path / HEAD_NAME).read_bytes(),
        head_signature=(tmp_path / LEDGER_SIGNATURE).read_bytes(),
    )
    assert standing(judged)["ledger signature"] is PROVED
    assert "ledger" in contradicted(judged)


def test_lines_after_the_signed_head_are_told_apart(client: Path, keys, tmp_path: Path) -> None:
    copy = tmp_path / "client"
    shutil.copytree(client, copy)
    append(copy, "event", {})
    proof = proof_of(papers_beside(copy / "outbound" / "2025-0147-client-copy.pdf", keys))
    words = {finding.what: finding.words for finding in proof.findings}
    assert proof.proved
    assert "up to line 4; 1 later" in words["ledger signature"]


@pytest.mark.parametrize("event", ["withdrawn", None])
def test_a_packet_that_was_not_released_is_not_proved(
    client: Path, keys, tmp_path: Path, event: str | None
) -> None:
    copy = tmp_path / "client"
    shutil.copytree(client, copy)
    for name in (LEDGER_NAME, HEAD_NAME):
        (copy / name).unlink()
    prepared = entries(client)[0]
    append(copy, prepared.event, prepared.facts)
    if event:
        append(copy, event, {key: prepared.facts[key] for key in ("packet", "sha256")})
    found = papers_beside(copy / "outbound" / "2025-0147-client-copy.pdf", keys)
    assert "ledger" in contradicted(found)


def test_a_packet_under_another_name_is_found(papers: ProofPapers) -> None:
    assert "packet" in contradicted(dataclasses.replace(papers, packet="other.pdf"))


def test_a_ledger_beside_the_packet_or_named_is_found(packet: Path, keys, tmp_path: Path) -> None:
    for path in (packet, packet.with_name(f"{packet.stem}.manifest.json")):
        shutil.copy(path, tmp_path)
    home = packet.parent.parent
    named = papers_beside(tmp_path / packet.name, keys, ledger=home)
    assert named.ledger == papers_beside(tmp_path / packet.name, ledger=home / LEDGER_NAME).ledger
    assert named.ledger is not None
    assert papers_beside(tmp_path / packet.name).ledger is None
    for name in (LEDGER_NAME, HEAD_NAME, LEDGER_SIGNATURE):
        shutil.copy(home / name, tmp_path)
    assert papers_beside(tmp_path / packet.name).ledger == named.ledger
    assert (packet.parent / LIST_NAME).is_file()
