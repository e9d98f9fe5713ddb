"""What an hour on a stand rests on, in words: which reading, which nights, whose figures."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.conditions import READ_AGAIN
from bench.process.spoken import span_words
from bench.process.state import StandState
from bench.process.temperature import Hours, Reading

OPENS_ON = {
    "sheet": "a point of the sheet",
    "between": "between two points of the sheet",
    "outside": "colder than the sheet lists, so longer than its slope",
    "guess": "a guess from one point of the sheet",
}
SHUTS_ON = {
    "sheet": "a point of the sheet",
    "between": "between two points of the sheet",
    "outside": "warmer than the sheet lists, so shorter than its slope",
    "guess": "a guess from one point of the sheet",
}
"""Where a figure comes from. Beyond the sheet an opening is on its cold side, an end its warm."""


def basis_words(state: StandState, reading: Reading | None, hours: Hours, now: datetime) -> str:
    """What the hours a stand shows were worked out from; empty where none hangs on temperature.

    now: the present in the shop's zone.
    """
    shuts = state.span_to(state.shuts_at)
    closing = shuts is not None and shuts.aged
    opening = state.aged and (state.opens_at is None or state.opens_at > now)
    if not (opening or closing):
        return ""
    until = state.opens_at if opening else state.shuts_at
    told = "worked out from " + ", ".join(
        [_reading_words(reading, hours, now), *_night_words(hours, now, until)]
    )
    if opening and state.opens_at is not None:
        told += f": {OPENS_ON[state.basis]}"
    elif shuts is not None and not opening:
        told += f": {SHUTS_ON[shuts.basis]}"
    if opening and state.stalled_s:
        told += f"; at a standstill for {span_words(state.stalled_s)} of it, under its least C"
    if state.old:
        told += "; " + _which_way(opening=opening, closing=closing)
    return told


def _reading_words(reading: Reading | None, hours: Hours, now: datetime) -> str:
    if reading is None:
        mark = "" if hours.typed else "?"
        return f"the shop's usual {hours.day_c:g}{mark} C, nobody read a thermometer"
    where = f"air {reading.air_c:g} C (metal not read)"
    if reading.metal_c is not None:
        where = f"metal {reading.metal_c:g} C"
    age = now - reading.at
    old = "OLD, " if age > READ_AGAIN else ""
    return f"{where} read {old}{span_words(age.total_seconds())} ago"


def _night_words(hours: Hours, now: datetime, until: datetime | None) -> list[str]:
    """The usual night, where the hour asked for is not reached before the shop shuts."""
    if until is not None:
        open_spans = hours.spans(now - timedelta(days=1), 3)
        if any(opens <= now and until <= shuts for opens, shuts in open_spans):
            return []
    mark = "" if hours.typed else "?"
    return [f"then {hours.night_c:g}{mark} C nights"]


def _which_way(*, opening: bool, closing: bool) -> str:
    """What an old reading may hide: only the side that does harm is said."""
    ways = []
    if opening:
        ways.append("if it is colder by now, it opens later")
    if closing:
        ways.append("if it is warmer by now, it shuts sooner")
    return "; ".join(ways)
