"""The check of one file of any kind: a PDF by its four readers, anything else by its contents."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import PurePath

from packets.base.errors import InputRefused
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.progress import Progress, silent
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.outbound.carriers.archives import hides_zip
from packets.outbound.carriers.found import Budget
from packets.outbound.check import check_pdf, pdf_readings, verdict
from packets.outbound.contents import Contents
from packets.outbound.hunting import Hunter
from packets.outbound.picture_hunt import PictureHunter
from packets.outbound.recognition import Recogniser
from packets.outbound.records import Judgement, Reading, Verdict

KeyOf = Callable[[str], Secret | None]
"""The passphrase kept for a PDF of a name that lies in the same place."""


def no_key(name: str) -> Secret | None:  # noqa: ARG001 - one of several ways to find a key
    """Where no passphrases are kept."""
    return None


def check_file(
    data: bytes,
    *,
    name: str,
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    passphrase: Secret | None = None,
    key_of: KeyOf = no_key,
    thorough: bool = False,
    ours: bool = False,
    progress: Progress = silent,
    limits: Limits = DEFAULT_LIMITS,
    recogniser: Recogniser | None = None,
) -> Verdict:
    """Judge the bytes of one file; `name` stands in the verdict and tells what it promises to be.

    Never raises for what is in the file: what cannot be taken, and what a reader breaks
    down on, is held with the reason among what stayed unread. `passphrase` opens locked
    PDFs here and inside; without it `key_of` is asked by the PDF's name.
    """
    try:
        if not _is_pdf(name, data):
            return _contents(
                data, name, known, policy, passphrase, key_of, thorough, limits, recogniser
            )
        judged = check_pdf(
            data,
            name=name,
            passphrase=passphrase or key_of(PurePath(name).name),
            known=known,
            policy=policy,
            thorough=thorough,
            ours=ours,
            progress=progress,
            limits=limits,
            recogniser=recogniser,
        )
    except InputRefused as refused:
        return verdict(name, data, (), (refused.what,))
    except Exception as error:
        # Whatever it is: a reader that breaks down has not read the file.
        words = f"a reader broke down on this file ({type(error).__name__})"
        return verdict(name, data, (), (words,))
    if hides_zip(data):
        behind = (*judged.unread, "an archive lies behind the PDF")
        judged = replace(judged, judgement=Judgement.HELD, unread=behind)
    return judged


def _is_pdf(name: str, data: bytes) -> bool:
    return PurePath(name).suffix.lower() == ".pdf" or b"%PDF-" in data[:1024]


def _contents(
    data: bytes,
    name: str,
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    passphrase: Secret | None,
    key_of: KeyOf,
    thorough: bool,
    limits: Limits,
    recogniser: Recogniser | None,
) -> Verdict:
    hunter = Hunter(known, policy)

    def pdf_inside(inner: bytes, its_name: str) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
        key = passphrase or key_of(PurePath(its_name).name)
        return pdf_readings(inner, key, hunter, pictures, limits, thorough=thorough, budget=budget)

    budget = Budget()
    with PictureHunter(hunter, recogniser) as pictures:
        readings = Contents(hunter, pictures, limits, pdf_inside, budget).readings(name, data)
    return verdict(name, data, readings)
