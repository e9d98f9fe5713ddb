"""How the table's inputs are asked for on a keypad, one question after the other.

A road is a generator: it yields what it asks, gets each answer, and returns what comes of it. It is
pure: the same facts and answers give the same end, which is why a screen may walk it again after
every answer. It raises ValueError where the numbers do not go together.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta
from typing import Any

from bench.process.sheets.product import Product
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.sums.basic_questions import (
    Asking,
    number,
    pick,
    piece,
    section,
    tin_in_hand,
    with_densities,
)
from bench.screens.sums.known_values import (
    ANOTHER_TIN,
    ANY_COAT,
    FITS,
    Fact,
    ShopFacts,
    fact_of,
    timed,
)
from bench.sums.ageing import TemperatureLog
from bench.sums.checked_ratio import Blend
from bench.sums.input_reading import HOUR_S, table_of
from bench.sums.model import Calculation, Input, OneOf, Quantity, SumAnswer, Values
from bench.trade.ageing import Stretch, TimeTable

MOST_ASKED = 60
"""No sum asks more; a set of readings may be as long."""


@dataclass(frozen=True)
class Solved:
    """An answer, the values it was worked out from, and the product that was chosen."""

    answer: SumAnswer
    given: Values = field(compare=False)
    product: Product | None = None


@dataclass(frozen=True)
class Refused:
    """Why a sum cannot be done with these numbers, in its own words."""

    why: str


@dataclass(frozen=True)
class Course:
    """How far answers lead: all that is asked on the way, and the end, None while it goes on."""

    asked: tuple[NumberQuestion, ...]
    end: Solved | Refused | None


def follow(
    calculation: Calculation,
    facts: ShopFacts,
    answers: Sequence[float | None],
    *,
    ahead: bool = False,
) -> Course:
    """Walk a sum's road with these answers. ahead: then on with what is usual, to its end."""
    questions: list[NumberQuestion] = []
    waiting = list(answers)
    road = _road(calculation, facts)
    try:
        question = next(road)
        while waiting or (ahead and len(questions) < MOST_ASKED):
            answer = waiting.pop(0) if waiting else usual(question)
            questions.append(question)
            question = road.send(answer)
    except StopIteration as end:
        return Course(tuple(questions), end.value)
    except ValueError as fault:
        return Course(tuple(questions), Refused(str(fault)))
    return Course((*questions, question), None)


def questions_so_far(
    calculation: Calculation, facts: ShopFacts, answers: Sequence[float | None]
) -> tuple[NumberQuestion, ...]:
    """Return what is asked: no more than is answered once the road has ended.

    Questions ahead are those that would come if Enter were pressed from here on.
    """
    course = follow(calculation, facts, answers)
    return course.asked if course.end else follow(calculation, facts, answers, ahead=True).asked


def usual(question: NumberQuestion) -> float | None:
    """Return what Enter would take, or the example where it takes nothing."""
    return question.start if question.start is not None or not question.must else question.such_as


def _road(calculation: Calculation, facts: ShopFacts) -> Asking[Solved]:
    """Every input of a calculation, then its answer."""
    product: Product | None = None
    values: dict[str, Any] = {}
    if calculation.product not in ("", "ratio"):
        product = yield from _product(calculation.product, facts)
    settled: dict[str, Any] = {}
    if calculation.product == "timed" and product is not None:
        settled = yield from _which_time(product)
    for entry in calculation.inputs:
        for each in (entry,) if isinstance(entry, Input) else (yield from _way(entry, values)):
            if each.name in settled:
                values[each.name] = settled[each.name]
            elif each.kind == "ratio":
                values[each.name], product = yield from tin_in_hand(_product("ratio", facts))
            else:
                values[each.name] = yield from _input(each, facts, product, values)
                if isinstance(values[each.name], Quantity) and values[each.name].unit == "g":
                    values |= yield from _weighed(values, product)
    return Solved(calculation.answer(values), values, product)


def _product(kind: str, facts: ShopFacts) -> Asking[Product | None]:
    """A product that fits, the chosen stand's if Enter is pressed, or none of them."""
    offered = [each for each in facts.view.products.values() if FITS[kind](each)]
    keys = [each.key for each in offered]
    start = keys.index(facts.product) if facts.product in keys else 0
    without = ANY_COAT if kind == "film" else ANOTHER_TIN
    which = yield from pick("product", [*(each.name for each in offered), without], start)
    return offered[which] if which < len(offered) else None


def _which_time(product: Product) -> Asking[dict[str, Any]]:
    times = timed(product)
    time = times[(yield from pick("which time", tuple(each.name for each in times)))]
    return {"table": time.table, "edge": time.edge, "least": time.least_c}


def _weighed(values: Values, product: Product | None) -> Asking[dict[str, Any]]:
    """The densities, where a scale meets a ratio by volume."""
    blend: Blend | None = values.get("ratio")
    if blend is None or blend.densities is not None:
        return {}
    return {"ratio": (yield from with_densities(blend, product))}


def _way(one_of: OneOf, values: dict[str, Any]) -> Asking[tuple[Input, ...]]:
    """The inputs of the way that is taken; those of the others stay empty."""
    for way in one_of.ways.values():
        values |= {each.name: each.usual for each in way}
    ways = one_of.asked
    if len(ways) == 1:
        return next(iter(ways.values()))
    which = yield from pick(one_of.label, tuple(ways))
    return list(ways.values())[which]


def _input(
    each: Input, facts: ShopFacts, product: Product | None, values: Mapping[str, Any]
) -> Asking[Any]:
    """The value of one input: known, left out, or asked for."""
    if each.when is not None and not each.when(values):
        return each.usual
    fact = fact_of(each.known, facts, product, values)
    if not each.asked or each.kind == "shop" or (fact and fact.settled):
        return each.usual if fact is None else fact.value
    return (yield from _ASKED_BY[each.kind](each, fact, facts, values))


# -- one kind of input ----------------------------------------------------------


def _choice(each: Input, fact: Fact | None, *_: Any) -> Asking[Any]:
    keys = list(each.choices)
    labels = [*each.choices.values(), *([each.empty] if each.optional else [])]
    wanted = fact.value if fact else each.usual
    start = keys.index(wanted) if wanted in keys else int(each.offered or 0)
    which = yield from pick(each.label, labels, start)
    return each.chosen(keys[which]) if which < len(keys) else None


def _flag(each: Input, *_: Any) -> Asking[bool]:
    return bool((yield from pick(each.label, tuple(each.choices.values()))))


def _rows(each: Input, *_: Any) -> Asking[tuple[tuple[Any, ...], ...]]:
    """Rows of a number for each of its kinds, until the first of a row is left empty."""
    least = 0 if each.optional else int(each.least or 1)
    most = int(each.most or MOST_ASKED // (2 * len(each.of)))
    rows: list[tuple[Any, ...]] = []
    while len(rows) < most:
        row: list[Any] = []
        n = len(rows) + 1
        for entry in each.of:
            empty = each.empty if n == 1 else "no more"
            row.append((yield from _numbered(entry, n, must=n <= least or bool(row), empty=empty)))
            if row == [None]:
                return tuple(rows)
        rows.append(tuple(row))
    return tuple(rows)


def _numbered(entry: Input, n: int, *, must: bool, empty: str) -> Asking[Any]:
    example = entry.example
    if isinstance(example, tuple):
        example = example[min(n, len(example)) - 1]
    question = replace(entry, label=f"{entry.label} {n}", empty=empty, example=example)
    return (yield from number(question, must=must))


def _numbers(each: Input, *_: Any) -> Asking[tuple[float, ...] | None]:
    rows = yield from _rows(each)
    return tuple(value for (value,) in rows) or None


def _table(each: Input, *_: Any) -> Asking[TimeTable]:
    points = yield from _rows(replace(each, most=3))
    return table_of(tuple(sorted((temp_c, hours) for temp_c, hours in points)))


def _log(each: Input, *_: Any) -> Asking[TemperatureLog]:
    """Hours and temperatures, from the beginning until now."""
    stretches: list[Stretch] = []
    at_s = 0.0
    for hours, temp_c in (yield from _rows(each)):
        stretches.append(Stretch(at_s, temp_c))
        at_s += hours * HOUR_S
    return TemperatureLog(None, tuple(stretches), at_s)


def _amount(each: Input, *_: Any) -> Asking[Quantity | None]:
    """A size; where the table names the units, in the one that is chosen."""
    of = each.of[0]
    if of.label == "amount":
        of = replace(
            of, label=each.label, offered=each.offered, optional=each.optional, empty=each.empty,
            example=250 if each.optional else of.example,
        )  # fmt: skip
    else:
        of = each.of[(yield from pick(each.label, tuple(entry.label for entry in each.of)))]
    size = yield from number(of)
    return None if size is None else Quantity(size, of.unit)


def _by_part(
    each: Input, _: Fact | None, __: ShopFacts, values: Mapping[str, Any]
) -> Asking[dict[str, Quantity]]:
    """A size of every part of the ratio; of what is in the cup nothing but the base must be."""
    blend: Blend = values["ratio"]
    of, sizes = each.of[0], {}
    for role in blend.roles:
        question = replace(of, label=f"{each.label}: {role}")
        if of.unit and role != "base":
            question = replace(question, over=None, least=0, offered=0)
        sizes[role] = Quantity((yield from number(question)), of.unit)
    return {role: size for role, size in sizes.items() if size.size or not of.unit}


def _moment(each: Input, _: Fact | None, facts: ShopFacts, __: Mapping[str, Any]) -> Asking[Any]:
    """So many minutes ago; of what is still left, ahead."""
    question = replace(each, kind="number", example=30, optional=each.offered is None)
    minutes = yield from number(question)
    if minutes is None:
        return None
    away = timedelta(minutes=minutes)
    return facts.now + away if each.offered is None else facts.now - away


def _spray_tool(
    each: Input, _: Fact | None, facts: ShopFacts, __: Mapping[str, Any]
) -> Asking[Any]:
    """A tool of the shop that sprays."""
    tools = [tool for tool in facts.view.tools.values() if tool.sprayed]
    if not tools:
        raise ValueError("no tool that sprays among the shop's: add one to its tools")
    own = facts.view.products.get(facts.product)
    keys = [tool.key for tool in tools]
    start = keys.index(own.tool) if own and own.tool in keys else 0
    return tools[(yield from pick(each.label, tuple(tool.name for tool in tools), start))]


_ASKED_BY: dict[str, Callable[[Input, Fact | None, ShopFacts, Mapping[str, Any]], Asking[Any]]] = {
    "number": number,
    "whole": number,
    "flag": _flag,
    "choice": _choice,
    "numbers": _numbers,
    "pairs": _rows,
    "table": _table,
    "amount": _amount,
    "by part": _by_part,
    "piece": piece,
    "section": section,
    "moment": _moment,
    "log": _log,
    "tool": _spray_tool,
}
