"""Mixing: how much of each part, the cup's lines, the smallest batch, a pour too many, cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from bench.process.sheets.washes import BUCKET_L, WATER_FIRST
from bench.sums.checked_ratio import Blend
from bench.sums.input_reading import ByPart
from bench.sums.inputs import CUP, CUP_STEP, LEFT, MARK, NEED, POURED, PRICES, RATIO
from bench.sums.model import (
    Calculation,
    Example,
    Input,
    InputNamespace,
    OneOf,
    Quantity,
    Result,
    SumAnswer,
    UsageFault,
    Values,
)
from bench.trade import batch, mixing
from bench.trade.batch import Judged, RoundedMix
from bench.trade.mixing import MOST_MIX_ML, Mix, Pour

GROUP = "mixing"
FOUR = "4:1:1 --roles base,hardener,thinner"

_JUDGED: dict[Judged, str] = {
    "within": "within what is usual",
    "warn": "much",
    "stop": "too much: stop and ask",
}
_STARTS = {"needed": (NEED,), "left": (LEFT,), "poured": (POURED,), "a line": (MARK,)}
_IN_THE_CUP = (
    Result("ml", "", "ml"),
    Result("fill_to_ml", "fill to", "ml"),
    Result("g", "", "g"),
    Result("scale_to_g", "scale to", "g"),
)
_TOTALS = (Result("total_ml", "in all", "ml"), Result("total_g", "in all, by weight", "g"))
_WORDS = Result("words", "ratio", kind="text")


def _mix_of(inputs: InputNamespace) -> Mix:
    """Return the mix of whatever is known; in grams where there are only grams."""
    ratio: Blend = inputs.ratio
    densities = ratio.densities_or_one
    if inputs.left is not None:
        return mixing.from_left(ratio.ratio, ratio.parts_ml(inputs.left), densities)
    poured, mark, cup = (vars(inputs).get(name) for name in ("poured", "mark", "cup"))
    if poured is not None:
        if not isinstance(poured, Mapping) or len(poured) != 1:
            raise UsageFault(
                "--poured: read no name of a part, or several; wanted the one part that is in "
                "the cup, as base=420ml"
            )
        ((role, ml),) = ratio.parts_ml(poured).items()
        return mixing.from_poured(ratio.ratio, role, ml, densities)
    if mark is not None:
        ratio.part_ml("base", Quantity(mark, "ml"))
        return mixing.from_cup_mark(ratio.ratio, mark, cup or MOST_MIX_ML, densities)
    return mixing.for_total(ratio.ratio, ratio.whole_ml(inputs.need), densities)


def _parts(pours: Sequence[Pour], *, grams_only: bool = False) -> list[dict[str, Any]]:
    """Return each part: ml and fill line, grams and scale reading where they are known."""
    rows = []
    for pour in pours:
        row = {name: size for name, size in vars(pour).items() if size is not None}
        if grams_only:
            row |= {"ml": None, "fill_to_ml": None}
        rows.append(row)
    return rows


def _totals(mix: Mix, *, grams_only: bool = False) -> dict[str, Any]:
    total = {"total_ml": None if grams_only else mix.total_ml}
    return total if mix.total_g is None else total | {"total_g": mix.total_g}


def _mix(inputs: InputNamespace) -> SumAnswer:
    ratio, cup, only = inputs.ratio, inputs.cup, inputs.ratio.grams_only
    mix = _mix_of(inputs)
    values: dict[str, Any] = {"words": ratio.words, "parts": _parts(mix.pours, grams_only=only)}
    values |= _totals(mix, grams_only=only)
    if cup is not None:
        if only:
            ratio.need_densities()  # a cup goes by volume
        values["cups"] = batch.cups_for(mix.total_ml, cup)
    by_weight = ratio.ratio.by == "weight"
    why = ("by weight: pour it on a scale, not by the lines of a cup",) if by_weight else ()
    return SumAnswer(values, why=why)


def _lines(inputs: InputNamespace) -> SumAnswer:
    ratio, need_ml = inputs.ratio, _mix_of(inputs).total_ml
    choice = batch.round_to_cup(ratio.ratio, need_ml, inputs.cup_step, ratio.densities)
    above = None if inputs.left is not None else choice.above  # there is no paint for more
    alone = ("there is no batch below on these lines",) if choice.below is None else ()
    values = {"above": _on_lines(above, inputs), "below": _on_lines(choice.below, inputs)}
    return SumAnswer(values, why=alone)


def _on_lines(rounded: RoundedMix | None, inputs: InputNamespace) -> Values | None:
    if rounded is None:
        return None
    over_ml = round(rounded.over_ml, 6)
    parts, errors = _parts(rounded.mix.pours), {each.role: each for each in rounded.errors}
    for part in parts:
        error = errors.get(part["role"])
        if error is not None and abs(error.error_pct) >= 0.05:
            part["off"] = f"{error.error_pct:+.1f} % off the ratio: {_JUDGED[error.judged]}"
    values: dict[str, Any] = {
        **_totals(rounded.mix),
        "over_ml": over_ml if over_ml > 0 else None,
        "less_ml": -over_ml if over_ml < 0 else None,
        "parts": parts,
        "waste_ml": max(over_ml, 0.0),
        "short_ml": max(-over_ml, 0.0),
        "errors": [vars(each) for each in rounded.errors],
    }
    if inputs.prices is not None:
        money = _money(inputs.ratio, inputs.prices)
        values["waste_cost"] = batch.cost_of_waste(rounded.mix, values["waste_ml"], money)
    return values


def _batch_on_lines(side: str) -> Result:
    return Result(
        side,
        side,
        kind="group",
        each=(
            Result("total_ml", f"{side}, in all", "ml", big=True),
            Result("over_ml", f"{side}: too much by", "ml"),
            Result("less_ml", f"{side}: short by", "ml"),
            Result(
                "parts",
                f"{side}: {{role}}",
                kind="list",
                each=(*_IN_THE_CUP, Result("off", "", kind="text")),
            ),
            Result("waste_ml"),
            Result("short_ml"),
            Result("errors", each=(Result("role"), Result("error_pct"), Result("judged"))),
            Result("waste_cost", f"{side}: wasted of the cost", decimals=2),
        ),
    )


def _smallest(inputs: InputNamespace) -> SumAnswer | Values:
    ratio, step, unit = inputs.ratio, inputs.step.size, inputs.step.unit
    smallest_ml = batch.smallest_mix_ml(ratio.ratio, step, unit, ratio.densities, inputs.tolerance)
    values: dict[str, Any] = {"words": ratio.words, "smallest_ml": smallest_ml}
    if inputs.need is None:
        return values
    need_ml = ratio.whole_ml(inputs.need)
    mix = mixing.for_total(ratio.ratio, need_ml, ratio.densities)
    sizes = {pour.role: pour.ml if unit == "ml" else pour.g for pour in mix.pours}
    values["reading_errors"] = [
        {"role": role, unit: size, "error_pct": batch.reading_error_pct(size, step)}
        for role, size in sizes.items()
        if size
    ]
    less = need_ml < smallest_ml
    why = "less than can be measured: take a finer measure, or mix more"
    return SumAnswer(values, why=(why,) if less else ())


def _over_poured(inputs: InputNamespace) -> SumAnswer:
    ratio, cup, only = inputs.ratio, inputs.cup, inputs.ratio.grams_only
    if only and cup is not None:
        ratio.need_densities()  # a cup goes by volume
    again = batch.recover(
        ratio.ratio, ratio.parts_ml(inputs.over), cup or MOST_MIX_ML, ratio.densities_or_one
    )
    values = {
        "words": ratio.words,
        "adds": _parts(again.adds, grams_only=only),
        "total_g" if only else "total_ml": again.total_ml,
        "fits": None if cup is None else again.fits,
        "over_cup_ml": None if cup is None else again.over_cup_ml,
    }
    if cup is not None and not again.fits:
        small = f"the cup of {cup:g} ml is too small: take a bigger one before adding anything"
        return SumAnswer(values, "THE CUP IS TOO SMALL", good=False, why=(small,))
    right = () if again.adds else ("nothing to add: the ratio is right as it is",)
    return SumAnswer(values, why=right)


def _make_ready(inputs: InputNamespace) -> Values:
    water_l, concentrate_l = mixing.diluted_l(inputs.ready, inputs.water)
    return {"water_l": water_l, "concentrate_l": concentrate_l}


def _money(ratio: Blend, prices: ByPart) -> dict[str, float]:
    by_role = ratio.by_name(prices, "prices", each=True)
    return {role: price.size for role, price in by_role.items()}


def _cost(inputs: InputNamespace) -> Values:
    ratio, binned = inputs.ratio, inputs.binned
    mix = _mix_of(inputs)
    money = _money(ratio, inputs.prices)
    if ratio.grams_only:
        ratio.need_densities()  # a price is of a litre
    return {
        "cost": batch.cost({pour.role: pour.ml for pour in mix.pours}, money),
        "binned_cost": batch.cost_of_waste(mix, binned, money) if binned else None,
        "parts": _parts(mix.pours),
    }


_PARTS = Result("parts", "{role}", kind="list", each=_IN_THE_CUP)
_STEP = Input(
    "step", "measured with", kind="amount", example="10ml",
    of=(
        Input("ml", "a cup or a syringe, a line every", "ml", over=0, most=MOST_MIX_ML,
              offered=10, example=10),
        Input("g", "a scale, it shows every", "g", over=0, most=MOST_MIX_ML, offered=1, example=1),
    ),
    help="from line to line on the cup or syringe, 10ml, or what the scale shows, 1g",
)  # fmt: skip
_TOLERANCE = Input(
    "tolerance", "may miss by", "%", over=0, most=100, optional=True, example=3,
    empty="where to stop and ask",
    help="how far a part may miss; else where to stop and ask, 5 % for hardener",
)  # fmt: skip
_OVER = replace(
    LEFT, name="over", label="in the cup now", asked=True, example="base=460ml,hardener=100ml",
    help="a pour too many: all that is in the cup; gives what to add",
)  # fmt: skip
_BINNED = Input(
    "binned", "of it binned", "ml", least=0, most=MOST_MIX_ML, usual=0, example=50,
    help="how much of the mix was binned",
)  # fmt: skip

_READY = Input(
    "ready", "ready wash wanted", "l", over=0, most=mixing.MOST_WASH_L, offered=BUCKET_L,
    example=10, help="how much of it, ready to use",
)  # fmt: skip
_WATER = Input(
    "water", "parts of water to one", "", least=0, most=mixing.MOST_WATER, example=9,
    known="water", help="parts of water to one of the concentrate: 1 in 10 is 9, 1:10 is 10",
)  # fmt: skip

CALCULATIONS = (
    Calculation(
        "mix", "how much of each part", GROUP,
        (RATIO, OneOf("known is", _STARTS), replace(CUP, asked=False)), _mix,
        (_WORDS, _PARTS, *_TOTALS, Result("cups", "cupfuls", side="up", decimals=0)),
        Example(
            f"{FOUR} --need 600ml",
            {"total_ml": 600, "parts": [
                {"role": "base", "ml": 400, "fill_to_ml": 400},
                {"role": "hardener", "ml": 100, "fill_to_ml": 500},
                {"role": "thinner", "ml": 100, "fill_to_ml": 600},
            ]},
            "volume balance",
        ),
        "volume balance, no contraction",
        notes=("Pour in this order, each up to its line.",),
        product="ratio",
    ),
    Calculation(
        "mix", "round to the cup's lines", GROUP,
        (
            RATIO,
            OneOf("known is", {"needed": (NEED,), "left": (LEFT,)}),
            CUP_STEP,
            replace(PRICES, optional=True, asked=False),
        ),
        _lines,
        (_batch_on_lines("above"), _batch_on_lines("below")),
        Example(
            f"{FOUR} --need 250ml --cup-step 10ml",
            {"above": {"total_ml": 300, "waste_ml": 50}, "below": {"total_ml": 240}},
            "lines of 10 ml: 160/40/40 and 200/50/50, arithmetic",
        ),
        "common practice, no source: hardener exact, thinner gives way",
        notes=("The batches next above and below whose every part ends on a line of the cup.",),
        product="ratio",
    ),
    Calculation(
        "batch", "smallest measurable mix", GROUP,
        (
            RATIO, _STEP, _TOLERANCE,
            replace(NEED, offered=None, optional=True, empty="no amount in mind"),
        ),
        _smallest,
        (
            _WORDS,
            Result("smallest_ml", "smallest mix", "ml", "up", 0, big=True),
            Result(
                "reading_errors", "{role}", kind="list",
                each=(Result("ml", "", "ml"), Result("g", "", "g"),
                      Result("error_pct", "as read +-", "%", "up", 1)),
            ),
        ),
        Example(
            "5:1 --roles base,hardener --step 10ml --need 250ml",
            {"smallest_ml": 600},
            "half a line of 10 ml is 5 % of 100 ml; common practice, no source",
        ),
        "(graduation / 2) / tolerance of the hardener; common practice, no source",
        notes=("Half a line is the error of one reading. Less than this is a guess.",),
        product="ratio",
    ),
    Calculation(
        "mix", "a pour too many", GROUP, (RATIO, _OVER, CUP), _over_poured,
        (
            _WORDS,
            Result("adds", "add {role}", kind="list", big=True, each=_IN_THE_CUP),
            *(replace(each, label=f"then {each.label}") for each in _TOTALS),
            Result("fits"),
            Result("over_cup_ml", "more than the cup holds", "ml", "up", 0),
        ),
        Example(
            f"{FOUR} --over base=460ml,hardener=100ml --cup 1l",
            {"total_ml": 690, "fits": True},
            "460 ml of base want 115 ml of each other part; arithmetic",
        ),
        "volume balance: the part most over sets the multiple",
        notes=("All that is in the cup now. Nothing comes out of a mix again: what to add.",),
        product="ratio",
    ),
    Calculation(
        "mix", "cost", GROUP, (RATIO, OneOf("known is", _STARTS), PRICES, _BINNED), _cost,
        (
            Result("cost", "the mix costs", decimals=2, big=True),
            Result("binned_cost", "binned of it", decimals=2, big=True),
            _PARTS,
        ),
        Example(
            "4:1 --roles base,hardener --need 500ml --prices 30,50 --binned 250ml",
            {"cost": 17, "binned_cost": 8.5},
            "400 ml at 30 and 100 ml at 50 a litre; arithmetic",
        ),
        "arithmetic",
        notes=("In the shop's money.",),
        product="ratio",
    ),
    Calculation(
        "wash", "water for a wash", GROUP, (_READY, _WATER), _make_ready,
        (
            Result("water_l", "water first", "l", big=True),
            Result("concentrate_l", "then the concentrate", "l", big=True),
        ),
        Example(
            "--ready 10l --water 9",
            {"water_l": 9, "concentrate_l": 1},
            "1 part in 10 of 10 l is 1 l; arithmetic",
        ),
        "volume balance, no contraction",
        notes=("1 in 10, 1:10 and 10 % are not the same: as your sheet means it.",),
        cautions=(WATER_FIRST,),
        product="wash",
    ),
)  # fmt: skip
