"""Options that say how a signer's identity was checked."""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

import click
from pydantic import ValidationError

from packets.signatures.grant import Evidence

Decorated = TypeVar("Decorated", bound=Callable[..., Any])

_OPTIONS = (
    click.option(
        "--identity-check", default="", help="How identity was checked, in words, without numbers."
    ),
    click.option(
        "--photo-id-seen", is_flag=True, help="In person: a government photo ID was looked at."
    ),
    click.option(
        "--client-since",
        type=int,
        metavar="YEAR",
        help="In person: first year for which this office did the return and verified the client.",
    ),
    click.option(
        "--verification",
        type=click.Choice(["passed", "failed"]),
        default=None,
        help="Remote: result of the identity verification.",
    ),
    click.option(
        "--verification-level",
        type=click.IntRange(1, 4),
        help="Remote: its level by NIST SP 800-63.",
    ),
    click.option(
        "--attempts", type=click.IntRange(1, 99), help="Remote: identity quizzes that were taken."
    ),
    click.option("--ip-address", default="", help="Remote: address of the signer's computer."),
    click.option(
        "--login-name", default="", help="Remote: the name with which the signer logged in."
    ),
)


def evidence_options(function: Decorated) -> Decorated:
    """All options of this file."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def evidence_of(given: Mapping[str, Any]) -> Evidence:
    """The evidence as typed. Raises click.BadParameter for what cannot be so."""
    try:
        return Evidence(
            photo_id_seen=given["photo_id_seen"],
            client_since=given["client_since"],
            verification=given["verification"] or "",
            verification_level=given["verification_level"],
            attempts=given["attempts"],
            ip_address=given["ip_address"],
            login_name=given["login_name"],
        )
    except ValidationError as error:
        keys = [str(fault["loc"][0]).replace("_", "-") for fault in error.errors() if fault["loc"]]
    raise click.BadParameter(f"--{keys[0]}: this value cannot stand here")
