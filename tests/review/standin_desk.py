"""A desk that judges nothing: real packets, built once, and decisions that are only noted."""

import json
from dataclasses import dataclass, field
from pathlib import Path

from packets.base.canonical import sha256_hex
from packets.base.errors import Held, UsageError
from packets.base.geometry import Box
from packets.base.secret import Secret
from packets.decisions.records import (
    CheckRow,
    ClientRow,
    DecisionRow,
    HoldReason,
    LeftOutPages,
    Mark,
    OpenLine,
    Origin,
    PartRow,
    ReaderRow,
    RecipeRow,
    ReviewCase,
    SealedBytes,
    State,
)
from packets.intake.client_folder import open_client_folder
from packets.intake.titles import known_categories
from packets.pipeline import plan
from packets.selection.records import PagePlan

WHEN = "2026-03-03T14:05:09Z"


@dataclass
class StandInDesk:
    """Client folders whose packet lies in outbound/ of each."""

    recipe: str = "client-copy"
    state: dict[str, State] = field(default_factory=dict)
    """By the name of the client folder; `to review` unless said."""
    stale: dict[str, tuple[str, ...]] = field(default_factory=dict)
    decided: list[tuple] = field(default_factory=list)
    holds: tuple[HoldReason, ...] = ()
    _plans: dict[Path, tuple] = field(default_factory=dict)

    def clients(self, root):
        found = sorted({path.parent for path in root.rglob("engagement.toml")})
        rows = [self._row(root, folder) for folder in found]
        order = list(State)
        return tuple(sorted(rows, key=lambda row: (order.index(row.state), row.name)))

    def _row(self, root, folder):
        facts = open_client_folder(folder).engagement.engagement
        packets = sorted((folder / "outbound").glob("*.pdf"))
        state = self._state(folder)
        recipes = ()
        if packets or state is State.HELD:
            digest = sha256_hex(packets[0].read_bytes()) if packets else ""
            name = packets[0].name if packets else ""
            recipes = (RecipeRow(self.recipe, self.recipe, state, name, digest, WHEN),)
        return ClientRow(
            folder=folder, name=folder.relative_to(root).as_posix(), engagement_id=facts.id,
            household=facts.household, tax_year=facts.tax_year, state=state,
            recipe=self.recipe if recipes else "", when=WHEN if recipes else "", note="",
            recipes=recipes,
        )  # fmt: skip

    def _state(self, folder):
        built = any((folder / "outbound").glob("*.pdf"))
        return self.state.get(folder.name, State.TO_REVIEW if built else State.NOTHING_BUILT)

    def case(self, client, recipe=None):
        state = self._state(client)
        if state is State.NOTHING_BUILT:
            raise UsageError("nothing was built")
        facts = open_client_folder(client).engagement.engagement
        inventory, chosen = self._plan(client)
        common = {
            "client": client, "engagement_id": facts.id, "household": facts.household,
            "tax_year": facts.tax_year, "recipe": self.recipe, "given": self.recipe,
            "title": f"Your {facts.tax_year} income tax return", "audience": "client",
            "state": state, "stale": self.stale.get(client.name, ()),
            "engagement_sha256": sha256_hex((client / "engagement.toml").read_bytes()),
            "left_out": tuple(
                LeftOutPages(inventory.documents[out.document].file, out.pages, out.why)
                for out in chosen.left_out
            ),
            "decisions": tuple(
                DecisionRow(WHEN, one[2], one[0], "", "", one[3] if len(one) > 3 else "")
                for one in self.decided
            ),
        }  # fmt: skip
        if state is State.HELD and self.holds:
            return ReviewCase(**common, packet=None, manifest=None, holds=self.holds)
        return ReviewCase(**common, **self._sealed(client, inventory, chosen))

    def _plan(self, client):
        if client not in self._plans:
            self._plans[client] = plan(client, self.recipe)
        return self._plans[client]

    def _sealed(self, client, inventory, chosen: PagePlan):
        path = next((client / "outbound").glob("*.pdf"))
        data = path.read_bytes()
        manifest = json.loads(path.with_suffix(".manifest.json").read_bytes())
        word = (client / "keys" / f"{path.name}.txt").read_text().splitlines()[0]
        origins: list[Origin | None] = [None] * manifest["pages"]
        for part, row in zip(chosen.parts, manifest["parts"], strict=True):
            pages = [page for document in part.documents for page in document.pages]
            first = row["first_page"] - 1 + row["pages"] - len(pages)
            for at, page in enumerate(pages, start=first):
                origins[at] = Origin(inventory.documents[page.document].file, page.number)
        return {
            "packet": SealedBytes(
                path.name, path, sha256_hex(data), manifest["pages"], data, Secret(word)
            ),
            "manifest": manifest,
            "origins": tuple(origins),
            "parts": tuple(
                PartRow(row["heading"], row["first_page"], row["pages"])
                for row in manifest["parts"]
            ),
            "marks": (
                *(
                    Mark("masked", f"{row['kind'].upper()}, shows {row['shown']}", row["page"],
                         Box(*row["place"]))
                    for row in manifest["masks"]
                ),
                *(
                    Mark("signed", f"{row['role']}, by grant {row['grant']}", row["page"],
                         Box(*row["place"]))
                    for row in manifest["signatures"]
                ),
            ),
            "open_lines": (OpenLine("preparer", "documents/2025-tax-return.pdf", 2, "no grant"),),
            "check": CheckRow(
                manifest["check"]["verdict"],
                tuple(
                    ReaderRow(row["name"], row["version"], row["pages"], row["findings"])
                    for row in manifest["check"]["readers"]
                ),
                tuple(
                    (row["place"], row["found"]) for row in manifest["check"]["proof"]["planted"]
                ),
            ),
        }  # fmt: skip

    def release(self, client, packet, sha256, who):
        self._demand(client, sha256)
        self.decided.append(("released", sha256, who))
        self.state[client.name] = State.RELEASED

    def hold(self, client, packet, sha256, who, note):
        self._demand(client, sha256)
        self.decided.append(("held", sha256, who, note))
        self.state[client.name] = State.HELD

    def _demand(self, client, sha256):
        if self.case(client).packet.sha256 != sha256:
            raise Held("this is not the packet that waits", remedy="Load the page again.")

    def correct(self, client, corrections, who, *, engagement_sha256, packet_sha256=""):
        path = client / "engagement.toml"
        if sha256_hex(path.read_bytes()) != engagement_sha256:
            raise Held("engagement.toml was changed since", remedy="Load the page again.")
        self.decided.append(("corrected", packet_sha256, who, repr(corrections)))
        path.write_text(path.read_text() + f"# {len(self.decided)}\n")
        self.stale[client.name] = ("engagement.toml was changed since the build",)
        return sha256_hex(path.read_bytes())

    def categories(self):
        return tuple(sorted(known_categories()))
