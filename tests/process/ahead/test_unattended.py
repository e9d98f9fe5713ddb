"""What is missed with nobody in, most harm first. Hours 07:30-17:30, Saturday 08:00-12:30."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from bench.process.ahead.attendance import nobody_in, somebody_in, time_attended
from bench.process.ahead.unattended import MissedEvent, missed_while_closed
from bench.process.calendar.week import read_break
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import Clocks
from bench.process.parts.part import Mark, Part
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step

from ..making import HOURS, MON, around, band, coated, product

EVENING = MON.replace(hour=16)
CLOSING = MON.replace(hour=17, minute=30)
OPENING = (MON + timedelta(days=1)).replace(hour=7, minute=30)


def shutting(hours: float, then: str = "key") -> Product:
    """A coat of Monday 08:00 whose window closes so many hours later."""
    last = [band("key")] if then == "key" else [band("shut", 72 * 60), band("open")]
    return product(band("open", hours * 60), *last)


def with_clocks(paint: Product, part: Part | None = None) -> tuple[Part, Clocks]:
    part = part or coated(MON, MON)
    return part, clocks_of(part, around(paint))


def missed(*parts: tuple[Part, Clocks], pots: tuple[Pot, ...] = ()) -> tuple[MissedEvent, ...]:
    return missed_while_closed(parts, pots, HOURS, EVENING)


def test_a_window_that_closes_at_night_is_missed_and_what_it_becomes_is_said() -> None:
    (one,) = missed(with_clocks(shutting(12)))
    assert (one.word, one.tag, one.stand, one.closes.at) == ("ABRADE", "1", 1, MON.replace(hour=20))
    assert one.text == "bracket: coat closes 20:00, then ABRADE"


def test_a_forbidden_middle_tells_when_it_opens_again() -> None:
    (one,) = missed(with_clocks(shutting(12, then="shut")))
    assert one.word == "KEEP OFF"
    assert one.text == "bracket: coat closes 20:00, then KEEP OFF, until Thu 05 Mar 08:00"


@pytest.mark.parametrize("hours", [9, 9.5, 23.5, 24])
def test_what_closes_with_somebody_in_is_not_missed(hours: float) -> None:
    """17:00, 17:30 as the shop closes, 07:30 as it opens, 08:00."""
    assert missed(with_clocks(shutting(hours))) == ()


def test_only_a_coat_can_come_too_late() -> None:
    work, cure = coated(MON, MON, then="work"), coated(MON, MON, then="cure")
    assert missed(with_clocks(shutting(12), work), with_clocks(shutting(12), cure)) == ()


def test_most_harm_comes_first_then_the_soonest() -> None:
    """A wash that is left on, a pot that goes hard, a coat to be keyed, one that is shut."""
    wash = Step("mordant", "dwell", least_s=3600, most_s=7200)
    soaking = coated(MON, MON)
    record = replace(
        soaking.steps[1],
        step=wash,
        status="in hand",
        marks=(Mark("FRONT", EVENING), Mark("REAR"), Mark("TOP", MON, MON)),
    )
    soaking = replace(soaking, tag="9", steps=(soaking.steps[0], record))
    pots = tuple(
        Pot(letter, "p", "paint", MON, MON, MON + timedelta(hours=hours))
        for letter, hours in (("A", 20), ("B", 11), ("C", 5), ("D", 40))
    )
    found = missed(
        with_clocks(shutting(11, then="shut"), replace(coated(MON, MON), tag="2")),
        with_clocks(shutting(13), replace(coated(MON, MON), tag="3")),
        with_clocks(shutting(12), replace(coated(MON, MON), tag="4", hold="phone")),
        (soaking, Clocks()),
        pots=pots,
    )
    assert [(one.word, one.tag) for one in found] == [
        ("RINSE NOW", "9"),
        ("BIN", "B"),
        ("BIN", "A"),
        ("ABRADE", "4"),
        ("ABRADE", "3"),
        ("KEEP OFF", "2"),
    ]
    assert found[0].text == "bracket: mordant: rinse FRONT by 18:00"
    assert found[1].text == "pot B paint: bin it by 19:00"


def test_where_somebody_always_is_nothing_is_missed() -> None:
    always = replace(HOURS, always_in=True)
    assert missed_while_closed([with_clocks(shutting(12))], (), always, EVENING) == ()


def test_a_holiday_makes_the_night_longer() -> None:
    """A coat that closes on Tuesday at 16:00 is missed if Tuesday is a holiday."""
    closed = replace(HOURS, holidays=("DTSTART:20260303 FREQ=DAILY;COUNT=1",))
    closes_tuesday = [with_clocks(shutting(32))]
    assert missed_while_closed(closes_tuesday, (), HOURS, EVENING) == ()
    assert len(missed_while_closed(closes_tuesday, (), closed, EVENING)) == 1


# --- when nobody is in ---------------------------------------------------------------------------

SATURDAY = MON + timedelta(days=5)


@pytest.mark.parametrize(
    ("now", "leaves", "comes"),
    [
        (EVENING, CLOSING, OPENING),
        (MON.replace(hour=7), MON.replace(hour=7), MON.replace(hour=7, minute=30)),
        (CLOSING, CLOSING, OPENING),
        (
            SATURDAY.replace(hour=9),
            SATURDAY.replace(hour=12, minute=30),
            (MON + timedelta(days=7)).replace(hour=7, minute=30),
        ),
    ],
)
def test_from_the_next_closing_or_now_to_the_next_opening(
    now: datetime, leaves: datetime, comes: datetime
) -> None:
    assert nobody_in(HOURS, now) == (leaves, comes)


def test_a_shop_without_hours_has_nobody_in_for_as_long_as_is_looked() -> None:
    never = replace(HOURS, days=(None,) * 7)
    away = nobody_in(never, MON)
    assert away is not None
    assert away[1] - away[0] == timedelta(days=60)
    assert not somebody_in(never, MON)


def test_the_moments_of_opening_and_closing_count_as_attended() -> None:
    assert somebody_in(HOURS, CLOSING)
    assert somebody_in(HOURS, OPENING)
    assert not somebody_in(HOURS, CLOSING + timedelta(seconds=1))


@pytest.mark.parametrize(
    "day", [datetime(2026, 3, 28, tzinfo=UTC), datetime(2026, 10, 24, tzinfo=UTC)]
)
def test_hours_are_those_of_the_wall_across_summer_time(day: datetime) -> None:
    """Saturday 08:00-12:30, then Monday from 07:30, by the shop's own clock on both sides."""
    local = day.astimezone(HOURS.zone)
    monday = (local + timedelta(days=2)).replace(hour=7, minute=30)
    assert somebody_in(HOURS, monday)
    assert not somebody_in(HOURS, monday - timedelta(minutes=1))
    assert time_attended(HOURS, local, monday) == timedelta(hours=4, minutes=30)


def test_a_shop_that_never_opens_is_closed_for_sixty_days() -> None:
    never = replace(HOURS, days=(None,) * 7)
    assert nobody_in(never, MON) == (MON, MON + timedelta(days=60))


def test_nobody_is_in_during_the_break_and_the_shop_is_not_closed_for_it() -> None:
    hours = replace(HOURS, lunch=read_break("12:00-12:30"))
    noon = MON.replace(hour=12)
    there = [somebody_in(hours, noon + timedelta(minutes=late)) for late in (0, 15, 30)]
    assert there == [True, False, True]
    whole_day = time_attended(HOURS, MON.replace(hour=7), MON.replace(hour=18))
    with_break = time_attended(hours, MON.replace(hour=7), MON.replace(hour=18))
    assert whole_day - with_break == timedelta(minutes=30)
    assert nobody_in(hours, MON) == nobody_in(HOURS, MON)
    # A break outside the hours of a day takes nothing from it.
    late = replace(HOURS, lunch=read_break("18:00-19:00"))
    assert time_attended(late, MON.replace(hour=7), MON.replace(hour=20)) == whole_day
