"""The picture of a day of the plan: every bar in its lane and hours, every stroke in its bar."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from random import Random
from xml.etree import ElementTree

import pytest

from bench.process.plan.day_page import SIGNS, Lane, Stretch
from bench.records.as_html import html
from bench.records.as_markdown import markdown
from bench.records.as_text import text
from bench.records.blocks import Title
from bench.records.lanes_picture import (
    BAR,
    LANE,
    LEAST_BAR,
    LEFT,
    RIGHT,
    TOP,
    LanesPicture,
    drawn_lanes,
    lanes_description,
    lanes_svg,
)
from bench.records.plain_text import width_of
from tests.conftest import MONDAY

from .making import HOSTILE

DAY = MONDAY.replace(hour=7, minute=0), MONDAY.replace(hour=17, minute=30)
PATTERNS = {"=": 0, "m": 1, "/": 1, "x": 2}


def picture(seed: int) -> LanesPicture:
    """Some lanes, one behind the other; some of it before and after what is shown."""
    random = Random(seed)
    lanes = []
    for name in ("Una", "A painter with a long name", random.choice([*HOSTILE.values()])):
        at, stretches = DAY[0] - timedelta(hours=2), []
        while at < DAY[1] + timedelta(hours=1):
            until = at + timedelta(minutes=random.randrange(1, 150))
            tag = random.choice(("4", "12", "104b", "", *HOSTILE.values()))
            stretches.append(Stretch(at, until, tag, random.choice([*SIGNS])))
            at = until + timedelta(minutes=random.randrange(60))
        lanes.append(Lane(name, tuple(stretches)))
    return LanesPicture(DAY, tuple(lanes))


def hour_at(x: float) -> datetime:
    return DAY[0] + (x - LEFT) / (RIGHT - LEFT) * (DAY[1] - DAY[0])


@pytest.mark.parametrize("seed", range(6))
def test_every_bar_is_in_its_lane_at_its_hours_and_told_apart_by_its_pattern(seed: int) -> None:
    drawn = picture(seed)
    root = ElementTree.fromstring(lanes_svg(drawn))
    legend = 0
    bars, patterns = [], []
    for each in root:
        if each.get("class") == "bar":
            x, top, width, high = (float(each.attrib[n]) for n in ("x", "y", "width", "height"))
            if top < TOP:
                legend += 1
                continue
            bars.append((x, top, width))
            patterns.append(0)
            assert high == BAR
            assert each.attrib["fill"] == "#fff"
        elif each.get("class") in ("mixing", "abrading", "masks") and bars:
            x, top, width = bars[-1]
            patterns[-1] += 1
            corners = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", each.attrib["d"])
            assert all(
                x - 0.1 <= float(a) <= x + width + 0.1 and top - 0.1 <= float(b) <= top + BAR + 0.1
                for a, b in corners
            )
            assert corners or width < 6
    assert legend == len(SIGNS)
    shown = [
        (number, stretch)
        for number, lane in enumerate(drawn.lanes)
        for stretch in lane.stretches
        if stretch.until > DAY[0] and stretch.since < DAY[1]
    ]
    assert len(bars) == len(shown) > 10
    near = timedelta(minutes=2) + LEAST_BAR * (DAY[1] - DAY[0]) / (RIGHT - LEFT)
    for (x, top, width), (lane, stretch), strokes in zip(bars, shown, patterns, strict=True):
        assert top == TOP + lane * LANE
        assert LEFT <= x < x + width <= RIGHT + 0.01
        assert abs(hour_at(x) - max(stretch.since, DAY[0])) <= near
        assert abs(hour_at(x + width) - min(stretch.until, DAY[1])) <= near
        assert strokes == PATTERNS[stretch.sign]
    assert not re.search(r"#(?!000|fff|999)[0-9a-f]{3}", lanes_svg(drawn)), "black on white"


def test_a_tag_stands_in_its_bar_where_it_has_room_and_all_is_said_in_words() -> None:
    at = [DAY[0] + timedelta(minutes=m) for m in (0, 60, 120, 125, 300)]
    lane = Lane(
        "Una",
        (
            Stretch(at[0], at[1], "4", "m"),
            Stretch(at[1], at[2], "4", "="),
            Stretch(at[2], at[3], "1204", "="),
            Stretch(at[3], at[4], "9", "x"),
        ),
    )
    drawn = LanesPicture(DAY, (lane, Lane("Bo", ())))
    root = ElementTree.fromstring(lanes_svg(drawn))
    assert [e.text for e in root.iter("text") if e.get("class") == "tag"] == ["4", "9"]
    title, desc = root[0], root[1]
    assert root.attrib["aria-labelledby"].split() == [title.attrib["id"], desc.attrib["id"]]
    assert title.text == "Who does what on Mon 09 Jun 2025"
    assert (
        desc.text
        == lanes_description(drawn)
        == (
            "Una: tag 4 mixing 07:00 to 08:00, tag 4 work 08:00 to 09:00, tag 1204 work 09:00 to "
            "09:05, tag 9 masks on 09:05 to 12:00; Bo: nothing"
        )
    )


@pytest.mark.parametrize("width", [40, 79, 120])
def test_in_letters_it_keeps_its_width_and_says_what_its_signs_mean(width: int) -> None:
    for seed in range(6):
        lines = drawn_lanes(picture(seed), width)
        assert max(map(width_of, lines[:-1])) <= width
        assert lines[-1] == "= work, m mixing, / abrading, x masks on"


def test_every_form_of_a_page_has_it() -> None:
    page = (Title("PLAN"), picture(1))
    for written in (text(page), markdown(page), html(page, "Plan, written now")):
        assert "Una" in written
        assert "masks on" in written
