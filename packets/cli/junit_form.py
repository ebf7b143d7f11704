"""A check as a JUnit report: one test case for each file."""

from xml.etree.ElementTree import Element, SubElement, tostring

from packets.cli.plain_text import plain
from packets.cli.verdict_sheet import sighting_cells
from packets.outbound.records import Verdict


def junit_xml(verdicts: tuple[Verdict, ...]) -> bytes:
    """`failure` for numbers that were seen, `error` for what stayed unread; both hold the file."""
    failures = sum(bool(verdict.sightings) for verdict in verdicts)
    errors = sum(bool(verdict.unread) for verdict in verdicts)
    counts = {
        "tests": str(len(verdicts) or 1),
        "failures": str(failures),
        "errors": str(errors + (not verdicts)),
    }
    root = Element("testsuites", counts)
    suite = SubElement(root, "testsuite", {"name": "packets check", **counts})
    for verdict in verdicts:
        case = SubElement(
            suite, "testcase", {"classname": "packets.check", "name": _line(verdict.file)}
        )
        if verdict.sightings:
            told = [", ".join(sighting_cells(seen)) for seen in verdict.sightings]
            _add(case, "failure", "full number", told)
        if verdict.unread:
            _add(case, "error", "not readable", list(verdict.unread))
    if not verdicts:
        case = SubElement(suite, "testcase", {"classname": "packets.check", "name": "nothing"})
        _add(case, "error", "not readable", ["nothing to check here"])
    written: bytes = tostring(root, encoding="utf-8", xml_declaration=True)
    return written + b"\n"


def _add(case: Element, tag: str, kind: str, told: list[str]) -> None:
    lines = [_line(words) for words in told]
    SubElement(case, tag, {"type": kind, "message": lines[0]}).text = "\n".join(lines)


def _line(words: str) -> str:
    """Words as XML 1.0 can hold them, on one line, without numbers."""
    return plain(words).replace("\n", "?")
