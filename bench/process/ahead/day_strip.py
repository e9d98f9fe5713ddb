"""The next two days of a stand as one line of plain ASCII, with its hours under it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

from bench.process.ahead.attendance import Stay, stays
from bench.process.clocks.edges import Edge
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import Clocks, needs_test, stand_state
from bench.process.clocks.temperature import Hours
from bench.process.parts.part import Part

STRIP_LENGTH = timedelta(hours=48)
LEAST_WIDTH, MOST_WIDTH = 24, 400
"""Two hours to a cell at the least: narrower, opening and shutting run together."""

SOMEBODY_IN, NOBODY_IN, NIGHT = "=", "-", ":"
OPENS, CLOSES, TEST, BIN = "[", "]", "?", "x"
SIGNS = {
    SOMEBODY_IN: "shop open",
    NOBODY_IN: "closed",
    NIGHT: "night",
    OPENS: "opens",
    CLOSES: "closes",
    TEST: "test",
    BIN: "bin pot",
}
"""What each sign means."""

_PRESSING = (BIN, CLOSES, TEST, OPENS)
"""Of two signs in one cell the first of these is shown."""

NIGHT_FROM, NIGHT_TO = time(20), time(6)
"""Hours shaded as night (common practice, no source)."""

LABEL_HOURS = (1, 2, 3, 6, 12)
LABEL_CELLS = 4
"""A label takes three cells and one of air: twelve hours are six cells where it is narrowest."""


@dataclass(frozen=True)
class StripMark:
    """Holds one sign of the strip, at the hour that people see."""

    edge: Edge
    sign: str


def signs_of(
    part: Part, clocks: Clocks, pots: Iterable[Pot], now: datetime
) -> tuple[StripMark, ...]:
    """Return what is ahead of a part, and of the pots for its next step, in order of time."""
    record = part.current()
    if record is None:
        return ()
    signs = list(_of_the_step(part, clocks, now))
    own = [pot for pot in pots if record.step.product and pot.product == record.step.product]
    signs += [StripMark(pot.end, BIN) for pot in own if pot.end is not None and not pot.off]
    if stand_state(part, clocks, now).test:
        signs.append(StripMark(clocks.fixed(now, "opening"), TEST))
    ahead = [sign for sign in signs if timedelta(0) <= sign.edge.at - now < STRIP_LENGTH]
    return tuple(sorted(ahead, key=lambda sign: (sign.edge.shown, _PRESSING.index(sign.sign))))


def _of_the_step(part: Part, clocks: Clocks, now: datetime) -> Iterator[StripMark]:
    record = part.current()
    if record is None:
        return
    if record.status == "in hand":
        for mark in record.marks if record.step.kind == "dwell" else ():
            if mark.begun_at is not None and mark.done_at is None:
                least, most = (
                    timedelta(seconds=s) for s in (record.step.least_s, record.step.most_s)
                )
                yield StripMark(clocks.fixed(mark.begun_at + least, "opening"), OPENS)
                yield StripMark(clocks.fixed(mark.begun_at + most, "closing"), CLOSES)
        return
    for turn in clocks.turns(now):
        if turn.edge.side == "opening":
            test = record.step.kind != "cure" and needs_test(part, clocks.spans, turn.place + 1)
            yield StripMark(turn.edge, TEST if test else OPENS)
        elif record.step.kind in ("coat", "cure"):
            yield StripMark(turn.edge, CLOSES)
    if clocks.cure is not None and (cured := clocks.edge(clocks.cure, now)):
        yield StripMark(cured, TEST)


def day_strip(
    signs: Iterable[StripMark], hours: Hours, start: datetime, width: int
) -> tuple[str, str]:
    """Give the line and the hours under it, each ``width`` cells of plain ASCII from ``start`` on.

    width: 24 to 400. A cell is 48 h of elapsed time divided by the width, whatever the clocks on
    the wall do; the label of an hour begins in the cell that hour falls in. Raises ValueError for
    another width.
    """
    if not LEAST_WIDTH <= width <= MOST_WIDTH:
        raise ValueError(f"a day strip of {width} cells: from {LEAST_WIDTH} to {MOST_WIDTH}")
    first = start.astimezone(UTC)
    open_hours = stays(hours, first, STRIP_LENGTH.days + 2)
    cells = [
        _shade(hours, open_hours, first + STRIP_LENGTH * (n + 0.5) / width) for n in range(width)
    ]
    drawing_order = sorted(signs, key=lambda sign: -_PRESSING.index(sign.sign))
    for sign in drawing_order:
        # A closing that is a minute away is shown as now, not as gone.
        place = _cell(max(sign.edge.shown, first), first, width)
        if sign.edge.at >= first and place < width:
            cells[place] = sign.sign
    return "".join(cells), _labels(hours, first, width)


def _cell(at: datetime, first: datetime, width: int) -> int:
    return (at.astimezone(UTC) - first) * width // STRIP_LENGTH


def _shade(hours: Hours, open_hours: list[Stay], middle: datetime) -> str:
    if hours.always_in or any(a <= middle < b for a, b in open_hours):
        return SOMEBODY_IN
    clock = middle.astimezone(hours.zone).time()
    return NIGHT if clock >= NIGHT_FROM or clock < NIGHT_TO else NOBODY_IN


def _labels(hours: Hours, first: datetime, width: int) -> str:
    """Return the hours of the wall clock, the day's name at midnight, as many as fit."""
    an_hour = width / (STRIP_LENGTH / timedelta(hours=1))
    step = next(n for n in LABEL_HOURS if n * an_hour >= LABEL_CELLS)
    line = " " * width
    day = first.astimezone(hours.zone).date()
    for n in range(STRIP_LENGTH.days + 2):
        for hour in range(0, 24, step):
            wall = datetime.combine(day + timedelta(days=n), time(hour), hours.zone)
            label = f"{wall:%a}" if hour == 0 else f"{hour:02d}"
            place = _cell(wall, first, width)
            room = line[max(place - 1, 0) : place + len(label) + 1]
            if 0 <= place <= width - len(label) and not room.strip():
                line = line[:place] + label + line[place + len(label) :]
    return line
