"""Every rule that must hold before an image is placed, in the order in which they are asked."""

from packets.signatures import rules_of_binding, rules_of_means, rules_of_scope
from packets.signatures.grant import Grant
from packets.signatures.rule import Asked, Refusal, Rule

RULES: tuple[Rule, ...] = (*rules_of_scope.RULES, *rules_of_means.RULES, *rules_of_binding.RULES)


def refusal(grant: Grant, asked: Asked) -> Refusal | None:
    """The first rule that this grant breaks on this line, or None: then the image may stand."""
    for rule in RULES:
        words = rule.broken(grant, asked)
        if words:
            return Refusal(rule.name, rule.source, f"grant {grant.id} {words}")
    return None


def nobody(asked: Asked) -> Refusal:
    """The refusal where no grant of the line's signer is recorded at all."""
    rule = rules_of_scope.SIGNER
    return Refusal(rule.name, rule.source, f"no grant of the {asked.role.value} is recorded")
