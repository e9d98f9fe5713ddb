"""Mixing: the cup's lines, the smallest honest batch, pot life, a pour too many, cost."""

from __future__ import annotations

from datetime import timedelta
from typing import Literal

from bench.process.spoken import clock_words, figure, span_words
from bench.screens.sums.road import (
    USUAL,
    Facts,
    Group,
    Road,
    Sum,
    maybe,
    number,
    paint_temperature,
    pick,
    product,
)
from bench.screens.sums.tins import ANOTHER_TIN, densities_of, tin_in_hand
from bench.screens.sums.told import UNSURE, Figure, Told, at_least, basis_row, doubts, span
from bench.trade import batch, checked, mixing
from bench.trade.ageing import TimeTable
from bench.trade.batch import Rounded
from bench.trade.mixing import MOST_MIX_ML

CUP_ML, NEED_ML, STEP_ML, SCALE_G = 1000.0, 300.0, 10.0, 1.0
"""A litre cup with a line every 10 ml, a cupful less than half of it, a kitchen scale."""

LONGEST_MIN = 7 * 24 * 60.0
MOST_PRICE = 100_000.0
"""No pot is used for a week, no litre costs that much: a slip of the fingers (no source)."""

_JUDGED = {"within": "within what is usual", "warn": "much", "stop": "too much: stop and ask"}


def _rounding(facts: Facts) -> Road:
    tin = yield from tin_in_hand(facts)
    need_ml = yield from number("needed, mixed", "ml", NEED_ML, USUAL)
    step_ml = yield from number("a line on the cup every", "ml", STEP_ML, USUAL)
    choice = batch.round_to_cup(tin.ratio, need_ml, step_ml, tin.densities)
    told: list[Figure] = []
    for side, found in (("above", choice.above), ("below", choice.below)):
        if found is not None:
            told += _rounded(side, found)
    alone = choice.below is None
    return Told(
        tuple(told),
        why=("there is no batch below on these lines",) if alone else (),
        guesses=doubts(tin.product),
    )


def _rounded(side: str, found: Rounded) -> list[Figure]:
    over_ml = found.over_ml
    off = f"{figure(abs(over_ml))} ml {'over' if over_ml > 0 else 'short'}"
    size = Figure(side, figure(found.mix.total_ml, 6), "ml", big=True)
    errors = {error.role: error for error in found.errors}
    rows = [size, Figure(f"{side} that is", off if round(over_ml, 6) else "as needed")]
    for pour in found.mix.pours:
        error = errors.get(pour.role)
        off_ratio = ""
        if error is not None and abs(error.error_pct) >= 0.05:
            off_ratio = f", {error.error_pct:+.1f} % off: {_JUDGED[error.judged]}"
        line_ml = figure(pour.fill_to_ml, 6)
        rows.append(
            Figure(
                f"{side}: {pour.role}",
                figure(pour.ml, 6),
                f"ml, fill to {line_ml} ml{off_ratio}",
            )
        )
    return rows


def _smallest(facts: Facts) -> Road:
    tin = yield from tin_in_hand(facts)
    on_scale = yield from pick("measured with", ("a cup or a syringe", "a scale"))
    densities = tin.densities
    measured: Literal["ml", "g"] = "g" if on_scale else "ml"
    if on_scale:
        step = yield from number("the scale shows every", "g", SCALE_G, USUAL)
        if tin.ratio.by == "volume":
            densities = yield from densities_of(tin.ratio, tin.product)
    else:
        step = yield from number("a line every", "ml", STEP_ML, USUAL)
    checked.number(step, "a line or a figure", measured, over=0, most=MOST_MIX_ML)
    tolerance_pct = yield from maybe("may miss by", "%", 3, "where to stop and ask")
    need_ml = yield from maybe("needed, mixed", "ml", 250, "nothing in mind")
    least_ml = batch.smallest_mix_ml(tin.ratio, step, measured, densities, tolerance_pct)
    rows = [Figure("least to mix", at_least(least_ml), "ml", big=True, bound="least")]
    why: tuple[str, ...] = ()
    if need_ml is not None:
        rows += _reading_errors(mixing.for_total(tin.ratio, need_ml, densities), measured, step)
        if need_ml < least_ml:
            why = (f"{need_ml:g} ml is less: take a finer measure, or mix {at_least(least_ml)} ml",)
    return Told(tuple(rows), why=why, guesses=doubts(tin.product))


def _reading_errors(mix: mixing.Mix, measured: Literal["ml", "g"], step: float) -> list[Figure]:
    rows = []
    for pour in mix.pours:
        size = pour.ml if measured == "ml" else pour.g
        if size:
            error_pct = batch.reading_error_pct(size, step)
            read = f"{measured}, +-{figure(error_pct, 2)} % as read"
            rows.append(Figure(pour.role, figure(size), read))
    return rows


def _pot_life(facts: Facts) -> Road:
    known = yield from product(facts, lambda each: each.keeps_a_pot_clock, ANOTHER_TIN)
    table: TimeTable
    if known is None:
        at_c = yield from number("the sheet's pot life is at", "C", 20, USUAL)
        table = ((at_c, 60 * (yield from number("and lasts", "min", such_as=120))),)
    else:
        table = known.pot_life
    temp_c = yield from paint_temperature(facts, "the mix is at")
    mixed_ml = yield from maybe("how much is mixed", "ml", 800, "a small pot")
    ago_min = yield from number("since hardener met base", "min", 0, "just now", such_as=20)
    older_min = yield from maybe("topped up: left of the old pot", "min", 30, "fresh")
    checked.number(ago_min, "since hardener met base,", "min", least=0, most=LONGEST_MIN)
    checked.number(older_min or 0, "left of the old pot,", "min", least=0, most=LONGEST_MIN)
    life = mixing.pot_life_s(table, temp_c)
    big_s = life.seconds if mixed_ml is None else mixing.big_pot_life_s(life.seconds, mixed_ml)
    left_s = big_s - 60 * ago_min
    if older_min is not None:
        left_s = mixing.bin_by_after_topping_up(60 * older_min, left_s)
    # Whole seconds and down: a deadline is never later than reckoned.
    bin_by = facts.now + timedelta(seconds=int(left_s))
    mark = "?" if life.basis in UNSURE else ""
    rows = [
        span("pot life", big_s, up=False),
        Figure("bin by", clock_words(bin_by, facts.now) + mark),
        *basis_row(life.basis),
    ]
    if big_s < life.seconds:
        rows.append(Figure("big pot", f"{mixing.BIG_POT_OFF_PCT:g} % off: it warms itself"))
    if known is not None and known.induction_s:
        rows.append(Figure("rest first", span_words(known.induction_s)))
    if left_s <= 0:
        why = ("It still pours, and that says nothing: bin it.",)
        return Told(tuple(rows), "BIN", False, why, doubts(known, life.basis))
    oldest = ("A pot is as old as its oldest drop.",) if older_min is not None else ()
    return Told(tuple(rows), why=oldest, guesses=doubts(known, life.basis))


def _over_pour(facts: Facts) -> Road:
    tin = yield from tin_in_hand(facts)
    cup_ml = yield from number("the cup holds", "ml", CUP_ML, USUAL)
    in_cup = {}
    for role in tin.roles:
        if role == "base":
            in_cup[role] = yield from number(f"{role} in the cup", "ml", such_as=400)
        else:
            in_cup[role] = yield from number(f"{role} in the cup", "ml", 0, such_as=100)
    found = batch.recover(tin.ratio, in_cup, cup_ml, tin.densities)
    rows = [Figure(f"add {add.role}", figure(add.ml, 4), "ml", big=True) for add in found.adds]
    rows += [
        Figure(f"{add.role} up to the line", figure(add.fill_to_ml, 4), "ml") for add in found.adds
    ]
    rows.append(Figure("then in all", figure(found.total_ml, 4), "ml"))
    if found.fits:
        right = () if found.adds else ("nothing to add: the ratio is right as it is",)
        return Told(tuple(rows), why=right, guesses=doubts(tin.product))
    over_ml = at_least(found.over_cup_ml)
    why = (f"too small by {over_ml} ml: take a bigger one before adding anything",)
    return Told(tuple(rows), "THE CUP IS TOO SMALL", False, why, doubts(tin.product))


def _cost(facts: Facts) -> Road:
    tin = yield from tin_in_hand(facts)
    mixed_ml = yield from number("mixed", "ml", NEED_ML, USUAL)
    prices = {}
    for role in tin.roles:
        what = f"price of a litre of {role}"
        prices[role] = yield from number(what, such_as=30)
        checked.number(prices[role], what, least=0, most=MOST_PRICE)
    binned_ml = yield from number("of it binned", "ml", 0, such_as=50)
    mix = mixing.for_total(tin.ratio, mixed_ml, tin.densities)
    cost = batch.cost({pour.role: pour.ml for pour in mix.pours}, prices)
    waste = batch.cost_of_waste(mix, binned_ml, prices)
    rows = [Figure("the mix costs", _money(cost), big=True)]
    if binned_ml:
        rows.append(Figure("binned of it", _money(waste), big=True))
    rows += [Figure(pour.role, figure(pour.ml), "ml") for pour in mix.pours]
    return Told(tuple(rows), guesses=doubts(tin.product))


def _money(amount: float | None) -> str:
    assert amount is not None, "every part has its price"
    return f"{amount:.2f}"


GROUP = Group(
    "mixing",
    (
        Sum(
            "round to the cup's lines",
            ("The batches next above and below whose every part ends on a line of the cup.",),
            _rounding,
        ),
        Sum(
            "smallest honest batch",
            ("Half a line is the error of one reading. Less than this is a guess.",),
            _smallest,
        ),
        Sum(
            "pot life",
            ("From hardener meeting base. Warmth shortens it; cold is not credited.",),
            _pot_life,
        ),
        Sum(
            "a pour too many",
            ("All that is in the cup now. Nothing comes out of a mix again: what to add.",),
            _over_pour,
        ),
        Sum("cost", ("In the shop's money.",), _cost),
    ),
)
