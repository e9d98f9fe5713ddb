"""The next 48 hours as one line: hours in and out, night, and what happens when."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from bench.process.ahead.attendance import somebody_in
from bench.process.ahead.day_strip import SIGNS, STRIP_LENGTH, StripMark, day_strip, signs_of
from bench.process.clocks.edges import Edge
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import Clocks
from bench.process.parts.part import Mark
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step

from ..making import HOURS, MON, after, around, band, coated, product

FORWARD = datetime(2026, 3, 28, 13, 0, tzinfo=UTC)
BACK = datetime(2026, 10, 24, 13, 0, tzinfo=UTC)
"""The Saturdays before London's clocks change in 2026; both changes are at 01:00 UTC."""


def at_hour(at: datetime, sign: str) -> StripMark:
    return StripMark(Edge(at, "opening"), sign)


STARTS = [MON, MON.replace(hour=22, minute=17), FORWARD, BACK]
WIDTHS = [*range(40, 131, 6), 130]


def test_two_days_from_monday_morning_at_a_cell_an_hour() -> None:
    line, hours = day_strip([], HOURS, MON, 48)
    assert line == "=========---::::::::::-==========---::::::::::-="
    assert hours == "    12    18    Tue   06    12    18    Wed   06"


@pytest.mark.parametrize(
    ("width", "step_h"),
    [
        *((24, 12), (31, 12), (32, 6), (63, 6), (64, 3)),
        *((95, 3), (96, 2), (191, 2), (192, 1), (400, 1)),
    ],
)
def test_as_many_hours_stand_under_it_as_fit_with_a_cell_of_air(width: int, step_h: int) -> None:
    _, labels = day_strip([], HOURS, MON, width)
    hours = {int(label) for label in labels.split() if label.isdigit()}
    assert hours == set(range(step_h, 24, step_h))


def test_signs_stand_where_they_happen() -> None:
    signs = [at_hour(after(90), "["), at_hour(after(5 * 60), "]"), at_hour(after(47 * 60), "?")]
    line, _ = day_strip([*signs, at_hour(after(7 * 60 + 1), "x")], HOURS, MON, 48)
    assert {n: cell for n, cell in enumerate(line) if cell in "[]?x"} == {
        1: "[",
        5: "]",
        7: "x",
        47: "?",
    }


def test_of_two_signs_in_one_cell_the_more_pressing_is_shown() -> None:
    at = after(10)
    for shown, hidden in (("x", "]"), ("]", "?"), ("?", "[")):
        assert day_strip([at_hour(at, shown), at_hour(at, hidden)], HOURS, MON, 48)[0][0] == shown
        assert day_strip([at_hour(at, hidden), at_hour(at, shown)], HOURS, MON, 48)[0][0] == shown


def test_what_is_past_or_further_than_two_days_is_not_on_it() -> None:
    outside = [at_hour(MON - timedelta(seconds=1), "["), at_hour(MON + STRIP_LENGTH, "]")]
    assert day_strip(outside, HOURS, MON, 48) == day_strip([], HOURS, MON, 48)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("start", STARTS, ids=["Mon", "Mon night", "forward", "back"])
def test_every_cell_is_right_at_every_width_and_across_both_changes(
    start: datetime, width: int
) -> None:
    line, hours = day_strip([], HOURS, start, width)
    assert len(line) == len(hours) == width
    assert (line + hours).isascii()
    for n, cell in enumerate(line):
        middle = start + STRIP_LENGTH * (n + 0.5) / width
        assert (cell == "=") == somebody_in(HOURS, middle), (n, middle)
        if cell != "=":
            local = middle.astimezone(HOURS.zone)
            assert (cell == ":") == (local.hour >= 20 or local.hour < 6), (n, local)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("start", STARTS, ids=["Mon", "Mon night", "forward", "back"])
def test_every_hour_under_it_stands_under_its_own_cell(start: datetime, width: int) -> None:
    """Read as somebody reads it: the first cell of a label is the cell its wall hour falls in."""
    _, hours = day_strip([], HOURS, start, width)
    labels = [
        (place, hours[place:].split(" ")[0])
        for place, (before, cell) in enumerate(pairwise(" " + hours))
        if before == " " and cell != " "
    ]
    for place, label in labels:
        first, end = (start + STRIP_LENGTH * n / width for n in (place, place + 1))
        full = first.replace(minute=0, second=0, microsecond=0)
        walls = [(full + timedelta(hours=n)).astimezone(HOURS.zone) for n in range(3)]
        inside = [wall for wall in walls if first <= wall.astimezone(UTC) < end]
        assert label in [f"{wall:%a}" if wall.hour == 0 else f"{wall:%H}" for wall in inside]
    assert len(labels) >= 6
    assert sum(not label.isdigit() for _, label in labels) == 2, "both midnights are named"


def test_the_night_the_clocks_go_forward_is_an_hour_shorter() -> None:
    nights = [day_strip([], HOURS, at, 96)[0][:48].count(":") for at in (MON, FORWARD, BACK)]
    assert nights == [20, 18, 22], "half hours between 20:00 and 06:00"


def test_where_somebody_always_is_all_of_it_is_in_hours() -> None:
    assert day_strip([], replace(HOURS, always_in=True), MON, 40)[0] == "=" * 40


def test_a_holiday_is_out_of_hours() -> None:
    closed = replace(HOURS, holidays=("DTSTART:20260303 FREQ=DAILY;COUNT=1",))
    line, _ = day_strip([], closed, MON, 48)
    assert line == "=========---::::::::::--------------::::::::::-="


@pytest.mark.parametrize("width", [0, 23, 401, -5])
def test_a_width_that_shows_nothing_is_refused(width: int) -> None:
    with pytest.raises(ValueError, match=f"a day strip of {width} cells: from 24 to 400"):
        day_strip([], HOURS, MON, width)


def test_the_narrowest_still_has_its_hours() -> None:
    assert day_strip([], HOURS, MON, 24)[1].split() == ["12", "Tue", "12", "Wed"]


# --- which signs ---------------------------------------------------------------------------------


def signs(paint: Product, now: datetime = MON, then: str = "coat", **more: object) -> list[str]:
    part = coated(MON, MON, then=then)
    done, todo = part.steps
    part = replace(part, steps=(replace(done, **more), todo))  # type: ignore[arg-type]
    found = signs_of(part, clocks_of(part, around(paint)), (), now)
    return [f"{sign.sign} {sign.edge.at:%a %H:%M}" for sign in found]


WAITS = product(band("wait", 240), band("open", 600), band("key"))
ENAMEL = product(band("flash", 8), band("open", 60), band("shut", 40 * 60), band("open"))


def test_a_wait_ends_in_a_test_and_an_open_band_in_shutting() -> None:
    assert signs(WAITS) == ["? Mon 12:00", "] Mon 18:00"]


def test_after_the_forbidden_middle_a_test_is_due() -> None:
    passed = {"passed_at": after(10), "passed_by": "Kit"}
    assert signs(ENAMEL, after(11), **passed) == ["] Mon 09:00", "? Wed 00:00"]


def test_an_overrun_test_is_due_now() -> None:
    assert signs(WAITS, after(300)) == ["? Mon 13:00", "] Mon 18:00"]


def test_work_is_never_too_late() -> None:
    assert signs(WAITS, then="work") == ["? Mon 12:00"]


def test_a_cure_is_tried_when_its_time_is_over_and_touched_up_before_it_closes() -> None:
    paint = replace(ENAMEL, full_cure=((20.0, 30 * 3600.0),))
    part = coated(MON, MON, then="cure")
    cured = clocks_of(part, around(paint)).cure
    assert cured is not None
    assert cured.end is not None
    assert cured.end - MON < STRIP_LENGTH
    told = set(signs(paint, then="cure"))
    assert told == {"[ Mon 08:08", "] Mon 09:00", "[ Wed 00:00", f"? {cured.end:%a %H:%M}"}


def test_a_zone_that_soaks_opens_and_closes_its_rinse() -> None:
    part = coated(MON, MON)
    wash = replace(
        part.steps[1],
        step=Step("mordant", "dwell", "m", least_s=600, most_s=900),
        status="in hand",
        marks=(Mark("FRONT", MON), Mark("REAR"), Mark("TOP", MON, MON)),
    )
    part = replace(part, steps=(part.steps[0], wash))
    found = signs_of(part, Clocks(), (), MON)
    assert [(sign.sign, sign.edge.at) for sign in found] == [("[", after(10)), ("]", after(15))]


def test_the_pots_of_its_next_coat_are_on_it_and_no_others() -> None:
    part = coated(MON, MON)
    pots = [Pot(letter, product, letter, MON, MON, after(60)) for letter, product in ("Ap", "Bq")]
    clocks = clocks_of(part, around(product(band("open"))))
    assert [sign.sign for sign in signs_of(part, clocks, pots, MON)] == ["x"]


def test_every_sign_has_its_meaning() -> None:
    assert all(len(sign) == 1 and sign.isascii() and means for sign, means in SIGNS.items())
