"""Client folders that are really built, by a recipe that asks for a review."""

import shutil
from pathlib import Path

from office_folders import small_client

from packets.pipeline import build
from packets.pipeline_records import BuildReport, BuildRequest
from packets.recipe.shelf import shipped_folder

REVIEW = "\n[release]\nreview = true\n"
OFFICE = '[office]\nname = "Sample Tax Office"\nsender = "office@firm.example"\n'


def review_recipe(folder: Path, base: str = "client-copy") -> Path:
    """A recipe of the house that asks for a review."""
    shipped = Path(str(shipped_folder("recipes") / f"{base}.toml"))
    path = folder / "looked-at.toml"
    path.write_text(shipped.read_text() + REVIEW)
    return path


def office_root(root: Path) -> Path:
    """`root` with office.toml, a recipe and one client folder, nothing built yet."""
    root.mkdir(parents=True, exist_ok=True)
    root.chmod(0o700)
    (root / "office.toml").write_text(OFFICE)
    review_recipe(root)
    small_client(root / "client")
    return root


def built(root: Path) -> BuildReport:
    """Build the client folder under `root` by the recipe beside it."""
    return build(BuildRequest(root / "client", str(root / "looked-at.toml")))


def copied(root: Path, target: Path) -> Path:
    """A copy of a root with all times; the recipe of its builds stays where it was."""
    shutil.copytree(root, target)
    return target / "client"
