"""Overrides on the command line: read from its words, and how each rule is overridden there."""

from __future__ import annotations

from argparse import Namespace

from bench.process.overriding import Override
from bench.process.refusal import Refusal


def override_of(args: Namespace) -> Override | Refusal | None:
    """What was answered to the rules in the way; None where nothing was."""
    pairs: list[tuple[str, str]] = getattr(args, "override", [])
    supply, second = getattr(args, "air_supply", ""), getattr(args, "second", "")
    reasons = dict(pairs)
    if len(reasons) < len(pairs):
        twice = next(name for name in reasons if [rule for rule, _ in pairs].count(name) > 1)
        return Refusal(f"two reasons for {twice}", "", "give one reason for each rule")
    return Override(reasons, supply, second) if reasons or supply or second else None


def how_to_override(rule: Refusal) -> str:
    """The words that would override a rule; empty where nothing does."""
    if rule.override == "air supply":
        return f'{rule.name}: only with --air-supply "what feeds the mask" --second NAME'
    if rule.override == "reason":
        return f'to override it: --override {rule.name}="the reason"'
    return ""
