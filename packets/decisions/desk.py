"""The desk at which a person decides: everything that a page or a command asks, in one place."""

from dataclasses import dataclass
from pathlib import Path

from packets.base.progress import Progress, silent
from packets.base.secret import Secret
from packets.decisions.cases import open_for_review
from packets.decisions.client_rows import clients_under
from packets.decisions.correcting import correct
from packets.decisions.deciding import hold_reviewed, release_reviewed
from packets.decisions.records import ClientRow, Correction, ReviewCase
from packets.intake.titles import known_categories
from packets.pipeline_records import BuildReport, BuildRequest
from packets.sealing.passphrase import from_file
from packets.sealing.records import Released


@dataclass(frozen=True)
class Desk:
    """Holds paths only; see `ReviewDesk` for what each function does and raises."""

    office: Path | None = None
    """An office.toml; None for the nearest one from each client folder upward."""
    key_password_file: Path | None = None
    """Its first line opens the office's key, where a passphrase protects it."""

    def clients(self, root: Path) -> tuple[ClientRow, ...]:
        return clients_under(root, self.office)

    def case(self, client: Path, recipe: str | None = None) -> ReviewCase:
        return open_for_review(client, recipe, self.office)

    def release(self, client: Path, packet: str, sha256: str, who: str) -> Released:
        key = self._key_passphrase()
        return release_reviewed(client, packet, sha256, who, office=self.office, key_passphrase=key)

    def hold(self, client: Path, packet: str, sha256: str, who: str, note: str) -> None:
        hold_reviewed(client, packet, sha256, who, note)

    def correct(
        self,
        client: Path,
        corrections: tuple[Correction, ...],
        who: str,
        *,
        engagement_sha256: str,
        packet_sha256: str = "",
    ) -> str:
        return correct(
            client,
            corrections,
            who,
            engagement_sha256=engagement_sha256,
            packet_sha256=packet_sha256,
        )

    def rebuild(self, client: Path, recipe: str, progress: Progress = silent) -> BuildReport:
        from packets.pipeline import build  # noqa: PLC0415 - a page that only shows needs no reader

        request = BuildRequest(
            client, recipe, office=self.office, key_passphrase=self._key_passphrase()
        )
        return build(request, progress)

    def categories(self) -> tuple[str, ...]:
        return tuple(sorted(known_categories()))

    def _key_passphrase(self) -> Secret | None:
        return from_file(self.key_password_file) if self.key_password_file else None
