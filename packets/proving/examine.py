"""The finished packet before the check that lets it out, and the proof of that check."""

import importlib
from collections.abc import Sequence
from functools import partial

from packets.base.alongside import alongside
from packets.base.progress import Progress, Step, silent
from packets.identifiers.kinds import KnownNumber
from packets.outbound.check import check_pdf
from packets.outbound.recognition import Recogniser
from packets.outbound.records import Judgement, Verdict
from packets.proving.records import Check, Examination, Examine, Examined
from packets.proving.small_proof import prove_small

_NEEDED_FOR_PICTURES = tuple(
    f"packets.outbound.{name}" for name in ("faint_tones", "picture_marks", "print_aslant")
)
"""Loaded for the first picture otherwise; the proof always has one."""


def ready_to_examine() -> Examine:
    """Whoever examines packets, with all loaded and started that an examination needs."""
    for module in _NEEDED_FOR_PICTURES:
        importlib.import_module(module)
    recogniser = Recogniser()
    recogniser.start()
    return partial(examine, recogniser=recogniser)


def examine(
    order: Examination,
    progress: Progress = silent,
    *,
    check: Check = check_pdf,
    recogniser: Recogniser | None = None,
) -> Examined:
    """Check the packet, prove the check on a copy of a page of it, and check what is sent.

    Raises what the check raises where a file as a whole cannot be taken.
    """
    check = partial(check, recogniser=recogniser)
    with alongside(lambda: prove_small(order.packet, order.passphrase, check=check)) as proving:
        verdict = _judged(order, order.packet, order.known, check, progress)
        if verdict.judgement is not Judgement.CLEAN:
            return Examined(verdict)
        progress(Step("proving the check"))
        proof = proving.result()
    if order.as_sent is None or not proof.holds:
        return Examined(verdict, proof)
    own = _judged(order, order.as_sent, order.known_as_sent, check, progress)
    return Examined(verdict, proof, own)


def _judged(
    order: Examination,
    packet: bytes,
    known: Sequence[KnownNumber],
    check: Check,
    progress: Progress,
) -> Verdict:
    """The verdict over a packet of ours, which holds by list and opens with its passphrase."""
    return check(
        packet,
        name=order.name,
        passphrase=order.passphrase,
        known=known,
        policy=order.policy,
        ours=True,
        progress=progress,
    )
