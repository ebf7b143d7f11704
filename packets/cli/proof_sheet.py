"""What `packets check --prove` tells: what was planted where, and which reader found it."""

from rich.console import Console

from packets.base.canonical import Json
from packets.base.errors import ExitStatus
from packets.cli.outcome import Outcome
from packets.cli.plain_text import count_of, plain
from packets.cli.proof_form import proof_form
from packets.cli.sheet import BAD, GOOD, Cell, columns, heading, points, say
from packets.cli.verdict_form import verdict_form
from packets.cli.verdict_sheet import show_verdict
from packets.proving.records import FileProof, Planted, Proof

_TOLD = {"known": "told", "unknown": "not told"}


def proof_outcome(proofs: tuple[FileProof, ...]) -> Outcome:
    """Clean only where each file is clean, each proof found all, and something was proved."""
    proved = [each for each in proofs if each.proof is not None]
    failed = [each for each in proofs if not each.holds]
    status = ExitStatus.CLEAN if proved and not failed else ExitStatus.HELD
    note = f"Held: {len(failed)} of {count_of(len(proofs), 'file')}." if failed else _NOTHING
    return Outcome(
        status=status,
        document=lambda: {"proofs": [_form(each) for each in proofs]},
        show=lambda console: _show(console, proofs),
        note=note if status else "",
    )


_NOTHING = "Held: nothing was proved, because there was no PDF."


def proof_line(proof: Proof) -> str:
    """The proof in one sentence."""
    planted = count_of(len(proof.rows), "number")
    line = f"{planted} planted in copies, {proof.found} found"
    return f"{line}, {len(proof.missed)} missed." if proof.missed else f"{line}."


def _form(each: FileProof) -> dict[str, Json]:
    """Its own verdict, and the proof; null where nothing was planted."""
    return {
        "check": verdict_form(each.verdict),
        "proof": proof_form(each.proof),
        "why_not": plain(each.why_not),
    }


def _show(console: Console, proofs: tuple[FileProof, ...]) -> None:
    for each in proofs:
        heading(console, each.verdict.file)
        show_verdict(console, each.verdict)
        if each.proof is None:
            points(console, [f"Nothing was planted: {each.why_not}"])
        else:
            _show_proof(console, each.proof)
    heading(console, "Next")
    points(console, [_next(proofs)])


def _show_proof(console: Console, proof: Proof) -> None:
    word = ("Proved", GOOD) if proof.holds else ("Not proved", BAD)
    say(console, "  ", word, f": {proof_line(proof)}")
    columns(
        console,
        [_cells(row) for row in proof.rows],
        names=("family", "place", "number", "found", "by"),
        narrow=(2, 3),
    )


def _cells(row: Planted) -> tuple[Cell, ...]:
    found: Cell = "yes" if row.found else ("NO", BAD)
    by = ", ".join(row.seen_by) or (row.outcome.value if row.found else "")
    return (row.family, row.place, _TOLD[row.told.value], found, by)


def _next(proofs: tuple[FileProof, ...]) -> str:
    if not any(each.proof for each in proofs):
        return "There was no PDF to prove the check on: name a file or a folder that holds one."
    if any(each.proof and each.proof.missed for each in proofs):
        return (
            "Do not rely on the check for such files: look at them yourself, and report the "
            "places that say NO."
        )
    if not all(each.holds for each in proofs):
        return "The check found what was planted, but the files that are held must not be sent."
    return "The check found every planted number. It still is evidence, not a guarantee."
