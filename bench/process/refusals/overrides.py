"""Overriding: every rule in the way has an answer of its own, or nothing is begun."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from bench.process.refusals.refusal import Refusal


@dataclass(frozen=True)
class Override:
    """Holds what a painter answers to the rules in the way.

    reasons: by the rule's name; air_supply and second: what the mask is fed from instead, and who
    looks after it. Those two answer every rule about breathing, and no reason does.
    """

    reasons: Mapping[str, str] = field(default_factory=dict)
    air_supply: str = ""
    second: str = ""

    def answers(self, rule: Refusal) -> bool:
        """Return whether it has an answer to a rule."""
        if rule.override == "air supply":
            return bool(self.air_supply and self.second)
        return rule.override == "reason" and rule.name in self.reasons

    def words(self, rule: Refusal) -> str:
        """Return a rule with its own answer, as the log and the job record keep it.

        >>> early = Refusal("too soon", "opens 09:00", "wait", "too-soon")
        >>> Override({"too-soon": "tested on the coupon"}).words(early)
        'too soon (opens 09:00): tested on the coupon'
        """
        if rule.override == "air supply":
            return f"{rule.against}: air supply {self.air_supply}, second person {self.second}"
        return f"{rule.against}: {self.reasons[rule.name]}"


def check_override(against: Sequence[Refusal], override: Override | None) -> Refusal | None:
    """Return why nothing is begun over the rules in the way; None where each has its answer.

    A rule that cannot be overridden comes first and alone. Without an override all of them are in
    the way; one without any answer lists them. An answer to a rule that is not in the way is
    refused too: things have changed since the rules were read.
    """
    never = next((rule for rule in against if rule.override == "never"), None)
    if never is not None:
        return never
    if override is None:
        return join_refusals(against)
    return _stray(against, override) or join_refusals(
        [rule for rule in against if not override.answers(rule)]
    )


def join_refusals(rules: Sequence[Refusal]) -> Refusal | None:
    """Return the first of some rules, with the others; None where there are none."""
    return replace(rules[0], also=tuple(rules[1:])) if rules else None


def _stray(against: Sequence[Refusal], override: Override) -> Refusal | None:
    """Refuse an answer to a rule that is not in the way."""
    if not against:
        return Refusal("no rule is in the way", "", "start it without an override")
    by_reason = [rule.name for rule in against if rule.override == "reason"]
    breathing = [rule for rule in against if rule.override == "air supply"]
    there = ", ".join(rule.name for rule in against)
    for name in override.reasons:
        if any(name == rule.name for rule in breathing):
            return join_refusals(breathing)
        if name not in by_reason:
            return Refusal(
                f"'{name[:40]}' is not in the way", f"in the way: {there}", "answer those"
            )
    if (override.air_supply or override.second) and not breathing:
        in_the_way = f"in the way: {there}"
        return Refusal("no rule about breathing is in the way", in_the_way, "name no air supply")
    return None
