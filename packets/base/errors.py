"""One tree of errors; each knows its exit status and what to do next.

A message never holds a taxpayer number or a passphrase: whoever raises one of
these names the place and the kind, never the value. The exit statuses are the
contract of the command line:

====  ==========================================================
0     done and clean
1     held: a number would go out, or a check failed
2     the command, recipe or engagement file is wrong
3     an input is refused (damaged, locked, over a limit)
4     delivery failed
70    our own fault
====  ==========================================================
"""

import errno
from dataclasses import dataclass
from enum import IntEnum
from typing import ClassVar, Self

NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT})
"""Error numbers of a disk that is full, or full for this account."""


class ExitStatus(IntEnum):
    """Exit statuses shared by all commands."""

    CLEAN = 0
    HELD = 1
    USAGE = 2
    REFUSED = 3
    DELIVERY = 4
    FAULT = 70


class PacketsError(Exception):
    """Base of every error that `packets` raises on purpose.

    `where` names the file, page or key; `remedy` is one sentence that tells a
    preparer what to do next.
    """

    exit_code: ClassVar[ExitStatus] = ExitStatus.FAULT
    default_remedy: ClassVar[str] = "Please report this with the command you ran; nothing was sent."

    def __init__(self, what: str, *, where: str = "", remedy: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.remedy = remedy or self.default_remedy

    def __str__(self) -> str:
        return f"{self.where}: {self.what}" if self.where else self.what


class Held(PacketsError):
    """The packet stays here: a number would go out, or something could not be read."""

    exit_code = ExitStatus.HELD
    default_remedy = "Nothing was released. Look at the places named above and build again."


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong in a file that a person wrote."""

    where: str
    """Place in the file: line number where known, and the dotted key."""
    what: str
    allowed: str = ""
    nearest: str = ""
    """The nearest right word, or empty."""

    def __str__(self) -> str:
        text = f"{self.where}: {self.what}"
        if self.allowed:
            text += f"; allowed: {self.allowed}"
        if self.nearest:
            text += f"; did you mean {self.nearest!r}?"
        return text


class UsageError(PacketsError):
    """The command, recipe or engagement file is wrong."""

    exit_code = ExitStatus.USAGE
    default_remedy = "Correct the command or the file named above and run it again."


class FileFaults(UsageError):
    """A recipe, engagement, identifiers or grants file with all its faults at once."""

    def __init__(self, file: str, faults: tuple[Fault, ...]) -> None:
        count = len(faults)
        super().__init__(
            f"{count} fault{'s' if count != 1 else ''} in this file\n"
            + "\n".join(f"  {fault}" for fault in faults),
            where=file,
            remedy="Correct every line named above; nothing was built.",
        )
        self.file = file
        self.faults = faults

    def __reduce__(self) -> tuple[type[Self], tuple[str, tuple[Fault, ...]]]:
        """Travels between processes as what it was made from."""
        return type(self), (self.file, self.faults)


class InputRefused(PacketsError):
    """An input cannot be taken as it is."""

    exit_code = ExitStatus.REFUSED
    default_remedy = "Replace or leave out this file and build again."


class Damaged(InputRefused):
    """The file is broken, empty or not what its name says."""

    default_remedy = "Open the file in a viewer; scan or export it again if it does not open."


class Locked(InputRefused):
    """The file asks for a password that was not given."""

    default_remedy = "Give its password with --password-file, or save an unlocked copy."


class OverLimit(InputRefused):
    """The file is larger, deeper or longer than we promise to handle safely."""

    default_remedy = "Make the file smaller (fewer pages, lower resolution) and build again."


class DeliveryFailed(PacketsError):
    """The packet could not be handed to the mail server."""

    exit_code = ExitStatus.DELIVERY
    default_remedy = "The packet is unchanged; try again, or save the message with --save."


class OurFault(PacketsError):
    """A promise inside the program did not hold."""
