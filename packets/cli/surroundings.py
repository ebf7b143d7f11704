"""What commands need from outside themselves, so that a test can hand in its own."""

from __future__ import annotations

import getpass
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from packets.base.progress import Progress, silent

if TYPE_CHECKING:
    from packets.base.secret import Secret
    from packets.intake.records import Inventory
    from packets.outbound.records import Verdict
    from packets.pipeline_records import BuildReport, BuildRequest, MaskReport
    from packets.selection.records import PagePlan


class Pipeline(Protocol):
    """The functions of `packets.pipeline` that commands call."""

    def build(self, request: BuildRequest, progress: Progress) -> BuildReport: ...

    def plan(self, client: Path, recipe: str, progress: Progress) -> tuple[Inventory, PagePlan]: ...

    def inventory(self, client: Path, progress: Progress) -> Inventory: ...

    def mask(
        self,
        source: Path,
        target: Path,
        identifiers: Path | None,
        password: Secret | None,
        progress: Progress,
    ) -> MaskReport: ...

    def check(
        self,
        paths: Sequence[Path],
        identifiers: Path | None,
        password: Secret | None,
        thorough: bool,
        progress: Progress,
    ) -> tuple[Verdict, ...]: ...


def real_pipeline() -> Pipeline:
    """The pipeline itself; importing it pulls in every PDF library, so not before it is needed."""
    from packets import pipeline  # noqa: PLC0415 - the help of a command must not load PDF code

    return pipeline


@dataclass(frozen=True)
class Surroundings:
    """The world around a command: the stations, the person at the keyboard, who hears progress."""

    pipeline: Callable[[], Pipeline] = real_pipeline
    ask: Callable[[str], str] = getpass.getpass
    """Asks for a passphrase without showing what is typed."""
    progress: Progress = silent
