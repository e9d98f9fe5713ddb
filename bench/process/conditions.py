"""What a reading means for painting: dew point, the metal's margin over it, a product's limits."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from itertools import takewhile

from bench.process import rules
from bench.process.product import Limits
from bench.process.refusal import Refusal
from bench.process.spoken import span_words
from bench.process.temperature import READ_AGAIN, Reading
from bench.trade.air import Limit, Verdict, verdict

LIMITS: dict[Limit, rules.Rule] = {
    "dew point": rules.DEW_POINT,
    "humidity": rules.HUMIDITY,
    "cold": rules.TOO_COLD,
    "warm": rules.TOO_WARM,
}
"""The rule of each limit that a reading can break."""


def is_old(read_at: datetime, now: datetime) -> bool:
    """Whether what was read then tells nothing of now any more: more than four hours ago."""
    return now - read_at > READ_AGAIN


def judged(reading: Reading) -> Verdict | None:
    """The air against the usual limits, metal where it was read, else air.

    None where there is no humidity, or one so low that it was misread.
    """
    if reading.rh_pct is None:
        return None
    try:
        return verdict(reading.air_c, reading.rh_pct, reading.paint_c)
    except ValueError:
        return None


def conditions_against(
    newest_first: Iterable[Reading], limits: Limits, at: datetime
) -> tuple[Refusal, ...]:
    """Why not to coat in the air as it was last read before ``at``; empty where nothing speaks so.

    newest_first: the readings up to ``at``.
    Humidity and metal may come from different readings: a probe seldom reads both. Each limit that
    is broken is a refusal of its own.
    """
    known = iter(newest_first)
    newest = next(known, None)
    if newest is None:
        rule = "no reading of the air"
        return (rules.NO_READING.refuses(rule, "none yet", "take a reading first"),)
    age = at - newest.at
    if is_old(newest.at, at):
        read = f"{span_words(age.total_seconds())} old, at most {READ_AGAIN.seconds // 3600} h"
        rule = "the last reading is too old"
        return (rules.READING_OLD.refuses(rule, read, "take a reading first"),)
    fresh = [newest, *takewhile(lambda reading: not is_old(reading.at, at), known)]
    damp = next((r for r in fresh if r.rh_pct is not None), None)
    if damp is None or damp.rh_pct is None:
        read = f"air {newest.air_c:g} C only"
        remedy = "read it too, for the dew point"
        return (rules.NO_HUMIDITY.refuses("humidity was not read", read, remedy),)
    metal_c = next((r.metal_c for r in fresh if r.metal_c is not None), None)
    try:
        air = verdict(
            damp.air_c,
            damp.rh_pct,
            newest.air_c if metal_c is None else metal_c,
            margin_least_c=limits.dew_margin_c,
            rh_most_pct=limits.rh_most_pct,
            metal_least_c=limits.metal_least_c,
            metal_most_c=limits.metal_most_c,
        )
    except ValueError as fault:
        rule = "the reading cannot be right"
        return (rules.READING_WRONG.refuses(rule, str(fault), "read it again"),)
    broken = [_broken(*limit, metal_read=metal_c is not None) for limit in air.broken]
    if damp.rh_pct < limits.rh_least_pct:
        read = f"{damp.rh_pct:g} % humidity, at least {limits.rh_least_pct:g} %"
        broken.append(rules.HUMIDITY.refuses("outside its limits", read, "wait for damper air"))
    return tuple(broken)


def _broken(limit: Limit, words: str, *, metal_read: bool) -> Refusal:
    """A limit that is broken, as the sum tells it: what was read, then what would be right."""
    read, _, remedy = words.partition(": ")
    if not metal_read and limit != "humidity":
        read += "; metal not read, air taken for it"
    return LIMITS[limit].refuses("outside its limits", read, remedy)
