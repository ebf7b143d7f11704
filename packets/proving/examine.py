"""The finished packet before the check that lets it out, and the proof of that check."""

from collections.abc import Sequence

from packets.base.alongside import alongside
from packets.base.progress import Progress, Step, silent
from packets.identifiers.kinds import KnownNumber
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement, Verdict
from packets.proving.records import Check, Examination, Examined
from packets.proving.small_proof import prove_small


def examine(
    order: Examination, progress: Progress = silent, *, check: Check = check_pdf
) -> Examined:
    """Check the packet, prove the check on a copy of a page of it, and check what is sent.

    Raises what the check raises where a file as a whole cannot be taken.
    """
    with alongside(lambda: prove_small(order.packet, order.passphrase, check=check)) as proving:
        verdict = _judged(order, order.packet, order.known, check, progress)
        if verdict.judgement is not Judgement.CLEAN:
            return Examined(verdict)
        progress(Step("proving the check"))
        proof = proving.result()
    if order.as_sent is None or not proof.holds:
        return Examined(verdict, proof)
    return Examined(
        verdict, proof, _judged(order, order.as_sent, order.known_as_sent, check, progress)
    )


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
