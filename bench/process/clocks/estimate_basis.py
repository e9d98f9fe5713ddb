"""What an hour on a stand rests on, in words: which reading, which nights, whose figures."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.calendar.forecast import coming_days
from bench.process.clocks.conditions import is_old
from bench.process.clocks.edges import Edge
from bench.process.clocks.stand_state import StandState
from bench.process.clocks.temperature import READ_AGAIN, Hours, Reading
from bench.process.wording.time_text import doubt_mark, format_duration, join_names


def basis_words(state: StandState, reading: Reading | None, hours: Hours, now: datetime) -> str:
    """Say what the hours a stand shows were worked out from; empty where none hangs on temperature.

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
    words = "estimated from " + ", ".join(
        [_reading_words(reading, hours, now), *_later_words(reading, hours, now, first)]
    )
    if first is not None:
        words += f": {first.figure_words}"
    if never and state.basis == "none":
        words += ": colder than any estimate from the data sheet goes; type its figure for the cold"
    if (opens or never) and state.stalled_s:
        words += f"; {stalled_words(state.stalled_s, state.basis)}"
    if state.old:
        words += "; " + _which_way(opening=bool(opens or never), closing=closes is not None)
    return words


def stalled_words(stalled_s: float, basis: str) -> str:
    """Say how long nothing ages, and why."""
    why = "too cold for its figures" if basis == "none" else "below its minimum C"
    return f"at a standstill for {format_duration(stalled_s)} of it, {why}"


def _reading_words(reading: Reading | None, hours: Hours, now: datetime) -> str:
    if reading is None:
        mark = doubt_mark(not hours.typed)
        return f"the shop's usual {hours.day_c:g}{mark} C, nobody read a thermometer"
    where = f"air {reading.air_c:g} C (surface not read)"
    if reading.metal_c is not None:
        where = f"surface {reading.metal_c:g} C"
    age = now - reading.at
    old = "OLD, " if is_old(reading.at, now) else ""
    return f"{where} read {old}{format_duration(age.total_seconds())} ago"


def _later_words(
    reading: Reading | None, hours: Hours, now: datetime, until: Edge | None
) -> list[str]:
    """Say what is taken once the reading is too old to count as it stands, where that changes it.

    An opening takes the usual night where it is not reached before the shop closes, and the usual
    day where that is colder; a closing the usual day where that is warmer.
    """
    mark = doubt_mark(not hours.typed)
    read_c = reading.paint_c if reading is not None else hours.day_c
    if until is not None and until.side == "closing":
        later = [f"{hours.day_c:g}{mark} C"] if read_c < hours.day_c else []
        later += _forecast_words(hours, now, until)
        return [f"then {join_names(later)}"] if later else []
    later = [f"{hours.day_c:g}{mark} C days"] if read_c > hours.day_c else []
    open_spans = hours.spans(now - timedelta(days=1), 3)
    if until is None or not any(a <= now and until.at <= b for a, b in open_spans):
        later.append(f"{hours.night_c:g}{mark} C nights")
        later += _forecast_words(hours, now, until)
    elif reading is None or until.at <= reading.at + READ_AGAIN:
        later = []
    return [f"then {join_names(later)}"] if later else []


def _forecast_words(hours: Hours, now: datetime, until: Edge | None) -> list[str]:
    """Say which forecasts are stricter than usual: lows, for a closing highs."""
    last = until.at.astimezone(now.tzinfo).date() if until is not None else None
    words = []
    for day in coming_days(now.date()):
        ahead = hours.forecast(day, now)
        if ahead is None or (last is not None and day > last):
            continue
        if until is not None and until.side == "closing":
            stricter, temp_c = ahead.high_c > hours.day_c, ahead.high_c
        else:
            stricter, temp_c = ahead.low_c < hours.night_c, ahead.low_c
        words += [f"{temp_c:g} C forecast for {day:%a %d %b}"] if stricter else []
    return words


def _which_way(*, opening: bool, closing: bool) -> str:
    """Say what an old reading may hide, on the side that does harm."""
    ways = []
    if opening:
        ways.append("if it is colder by now, it opens later")
    if closing:
        ways.append("if it is warmer by now, it closes sooner")
    return "; ".join(ways)
