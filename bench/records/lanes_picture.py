"""A picture of a day of the plan: a lane for each painter and the spray space, hours across.

Pure: what is drawn comes in. As SVG it is black on white, and a pattern says what is done in a
stretch; as text it is signs of one width.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from html import escape

from bench.process.ahead.attendance import Stay
from bench.process.plan.day_page import SIGNS, Lane, Stretch
from bench.process.plan.lane_text import full_hours, lane_texts
from bench.records.plain_text import padded, plain, width_of


@dataclass(frozen=True)
class LanesPicture:
    """What is drawn. day: from when to when, in the shop's zone; at least one lane."""

    day: Stay
    lanes: tuple[Lane, ...]


# --- as text -------------------------------------------------------------------------------------

NAME_CELLS = 12
LEGEND = ", ".join(f"{sign} {words}" for sign, words in SIGNS.items())


def drawn_lanes(picture: LanesPicture, width: int) -> list[str]:
    """Draw it in lines of at most so many columns."""
    hours, texts = lane_texts(picture.lanes, picture.day, width - NAME_CELLS)
    lines = [f"{'':<{NAME_CELLS}}{hours}"]
    for lane, drawn in zip(picture.lanes, texts, strict=True):
        name = plain(lane.name)[: NAME_CELLS - 1]
        # A letter of a tag may be two columns wide: the line may not grow by it.
        cells = "".join(c if width_of(c) == 1 else "." for c in drawn)
        lines.append(f"{padded(name, NAME_CELLS)}{cells}".rstrip())
    return [*lines, LEGEND]


# --- as SVG --------------------------------------------------------------------------------------

WIDE, LEFT, RIGHT, TOP, LANE, BAR = 700.0, 84.0, 694.0, 30.0, 20.0, 15.0
"""Its measures in its own units: 700 are the width of the page."""

LETTER = 5.4
"""How wide a letter is at most, on the average of a tag or name, in the type that is used."""

LEAST_BAR = 1.5
NAME_LETTERS = int((LEFT - 4) / LETTER)


def lanes_svg(picture: LanesPicture) -> str:
    """Draw it. Its title and description have ids of its day, so that a page can hold several."""
    own = f"lanes-{picture.day[0]:%Y-%m-%d}"
    high = TOP + LANE * len(picture.lanes) + 3
    parts = [
        f'<svg class="lanes" role="img" aria-labelledby="{own}-title {own}-desc" '
        f'viewBox="0 0 {WIDE:g} {high:g}" font-size="9" fill="#000">',
        f'<title id="{own}-title">Who does what on {picture.day[0]:%a %d %b %Y}</title>',
        f'<desc id="{own}-desc">{_text(lanes_description(picture))}</desc>',
        *_legend(),
        *_hours(picture, high),
        *(part for n, lane in enumerate(picture.lanes) for part in _lane(picture, lane, n)),
        "</svg>",
    ]
    return "\n".join(parts)


def lanes_description(picture: LanesPicture) -> str:
    """Say in words what the picture shows, for who does not see it."""
    return "; ".join(
        f"{lane.name}: {', '.join(map(_stretch_words, lane.stretches)) or 'nothing'}"
        for lane in picture.lanes
    )


def _stretch_words(stretch: Stretch) -> str:
    tag = f"tag {stretch.tag} " if stretch.tag else ""
    return f"{tag}{SIGNS[stretch.sign]} {stretch.since:%H:%M} to {stretch.until:%H:%M}"


def _legend() -> Iterator[str]:
    for n, (sign, words) in enumerate(SIGNS.items()):
        x = LEFT + n * 100
        yield from _bar(x, 1, 26, 10, sign)
        yield f'<text x="{x + 31:g}" y="9">{words}</text>'


def _hours(picture: LanesPicture, high: float) -> Iterator[str]:
    grid = ' stroke="#999" stroke-width=".4" fill="none"'
    for hour in full_hours(picture.day):
        x = _x(picture, hour)
        yield f'<path d="M{x:g} {TOP - 4:g}V{high - 3:g}"{grid}/>'
        yield f'<text x="{x:g}" y="{TOP - 7:g}" text-anchor="middle">{hour:%H}</text>'


def _lane(picture: LanesPicture, lane: Lane, number: int) -> Iterator[str]:
    top = TOP + number * LANE
    name = plain(lane.name)
    name = name if len(name) <= NAME_LETTERS else f"{name[: NAME_LETTERS - 2]}.."
    yield f'<text x="{LEFT - 5:g}" y="{top + 11:g}" text-anchor="end">{_text(name)}</text>'
    yield (
        f'<path d="M{LEFT:g} {top + BAR + 2:g}H{RIGHT:g}" stroke="#999" stroke-width=".4" '
        'fill="none"/>'
    )
    for stretch in lane.stretches:
        x, end = _x(picture, stretch.since), _x(picture, stretch.until)
        if end > LEFT and x < RIGHT:
            x, width = min(x, RIGHT - LEAST_BAR), max(end - x, LEAST_BAR)
            yield from _bar(x, top, width, BAR, stretch.sign)
            yield from _tag(stretch, x, top, width)


def _tag(stretch: Stretch, x: float, top: float, width: float) -> Iterator[str]:
    """Write the tag on white, so that no pattern runs through it; none where it has no room."""
    tag = plain(stretch.tag)
    wide = LETTER * width_of(tag) + 1
    if not tag or stretch.sign not in ("=", "x") or wide > width:
        return
    middle = x + width / 2
    if stretch.sign == "x":
        box = f'x="{middle - wide / 2:g}" y="{top + 3:g}" width="{wide:g}" height="9"'
        yield f'<rect {box} fill="#fff"/>'
    yield (
        f'<text class="tag" x="{middle:g}" y="{top + 10.5:g}" text-anchor="middle">'
        f"{_text(tag)}</text>"
    )


def _bar(x: float, top: float, width: float, high: float, sign: str) -> Iterator[str]:
    """A white bar with its pattern: work none, mixing dots, abrading strokes, masks a lattice."""
    yield (
        f'<rect class="bar" x="{x:g}" y="{top:g}" width="{width:g}" height="{high:g}" '
        'fill="#fff" stroke="#000" stroke-width=".8"/>'
    )
    if sign == "m":
        dots = "".join(
            f"M{x + 2 + 3 * across:g} {top + 2 + 3 * down:g}h.01"
            for across in range(int((width - 2) // 3) + 1)
            for down in range(int((high - 2) // 3) + 1)
        )
        yield _pattern("mixing", dots, 'stroke-width="1.2" stroke-linecap="round"')
    for rises in {"/": (True,), "x": (True, False)}.get(sign, ()):
        strokes = "".join(_strokes(x, top, width, high, rises=rises))
        yield _pattern("masks" if sign == "x" else "abrading", strokes, 'stroke-width=".7"')


def _pattern(name: str, path: str, stroke: str) -> str:
    return f'<path class="{name}" d="{path}" stroke="#000" {stroke} fill="none"/>'


_APART = 5.0


def _strokes(x: float, top: float, width: float, high: float, *, rises: bool) -> Iterator[str]:
    """Yield strokes at 45 degrees over a bar, each cut off at its edges."""
    shift = _APART
    while shift < width + high:
        # From the lower edge, or the left one, up to the right: as far as the bar goes.
        first, last = max(shift - high, 0.0), min(shift, width)
        low, up = high - (shift - last), high - (shift - first)
        ends = (shift - first, shift - last)
        down, above = ends if rises else (up, low)
        yield f"M{x + first:.1f} {top + down:.1f}L{x + last:.1f} {top + above:.1f}"
        shift += _APART


def _x(picture: LanesPicture, at: datetime) -> float:
    first, last = picture.day
    share = min(max((at - first) / (last - first), 0.0), 1.0)
    return round(LEFT + share * (RIGHT - LEFT), 1)


def _text(text: str) -> str:
    return escape(plain(text), quote=True)
