"""What goes into the cup, as JSON and as lines of text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from bench.process.spoken import figure
from bench.trade import batch
from bench.trade.batch import Add, Choice, Rounded, ShareError
from bench.trade.mixing import Mix, Pour

_JUDGED = {"within": "within what is usual", "warn": "much", "stop": "too much: stop and ask"}


def parts_of(pours: Sequence[Pour | Add], *, grams_only: bool = False) -> list[dict[str, Any]]:
    """Each part: ml and fill line, grams and scale reading where they are known."""
    parts = []
    for pour in pours:
        part: dict[str, Any] = {
            "role": pour.role,
            "ml": None if grams_only else pour.ml,
            "fill_to_ml": None if grams_only else pour.fill_to_ml,
        }
        if pour.g is not None and pour.scale_to_g is not None:
            part |= {"g": pour.g, "scale_to_g": pour.scale_to_g}
        parts.append(part)
    return parts


def total_of(mix: Mix, *, grams_only: bool = False) -> dict[str, Any]:
    """The whole: ml, and grams where they are known."""
    total: dict[str, Any] = {"total_ml": None if grams_only else mix.total_ml}
    return total if mix.total_g is None else total | {"total_g": mix.total_g}


def pour_lines(pours: Sequence[Pour | Add], *, grams_only: bool = False) -> tuple[str, ...]:
    """Each part in the order of pouring, with the line or the scale reading to pour to."""
    lines = []
    for pour in pours:
        told = []
        if not grams_only:
            told.append(f"{figure(pour.ml):>6} ml  fill to {figure(pour.fill_to_ml):>5} ml")
        if pour.g is not None and pour.scale_to_g is not None:
            told.append(f"{pour.g:>7.1f} g  scale to {pour.scale_to_g:>7.1f} g")
        lines.append(f"{pour.role:<10}{'  or '.join(told)}")
    return tuple(lines)


def total_line(mix: Mix, *, grams_only: bool = False) -> str:
    """The whole in words."""
    told = [] if grams_only else [f"{figure(mix.total_ml):>6} ml"]
    if mix.total_g is not None:
        told.append(f"{mix.total_g:>7.1f} g")
    return f"{'total':<10}{' or '.join(told)}"


def candidates(
    choice: Choice, prices: Mapping[str, float] | None, *, no_more: bool = False
) -> tuple[dict[str, Any], tuple[str, ...]]:
    """The batches next below and above on the cup's lines. no_more: there is no paint for more."""
    above = None if no_more else choice.above
    data = {"below": _rounded(choice.below, prices), "above": _rounded(above, prices)}
    lines: list[str] = []
    for side, found in (("below", choice.below), ("above", above)):
        if found is not None:
            lines += _rounded_lines(side, found)
    return data, tuple(lines)


def errors_of(errors: Sequence[ShareError]) -> list[dict[str, Any]]:
    """How far each part is off."""
    return [
        {"role": error.role, "error_pct": error.error_pct, "judged": error.judged}
        for error in errors
    ]


def _rounded(found: Rounded | None, prices: Mapping[str, float] | None) -> dict[str, Any] | None:
    if found is None:
        return None
    waste_ml = max(found.over_ml, 0.0)
    data: dict[str, Any] = {
        "parts": parts_of(found.mix.pours),
        **total_of(found.mix),
        "waste_ml": waste_ml,
        "short_ml": max(-found.over_ml, 0.0),
        "errors": errors_of(found.errors),
    }
    if prices is not None:
        data["waste_cost"] = batch.cost_of_waste(found.mix, waste_ml, prices)
    return data


def _rounded_lines(side: str, found: Rounded) -> list[str]:
    over = figure(abs(found.over_ml))
    off = "as needed" if over == "0" else f"{over} ml {'over' if found.over_ml > 0 else 'short'}"
    lines = [f"on the cup's lines, {side}: {figure(found.mix.total_ml)} ml, {off}"]
    lines += [f"  {line}" for line in pour_lines(found.mix.pours)]
    lines += [
        f"  {error.role} {error.error_pct:+.1f} % off the ratio: {_JUDGED[error.judged]}"
        for error in found.errors
        if abs(error.error_pct) >= 0.05
    ]
    return lines
