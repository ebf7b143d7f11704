"""The manifest says all that the design names, the same way each time, and shows its damage."""

import dataclasses
import datetime as dt
import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sealing_samples import BUILT_AT, agency_packet, packet_facts, sealed_packet

from packets.base.canonical import canonical_json, sha256_hex
from packets.base.errors import Damaged, InputRefused, OurFault
from packets.sealing.manifest import (
    manifest_bytes,
    manifest_of,
    manifest_path,
    read_manifest,
    utc_text,
)

SEALED = sealed_packet()
KEYS = [
    "manifest",
    "packet",
    "sha256",
    "content_sha256",
    "bytes",
    "pages",
    "recipe",
    "engagement",
    "built_at",
    "encryption",
    "sources",
    "parts",
    "masks",
    "signatures",
    "check",
    "retention",
    "tools",
    "checksum",
]


def written(folder: Path, data: bytes) -> Path:
    path = folder / "name.manifest.json"
    path.write_bytes(data)
    return path


def in_its_form(record: dict[str, object]) -> bytes:
    return (json.dumps(record, ensure_ascii=False, indent=2) + "\n").encode()


def test_it_has_exactly_the_keys_of_its_format(tmp_path: Path) -> None:
    record = read_manifest(written(tmp_path, manifest_bytes(packet_facts(), SEALED)))
    assert list(record) == KEYS
    assert record["sha256"] == SEALED.sha256
    assert record["bytes"] == len(SEALED.pdf)
    assert record["encryption"] == {"algorithm": "AES-256", "revision": 6}
    assert record["built_at"] == "2026-03-03T14:05:09Z"
    assert record["masks"] == [
        {"kind": "ssn", "shown": "XXX-XX-3456", "page": 1, "place": [72.0, 80.5, 140.25, 92.0]}
    ]
    assert record["tools"] == {"pikepdf": "10.1", "zlib": "1.3"}


def test_an_agency_packet_says_that_it_is_not_encrypted() -> None:
    record = json.loads(manifest_bytes(packet_facts(verdict="not asked"), agency_packet()))
    assert record["encryption"] == {"algorithm": "none", "revision": 0}


def test_the_checksum_is_over_the_canonical_form_of_the_other_keys() -> None:
    record = json.loads(manifest_bytes(packet_facts(), SEALED))
    checksum = record.pop("checksum")
    assert checksum == sha256_hex(canonical_json(record))


def test_the_same_facts_make_the_same_bytes() -> None:
    assert manifest_bytes(packet_facts(), SEALED) == manifest_bytes(packet_facts(), SEALED)


def test_a_number_in_a_file_name_is_cut_and_the_name_stays_readable() -> None:
    text = manifest_bytes(packet_facts(), SEALED).decode()
    assert "000-12-3456" not in text
    assert "documents/W-2 Müller XXX-XX-3456.pdf" in text


def test_a_file_name_that_is_no_text_is_still_recorded(tmp_path: Path) -> None:
    source = dataclasses.replace(packet_facts().sources[0], file="caf\udce9.pdf")
    record = read_manifest(
        written(tmp_path, manifest_bytes(packet_facts(sources=(source,)), SEALED))
    )
    assert "caf\\\\xe9.pdf" in json.dumps(record["sources"])


def test_any_other_zone_is_turned_into_utc_and_no_zone_is_our_fault() -> None:
    zone = dt.timezone(dt.timedelta(hours=-5))
    assert utc_text(BUILT_AT.astimezone(zone)) == utc_text(BUILT_AT)
    with pytest.raises(OurFault):
        utc_text(dt.datetime(2026, 3, 3))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_changed_value_is_found(tmp_path: Path, data: st.DataObject) -> None:
    record = json.loads(manifest_bytes(packet_facts(), SEALED))
    key = data.draw(st.sampled_from(sorted(record)))
    changed = data.draw(
        st.none() | st.integers() | st.text(max_size=5) | st.lists(st.integers(), max_size=2)
    )
    record[key] = changed
    with pytest.raises(Damaged):
        read_manifest(written(tmp_path, in_its_form(record)))


@pytest.mark.parametrize("key", KEYS)
def test_a_missing_key_is_found(tmp_path: Path, key: str) -> None:
    record = json.loads(manifest_bytes(packet_facts(), SEALED))
    del record[key]
    with pytest.raises(Damaged):
        read_manifest(written(tmp_path, in_its_form(record)))


@pytest.mark.parametrize(
    "data", [b"", b"{", b"[]", b"null", b"\xff", b"[" * 100_000, b'{"manifest": NaN}'], ids=range(7)
)
def test_what_is_no_manifest_is_called_damaged(tmp_path: Path, data: bytes) -> None:
    with pytest.raises(Damaged):
        read_manifest(written(tmp_path, data))


def test_a_key_given_twice_is_called_damaged(tmp_path: Path) -> None:
    whole = manifest_bytes(packet_facts(), SEALED)
    twice = whole.replace(b'"pages": 1,', b'"pages": 9, "pages": 1,', 1)
    assert twice != whole
    with pytest.raises(Damaged):
        read_manifest(written(tmp_path, twice))


def test_every_single_byte_counts(tmp_path: Path) -> None:
    whole = manifest_bytes(packet_facts(), SEALED)
    assert manifest_of(whole)
    for place, byte in enumerate(whole):
        for other in {0x00, 0x0A, 0x20, 0x30, byte ^ 0x01, byte ^ 0x20} - {byte}:
            with pytest.raises(Damaged):
                manifest_of(whole[:place] + bytes([other]) + whole[place + 1 :])


def test_the_same_manifest_written_in_any_other_form_is_damaged() -> None:
    whole = manifest_bytes(packet_facts(), SEALED)
    record = json.loads(whole)
    for form in (whole + b"\n", whole[:-1], b" " + whole, json.dumps(record).encode()):
        with pytest.raises(Damaged):
            manifest_of(form)


def test_a_missing_manifest_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputRefused):
        read_manifest(tmp_path / "absent.manifest.json")


def test_it_lies_beside_the_packet() -> None:
    assert manifest_path(Path("out/a.b-copy.pdf")) == Path("out/a.b-copy.manifest.json")
