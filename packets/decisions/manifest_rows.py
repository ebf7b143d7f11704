"""The rows of a review, out of the manifest beside the packet."""

from dataclasses import dataclass

from packets.base.canonical import Json
from packets.base.geometry import Box
from packets.decisions.json_values import points, tables, whole, whole_numbers
from packets.decisions.packet_rows import (
    CheckRow,
    LeftOutPages,
    OpenLine,
    PartRow,
    ReaderRow,
    SourceRow,
)
from packets.decisions.records import Mark, Origin
from packets.decisions.words import mask_words, signature_words
from packets.handover.facts import REGION
from packets.sealing.manifest import LET_THROUGH


@dataclass(frozen=True)
class ManifestRows:
    """A manifest that was read and found whole; an empty one for a build that was held."""

    manifest: dict[str, Json]

    @property
    def pages(self) -> int:
        """Pages of the packet."""
        return whole(self.manifest.get("pages"))

    def sources(self) -> tuple[SourceRow, ...]:
        """Every file of documents/ with its pages."""
        return tuple(
            SourceRow(str(one.get("file")), whole(one.get("pages")))
            for one in tables(self.manifest.get("sources"))
        )

    def parts(self) -> tuple[PartRow, ...]:
        """The parts in order."""
        return tuple(
            PartRow(str(one.get("heading")), whole(one.get("first_page")), whole(one.get("pages")))
            for one in tables(self.manifest.get("parts"))
        )

    def origins(self) -> tuple[Origin | None, ...]:
        """For each packet page the source page that it was made from."""
        files = [source.file for source in self.sources()]
        found: list[Origin | None] = [None] * self.pages
        for run in tables(self.manifest.get("origins")):
            source, first = whole(run.get("source")), whole(run.get("first_page"))
            for step in range(whole(run.get("pages"))):
                if source < len(files) and 0 < first + step <= self.pages:
                    page = whole(run.get("from_page")) + step
                    found[first + step - 1] = Origin(files[source], page)
        return tuple(found)

    def marks(self) -> tuple[Mark, ...]:
        """Masks and signatures down the packet."""
        found = []
        for mask in tables(self.manifest.get("masks")):
            kind, shown = str(mask.get("kind")), str(mask.get("shown"))
            if kind == REGION:
                found.append(_mark("blanked", "a region taken out whole", mask))
            else:
                found.append(_mark("masked", mask_words(kind, shown), mask))
        for line in tables(self.manifest.get("signatures")):
            words = signature_words(str(line.get("role")), str(line.get("grant")))
            found.append(_mark("signed", words, line))
        for line in tables(self.manifest.get(LET_THROUGH)):
            words = f"no taxpayer number, left as it is: {line.get('why')}"
            found.append(_mark("let through", words, line))
        return tuple(sorted(found, key=lambda mark: (mark.page, mark.box.y0, mark.box.x0)))

    def left_out(self) -> tuple[LeftOutPages, ...]:
        """Pages that stay out, by file."""
        return tuple(
            LeftOutPages(
                str(source.get("file")), whole_numbers(out.get("pages")), str(out.get("why"))
            )
            for source in tables(self.manifest.get("sources"))
            for out in tables(source.get("left_out"))
        )

    def open_lines(self) -> tuple[OpenLine, ...]:
        """Lines that ask for a signature and have none."""
        files = [source.file for source in self.sources()]
        return tuple(
            OpenLine(
                str(one.get("role")),
                files[whole(one.get("source"))],
                whole(one.get("page")),
                str(one.get("why")),
            )
            for one in tables(self.manifest.get("open_lines"))
            if whole(one.get("source")) < len(files)
        )

    def check(self) -> CheckRow:
        """What the check read and found, and its proof."""
        check = self.manifest.get("check")
        if not isinstance(check, dict):
            return CheckRow("not asked")
        proof = check.get("proof")
        planted = tables(proof.get("planted")) if isinstance(proof, dict) else ()
        return CheckRow(
            str(check.get("verdict")),
            tuple(
                ReaderRow(
                    str(one.get("name")),
                    str(one.get("version")),
                    whole(one.get("pages")),
                    whole(one.get("findings")),
                )
                for one in tables(check.get("readers"))
            ),
            tuple((str(one.get("place")), one.get("found") is True) for one in planted),
        )


def _mark(what: str, words: str, line: dict[str, Json]) -> Mark:
    sides = 4
    place = points(line.get("place"))
    box = Box(*place) if len(place) == sides else Box(0, 0, 0, 0)
    return Mark(what, words, whole(line.get("page")), box)
