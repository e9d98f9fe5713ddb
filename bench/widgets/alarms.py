"""The line of the alarm nobody answered, and the list for whoever comes back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rich.cells import cell_len

from bench.process.alarms import RUINING, Alarm, Alarms
from bench.process.spoken import span_words
from bench.process.state import SHAPES
from bench.widgets.lines import Line, Piece, ends, line, plain, wrapped


def alarm_lines(alarms: Alarms, hint: str, width: int) -> list[Line]:
    """One line across the screen with the alarm that does most harm; none when none is up.

    What to do stands before how to answer: the hint goes where there is no room for both.
    """
    if not alarms.up:
        return []
    top, more = alarms.up[0], len(alarms.up) - 1
    left = f" {top.want.word} {SHAPES[top.want.word]} {_place(top)}{top.want.text}"
    fewest = f" +{more} " if more else ""
    rights = (f" +{more} more  {hint} " if more else f" {hint} ", f"{fewest} {hint} ")
    right = next((r for r in rights if cell_len(plain(left) + r) <= width), fewest)
    return [line(ends(left, right, width), width, "alarm")]


def _place(alarm: Alarm) -> str:
    if alarm.want.stand is not None:
        return f"stand {alarm.want.stand} "
    return "" if alarm.want.word in ("BIN", "GUN") else "no stand "


def in_danger(row: Line, alarms: Alarms) -> Line:
    """The header as it is while something is being ruined: turned over, besides what it says."""
    if not alarms.up or alarms.up[0].want.word not in RUINING:
        return row
    return tuple(Piece(p.text, "ruined" if p.style == "head" else p.style) for p in row)


def away_lines(away: Sequence[Alarm], now: datetime, room: int, width: int) -> list[Line]:
    """How many came up while nobody was there, and each with how long ago: in ``room`` lines.

    Each on a line of its own, if that leaves one for what wants doing besides.
    """
    if not away or room < 1:
        return []
    if room > len(away) + 1:
        heading = f"while you were away {len(away)} came up"
        told = [f"   {_ago(alarm, now)}, {alarm.want.text}" for alarm in away]
        return [line(f" {text}", width, "bold") for text in (heading, *told)]
    short = ", ".join(_ago(alarm, now) for alarm in away)
    rows = wrapped([f"while you were away: {short}"], width - 2)
    if len(rows) > room:
        rows = [*rows[: room - 1], " ".join(rows[room - 1 :])]
    return [line(f" {row}", width, "bold") for row in rows]


def _ago(alarm: Alarm, now: datetime) -> str:
    late = span_words((now - alarm.since).total_seconds())
    place = f"stand {alarm.place}" if alarm.want.stand else alarm.place
    return f"{place} {alarm.want.word} {late} ago"
