"""How long steps take, from this shop's log, and how much paint its coats took."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import cut, plain
from bench.commands.reports.tins import use_data
from bench.process.parts.durations import LEAST_KNOWN, Length
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.labour import Labour
from bench.process.stock.paint_use import use_words
from bench.process.wording.time_text import doubt_mark, format_number
from bench.shop.queries.duration_list import (
    PartDurations,
    ShopDurations,
    StepDuration,
    part_durations,
    shop_durations,
)


def durations(call: Call) -> Report | Refusal:
    """Report every step of the routes, or the steps to come of one part."""
    target = getattr(call.args, "target", None)
    if target is None:
        found = shop_durations(call.shop)
        return Report(_data(found), _lines(found))
    of_part = part_durations(call.shop, target)
    if isinstance(of_part, Refusal):
        return of_part
    return Report(_part_data(of_part), _part_lines(of_part))


def _lines(found: ShopDurations) -> Iterator[str]:
    yield f"{'step':<29} {'by its route':<24} {'past':>4}  times that"
    for each in found.steps:
        usual, least, most = (f"{factor:.2f}" for factor in each.learned.factors)
        mark = doubt_mark(each.learned.count < LEAST_KNOWN or each.like != "step")
        like = ", kind and tool" * (each.like == "tool")
        yield (
            f"{cut(plain(each.step.name), 29):<29} {_labour(each.labour):<24} "
            f"{each.learned.count:>4}  {usual}{mark} ({least} to {most}){like}"
        )
    yield "In brackets: two of three such steps lie between. ? under 5 past steps, or not typed."
    yield ""
    yield "paint used, pot by pot:" if found.uses else "no pot says yet how much paint lands"
    yield from (f"  {use_words(own, found.products)}" for own in found.uses)


def _labour(labour: Labour) -> str:
    """Say the minutes of a lot and of a m2, as they were typed or not."""
    mark = doubt_mark("labour" in labour.placeholder)
    base, per_m2 = (format_number(s / 60) for s in (labour.base_s, labour.per_m2_s))
    return f"{base}{mark} min + {per_m2}{mark} min/m2"


def _part_lines(found: PartDurations) -> Iterator[str]:
    yield f"tag {plain(found.part.tag)} {plain(found.part.name)}: steps to come"
    for record, length in found.lengths:
        yield f"{record.number:>3} {cut(plain(record.step.name), 29):<29} {length.words}"
    if not found.lengths:
        yield "no step is to come"


def _data(found: ShopDurations) -> dict[str, Any]:
    return {
        "steps": [_step_data(each) for each in found.steps],
        "paint": [use_data(own) for own in found.uses],
    }


def _step_data(each: StepDuration) -> dict[str, Any]:
    usual, least, most = (round(factor, 3) for factor in each.learned.factors)
    return {
        "step": each.step.name,
        "kind": each.step.kind,
        "lot_s": each.labour.base_s,
        "m2_s": each.labour.per_m2_s,
        "placeholder": "labour" in each.labour.placeholder,
        "past_steps": each.learned.count,
        "like": each.like or None,
        "times": usual,
        "times_least": least,
        "times_most": most,
    }


def _part_data(found: PartDurations) -> dict[str, Any]:
    return {
        "tag": found.part.tag,
        "steps": [
            {"number": record.number, "step": record.step.name, **length_data(length)}
            for record, length in found.lengths
        ],
    }


def length_data(length: Length) -> dict[str, Any]:
    """Return how long a step is taken to last."""
    return {
        "usual_s": length.lasts.total_seconds(),
        "shorter_s": round(length.shorter.total_seconds()),
        "longer_s": round(length.longer.total_seconds()),
        "past_steps": length.known_from,
        "placeholder": bool(length.doubt),
    }
