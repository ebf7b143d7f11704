"""Prepare one message: everything is judged here, before anybody is asked or connected to."""

import datetime as dt
import re

from packets.base.canonical import Json
from packets.base.errors import OverLimit, UsageError
from packets.base.progress import Progress, silent
from packets.base.secret import Secret
from packets.identifiers.kinds import MaskPolicy
from packets.intake.office import KnownOffice, find_office
from packets.intake.titles import known_categories
from packets.mailing.addresses import one_address
from packets.mailing.client_side import ClientSide, client_side
from packets.mailing.looked_at import demand_looked_at
from packets.mailing.message import compose
from packets.mailing.message_check import check_message
from packets.mailing.page_weights import largest_pages, page_weights
from packets.mailing.questions import questions, recipients
from packets.mailing.records import MailOrder, Message, PreparedMail
from packets.mailing.sendings import earlier_sendings
from packets.mailing.to_go import Vouched, check_again, passphrase_of, vouched
from packets.mailing.wording import wording_of
from packets.recipe.model import Audience, Recipe
from packets.recipe.shelf import LoadedRecipe, find_recipe
from packets.signatures.known_lines import known_places

MEGABYTE = 1_000_000
"""Decimal, so that a limit that a service means in either way is kept."""
_NOT_IN_NAME = re.compile(r"[^A-Za-z0-9-]+")


def prepare_mail(order: MailOrder, progress: Progress = silent) -> PreparedMail:
    """The message for a released packet, with the questions that stand before its sending.

    Raises `Held` for a packet or message that may not go out, `InputRefused` and its kin
    for a packet or ledger that is missing, altered or too large for one message,
    `UsageError` for an address, recipe, office.toml or client folder that will not do.
    """
    client = client_side(order.client or order.packet.resolve().parent.parent)
    office = find_office(client.folder, order.office)
    packet = vouched(order.packet, client.folder)
    loaded = _recipe_of(order, packet.manifest)
    recipe = loaded.recipe
    released = packet.released
    asks = recipe.release.review
    demand_looked_at(packet.entries, released.packet.name, released.sha256, recipe_asks=asks)
    passphrase = passphrase_of(packet.released, client.folder, order.passphrase)
    if packet.newer_than_verdict:
        policy = _policy_of(loaded, packet.manifest)
        check_again(packet, passphrase, client.known, policy, progress)
    # A third party's packet has no address on file: the client's is not the default there.
    on_file = client.engagement.email if recipe.audience is Audience.CLIENT else ""
    to = recipients(order, on_file)
    part = _part_of(packet.manifest)
    message = _message(client, office, packet, recipe, to, part)
    _demand_fits(message, packet, passphrase, recipe)
    check_message(
        message, packet_sha256=packet.released.sha256, known=client.known, secret=passphrase
    )
    earlier = earlier_sendings(packet.entries, released.packet.name, released.sha256)
    return PreparedMail(
        client=client.folder,
        released=released,
        message=message,
        questions=tuple(questions(order, to, on_file, earlier)),
        earlier=earlier,
        checked_again=packet.newer_than_verdict,
        part=part,
    )


def _recipe_of(order: MailOrder, manifest: dict[str, Json]) -> LoadedRecipe:
    name, _ = _recipe_in(manifest)
    try:
        loaded = find_recipe(order.recipe or name, known_categories(), known_places())
    except UsageError as error:
        if order.recipe or error.where != "recipe":
            raise
    else:
        if loaded.recipe.name == name:
            return loaded
        raise UsageError(
            f"this recipe has not made this packet, which comes from {name}", where="--recipe"
        )
    raise UsageError(
        f"the recipe of this packet, {name}, is none of those that ship",
        where="recipe",
        remedy="Give the path of its file with --recipe; its [mail] says what the message says.",
    )


def _recipe_in(manifest: dict[str, Json]) -> tuple[str, str]:
    """Name and SHA-256 of the recipe that made the packet."""
    named = manifest["recipe"]
    return (
        (str(named.get("name")), str(named.get("sha256"))) if isinstance(named, dict) else ("", "")
    )


def _policy_of(loaded: LoadedRecipe, manifest: dict[str, Json]) -> MaskPolicy:
    """The recipe's own, if it is still the very file that made the packet; else the usual one."""
    same = loaded.sha256 == _recipe_in(manifest)[1]
    return loaded.recipe.mask.policy() if same else MaskPolicy()


def _part_of(manifest: dict[str, Json]) -> tuple[int, int] | None:
    listed = manifest.get("set")
    if not isinstance(listed, dict):
        return None
    number, packets = listed.get("number"), listed.get("packets")
    if not isinstance(number, int) or not isinstance(packets, list):
        return None
    return number, len(packets)


def _message(
    client: ClientSide,
    office: KnownOffice | None,
    packet: Vouched,
    recipe: Recipe,
    to: tuple[str, ...],
    part: tuple[int, int] | None,
) -> Message:
    if office is None or not office.office.sender:
        raise UsageError(
            "the office has no address to send from",
            where="office.toml, sender",
            remedy="Write it into office.toml (`packets new FOLDER --office` lays one out).",
        )
    engagement = client.engagement
    return compose(
        office=office.office.name,
        sender=one_address(office.office.sender, "office.toml, sender"),
        to=to,
        wording=wording_of(
            recipe.mail,
            tax_year=engagement.tax_year,
            household=engagement.household,
            office=office.office.name,
            part=f"{part[0]} of {part[1]}" if part else "",
        ),
        packet=packet.data,
        attachment=attachment_name(recipe.name, part),
        now=dt.datetime.now(dt.UTC),
    )


def attachment_name(recipe: str, part: tuple[int, int] | None) -> str:
    """ASCII, after the recipe: neither engagement nor person can be told from it."""
    suffix = f"-part-{part[0]}-of-{part[1]}" if part else ""
    return f"{_NOT_IN_NAME.sub('-', recipe).strip('-') or 'documents'}{suffix}.pdf"


def _demand_fits(
    message: Message, packet: Vouched, passphrase: Secret | None, recipe: Recipe
) -> None:
    limit = recipe.mail.max_message_mb * MEGABYTE
    if len(message.data) <= limit:
        return
    raise OverLimit(
        f"the message has {len(message.data):,} bytes, and the recipe allows {limit:,}"
        + too_large_because(packet.data, passphrase),
        where=packet.released.packet.name,
        remedy="Build it again with --for-mail: pictures are brought down, and where that is not "
        "enough the packet is split at part borders. Or raise max_message_mb in the recipe.",
    )


def too_large_because(pdf: bytes, passphrase: Secret | None) -> str:
    """`; the largest pages are page 4 (6.2 MB)…`, or nothing where it cannot be opened."""
    if passphrase is None:
        return ""
    largest = largest_pages(page_weights(pdf, passphrase))
    return f"; the largest are {largest}" if largest else ""
