"""Rules that bind a grant to what was really signed: the file, or the figures on the form."""

from packets.signatures.authority import AUTHORIZATIONS, OWN_HAND, any_matches
from packets.signatures.grant import Figures, Grant
from packets.signatures.rule import Asked, FormFigures, Rule

INCOME_MAY_MOVE = 50
"""Dollars by which total income or adjusted gross income may move after signing (Pub. 1345)."""
TAX_MAY_MOVE = 14
"""Dollars for total tax, withholding, refund and amount owed (Pub. 1345)."""
INCOME = {"total_income": "total income", "agi": "adjusted gross income"}
TAX = {
    "total_tax": "total tax",
    "withholding": "withholding",
    "refund": "refund",
    "amount_owed": "amount owed",
}


def bound_to_form(grant: Grant, asked: Asked) -> bool:
    """Whether the rules on Forms 8879 and 8878 apply: a taxpayer's or spouse's line there."""
    return grant.role in OWN_HAND and any_matches(AUTHORIZATIONS, asked.category)


def _is_signed_file(grant: Grant, asked: Asked) -> bool:
    return bool(grant.document_sha256) and grant.document_sha256 == asked.document_sha256


def _unbound(grant: Grant, asked: Asked) -> str:
    if not bound_to_form(grant, asked) or grant.document_sha256 or grant.figures:
        return ""
    return (
        "is bound neither to the document that was signed nor to its figures: give it "
        "document_sha256 or [grant.figures]"
    )


def _other_file(grant: Grant, asked: Asked) -> str:
    if not grant.document_sha256 or _is_signed_file(grant, asked):
        return ""
    if bound_to_form(grant, asked) and grant.figures is not None:
        return ""  # the figures decide
    return "was given for another version of this file"


def _figures_moved(grant: Grant, asked: Asked) -> str:
    if not bound_to_form(grant, asked) or grant.figures is None or _is_signed_file(grant, asked):
        return ""
    shown = asked.figures()
    if shown is None or not (INCOME.keys() & shown.keys() & _given(grant.figures).keys()):
        return "is bound to figures, and those of this form cannot be read for certain"
    moved = moved_figures(grant.figures, shown)
    if not moved:
        return ""
    return f"was given for other figures ({'; '.join(moved)}): a new signature is needed"


def moved_figures(signed: Figures, shown: FormFigures) -> list[str]:
    """What moved by more than it may, in words with both limits, never with the amounts.

    A tax figure that the form does not show counts as moved; of the two incomes,
    those that both sides have are compared.
    """
    given = _given(signed)
    moved = [
        f"{words} moved by more than ${INCOME_MAY_MOVE}"
        for key, words in INCOME.items()
        if key in given and key in shown and abs(given[key] - shown[key]) > INCOME_MAY_MOVE
    ]
    for key, words in TAX.items():
        if key not in shown:
            moved.append(f"{words} is not on the form")
        elif abs(given[key] - shown[key]) > TAX_MAY_MOVE:
            moved.append(f"{words} moved by more than ${TAX_MAY_MOVE}")
    return moved


def _given(signed: Figures) -> dict[str, int]:
    return {key: amount for key, amount in signed.model_dump().items() if amount is not None}


RULES = (
    Rule("bound to what was signed", "Pub. 1345; IRM 10.10.1, integrity", _unbound),
    Rule("the very document", "Pub. 1345; IRM 10.10.1, integrity", _other_file),
    Rule("figures unchanged", "Pub. 1345, new signature when amounts change", _figures_moved),
)
