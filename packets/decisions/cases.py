"""All that a person needs to see before deciding about one packet, or about one held build."""

from collections.abc import Iterable, Mapping
from pathlib import Path

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import InputRefused, PacketsError, UsageError
from packets.base.files import file_sha256
from packets.decisions.changes import Present
from packets.decisions.client_rows import recipe_rows, sound_entries
from packets.decisions.correcting import CORRECTED
from packets.decisions.json_values import tables, whole, whole_numbers
from packets.decisions.manifest_rows import ManifestRows
from packets.decisions.packet_rows import CheckRow, DecisionRow, LeftOutPages, OpenLine, SourceRow
from packets.decisions.recipe_states import Build, last_builds
from packets.decisions.records import HoldReason, RecipeRow, ReviewCase, SealedBytes
from packets.decisions.words import changed_reason, hold_reason, note_reason
from packets.intake.engagement import ENGAGEMENT_FILE, EngagementFile, engagement_faults
from packets.intake.titles import known_categories
from packets.recipe.check_texts import filled_in
from packets.recipe.loader import load_bytes
from packets.recipe.shelf import find_recipe
from packets.recipe.text_file import read_small_file, shown_path
from packets.sealing import keys
from packets.sealing.ledger_chain import Entry
from packets.sealing.manifest import manifest_path, read_manifest
from packets.sealing.number_free import plain_text
from packets.sealing.waiting import REVIEWED
from packets.signatures.known_lines import known_places


def open_for_review(
    client: Path, recipe: str | None = None, office: Path | None = None
) -> ReviewCase:
    """The case of this recipe (a name, or the path of a file), or the most pressing one.

    Raises `UsageError` where nothing was built, `InputRefused` for a packet or ledger that
    is not there or not whole, `Damaged` for a manifest that was altered.
    """
    if not (client / ENGAGEMENT_FILE).is_file():
        raise UsageError(
            f"this is no client folder: it has no {ENGAGEMENT_FILE}",
            where=shown_path(client),
            remedy="Give the folder of a client; `packets new` lays one out.",
        )
    engagement = read_small_file(client / ENGAGEMENT_FILE)
    entries = sound_entries(client)
    row = _chosen(recipe_rows(client, entries, office), recipe)
    build = last_builds(entries)[row.recipe]
    facts = build.prepared.get((row.packet, row.sha256), build.facts)
    return _Case(client, office, entries, row, build, facts).opened(engagement)


def _chosen(rows: tuple[RecipeRow, ...], recipe: str | None) -> RecipeRow:
    """The row of the recipe that was named; the first one where none was."""
    for row in rows:
        if recipe is None or recipe in (row.recipe, row.given) or _same_file(recipe, row.given):
            return row
    raise UsageError(
        "nothing was built here by this recipe" if recipe else "nothing was built here",
        where=recipe or "",
        remedy="Build the packet first: `packets build` with this folder and the recipe.",
    )


def _same_file(recipe: str, given: str) -> bool:
    return bool(given) and str(Path(recipe).absolute()) == given


class _Case:
    """One case while it is put together."""

    def __init__(
        self,
        client: Path,
        office: Path | None,
        entries: tuple[Entry, ...],
        row: RecipeRow,
        build: Build,
        facts: dict[str, Json],
    ) -> None:
        self.client, self.row, self.build, self.facts = client, row, build, facts
        self.entries, self.present = entries, Present(client, office, entries)

    def opened(self, engagement: bytes) -> ReviewCase:
        head = load_bytes(engagement, ENGAGEMENT_FILE, EngagementFile, engagement_faults).engagement
        title, audience = self._title(head.tax_year)
        held = self.build.held
        changed = () if held else self.present.changes(self.facts, thorough=True)
        path = None if held else self._path()
        rows = ManifestRows(read_manifest(manifest_path(path)) if path else {})
        files = tuple(one.file for one in self._sources(rows))
        return ReviewCase(
            client=self.client,
            engagement_id=head.id,
            household=plain_text(head.household),
            tax_year=head.tax_year,
            recipe=self.row.recipe,
            given=self.row.given or self.row.recipe,
            title=title or self.row.recipe,
            audience=audience,
            state=self.row.state,
            engagement_sha256=sha256_hex(engagement),
            packet=self._sealed(path, rows) if path else None,
            manifest=rows.manifest or None,
            sources=self._sources(rows),
            parts=rows.parts(),
            origins=rows.origins(),
            marks=rows.marks(),
            left_out=_left_out(self.facts) if held else rows.left_out(),
            open_lines=_open_lines(self.facts) if held else rows.open_lines(),
            check=CheckRow("not asked") if held else rows.check(),
            holds=tuple(self._holds(changed, files)),
            stale=changed,
            decisions=tuple(self._decisions()),
        )

    def _title(self, tax_year: int) -> tuple[str, str]:
        """Title and audience by the recipe, where it is still there."""
        try:
            loaded = find_recipe(
                self.row.given or self.row.recipe, known_categories(), known_places()
            )
        except PacketsError:
            return "", ""
        return filled_in(loaded.recipe.title, tax_year), loaded.recipe.audience.value

    def _path(self) -> Path:
        folder = str(self.facts.get("folder", ""))
        path = self.client / folder / self.row.packet
        if not path.is_file():
            raise InputRefused(
                "the packet is not where the ledger says",
                where=self.row.packet,
                remedy="Put it back, or build it again.",
            )
        return path

    def _sealed(self, path: Path, rows: ManifestRows) -> SealedBytes:
        pdf = path.read_bytes()
        if sha256_hex(pdf) != self.row.sha256 or file_sha256(path) != self.row.sha256:
            raise InputRefused(
                "this is not the file that the ledger recorded",
                where=self.row.packet,
                remedy="Build the packet again.",
            )
        passphrase = keys.kept_for(path)
        return SealedBytes(path.name, path, self.row.sha256, rows.pages, pdf, passphrase)

    def _sources(self, rows: ManifestRows) -> tuple[SourceRow, ...]:
        if not self.build.held:
            return rows.sources()
        return tuple(
            SourceRow(str(one.get("file")), whole(one.get("pages")))
            for one in tables(self.facts.get("sources"))
        )

    def _holds(self, changed: tuple[str, ...], files: tuple[str, ...]) -> Iterable[HoldReason]:
        if self.build.held is not None:
            reasons = self.facts.get("reasons")
            station = str(self.facts.get("station"))
            for words in reasons if isinstance(reasons, list) else []:
                yield hold_reason(station, str(words), files)
        note = self.build.notes.get((self.row.packet, self.row.sha256))
        if note is not None:
            yield note_reason(str(note.facts.get("who")), str(note.facts.get("note")))
        for words in changed:
            yield changed_reason(words)

    def _decisions(self) -> Iterable[DecisionRow]:
        for entry in self.entries:
            facts = entry.facts
            who = str(facts.get("who"))
            if entry.event == REVIEWED and facts.get("recipe") == self.row.recipe:
                yield DecisionRow(
                    entry.at,
                    who,
                    str(facts.get("decision")),
                    str(facts.get("packet")),
                    str(facts.get("sha256")),
                    str(facts.get("note", "")),
                )
            elif entry.event == CORRECTED:
                what = facts.get("what")
                words = "; ".join(map(str, what)) if isinstance(what, list) else ""
                packet = str(facts.get("packet_sha256", ""))
                yield DecisionRow(entry.at, who, CORRECTED, "", packet, words)


def _left_out(facts: Mapping[str, Json]) -> tuple[LeftOutPages, ...]:
    return tuple(
        LeftOutPages(str(one.get("file")), whole_numbers(one.get("pages")), str(one.get("why")))
        for one in tables(facts.get("left_out"))
    )


def _open_lines(facts: Mapping[str, Json]) -> tuple[OpenLine, ...]:
    return tuple(
        OpenLine(
            str(one.get("role")),
            str(one.get("file")),
            whole(one.get("page")),
            str(one.get("why")),
        )
        for one in tables(facts.get("open_lines"))
    )
