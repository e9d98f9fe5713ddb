"""The picture of the air: every point inside its frame, the extremes shown, bars where steps were."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import Any
from xml.etree import ElementTree

from hypothesis import given, settings
from hypothesis import strategies as st

from bench.records.air_picture import (
    COLUMNS,
    HIGH,
    LEFT,
    LINES,
    RIGHT,
    TOP,
    WIDE,
    AirPicture,
    AirPoint,
    StepBar,
    drawn_text,
    svg,
    thinned,
    ticks,
)
from bench.records.as_html import STYLE
from tests.conftest import MONDAY

DEGREES = st.floats(-30, 60).map(lambda value: round(value, 1))
MINUTES = st.integers(0, 60 * 24 * 40)


@st.composite
def pictures(draw: Any) -> AirPicture:
    """Some weeks of work, with readings of one, two or three figures."""
    times = sorted(draw(st.lists(MINUTES, max_size=60, unique=True)))
    points = tuple(
        AirPoint(
            MONDAY + timedelta(minutes=at),
            draw(DEGREES),
            draw(st.none() | DEGREES),
            draw(st.none() | DEGREES),
        )
        for at in times
    )
    bars = tuple(
        StepBar(draw(st.text(max_size=70)), draw(st.booleans()), start, start + length)
        for start, length in draw(
            st.lists(
                st.tuples(
                    MINUTES.map(lambda at: MONDAY + timedelta(minutes=at)),
                    st.integers(0, 3000).map(lambda minutes: timedelta(minutes=minutes)),
                ),
                min_size=0 if points else 1,
                max_size=9,
            )
        )
    )
    return AirPicture(points, bars)


def drawn(picture: AirPicture) -> ElementTree.Element:
    return ElementTree.fromstring(svg(picture))


def path_of(root: ElementTree.Element, mark: str) -> list[tuple[float, float]]:
    """The corners of one of the three lines."""
    paths = [each.attrib["d"] for each in root.iter("path") if each.get("class") == mark]
    found = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", "".join(paths))
    return [(float(x), float(y)) for x, y in found]


def hour_at(picture: AirPicture, x: float) -> datetime:
    first, last = picture.span
    return first + (x - LEFT) / (RIGHT - LEFT) * (last - first)


def degrees_at(picture: AirPicture, y: float) -> float:
    least, most = picture.range_c
    return least + (TOP + HIGH - y) / HIGH * (most - least)


@settings(max_examples=40, deadline=None)
@given(pictures())
def test_it_is_inside_its_frame_with_its_extremes_and_a_bar_for_each_step(
    picture: AirPicture,
) -> None:
    root = drawn(picture)
    high = float(root.attrib["viewBox"].split()[3])
    least, most = picture.range_c
    near_c = (most - least) / HIGH
    for line in LINES:
        places = path_of(root, line.mark)
        assert all(LEFT <= x <= RIGHT and TOP <= y <= TOP + HIGH for x, y in places)
        values = [value for point in picture.points for value in line.values(point)]
        assert len(places) >= bool(values)
        if values:
            shown = [degrees_at(picture, y) for _, y in places]
            assert abs(max(shown) - max(values)) <= near_c
            assert abs(min(shown) - min(values)) <= near_c
    bars = [each for each in root.iter("rect") if each.get("class") == "bar"]
    assert len(bars) == len(picture.bars)
    first, last = picture.span
    near = (last - first) / (RIGHT - LEFT) * 2.2  # a bar is never narrower than it can be seen
    for bar, step in zip(bars, picture.bars, strict=True):
        x, width, top = (float(bar.attrib[name]) for name in ("x", "width", "y"))
        assert x >= LEFT
        assert x + width <= RIGHT + 0.01
        assert TOP + HIGH < top < high - 8
        assert abs(hour_at(picture, x) - step.first_at) <= near
        assert abs(hour_at(picture, x + width) - step.last_at) <= near
        assert bar.attrib["fill"] == ("#000" if step.is_coat else "#fff")


@settings(max_examples=40, deadline=None)
@given(pictures(), st.integers(70, 130))
def test_in_letters_it_keeps_its_width_and_shows_highest_and_lowest(
    picture: AirPicture, width: int
) -> None:
    lines = drawn_text(picture, width)
    assert max(map(len, lines)) <= width
    plot = lines[:12]
    for row, extreme in ((0, max), (11, min)):
        ends = [
            (value, line.mark)
            for line in LINES
            for point in picture.points
            for value in line.values(point)
        ]
        if not ends:
            continue
        value, mark = extreme(ends)
        least, most = picture.range_c
        at = round((most - value) / (most - least) * 11)
        assert abs(at - row) <= 11 / (most - least) + 1
        assert re.search(rf"[{mark}*]", plot[at][5:]), (value, mark, plot)
    bars = lines[14:-1]
    assert len(bars) == len(picture.bars)
    for drawn_bar, step in zip(bars, picture.bars, strict=True):
        assert ("#" if step.is_coat else "=") in drawn_bar


def test_a_month_of_a_probe_is_thinned_to_the_width_and_keeps_a_single_peak() -> None:
    points = [
        AirPoint(MONDAY + timedelta(minutes=5 * n), 15 + n % 7, 14.0, 8.0) for n in range(9000)
    ]
    points[4321] = AirPoint(points[4321].at, 31.5, -2.5, 12.5)
    shown = thinned(points, COLUMNS)
    assert points[4321] in shown
    assert {points[0], points[-1]} <= set(shown)
    assert len(shown) <= 8 * COLUMNS
    assert thinned(points[:1], COLUMNS) == points[:1]
    assert thinned([], COLUMNS) == []


def test_lines_are_told_apart_without_colour_and_named_for_who_does_not_see_them() -> None:
    points = tuple(
        AirPoint(MONDAY + timedelta(hours=2 * n), 18 + n, 16.0, 9.0 - n) for n in range(4)
    )
    late = AirPoint(MONDAY + timedelta(hours=40), 12.0)
    bar = StepBar("1 Blast <clean>", False, MONDAY, MONDAY + timedelta(hours=1))
    told = svg(AirPicture((*points, late), (bar,)))
    root = ElementTree.fromstring(told)
    strokes = {
        line.mark: next(e for e in root.iter("path") if e.get("class") == line.mark)
        for line in LINES
    }
    assert len({path.get("stroke-dasharray") for path in strokes.values()}) == 3
    # Black, white and the grey of the grid, and nothing of the style but its width and letters.
    assert set(re.findall(r"#[0-9a-f]{3,6}", told)) == {"#000", "#fff", "#999"}
    assert "svg.air, svg.lanes { width: 100%;" in STYLE
    assert root.attrib["role"] == "img"
    named = {each.attrib["id"]: each.text or "" for each in root if "id" in each.attrib}
    assert root.attrib["aria-labelledby"].split() == list(named)
    assert "air 12 to 21 C; surface 16 to 16 C; dew point 6 to 9 C" in named["air-desc"]
    assert "1 Blast <clean>" in named["air-desc"]
    # A reading counts for four hours: no line is drawn over a longer gap.
    air = strokes["a"].attrib["d"]
    assert (air.count("M"), air.count("L")) == (2, 3)
    assert all(0 <= float(e.attrib["x"]) <= WIDE for e in root.iter("text"))
    # A step as long as the whole has its name on it, in letters too.
    whole = AirPicture((), (StepBar("1 Dry overnight", False, MONDAY, MONDAY + timedelta(days=1)),))
    (name,) = [e for e in drawn(whole).iter("text") if e.text == "1 Dry overnight"]
    assert (name.attrib["text-anchor"], float(name.attrib["x"])) == ("middle", (LEFT + RIGHT) / 2)
    assert drawn_text(whole, 79)[14].startswith("     == 1 Dry overnight ====")
    assert svg(AirPicture((), ())) == ""


def test_hours_and_days_on_the_axis_are_round_and_eight_at_most() -> None:
    day = timedelta(days=1)
    hours = [timedelta(hours=n) for n in (1, 2, 3, 6, 12)]
    midnight = MONDAY.replace(year=2026, month=3, day=9, hour=0, minute=0, second=0, microsecond=0)
    for step in (*hours, *(n * day for n in (1, 2, 7, 14, 28, 56, 182))):
        found = ticks(midnight, midnight + 8 * step)
        assert [at for at, _ in found] == [midnight + n * step for n in range(9)]
    assert [words for _, words in ticks(midnight, midnight + day)][::4] == [
        "9 Mar",
        "12:00",
        "10 Mar",
    ]
