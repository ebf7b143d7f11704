"""`packets office-key` and `packets verify`: a packet is proved anywhere, or it is said why not."""

import json
import shutil
from pathlib import Path

import pytest
from office_folders import small_client

from packets.cli.entry import run
from packets.cli.surroundings import Surroundings

PASSPHRASE = "walnut-harbor-ribbon-candle-tundra-mosaic"
OFFICE = '[office]\nname = "Sample Tax Office"\nsignatures = "store"\n'
PACKET = "2025-0201-client-copy.pdf"


def told(capsys, *words, status=0, keyboard=()):
    """The JSON document of a command."""
    typed = iter(keyboard)
    capsys.readouterr()
    surroundings = Surroundings(ask=lambda _prompt: next(typed))
    assert run([*map(str, words), "--json"], surroundings) == status
    return json.loads(capsys.readouterr().out)


def make_office(folder: Path, key: str = "") -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "office.toml").write_text(OFFICE + (f'key = "{key}"\n' if key else ""))
    return folder


@pytest.fixture(scope="module")
def signed(tmp_path_factory, request):
    """An office with a key and one released, signed packet; only to be looked at."""
    office = make_office(tmp_path_factory.mktemp("office"))
    assert run(["office-key", "new", str(office)]) == 0
    make_office(office, "store/office-key.pem")
    client = small_client(office / "client")
    assert run(["build", str(client), "--recipe", "client-copy"]) == 0
    return client


def carried_off(client: Path, folder: Path) -> Path:
    """What a client gets: packet, manifest, signature; and the public key."""
    outbound = client / "outbound"
    for path in (*outbound.glob("2025*"), client.parent / "store" / "office-key.public.pem"):
        shutil.copy(path, folder)
    return folder / PACKET


def standing(document):
    return {finding["what"]: finding["standing"] for finding in document["findings"]}


def test_in_the_office_all_of_it_is_proved(signed, capsys):
    document = told(capsys, "verify", signed / "outbound" / PACKET)
    assert document["proved"]
    assert set(standing(document).values()) == {"proved"}
    assert document["not_asked"]
    assert told(capsys, "ledger", "verify", signed)["signature"]["standing"] == "proved"


def test_on_another_machine_the_public_key_is_enough(signed, tmp_path, capsys):
    packet = carried_off(signed, tmp_path)
    key = tmp_path / "office-key.public.pem"
    document = told(capsys, "verify", packet, "--public-key", key)
    assert document["proved"]
    assert standing(document)["signature"] == "proved"
    assert standing(document)["ledger"] == "not proved"
    nobody = told(capsys, "verify", packet, status=1)
    assert standing(nobody)["signature"] == "not proved"
    assert not nobody["proved"]


def test_a_changed_byte_is_status_1_and_named(signed, tmp_path, capsys):
    packet = carried_off(signed, tmp_path)
    data = bytearray(packet.read_bytes())
    data[len(data) // 2] ^= 1
    packet.write_bytes(data)
    assert (
        run(["verify", str(packet), "--public-key", str(tmp_path / "office-key.public.pem")]) == 1
    )
    out = capsys.readouterr().out
    assert "Not proved" in out
    assert "contradicted" in out
    assert "its bytes are not those that the manifest names" in " ".join(out.split())


def test_a_key_of_somebody_else_proves_nothing(signed, tmp_path, capsys):
    packet = carried_off(signed, tmp_path)
    other = make_office(tmp_path / "other")
    made = told(capsys, "office-key", "new", other)
    document = told(capsys, "verify", packet, "--public-key", made["public_key"], status=1)
    assert standing(document)["signature"] == "not proved"


def test_a_private_key_is_not_taken_for_a_public_one(signed, capsys):
    key = signed.parent / "store" / "office-key.pem"
    packet = signed / "outbound" / PACKET
    told(capsys, "verify", packet, "--public-key", key, status=2)


def test_the_key_is_made_in_the_store_and_shown(tmp_path, capsys):
    office = make_office(tmp_path / "office")
    made = told(capsys, "office-key", "new", office)
    assert Path(made["private_key"]) == office / "store" / "office-key.pem"
    assert made["key"] == "store/office-key.pem"
    assert not made["protected"]
    told(capsys, "office-key", "show", office, status=2)
    make_office(office, made["key"])
    shown = told(capsys, "office-key", "show", office)["keys"]
    assert [key["fingerprint"] for key in shown] == [made["fingerprint"]]


def test_no_office_no_key(tmp_path, capsys):
    error = told(capsys, "office-key", "new", tmp_path, status=2)["error"]
    assert "office.toml" in error["what"]


def test_a_key_that_office_toml_names_and_that_is_not_there_stops_the_build(tmp_path, capsys):
    office = make_office(tmp_path / "office", "store/office-key.pem")
    client = small_client(office / "client")
    error = told(capsys, "build", client, "--recipe", "client-copy", status=2)["error"]
    assert "key file cannot be read" in error["what"]
    assert not list(client.glob("outbound/*.pdf"))


def test_a_protected_key_is_opened_at_the_keyboard_or_by_a_file(tmp_path, capsys):
    office = make_office(tmp_path / "office")
    words = ("office-key", "new", office, "--protect")
    made = told(capsys, *words, keyboard=(PASSPHRASE, PASSPHRASE))
    assert made["protected"]
    make_office(office, made["key"])
    client = small_client(office / "client")
    assert told(capsys, "ledger", "sign", client, keyboard=(PASSPHRASE,))["lines"] == 0
    told(capsys, "ledger", "sign", client, keyboard=("another-word-entirely",), status=3)
    file = tmp_path / "passphrase.txt"
    file.write_text(PASSPHRASE + "\n")
    file.chmod(0o600)
    build = ("build", client, "--recipe", "client-copy", "--key-password-file", file)
    released = told(capsys, *build)["released"]
    assert Path(released["signature"]).is_file()
    assert told(capsys, "verify", released["packet"])["proved"]
    for path in office.rglob("*"):
        assert not path.is_file() or PASSPHRASE.encode() not in path.read_bytes()


def test_two_phrases_that_differ_make_no_key(tmp_path, capsys):
    office = make_office(tmp_path / "office")
    words = ("office-key", "new", office, "--protect")
    told(capsys, *words, keyboard=(PASSPHRASE, PASSPHRASE + "x"), status=2)
    assert not (office / "store").exists()


def test_a_clock_behind_the_ledger_is_told_by_the_build(tmp_path, capsys):
    import datetime as dt

    from packets.sealing.ledger import append

    client = small_client(tmp_path / "client")
    append(client, "event", {}, at=dt.datetime(2199, 1, 1, tzinfo=dt.UTC))
    assert run(["build", str(client), "--recipe", "client-copy"]) == 0
    assert "clock is behind" in " ".join(capsys.readouterr().out.split())
    assert told(capsys, "ledger", "verify", client)["clock_set_back"] == [2]
    assert run(["ledger", "show", str(client)]) == 0
    assert "clock was set back before line 2" in " ".join(capsys.readouterr().out.split())


def test_a_ledger_whose_signature_contradicts_it_is_held(signed, tmp_path, capsys):
    copy = tmp_path / "office" / "client"
    shutil.copytree(signed.parent, tmp_path / "office")
    path = copy / "ledger.signature.json"
    path.write_bytes(path.read_bytes().replace(b'"lines":3', b'"lines":2'))
    document = told(capsys, "ledger", "verify", copy, status=1)
    assert document["sound"]
    assert document["signature"]["standing"] == "contradicted"


def test_a_signature_taken_from_the_ledger_is_missed(signed, tmp_path, capsys):
    copy = tmp_path / "office" / "client"
    shutil.copytree(signed.parent, tmp_path / "office")
    (copy / "ledger.signature.json").unlink()
    document = told(capsys, "ledger", "verify", copy, status=1)
    assert document["signature"]["standing"] == "contradicted"
    told(capsys, "ledger", "sign", copy)
    assert told(capsys, "ledger", "verify", copy)["signature"]["standing"] == "proved"


def test_with_a_public_key_a_ledger_must_be_signed_by_it(signed, tmp_path, capsys):
    key = signed.parent / "store" / "office-key.public.pem"
    told(capsys, "ledger", "verify", signed, "--public-key", key)
    other = told(capsys, "office-key", "new", make_office(tmp_path / "other"))["public_key"]
    told(capsys, "ledger", "verify", signed, "--public-key", other, status=1)
    told(capsys, "ledger", "verify", signed, "--public-key", other, "--public-key", key)
