"""What would be typed on a keypad for the values of an example, question by question."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.sums.input_questions import usual
from bench.sums.checked_ratio import Blend
from bench.sums.model import Calculation, Input, OneOf, Quantity, Values
from bench.trade import mixing
from bench.trade.sections import SectionPiece

ANOTHER_TIN = ("another tin", "any coat: 3 C over dew, 85 %")
ROLES = ("hardener", "activator")


def answer_to(asked: NumberQuestion, calculation: Calculation, values: Values) -> float | None:
    """The answer that leads to these values; what Enter takes where they say nothing of it."""
    if asked.choices and asked.choices[-1] in ANOTHER_TIN:
        return float(len(asked.choices))
    for entry in calculation.inputs:
        if isinstance(entry, OneOf) and asked.what == entry.label and asked.choices:
            return _way(entry, asked, values)
    for each in calculation.each_input():
        for what, answer in _answers(each, values).items():
            if what == asked.what:
                return answer
    return usual(asked) if asked.must else None


def _way(one_of: OneOf, asked: NumberQuestion, values: Values) -> float:
    ways = {
        label
        for label, way in one_of.ways.items()
        if any(values[each.name] not in (None, each.usual) for each in way)
    }
    return 1.0 + next(n for n, label in enumerate(asked.choices) if label in ways)


def _answers(each: Input, values: Values) -> Mapping[str, Any]:
    """Every question about an input, and its answer."""
    value = values[each.name]
    if value is None:
        return {}
    if each.kind == "ratio":
        return _of_ratio(value)
    if each.kind == "choice":
        keys = list(each.choices)
        place = next(n for n, key in enumerate(keys) if each.chosen(key) == value)
        return {each.label: 1.0 + place}
    if each.kind == "moment":
        return {each.label: 0.0}
    if each.kind == "flag":
        return {each.label: 1.0 + value}
    if each.kind in ("piece", "section"):
        assert isinstance(value, SectionPiece)
        sizes = dict(zip(("width", "height", "wall"), value.sizes, strict=True))
        return {"piece": 2.0, "formed": 1.0 + (value.formed == "hot"), **sizes}
    if each.kind == "amount":
        units = [one.unit for one in each.of]
        of = each.of[units.index(value.unit)]
        return {each.label: value.size if of.label == "amount" else 1.0 + units.index(value.unit),
                of.label: value.size}  # fmt: skip
    if each.kind == "by part":
        return _by_part(each, values)
    if each.kind in ("numbers", "pairs", "table"):
        return _listed(each, value)
    return {each.label: value}


def _listed(each: Input, value: Any) -> dict[str, float]:
    if each.kind == "numbers":
        return {f"{each.of[0].label} {n}": one for n, one in enumerate(value, start=1)}
    scale = 1 / 3600 if each.kind == "table" else 1
    left, right = each.of
    return {
        f"{of.label} {n}": number
        for n, (one, other) in enumerate(value, start=1)
        for of, number in ((left, one), (right, other * scale))
    }


def _by_part(each: Input, values: Values) -> dict[str, float]:
    blend: Blend = values["ratio"]
    sizes: Mapping[str, Quantity] = blend.by_name(values[each.name], "amounts")
    return {
        f"{each.label}: {role}": sizes[role].size if role in sizes else 0.0 for role in blend.roles
    }


def _of_ratio(blend: Blend) -> dict[str, float]:
    """4:1:1 by a keypad: thinner as percent of base and hardener."""
    shares = {share.role: share.parts for share in blend.ratio.shares}
    other = next(n for n, role in enumerate(ROLES) if role in shares)
    return {
        "parts of base": shares["base"],
        "the other part": 1.0 + other,
        f"parts of {ROLES[other]}": shares[ROLES[other]],
        "the ratio is by": 1.0,
        "thinner": mixing.thinner_of_mixed_pct(blend.ratio, blend.densities),
        "percent of": 2.0,
    }
