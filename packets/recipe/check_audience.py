"""Settings that go against the audience: what must be masked, locked or left alone."""

from collections.abc import Iterator

from packets.recipe.draft import TomlTable, draft_parts, table_in, texts_in
from packets.recipe.key_faults import KeyFault
from packets.recipe.model import Audience

_ALWAYS_MASKED = ("ssn", "itin", "atin")
"""Personal taxpayer numbers (26 CFR 301.6109-4(a)); an EIN may be the holder's own."""


def check_audience(recipe: TomlTable) -> Iterator[KeyFault]:
    """Faults between `audience` and the tables below it. An unknown audience has none."""
    match recipe.get("audience"):
        case Audience.CLIENT.value:
            yield from _must_mask(recipe)
        case Audience.THIRD_PARTY.value:
            yield from _must_mask(recipe)
            yield from _must_name_pages(recipe)
        case Audience.OFFICE.value:
            yield from _must_be_silent(recipe, "mask", "the office copy keeps full numbers")
            yield from _must_be_silent(recipe, "mail", "the office copy never leaves the office")
            yield from _must_be_silent(
                recipe, "release", "the office copy never leaves the office, so nobody releases it"
            )
        case Audience.AGENCY.value:
            yield from _must_be_as_filed(recipe)


def _must_mask(recipe: TomlTable) -> Iterator[KeyFault]:
    rules = table_in(recipe, "mask")
    if isinstance(rules.get("kinds"), list):
        given = {placed.text for placed in texts_in(rules, "kinds")}
        missing = [kind for kind in _ALWAYS_MASKED if kind not in given]
        if missing:
            yield KeyFault(
                ("mask", "kinds"),
                f"for this audience {', '.join(missing)} must be in the list",
                "any kinds, with " + ", ".join(_ALWAYS_MASKED) + " always among them",
            )
    for placed in texts_in(rules, "keep", ("mask",)):
        if placed.text in _ALWAYS_MASKED:
            yield KeyFault(placed.at, "for this audience this kind is always masked")


def _must_name_pages(recipe: TomlTable) -> Iterator[KeyFault]:
    """A consent to disclose names what is disclosed (26 CFR 301.7216-3(a)); so does the recipe."""
    for part in draft_parts(recipe):
        for take in part.take:
            if not take.text.strip("*"):
                yield KeyFault(
                    take.at, "a third party gets only pages that are named, never all of them"
                )


def _must_be_silent(recipe: TomlTable, table: str, why: str) -> Iterator[KeyFault]:
    if table in recipe:
        yield KeyFault((table,), f"{why}: leave this table out")


def _must_be_as_filed(recipe: TomlTable) -> Iterator[KeyFault]:
    """Attachments to an e-filed return: no password, no encryption, and nothing of our own."""
    yield from _must_be_silent(recipe, "mask", "the agency needs full numbers")
    yield from _must_be_silent(recipe, "seal", "the agency takes no password and no encryption")
    yield from _must_be_silent(recipe, "stamp", "what is filed gets no stamp")
    yield from _must_be_silent(recipe, "mail", "attachments are filed, not mailed")
    yield from _must_be_silent(
        recipe, "release", "what is filed carries full numbers and is shown on no screen"
    )
    if "cover" in recipe:
        sheets = table_in(recipe, "cover")
        if sheets.get("signing_record") is True or any(
            sheets.get(key) is not False for key in ("sheet", "dividers")
        ):
            yield KeyFault(
                ("cover",),
                "what is filed gets no cover and no dividers: leave this table out",
                "sheet = false and dividers = false",
            )
