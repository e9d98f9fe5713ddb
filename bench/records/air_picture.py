"""A picture of the air over the time of the work: air, surface and dew point, steps as bars below.

Pure: what is drawn comes in. As SVG it is black on white, its lines told apart by their dashes and
marks; as text it is letters of one width. Of many readings so many are drawn as the width can show,
and of each stretch the lowest and the highest stay.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from html import escape
from itertools import groupby, pairwise
from math import ceil, floor

from bench.process.clocks.temperature import READ_AGAIN
from bench.records.plain_text import plain, width_of


@dataclass(frozen=True)
class AirPoint:
    """Air, surface and dew point in C at an instant; None: not read."""

    at: datetime
    air_c: float
    surface_c: float | None = None
    dew_point_c: float | None = None


@dataclass(frozen=True)
class StepBar:
    """A step of the work from its beginning to its end."""

    name: str
    is_coat: bool
    first_at: datetime
    last_at: datetime


@dataclass(frozen=True)
class AirPicture:
    """What is drawn: readings oldest first, steps in order, every instant in one zone."""

    points: tuple[AirPoint, ...]
    bars: tuple[StepBar, ...]

    @property
    def span(self) -> tuple[datetime, datetime]:
        """Return from when to when it goes: at least an hour."""
        times = [point.at for point in self.points]
        times += [at for bar in self.bars for at in (bar.first_at, bar.last_at)]
        first, last = min(times), max(times)
        return first, max(last, first + timedelta(hours=1))

    @property
    def range_c(self) -> tuple[int, int]:
        """Return the whole degrees between which all of it lies."""
        values = [value for line in LINES for point in self.points for value in line.values(point)]
        # Half a degree more, so that no line runs along the frame.
        return floor(min(values, default=0.5) - 0.5), ceil(max(values, default=0.5) + 0.5)


@dataclass(frozen=True)
class Line:
    """One of the three. dash: of SVG, none for a whole line; mark: its letter in text."""

    name: str
    mark: str
    dash: str
    read: Callable[[AirPoint], float | None]

    def values(self, point: AirPoint) -> Iterator[float]:
        """Yield its figure of a reading, nothing where it was not read."""
        if (value := self.read(point)) is not None:
            yield value


LINES = (
    Line("air", "a", "", lambda point: point.air_c),
    Line("surface", "s", "6 3", lambda point: point.surface_c),
    Line("dew point", "d", "1.5 2.5", lambda point: point.dew_point_c),
)


def thinned(points: Sequence[AirPoint], columns: int) -> list[AirPoint]:
    """Return what so many columns can show: of each the first, the last, and the extremes.

    points: oldest first. Never more than eight of a column.
    """
    if not points:
        return []
    start, whole_s = points[0].at, (points[-1].at - points[0].at).total_seconds() or 1.0

    def column(point: AirPoint) -> int:
        return min(int((point.at - start).total_seconds() / whole_s * columns), columns - 1)

    shown: list[AirPoint] = []
    for _, of_column in groupby(points, key=column):
        there = list(of_column)
        keep = {0, len(there) - 1}
        for line in LINES:
            read = [(value, n) for n, point in enumerate(there) for value in line.values(point)]
            if read:
                keep |= {min(read)[1], max(read)[1]}
        shown += [there[n] for n in sorted(keep)]
    return shown


# --- as SVG --------------------------------------------------------------------------------------

WIDE, LEFT, RIGHT, TOP, HIGH, LANE = 700.0, 34.0, 690.0, 18.0, 130.0, 13.0
"""Its measures in its own units: 700 are the width of the page."""

COLUMNS = 300
MOST_MARKS = 60
"""So many readings are marked singly; a line of more is a line."""

LEAST_BAR = 2.0
LETTER = 5.0
"""How wide a letter is at most, on the average of a name, in the type that is used."""


def svg(picture: AirPicture) -> str:
    """Draw it; empty where there is neither a reading nor a step."""
    if not (picture.points or picture.bars):
        return ""
    high = TOP + HIGH + 26 + LANE * len(picture.bars) + 4
    parts = [
        f'<svg class="air" role="img" aria-labelledby="air-title air-desc" '
        f'viewBox="0 0 {WIDE:g} {high:g}" font-size="9" fill="#000">',
        '<title id="air-title">Air, surface and dew point over the time of the work</title>',
        f'<desc id="air-desc">{_text(description(picture))}</desc>',
        *_legend(),
        *_frame(picture),
        *(part for line in LINES for part in _drawn(picture, line)),
        *_bars(picture),
        "</svg>",
    ]
    return "\n".join(parts)


def description(picture: AirPicture) -> str:
    """Say in words what the picture shows, for who does not see it."""
    first, last = picture.span
    words = [f"From {first:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M}"]
    for line in LINES:
        if read := [value for point in picture.points for value in line.values(point)]:
            words.append(f"{line.name} {min(read):g} to {max(read):g} C")
    if picture.bars:
        words.append(f"steps: {', '.join(bar.name for bar in picture.bars)}")
    return "; ".join(words)


def _x(picture: AirPicture, at: datetime) -> float:
    first, last = picture.span
    share = (at - first) / (last - first)
    return round(LEFT + share * (RIGHT - LEFT), 1)


def _y(picture: AirPicture, value_c: float) -> float:
    least, most = picture.range_c
    return round(TOP + HIGH - (value_c - least) / (most - least) * HIGH, 1)


def _legend() -> Iterator[str]:
    for n, line in enumerate(LINES):
        x = LEFT + n * 110
        yield f'<path d="M{x:g} 8H{x + 28:g}"{_stroke(line)}/>{_marked(line, x + 14, 8)}'
        yield f'<text x="{x + 33:g}" y="11">{line.name}, C</text>'


def _frame(picture: AirPicture) -> Iterator[str]:
    bottom = TOP + HIGH
    grid = ' stroke="#999" stroke-width=".4" fill="none"'
    for value in ticks_c(*picture.range_c):
        y = _y(picture, value)
        yield f'<path d="M{LEFT:g} {y:g}H{RIGHT:g}"{grid}/>'
        yield f'<text x="{LEFT - 4:g}" y="{y + 3:g}" text-anchor="end">{value}</text>'
    low = bottom + 26 + LANE * len(picture.bars)
    for at, words in ticks(*picture.span):
        x = _x(picture, at)
        yield f'<path d="M{x:g} {TOP:g}V{low:g}"{grid}/>'
        anchor = "middle" if x + 22 < WIDE else "end"
        yield f'<text x="{x:g}" y="{bottom + 12:g}" text-anchor="{anchor}">{words}</text>'
    yield (
        f'<rect x="{LEFT:g}" y="{TOP:g}" width="{RIGHT - LEFT:g}" height="{HIGH:g}" '
        'fill="none" stroke="#000"/>'
    )


def _drawn(picture: AirPicture, line: Line) -> Iterator[str]:
    shown = [point for point in thinned(picture.points, COLUMNS) if line.read(point) is not None]
    places = [
        (point.at, _x(picture, point.at), _y(picture, value))
        for point in shown
        for value in line.values(point)
    ]
    path, before = "", None
    for at, x, y in places:
        joins = before is not None and at - before <= READ_AGAIN
        path += f"{'L' if joins else 'M'}{x:g} {y:g}"
        before = at
    if path:
        yield f'<path class="{line.mark}" d="{path}"{_stroke(line)}/>'
    alone = _alone([at for at, _, _ in places])
    for (_, x, y), single in zip(places, alone, strict=True):
        if single or len(places) <= MOST_MARKS:
            yield _marked(line, x, y)


def _alone(times: Sequence[datetime]) -> list[bool]:
    """Say of each reading whether no line leads to or from it."""
    near = [later - earlier <= READ_AGAIN for earlier, later in pairwise(times)]
    return [
        not (before or after) for before, after in zip([False, *near], [*near, False], strict=True)
    ][: len(times)]


def _stroke(line: Line) -> str:
    dash = f' stroke-dasharray="{line.dash}"' if line.dash else ""
    return f' fill="none" stroke="#000" stroke-width="1.1"{dash}'


def _marked(line: Line, x: float, y: float) -> str:
    """A dot for the air, a square for the surface, a cross for the dew point."""
    if line.mark == "a":
        return f'<circle cx="{x:g}" cy="{y:g}" r="1.8"/>'
    if line.mark == "s":
        box = f'x="{x - 2:g}" y="{y - 2:g}" width="4" height="4"'
        return f'<rect {box} fill="#fff" stroke="#000" stroke-width=".9"/>'
    cross = f"M{x - 2:g} {y - 2:g}l4 4m0 -4l-4 4"
    return f'<path d="{cross}" fill="none" stroke="#000" stroke-width=".9"/>'


def _bars(picture: AirPicture) -> Iterator[str]:
    """A coat is black, another step white; its name is on the side that has room."""
    for n, bar in enumerate(picture.bars):
        top = TOP + HIGH + 24 + n * LANE
        x = min(_x(picture, bar.first_at), RIGHT - LEAST_BAR)
        width = max(_x(picture, bar.last_at) - x, LEAST_BAR)
        fill = "#000" if bar.is_coat else "#fff"
        yield (
            f'<rect class="bar" x="{x:g}" y="{top:g}" width="{width:g}" height="8" fill="{fill}" '
            'stroke="#000" stroke-width=".8"/>'
        )
        rooms = (RIGHT - x - width - 4, x - 4 - LEFT, width - 8)
        name, side = _fitted(bar.name, [int(room / LETTER) for room in rooms])
        place, anchor = (
            (x + width + 4, "start"),
            (x - 4, "end"),
            (x + width / 2, "middle"),
        )[side]
        wide = LETTER * width_of(name)
        left = place - {"start": 0, "end": wide, "middle": wide / 2}[anchor]
        yield f'<rect x="{left:g}" y="{top:g}" width="{wide:g}" height="8" fill="#fff"/>'
        yield f'<text x="{place:g}" y="{top + 7.5:g}" text-anchor="{anchor}">{_text(name)}</text>'


def _text(text: str) -> str:
    return escape(plain(text), quote=True)


def ticks_c(least: int, most: int) -> list[int]:
    """Give round degrees between two, at most eight.

    >>> ticks_c(3, 21)
    [5, 10, 15, 20]
    """
    step = next((each for each in (1, 2, 5, 10, 20, 50) if (most - least) / each < 8), 100)
    return list(range(-(-least // step) * step, most + 1, step))


TICKS_H = (1, 2, 3, 6, 12, 24, 48, 7 * 24, 14 * 24, 28 * 24, 56 * 24, 182 * 24)


def ticks(first: datetime, last: datetime, most: int = 8) -> list[tuple[datetime, str]]:
    """Give round hours or days between two instants, each with its words.

    >>> ticks(datetime(2026, 3, 9, 7, 30), datetime(2026, 3, 9, 10, 0))[0]
    (datetime.datetime(2026, 3, 9, 8, 0), '08:00')
    """
    hours = (last - first) / timedelta(hours=1)
    step = next((each for each in TICKS_H if hours / each <= most), TICKS_H[-1])
    at = first.replace(hour=0, minute=0, second=0, microsecond=0)
    found = []
    while at <= last:
        if at >= first:
            day = f"{at.day} {at:%b}"
            found.append((at, f"{at:%H:%M}" if at.hour else day))
        at += timedelta(hours=step)
    return found


# --- as text -------------------------------------------------------------------------------------

ROWS = 12
MARGIN = 5
"""Columns for the degrees and the edge."""


def drawn_text(picture: AirPicture, width: int) -> list[str]:
    """Draw it in lines of at most so many columns; none where there is nothing to draw."""
    if not (picture.points or picture.bars):
        return []
    columns = width - MARGIN
    first, last = picture.span

    def column(at: datetime) -> int:
        return min(int((at - first) / (last - first) * columns), columns - 1)

    least, most = picture.range_c
    grid = [[" "] * columns for _ in range(ROWS)]
    for point in thinned(picture.points, columns):
        for line in LINES:
            for value in line.values(point):
                row = round((most - value) / (most - least) * (ROWS - 1))
                there = grid[row][column(point.at)]
                grid[row][column(point.at)] = line.mark if there in (" ", line.mark) else "*"
    labels = {0: f"{most:>3}", ROWS - 1: f"{least:>3}"}
    lines = [f"{labels.get(n, ''):>3} |{''.join(row)}".rstrip() for n, row in enumerate(grid)]
    lines.append(f"  C +{'-' * columns}")
    lines.append(_tick_line(picture, column, columns))
    lines += [_bar_line(bar, column, columns) for bar in picture.bars]
    lines.append("a air, s surface, d dew point, * several; # a coat, = another step")
    return lines


def _tick_line(picture: AirPicture, column: Callable[[datetime], int], columns: int) -> str:
    cells = ""
    for at, words in ticks(*picture.span, most=7):
        place = min(column(at), columns - len(words))
        if place >= len(cells) + bool(cells):
            cells = f"{cells:<{place}}{words}"
    return " " * MARGIN + cells


def _bar_line(bar: StepBar, column: Callable[[datetime], int], columns: int) -> str:
    start, end = column(bar.first_at), column(bar.last_at)
    drawn = ("#" if bar.is_coat else "=") * (end - start + 1)
    rooms = [columns - end - 2, start - 1, len(drawn) - 4]
    name, side = _fitted("".join(c for c in bar.name if width_of(c) == 1), rooms)
    if side == 2:
        rest = len(drawn) - len(name) - 4
        return f"{' ' * (MARGIN + start)}{drawn[:2]} {name} {drawn[: max(rest, 0)]}"
    before = f"{name} ".rjust(start) if side == 1 else " " * start
    return f"{' ' * MARGIN}{before}{drawn}{f' {name}' if side == 0 else ''}".rstrip()


def _fitted(name: str, rooms: Sequence[int]) -> tuple[str, int]:
    """Return a name of a bar, and where it has room: right, left or on it; cut where nowhere.

    rooms: so many letters there.
    """
    name = plain(name)
    side = next((n for n, room in enumerate(rooms) if len(name) <= room), None)
    if side is not None:
        return name, side
    room = max(rooms)
    return f"{name[: room - 2]}..", rooms.index(room)
