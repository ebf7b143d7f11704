"""The packets of one build: one, or several numbered ones that each fit a message."""

from packets.base.canonical import Json
from packets.cli.plain_text import plain
from packets.pipeline_records import BuildReport
from packets.sealing.records import Released


def released_form(released: Released) -> dict[str, Json]:
    """One packet with what belongs to it."""
    return {
        # Named after the engagement, so they hold no number and stay usable as paths.
        "packet": str(released.packet),
        "manifest": str(released.manifest),
        "key_file": str(released.key_file) if released.key_file else None,
        "signature": str(released.signature) if released.signature else None,
        "notes": [plain(note) for note in released.notes],
        "sha256": released.sha256,
        "pages": released.pages,
    }


def packets_form(report: BuildReport) -> dict[str, Json]:
    """What came of the build.

    `released`, the first packet, and `packets`, all of them; where a person is to look
    first these are empty, and `to_review` lists them. `fitted`: what made each fit.
    """
    forms: list[Json] = [released_form(one) for one in report.packets]
    out = report.released if not report.waits else None
    return {
        "released": released_form(out) if out else None,
        "packets": forms if out else [],
        "to_review": forms if report.waits else [],
        "fitted": [plain(sentence) for sentence in report.fitted],
    }
