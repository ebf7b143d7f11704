"""What the cover sheet says to each audience, in plain words.

Taxpayer and account numbers shown to their last four digits follow 26 CFR
301.6109-4; the sentence on filing follows its paragraph (b)(2)(iii): a cut
number may not go to the tax agency.
"""

from dataclasses import dataclass

from packets.assembly.records import Binding


@dataclass(frozen=True)
class Note:
    """A short paragraph beside the contents."""

    heading: str
    text: str


_LOCKED = Note(
    "Opening this file",
    "The file is encrypted with AES-256. The passphrase comes to you by another route,"
    " never together with the file. Keep the two apart.",
)
_ADVICE = Note("Please note", "This sheet explains the file. It is not legal or tax advice.")


def _client(binding: Binding) -> tuple[Note, ...]:
    numbers = Note(
        "Numbers",
        "Taxpayer and account numbers show their last four digits only, for your safety."
        " The complete copy is at our office.",
    )
    return (
        Note(
            "Your copy",
            "A copy for your records. Do not file it and do not pay with it.",
        ),
        *((numbers,) if binding.masked else ()),
        *((_LOCKED,) if binding.encrypted else ()),
        Note(
            "Please compare",
            "Compare these pages with the original that you signed and with your own papers.",
        ),
        Note(
            "Keeping it",
            "Keep this copy with your tax records. Names, income and addresses in it"
            " are private; store it and share it with care.",
        ),
        Note(
            "Questions",
            "If a page is missing or looks wrong, please contact our office before you rely on it.",
        ),
        _ADVICE,
    )


def _third_party(binding: Binding) -> tuple[Note, ...]:
    numbers = Note(
        "Numbers",
        "Taxpayer and account numbers show their last four digits only."
        " The rest was removed on purpose and is not in this file.",
    )
    return (
        Note(
            "What you receive",
            "Copies of chosen pages, sent with the client’s signed consent. They are not for"
            " filing, and they are not the whole return.",
        ),
        Note(
            "Use",
            "For the purpose named in the consent only. Please do not pass them on.",
        ),
        *((numbers,) if binding.masked else ()),
        *((_LOCKED,) if binding.encrypted else ()),
        Note(
            "Please compare",
            "Compare these pages with the original, which the client can show you.",
        ),
        Note(
            "Keeping it",
            "Keep the file closed to others while you need it, and erase it afterwards.",
        ),
        Note(
            "Questions",
            "If a page is missing, or if this file is not meant for you, please contact"
            " our office at once.",
        ),
        _ADVICE,
    )


def _office(binding: Binding) -> tuple[Note, ...]:
    numbers = (
        Note("Numbers", "Taxpayer and account numbers show their last four digits only.")
        if binding.masked
        else Note(
            "Full numbers",
            "Taxpayer and account numbers stand in these pages in full."
            " This file does not leave the office.",
        )
    )
    locked = Note(
        "Opening this file",
        "The file is encrypted with AES-256. Its passphrase is kept apart from it.",
    )
    return (
        Note("Office copy", "The preparer’s own copy of what was finished. Not for filing."),
        numbers,
        *((locked,) if binding.encrypted else ()),
        Note(
            "Please compare",
            "Compare it with the filed original before you close the engagement.",
        ),
        Note("Keeping it", "Keep it for as long as the packet’s manifest says."),
        _ADVICE,
    )


def notes_for(binding: Binding) -> tuple[Note, ...]:
    """The notes for the binding's audience; an unknown audience reads the client's."""
    if binding.audience == "third-party":
        return _third_party(binding)
    if binding.audience == "office":
        return _office(binding)
    return _client(binding)
