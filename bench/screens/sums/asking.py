"""The two questions that all others are made of: pick one of these, and type a number."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from typing import Any, TypeVar

from bench.screens.ask import Asked
from bench.screens.sums.known import Fact
from bench.sums.model import Input

T = TypeVar("T")

Asking = Generator[Asked, float | None, T]
"""Some questions, and what is made of their answers."""

USUAL = "usual"
"""Where a value comes from that no sheet and no reading gives: common practice, no source."""


def pick(what: str, choices: Sequence[str], start: int = 0) -> Asking[int]:
    """One of these: its place in the list. start: the place that Enter takes."""
    answer = yield Asked(what, start=start + 1.0, choices=tuple(choices))
    assert answer is not None, "a choice always has one that Enter takes"
    return int(answer) - 1


def number(each: Input, fact: Fact | None = None, *_: Any, must: bool | None = None) -> Asking[Any]:
    """A number within its range, or None where it may be left out."""
    start = fact.value if fact else each.usual if each.usual is not None else each.offered
    source = fact.source if fact else "" if start in (None, 0) else USUAL
    optional = each.optional if must is None else not must
    answer = yield Asked(
        each.label, each.unit, start, not optional, source,
        each.example if isinstance(each.example, int | float) else None,
        whole=each.kind == "whole", empty=each.empty,
    )  # fmt: skip
    if answer is None:
        return None
    each.check(answer)
    return int(answer) if each.kind == "whole" else answer
