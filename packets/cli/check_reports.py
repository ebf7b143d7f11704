"""Reports of a check for other programs and for the file: JUnit, SARIF, the certificate."""

import json
from pathlib import Path

from packets.base.files import write_durably
from packets.cli.junit_form import junit_xml
from packets.cli.sarif_form import sarif_log
from packets.cli.surroundings import Surroundings
from packets.handover.check_request import CheckReport, CheckRequest


def written_reports(
    surroundings: Surroundings,
    request: CheckRequest,
    report: CheckReport,
    junit: Path | None,
    sarif: Path | None,
    certificate: Path | None,
) -> tuple[tuple[str, Path], ...]:
    """Write the reports that were asked for, each whole or not at all. Raises OSError."""
    written: list[tuple[str, Path]] = []
    if junit is not None:
        write_durably(junit, junit_xml(report.verdicts))
        written.append(("JUnit", junit))
    if sarif is not None:
        text = json.dumps(sarif_log(report.verdicts), indent=1, ensure_ascii=True)
        write_durably(sarif, text.encode("ascii") + b"\n")
        written.append(("SARIF", sarif))
    if certificate is not None:
        surroundings.checking().certify(report, request, certificate)
        written.append(("Certificate", certificate))
    return tuple(written)
