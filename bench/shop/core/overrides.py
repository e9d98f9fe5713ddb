"""Overrides as an action takes them: names spelled, reasons fit to be kept, signed."""

from __future__ import annotations

from collections.abc import Sequence

from bench.process.refusals.overrides import Override, check_override
from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name
from bench.shop.core.transaction import Transaction


def overrides_of(
    act: Transaction, against: Sequence[Refusal], override: Override | None, painters: Sequence[str]
) -> tuple[str, ...] | Refusal:
    """Give every rule in the way with its own reason, for the log and the job record.

    Empty where none is in the way. painters: who would do it; the second person is none of them.
    A refusal where a rule has no answer, an answer no rule, or who has a PIN did not sign.
    """
    no = check_override(against, override)
    if no is not None:
        return no
    if override is None:
        return ()
    clean = _clean(act, override, painters)
    if isinstance(clean, Refusal):
        return clean
    return act.signed() or tuple(clean.words(rule) for rule in against)


def with_overrides(text: str, overridden_rules: Sequence[str]) -> str:
    """Write a log entry with every rule that was overridden and its own answer."""
    return "; ".join([text, *(f"override: {words}" for words in overridden_rules)])


def _clean(act: Transaction, override: Override, painters: Sequence[str]) -> Override | Refusal:
    reasons: dict[str, str] = {}
    for name, typed in override.reasons.items():
        reason = clean_name(typed, f"the reason for {name}")
        if isinstance(reason, Refusal):
            return reason
        reasons[name] = reason
    if not override.air_supply:
        return Override(reasons)
    supply = clean_name(override.air_supply, "the other air supply")
    if isinstance(supply, Refusal):
        return supply
    second = _second(act, override.second, painters)
    return second if isinstance(second, Refusal) else Override(reasons, supply, second)


def _second(act: Transaction, name: str, painters: Sequence[str]) -> str | Refusal:
    """Who looks after the air supply: a painter of the shop, and none of those who breathe it."""
    second = act.painter(name)
    if isinstance(second, str) and second in painters:
        remedy = "name another painter, who stays with the air supply"
        return Refusal(f"{second} cannot be the second person", f"{second} does the work", remedy)
    return second
