"""The page at the end of a shift: what the next one starts with, what may be missed before it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from bench.process.attention.handover import next_shift, sections
from bench.process.attention.next_day import day_lines
from bench.process.attention.standing import Standing
from bench.process.attention.tonight import night_lines
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.pots import Gun, Pot
from bench.process.clocks.stand_state import Clocks, stand_state
from bench.process.parts.part import Mark, Part, StepRecord
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step

from ..making import HOURS, MON, after, around, band, coated, product

FOUR_PM = after(8 * 60)
"""Monday, 16:00: the shop closes at 17:30 and opens on Tuesday at 07:30."""
SHIFT = next_shift(HOURS, FOUR_PM)


def standing(part: Part, paint: Product, now: datetime = FOUR_PM) -> Standing:
    """A part as it stands on its bench at that hour."""
    record = part.current()
    dwell = record is not None and record.step.kind == "dwell"
    clocks = Clocks() if dwell else clocks_of(part, around(paint))
    return Standing(part, clocks, stand_state(part, clocks, now))


def painted(stand: int, *spans: tuple[str, float | None], hours_ago: float = 0.0) -> Standing:
    """A part with its first coat on by Mo; its window turns after those hours."""
    at = FOUR_PM - timedelta(hours=hours_ago)
    paint = product(*(band(word, h * 60 if h else None) for word, h in spans))  # type: ignore[arg-type]
    part = coated(at, at)
    done = replace(part.steps[0], painters=("Mo",))
    part = replace(part, tag=f"{stand}0", stand=stand, steps=(done, *part.steps[1:]))
    return standing(part, paint)


def untouched(stand: int) -> Standing:
    """A part that waits for its first step."""
    steps = (StepRecord(1, Step("degrease", "work")), StepRecord(2, Step("coat", "coat", "p")))
    part = Part(str(stand), "bracket", 1, "", "", "steel", "plain", stand, stand, steps)
    return standing(part, product(band("open")))


def soaking(stand: int, minutes: float) -> Standing:
    """A part under a wash of 10 to 15 min, since so many minutes."""
    begun = FOUR_PM - timedelta(minutes=minutes)
    step = Step("mordant", "dwell", least_s=600, most_s=900)
    marks = (Mark("ALL", begun),)
    record = StepRecord(1, step, "in hand", begun, painters=("Kit",), marks=marks)
    part = Part(f"{stand}0", "irons", 1, "", "", "zinc", "plain", stand, stand, (record,))
    return standing(part, product(band("open")))


def pot(letter: str, hours: float) -> Pot:
    """A pot whose life ends so many hours after 16:00."""
    return Pot(letter, "p", "paint", MON, MON, FOUR_PM + timedelta(hours=hours))


@pytest.mark.parametrize(
    ("always_in", "hours"),
    [(False, (7.5, 17.5)), (True, (-8, 4))],
)
def test_the_next_shift_is_the_next_shop_day_or_where_somebody_always_is_starts_now(
    always_in: bool, hours: tuple[float, float]
) -> None:
    """Tuesday 07:30 to 17:30; half a day is common practice, no source."""
    shift = next_shift(replace(HOURS, always_in=always_in), FOUR_PM)
    tuesday = MON + timedelta(hours=16)
    assert shift.day == tuple(tuesday + timedelta(hours=h) for h in hours)
    assert shift.night == (FOUR_PM, shift.day[1] if always_in else shift.day[0])


def test_before_the_shop_opens_the_next_shop_day_is_today() -> None:
    assert next_shift(HOURS, MON - timedelta(hours=1)).day[0] == MON - timedelta(minutes=30)


def test_the_day_starts_in_order_of_time_with_who_had_it_and_when_to_be_there() -> None:
    parts = [
        untouched(7),
        painted(2, ("wait", 20.0), ("open", 24.0), ("key", None)),
        painted(5, ("wait", 12.0), ("open", 60.0), ("key", None)),
        untouched(8),
        painted(3, ("open", 1.0), ("key", None), hours_ago=3),
        painted(4, ("wait", 200.0), ("open", None)),
        painted(9, ("wait", 1.0), ("open", 10.0), ("key", None)),
        soaking(6, 3),
    ]
    assert day_lines(parts, [pot("A", 17), pot("B", 3)], SHIFT.day, FOUR_PM) == (
        "07:30 ABRADE stand 3 tag 30: abrade, then coat (Mo)",
        "07:30 TEST stand 5 tag 50: thumb, coat (Mo)",
        "09:00 BIN pot A paint by then",
        "12:00 TEST stand 2 tag 20: thumb, coat; closes 16:00: be there (Mo)",
        "any time: 2 not begun: stands 7, 8",
    )


def test_a_part_on_hold_is_named_only_for_the_hour_its_window_closes() -> None:
    closing = painted(2, ("wait", 1.0), ("open", 21.0), ("key", None))
    never = painted(3, ("wait", 1.0), ("open", None))
    held = [standing_on_hold(each, "damaged") for each in (closing, never)]
    lines = day_lines(held, (), SHIFT.day, FOUR_PM)
    assert lines == (
        "07:30 TEST stand 2 tag 20: thumb, coat; closes 13:00: be there; on hold: damaged (Mo)",
    )


def standing_on_hold(each: Standing, why: str) -> Standing:
    """The same part put aside."""
    return replace(each, part=replace(each.part, hold=why))


def test_only_what_somebody_may_miss_is_named_and_what_can_be_saved_stands_above_what_is_lost() -> (
    None
):
    parts = [
        *(untouched(n) for n in range(20, 36)),
        painted(2, ("wait", 1.0), ("open", 4.0), ("key", None)),
        painted(3, ("wait", 1.0), ("open", 60.0), ("key", None)),
        standing_on_hold(painted(4, ("wait", 1.0), ("open", 10.0), ("key", None)), "damaged"),
        soaking(5, 11),
        soaking(6, 20),
        soaking(7, 2),
    ]
    hour = timedelta(hours=1)
    guns = [
        Gun("A", "paint", FOUR_PM + hour / 2),
        Gun("B", "paint", FOUR_PM - hour),
        Gun("C", "paint", None),
        Gun("D", "paint", FOUR_PM + 2 * hour),
    ]
    pots = [pot("B", -1), pot("D", 2), pot("A", 1), pot("E", 30)]
    assert night_lines(parts, pots, guns, SHIFT.night, HOURS, FOUR_PM) == (
        "RINSE NOW stand 6 tag 60: rinse ALL, it was due 15:55 (Kit)",
        "by 16:04 RINSE stand 5 tag 50: rinse ALL (Kit)",
        "by 16:13 SOAK stand 7 tag 70: rinse ALL, not before 16:08 (Kit)",
        "by 16:30 FLUSH every gun of pot A paint",
        "BIN pot A by 17:00, pot D and FLUSH its gun by 18:00",
        "by 20:00 stand 2 tag 20: coat, opens 17:00, or ABRADE (Mo)",
        "by Tue 02:00 stand 4 tag 40: coat, opens 17:00, or ABRADE; on hold: damaged (Mo)",
        "FLUSH every gun of pot C paint when you stop",
        "NOW FLUSH every gun of pot B paint: it was due 15:00",
        "NOW BIN pot B paint: past its life",
    )


@pytest.mark.parametrize("day", [4, 5])
def test_a_window_that_lies_wholly_on_sunday_is_said_on_friday_and_on_saturday(day: int) -> None:
    """Open Friday to 17:30, Saturday 08:00 to 12:30, then Monday 07:30."""
    now, sunday = MON + timedelta(days=day, hours=3), MON + timedelta(days=6)
    hours_on = (sunday - now) / timedelta(hours=1)
    at = replace(coated(now, now), tag="20", stand=2)
    paint = product(band("wait", hours_on * 60), band("open", (hours_on + 8) * 60), band("key"))
    night = next_shift(HOURS, now).night
    (text,) = night_lines([standing(at, paint, now)], (), (), night, HOURS, now)
    date = "Sun 08 Mar" if day == 4 else "Sun"
    assert text == (
        f"by {date} 16:00 stand 2 tag 20: coat, opens {date} 08:00 with the shop closed, or ABRADE"
    )
    always = replace(HOURS, always_in=True)
    assert night_lines([standing(at, paint, now)], (), (), night, always, now)[:1] == (
        () if day == 4 else (text.replace(" with the shop closed", ""),)
    )


def test_a_bench_with_nothing_to_miss_says_so_under_its_headings() -> None:
    facts = ((), (), (), (), (), (), ())
    found = sections(*facts, SHIFT, FOUR_PM)
    assert [section.title for section in found] == [
        "TUE 03 MAR FROM 07:30, IN THIS ORDER",
        "DO NOT MISS BEFORE Tue 07:30",
        "ALARMS NOT ANSWERED",
        "DONE TODAY",
    ]
    assert all(section.lines == () for section in found)
