"""Looking ahead: both ends of the window a step would create, and when to begin instead.

Hours 07:30-17:30, Saturday 08:00-12:30; 18 C by day, 11 C by night; the figures are common practice
without a source, the epoxy's 16 h at 20 C and 24 h at 10 C a generic data sheet (source seen).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from bench.process.ahead.attendance import time_attended
from bench.process.ahead.lookahead import (
    NO_WINDOW,
    USUAL_COAT,
    Ahead,
    ahead_words,
    look_ahead,
)
from bench.process.clocks.edges import Edge
from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.temperature import Hours, Reading
from bench.process.clocks.windows import Span
from bench.process.parts.durations import Length
from bench.process.parts.part import Mark, Part, StepRecord
from bench.process.sheets.product import Band, Limits, Product, Until
from bench.process.sheets.route import Step

from ..making import HOURS, MON, after, band, product

EPOXY = product(band("wait", c10=24, c20=16), band("open", c20=168), band("key"))
READ = Reading(MON, 18.0, 60.0, 18.0)
AT_ONCE = Length(timedelta(0))


def part(*kinds: str, substrate: str = "steel") -> Part:
    """Steps still to do, coats of ``p``."""
    steps = tuple(
        StepRecord(n, Step(f"{kind} {n}", kind, "p" if kind == "coat" else ""))  # type: ignore[arg-type]
        for n, kind in enumerate(kinds, start=1)
    )
    return Part("4", "bracket", 1, "", "", substrate, "plain", 1, 1, steps)


def shop(paint: Product, hours: Hours = HOURS, *readings: Reading) -> Environment:
    return Environment(readings or (READ,), hours, {"p": paint})


def ahead(
    paint: Product,
    now: datetime,
    hours: Hours = HOURS,
    *,
    of: Part | None = None,
    length: Length = AT_ONCE,
    rest: timedelta | None = None,
) -> Ahead:
    of, around = of or part("coat", "coat"), shop(paint, hours)
    found = look_ahead(of, clocks_of(of, around), around, now, length, rest)
    assert found is not None
    return found


def exactly(edge: Edge | None) -> datetime | None:
    return edge.at if edge else None


def words(paint: Product, now: datetime, hours: Hours = HOURS, **more: object) -> str:
    return ahead_words(ahead(paint, now, hours, **more), now)  # type: ignore[arg-type]


THU = MON + timedelta(days=3)
LATE = THU.replace(hour=17, minute=0)
SHORT = product(band("wait", 280), band("open", 600), band("key"))
"""Opens after 4 h 40 min, closes after 10 h: only begun as the shop opens are both in hours."""


def test_a_window_that_opens_and_closes_in_the_night_is_told_with_a_better_start() -> None:
    found = ahead(SHORT, LATE)
    assert ahead_words(found, LATE) == (
        "if started now: opens 21:40, closes Fri 03:00, with the shop closed. Start after Fri 07:30."
    )
    assert exactly(found.earliest) == datetime(2026, 3, 6, 7, 30, tzinfo=UTC)
    assert found.attended == timedelta(0)


def test_a_day_long_shop_turns_the_warning_off() -> None:
    always = replace(HOURS, always_in=True)
    assert words(SHORT, LATE, always) == "if started now: opens 21:40, closes Fri 03:00."
    assert exactly(ahead(SHORT, LATE, always).earliest) == LATE


DAY = product(band("wait", 24 * 60), band("open", 50 * 60), band("key"))
"""Opens after a day, closes after two days and two hours."""


def test_a_closing_with_nobody_in_is_told_and_needs_no_later_start_where_there_was_time_before() -> (
    None
):
    """Thursday's opens on Friday, closes on Saturday at 17:00: nobody is in from 12:30 on."""
    at = THU.replace(hour=15)
    assert (
        words(DAY, at) == "if started now: opens Fri 15:00, closes Sat 07 Mar 17:00 (shop closed)."
    )


def test_a_window_of_weeks_that_opens_on_a_holiday_costs_no_day() -> None:
    weeks = product(band("wait", 16 * 60), band("open", 23 * 24 * 60), band("key"))
    closed = replace(HOURS, holidays=("FREQ=YEARLY;BYMONTH=3;BYMONTHDAY=4",))
    at = MON.replace(hour=15) + timedelta(days=1)
    found = ahead(weeks, at, closed)
    assert exactly(found.earliest) == at
    assert "Start after" not in ahead_words(found, at)


@pytest.mark.parametrize(
    ("day", "hour", "told"),
    [
        (6, 10, "opens Mon 02:00 (shop closed), closes Tue 31 Mar 10:00"),
        (5, 13, "opens Sun 05:00 (shop closed), closes Mon 30 Mar 13:00"),
        (1, 15, "opens Wed 07:00 (shop closed), closes Thu 26 Mar 15:00"),
        (4, 20, "opens Sat 12:00, closes Sun 29 Mar 20:00 (shop closed)"),
    ],
    ids=["begun on a Sunday", "opens on one", "opens on a holiday", "closes on a Sunday"],
)
def test_a_window_of_days_never_advises_a_later_start_though_nobody_is_in_that_day(
    day: int, hour: int, told: str
) -> None:
    """More than a shift of it is attended."""
    weeks = product(band("wait", 16 * 60), band("open", 23 * 24 * 60), band("key"))
    closed = replace(HOURS, holidays=("FREQ=YEARLY;BYMONTH=3;BYMONTHDAY=4",))
    at = (MON + timedelta(days=day)).replace(hour=hour)
    assert words(weeks, at, closed).startswith(f"if started now: {told}.")
    assert "Start" not in words(weeks, at, closed)


def test_a_later_start_is_advised_where_the_next_coat_has_no_time_in_its_window() -> None:
    """Half an hour of it in hours; mixing and spraying are taken to last an hour."""
    at = MON.replace(hour=15)
    paint = product(band("wait", 120), band("open", 240), band("key"))
    assert words(paint, at) == (
        "if started now: opens 17:00, closes 19:00 (shop closed). Start after Tue 07:30."
    )
    assert "Start" not in words(paint, MON.replace(hour=14, minute=30)), "an hour of it"
    assert "Start after" in words(paint, MON.replace(hour=14, minute=31)), "a minute less"
    short = product(band("wait", 120), band("open", 140), band("key"))
    assert words(short, at) == "if started now: opens 17:00, closes 17:20.", "all of it is in hours"


def test_the_start_that_is_advised_is_the_first_full_quarter_that_will_do() -> None:
    """Its window closes after 22 h 50: begun at 09:40, at 08:30, after an hour in hours."""
    paint = product(band("wait", 20 * 60), band("open", 22 * 60 + 50), band("key"))
    assert exactly(ahead(paint, MON).earliest) == MON.replace(hour=9, minute=45)


def test_both_ends_in_hours_need_no_advice() -> None:
    found = ahead(DAY, MON)
    assert (exactly(found.earliest), found.enough) == (MON, True)
    assert words(DAY, MON) == "if started now: opens Tue 08:00, closes Wed 04 Mar 10:00."


def test_no_start_at_all_is_said() -> None:
    """Only in on Monday mornings for 40 minutes: nothing that takes a day can suit."""
    hours = replace(HOURS, days=((time(8), time(8, 40)), None, None, None, None, None, None))
    assert words(DAY, MON, hours) == (
        "if started now: opens Tue 08:00, closes Wed 04 Mar 10:00, with the shop closed. "
        "No start in 14 days leaves time in working hours."
    )


def test_a_start_after_its_own_window_has_shut_is_never_advised() -> None:
    below = part("coat", "coat", "coat")
    done = replace(below.steps[0], status="done", first_at=THU, last_at=THU, passed_at=THU)
    below = replace(below, steps=(done, *below.steps[1:]))
    paint = product(band("open", 600), band("key"))
    at = THU.replace(hour=16)
    at = at.replace(hour=17)
    found = ahead(paint, at, of=below)
    assert exactly(found.until) == THU + timedelta(hours=10)
    assert found.earliest is None
    assert ahead_words(found, at) == (
        "if started now: opens 17:00, closes Fri 03:00 (shop closed). "
        "No start before 18:00 leaves time in working hours."
    )


def test_where_it_opens_again_after_the_shut_band_that_start_is_advised() -> None:
    """The next coat of an aerosol within the hour, or after 48 h: common practice, no source."""
    paint = product(band("open", 60), band("shut", 48 * 60), band("open"))
    below = part("coat", "coat", "coat")
    late = MON.replace(hour=17)
    done = replace(below.steps[0], status="done", first_at=late, last_at=late, passed_at=late)
    found = ahead(paint, late, of=replace(below, steps=(done, *below.steps[1:])))
    assert exactly(found.until) == late + timedelta(hours=1)
    assert exactly(found.earliest) == (MON + timedelta(days=3)).replace(hour=7, minute=30)
    assert ahead_words(found, late) == (
        "if started now: opens 17:00, closes 18:00 (shop closed). Start after Thu 05 Mar 07:30."
    )


@pytest.mark.parametrize("hour", [6, 12, 16])
@pytest.mark.parametrize("day", range(7))
def test_no_earlier_quarter_of_an_hour_would_have_done(day: int, hour: int) -> None:
    """Every quarter before it, tried one by one with the bench's own clocks, fails somewhere."""
    now = (MON + timedelta(days=day)).replace(hour=hour, minute=5)
    length = Length(timedelta(minutes=20))
    found = ahead(EPOXY, now, length=length)
    assert found.earliest is not None
    at = now
    tried = 0
    while at < found.earliest.at:
        assert not _suits(at, length), at
        at += timedelta(minutes=15 - at.minute % 15)
        tried += 1
    assert _suits(found.earliest.at, length)
    assert tried < 14 * 96


def _spans(start: datetime, length: Length) -> tuple[Span, ...]:
    """What the bench would show had the first coat been sprayed so."""
    todo = part("coat", "coat")
    coat = replace(todo.steps[0], status="done", first_at=start, last_at=start + length.lasts)
    return clocks_of(replace(todo, steps=(coat, todo.steps[1])), shop(EPOXY)).spans


def _suits(start: datetime, length: Length) -> bool:
    wait, window, _ = _spans(start, length)
    assert wait.end is not None
    assert window.end is not None
    whole = time_attended(HOURS, start, start + length.lasts) == length.lasts
    # The next coat and its mixing are taken to last an hour.
    return whole and time_attended(HOURS, wait.end, window.end) >= timedelta(hours=1)


def test_the_ends_are_those_the_bench_then_shows() -> None:
    length = Length(timedelta(minutes=25))
    found = ahead(EPOXY, after(130), length=length)
    wait, window, _ = _spans(after(130), length)
    assert found.opens is not None
    assert found.closes is not None
    assert (found.opens.edge.at, found.closes.edge.at) == (wait.end, window.end)
    assert (found.opens.edge.basis, found.closes.edge.basis) == (wait.basis, window.basis)


def test_opening_is_rounded_up_and_shutting_down_where_they_rest_on_temperatures() -> None:
    paint = product(band("wait", c10=24, c20=16), band("open", c20=73.3), band("key"))
    found = ahead(paint, MON)
    at_11, at_18 = (
        (1 / (t + 273.15) - 1 / 283.15) / (1 / 293.15 - 1 / 283.15) for t in (11.0, 18.0)
    )
    assert found.opens is not None
    assert found.closes is not None
    # Until 17:30 at 18 C, then at 11 C; ln t linear in 1/T (the Arrhenius form, from memory).
    by_day_h, by_night_h = 24 ** (1 - at_18) * 16**at_18, 24 ** (1 - at_11) * 16**at_11
    opens = MON.replace(hour=17, minute=30) + timedelta(hours=(1 - 9.5 / by_day_h) * by_night_h)
    assert abs(found.opens.edge.at - opens) < timedelta(seconds=1)
    assert f"{found.opens.edge.at:%H:%M} {found.closes.edge.at:%H:%M}" == "03:53 09:18"
    assert "opens ~Tue 03:55 (shop closed), closes ~Thu 05 Mar 09:15." in ahead_words(found, MON)


def test_without_any_reading_an_hour_is_marked_as_one() -> None:
    around = Environment((), HOURS, {"p": EPOXY})
    todo = part("coat", "coat")
    found = look_ahead(todo, clocks_of(todo, around), around, MON, AT_ONCE)
    assert found is not None
    assert "?" in ahead_words(found, MON)


@pytest.mark.parametrize(("rh_pct", "opens"), [(50.0, MON + timedelta(hours=4)), (49.0, None)])
def test_a_coat_that_stands_still_in_dry_air_is_seen_not_to_open(
    rh_pct: float, opens: datetime | None
) -> None:
    paint = product(band("wait", c20=4), band("open"), limits=Limits(rh_least_pct=50.0))
    of, around = part("coat", "coat"), shop(paint, HOURS, Reading(MON, 20.0, rh_pct, 20.0))
    found = look_ahead(of, clocks_of(of, around), around, MON, AT_ONCE)
    assert found is not None
    assert exactly(found.opens.edge if found.opens else None) == opens


def test_too_cold_to_open_at_all() -> None:
    cold = replace(HOURS, day_c=4.0, night_c=2.0)
    around = Environment((), cold, {"p": EPOXY})
    todo = part("coat", "coat")
    found = look_ahead(todo, clocks_of(todo, around), around, MON, AT_ONCE)
    assert found is not None
    assert found.opens is None
    cold = "Since ~08:00 the surface is under the minimum 5 C: warm it, or it stands still."
    assert ahead_words(found, MON) == f"if started now: {NO_WINDOW}. {cold}"


def test_where_the_cold_leaves_nothing_between_opening_and_closing_it_is_said_beforehand() -> None:
    """Open for 2 d from the first face, but at 10 C the day's wait takes two."""
    etch = product(
        Band("wait", Until(fixed_s=24 * 3600.0)),
        Band("open", Until(fixed_s=48 * 3600.0)),
        Band("key"),
    )
    cold = replace(HOURS, day_c=10.0, night_c=10.0)
    around = Environment((), cold, {"p": etch})
    todo = part("coat", "coat")
    found = look_ahead(todo, clocks_of(todo, around), around, MON, Length(timedelta(minutes=20)))
    assert found is not None
    assert ahead_words(found, MON) == (
        "if started now: No window at this temperature: warm the shop or type the sheet's figures."
    )
    assert not ahead(etch, MON).no_window


# --- which window --------------------------------------------------------------------------------


def test_only_the_cure_after_it_nobody_has_to_be_there() -> None:
    found = ahead(SHORT, LATE, of=part("coat", "cure"))
    assert (found.last, exactly(found.earliest)) == (True, LATE)
    assert ahead_words(found, LATE) == (
        "if started now: opens 21:40, closes Fri 03:00. Last coat: then cure."
    )


def test_work_after_a_coat_cannot_come_too_late() -> None:
    found = ahead(SHORT, LATE, of=part("coat", "work", "coat"))
    assert found.closes is None
    assert ahead_words(found, LATE) == "if started now: opens 21:40 (shop closed)."


def test_a_forbidden_middle_eaten_by_a_slow_coat_opens_only_after_it() -> None:
    """Flash 8 min, open to the hour from the first face, shut to 48 h, open again."""
    paint = product(band("flash", 8), band("open", 60), band("shut", 48 * 60), band("open"))
    quick = ahead(paint, MON, length=Length(timedelta(minutes=20)))
    slow = ahead(paint, MON, length=Length(timedelta(minutes=58)))
    assert quick.opens is not None
    assert quick.closes is not None
    assert (quick.opens.edge.at, quick.closes.edge.at) == (after(28), after(60))
    assert slow.opens is not None
    assert (slow.opens.edge.at, slow.closes) == (after(58 + 48 * 60), None)


def test_a_build_counts_its_shutting_from_the_mist() -> None:
    mist = StepRecord(1, Step("mist", "coat", "p"), "done", MON, after(5), passed_at=after(5))
    build = StepRecord(2, Step("build", "coat", "p", continues=True))
    top = StepRecord(3, Step("top", "coat", "p"))
    paint = product(band("wait", 60), band("open", 600), band("key"))
    of = replace(part("coat"), steps=(mist, build, top))
    found = ahead(paint, after(70), of=of)
    assert found.closes is not None
    assert found.closes.edge.at == after(600)


def test_a_surface_laid_bare_is_primed_in_time_or_not_begun() -> None:
    """Blasted steel rusts within 4 h: common practice, no source."""
    blast = Step("blast", "work", bands=(band("open", 240), band("key")))
    of = replace(
        part("work", "coat"), steps=(StepRecord(1, blast), *part("work", "coat").steps[1:])
    )
    at = MON.replace(hour=14)
    found = ahead(EPOXY, at, of=of, length=Length(USUAL_COAT))
    assert found.closes is not None
    assert found.closes.edge.at == at + timedelta(minutes=240), "from the first bared metal"
    assert ahead_words(found, at) == "if started now: opens 14:30, closes 18:00 (shop closed)."
    late = MON.replace(hour=16, minute=30)
    assert ahead_words(ahead(EPOXY, late, of=of, length=Length(USUAL_COAT)), late) == (
        "if started now: opens 17:00, closes 20:30 (shop closed). Start after Tue 07:30."
    )


WASH = Step("mordant", "dwell", least_s=600, most_s=900)


def test_a_rinse_with_nobody_in_is_said_without_a_later_start() -> None:
    record = StepRecord(1, WASH, marks=(Mark("FRONT"), Mark("REAR")))
    of = replace(part("work", "work"), steps=(record, part("work", "work").steps[1]))
    at = MON.replace(hour=17, minute=20)
    assert words(EPOXY, at, of=of) == (
        "if started now: rinse 17:30 to 17:35, with the shop closed."
    )


# --- when it may begin ---------------------------------------------------------------------------

COATED = replace(
    part("coat", "coat", "coat"),
    steps=(
        replace(part("coat").steps[0], status="done", first_at=MON, last_at=MON),
        *part("coat", "coat", "coat").steps[1:],
    ),
)


def test_a_coat_whose_time_has_not_come_is_taken_to_begin_when_it_has() -> None:
    found = ahead(DAY, after(60), of=COATED)
    assert (found.at_once, exactly(found.begins)) == (False, after(24 * 60))
    assert ahead_words(found, after(60)) == (
        "if started Tue 08:00: opens Wed 04 Mar 08:00, closes Thu 05 Mar 10:00."
    )


def test_a_wash_that_has_to_wait_is_on_for_as_long_as_its_shown_hours_say() -> None:
    done = replace(COATED.steps[0], last_at=MON + timedelta(seconds=30))
    of = replace(COATED, steps=(done, StepRecord(2, WASH, marks=(Mark("ALL"),)), COATED.steps[2]))
    assert words(DAY, after(60), of=of) == "if started Tue 08:01: rinse Tue 08:11 to Tue 08:16."


def test_in_the_shut_band_it_is_taken_to_begin_when_it_opens_again() -> None:
    paint = product(band("open", 60), band("shut", 48 * 60), band("open"))
    assert exactly(ahead(paint, after(120), of=COATED).begins) == after(48 * 60)


def test_past_its_window_it_is_keyed_first() -> None:
    paint = product(band("open", 60), band("key"))
    found = ahead(paint, after(120), of=COATED)
    assert (found.keyed, found.until) == (True, None)
    assert ahead_words(found, after(120)).startswith("if abraded and started now: opens 10:00")


def test_a_part_on_hold_is_looked_at_as_if_it_were_released() -> None:
    found = ahead(DAY, MON, of=replace(part("coat", "coat"), hold="phone"))
    assert found.at_once


def test_a_pot_that_must_rest_puts_the_beginning_off() -> None:
    found = ahead(DAY, MON, rest=timedelta(minutes=20))
    assert exactly(found.begins) == after(20)
    assert ahead_words(found, MON) == (
        "mixed now, started 08:20: opens Tue 08:20, closes Wed 04 Mar 10:20."
    )


@pytest.mark.parametrize("of", [part("cure"), replace(part("coat"), steps=())])
def test_where_nothing_is_to_begin_there_is_nothing_to_look_ahead_to(of: Part) -> None:
    around = shop(DAY)
    assert look_ahead(of, clocks_of(of, around), around, MON, AT_ONCE) is None


def test_what_is_in_hand_is_begun_already() -> None:
    of = part("coat", "coat")
    of = replace(of, steps=(replace(of.steps[0], status="in hand", first_at=MON), of.steps[1]))
    around = shop(DAY)
    assert look_ahead(of, clocks_of(of, around), around, MON, AT_ONCE) is None


# --- holidays, summer time, lengths --------------------------------------------------------------


def test_a_holiday_inside_the_window_is_named_and_counts_as_nobody_in() -> None:
    """Christmas Day 2026 is a Friday."""
    closed = replace(HOURS, holidays=("FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=25",))
    at = datetime(2026, 12, 23, 9, 0, tzinfo=UTC)
    assert words(DAY, at, closed) == (
        "if started now: opens Thu 09:00, closes Fri 25 Dec 11:00 (shop closed). Holiday: Fri 25 Dec."
    )
    assert words(DAY, at) == "if started now: opens Thu 09:00, closes Fri 25 Dec 11:00."


@pytest.mark.parametrize(
    ("at", "opens"),
    [
        (datetime(2026, 3, 28, 9, 0, tzinfo=UTC), "Sun 10:00"),
        (datetime(2026, 10, 24, 8, 0, tzinfo=UTC), "Sun 08:00"),
    ],
)
def test_24_h_are_24_h_across_both_summer_time_changes(at: datetime, opens: str) -> None:
    local = at.astimezone(HOURS.zone)
    found = ahead(DAY, local)
    assert found.opens is not None
    assert found.opens.edge.at.astimezone(UTC) == at + timedelta(hours=24)
    assert f"opens {opens}" in ahead_words(found, local)
