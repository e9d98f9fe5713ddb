"""What an hour on a stand rests on, in words: which reading, which nights, whose figures."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.conditions import is_old
from bench.process.edges import Edge
from bench.process.spoken import doubt_mark, span_words
from bench.process.state import StandState
from bench.process.temperature import Hours, Reading


def basis_words(state: StandState, reading: Reading | None, hours: Hours, now: datetime) -> str:
    """What the hours a stand shows were worked out from; empty where none hangs on temperature.

    now: the present in the shop's zone.
    """
    opens, closes = (
        edge if edge is not None and edge.aged and edge.at > now else None
        for edge in (state.opens, state.closes)
    )
    never = state.aged and state.opens is None and state.closes is None
    if not (opens or closes or never):
        return ""
    first = opens or closes
    told = "estimated from " + ", ".join(
        [_reading_words(reading, hours, now), *_night_words(hours, now, first)]
    )
    if first is not None:
        told += f": {first.figure_words}"
    if (opens or never) and state.stalled_s:
        told += f"; at a standstill for {span_words(state.stalled_s)} of it, under its least C"
    if state.old:
        told += "; " + _which_way(opening=bool(opens or never), closing=closes is not None)
    return told


def _reading_words(reading: Reading | None, hours: Hours, now: datetime) -> str:
    if reading is None:
        mark = doubt_mark(not hours.typed)
        return f"the shop's usual {hours.day_c:g}{mark} C, nobody read a thermometer"
    where = f"air {reading.air_c:g} C (metal not read)"
    if reading.metal_c is not None:
        where = f"metal {reading.metal_c:g} C"
    age = now - reading.at
    old = "OLD, " if is_old(reading.at, now) else ""
    return f"{where} read {old}{span_words(age.total_seconds())} ago"


def _night_words(hours: Hours, now: datetime, until: Edge | None) -> list[str]:
    """The usual night, where the hour asked for is not reached before the shop closes."""
    if until is not None:
        open_spans = hours.spans(now - timedelta(days=1), 3)
        if any(opens <= now and until.at <= closes for opens, closes in open_spans):
            return []
    mark = doubt_mark(not hours.typed)
    return [f"then {hours.night_c:g}{mark} C nights"]


def _which_way(*, opening: bool, closing: bool) -> str:
    """What an old reading may hide: only the side that does harm is said."""
    ways = []
    if opening:
        ways.append("if it is colder by now, it opens later")
    if closing:
        ways.append("if it is warmer by now, it closes sooner")
    return "; ".join(ways)
