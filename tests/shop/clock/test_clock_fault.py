"""When the computer's clock is believed. All figures are house rules."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from bench.shop.clock.clock_fault import (
    EARLIEST,
    ClockState,
    ComputerClock,
    LastLine,
    correction,
    judge,
    moved,
    moves_all,
    state_by_painter,
)

MORNING = datetime(2026, 3, 12, 8, 0, tzinfo=UTC)
"""When the computer was started."""

NOON = timedelta(hours=4)
KEPT = ClockState("this start", MORNING, MORNING)
LAST = LastLine(7, MORNING + NOON - timedelta(minutes=2))


def told(
    step: timedelta = timedelta(0), up: timedelta = NOON, boot: str = "this start"
) -> ComputerClock:
    return ComputerClock(boot, MORNING + step, up)


def clock_at(now: datetime, up: timedelta, boot: str = "next start") -> ComputerClock:
    return ComputerClock(boot, now - up, up)


@pytest.mark.parametrize("seconds", [-5, -4, 0, 4, 5])
def test_a_clock_that_is_kept_in_time_is_no_fault(seconds: int) -> None:
    assert judge(KEPT, told(timedelta(seconds=seconds)), LAST, watched=True) is KEPT


@pytest.mark.parametrize("step", [timedelta(seconds=s) for s in (6, -6, 3 * 3600, -3 * 3600)])
def test_a_clock_that_is_set_while_the_program_runs_is_the_right_one(step: timedelta) -> None:
    after = judge(KEPT, told(step), LAST, watched=True)
    assert (after.started, after.by_computer, after.why) == (MORNING + step, MORNING + step, "")
    assert moved(KEPT, after) == step


@pytest.mark.parametrize(
    ("now", "why"),
    [
        (datetime(1970, 1, 1, tzinfo=UTC), "earlier than this software"),
        (datetime(2000, 1, 1, tzinfo=UTC), "earlier than this software"),
        (MORNING + timedelta(days=40), "no entry for 39 days before"),
        (MORNING - timedelta(days=40), "it was set back by 40 days"),
    ],
)
def test_a_clock_set_to_what_cannot_be_changes_no_time_and_is_asked_about(
    now: datetime, why: str
) -> None:
    says = clock_at(now, NOON, "this start")
    after = judge(KEPT, says, LAST, watched=True)
    assert (after.started, after.why) == (MORNING, why)
    assert after.proposed == MORNING, "the counter knows what time it is"
    assert judge(after, says, LAST, watched=True) is after, "one step is one fault"


def test_a_suspended_computer_is_no_fault() -> None:
    slept = told(up=NOON + timedelta(hours=9))
    assert judge(KEPT, slept, LAST, watched=True) is KEPT
    assert slept.now == MORNING + NOON + timedelta(hours=9)


@pytest.mark.parametrize(
    "evening",
    [
        datetime(2026, 3, 28, 18, 0, tzinfo=ZoneInfo("Europe/London")),  # put forward that night
        datetime(2026, 10, 24, 18, 0, tzinfo=ZoneInfo("Europe/London")),  # put back that night
        datetime(2026, 12, 31, 18, 0, tzinfo=ZoneInfo("Europe/London")),
    ],
)
def test_summer_time_and_new_year_are_no_fault(evening: datetime) -> None:
    began = evening.astimezone(UTC)
    kept = ClockState("this start", began, began)
    for hours in range(0, 24):
        says = ComputerClock("this start", began, timedelta(hours=hours))
        assert judge(kept, says, LastLine(1, began), watched=True) is kept
        at_a_start = clock_at(began + timedelta(hours=hours), timedelta(minutes=1))
        assert not judge(kept, at_a_start, LastLine(1, began)).doubtful


# -- at a start ------------------------------------------------------------------


def test_after_a_power_cut_the_clock_is_believed_if_it_follows_the_last_line() -> None:
    says = clock_at(LAST.at + timedelta(minutes=41), timedelta(minutes=1))
    after = judge(KEPT, says, LAST)
    assert after == ClockState("next start", says.started, says.started, since=LAST.at, line=7)


@pytest.mark.parametrize(
    ("gap", "doubtful"),
    [
        (timedelta(seconds=-4), False),
        (timedelta(seconds=-6), True),
        (timedelta(hours=-3), True),
        (timedelta(days=30), False),
        (timedelta(days=31), True),
    ],
)
def test_before_the_last_line_or_long_after_it_the_clock_is_asked_about(
    gap: timedelta, doubtful: bool
) -> None:
    after = judge(KEPT, clock_at(LAST.at + gap, timedelta(minutes=1)), LAST)
    assert after.doubtful is doubtful


def test_how_long_is_implausible_is_the_shops_own_setting() -> None:
    says = clock_at(LAST.at + timedelta(days=8), timedelta(minutes=1))
    assert not judge(KEPT, says, LAST).doubtful
    assert judge(KEPT, says, LAST, timedelta(days=7)).doubtful


def test_while_it_is_doubtful_at_least_the_time_since_the_start_has_gone_by() -> None:
    says = clock_at(datetime(1970, 1, 1, tzinfo=UTC), timedelta(minutes=3))
    after = judge(KEPT, says, LAST)
    assert after.started + says.up == LAST.at + timedelta(minutes=3)
    assert after.proposed == LAST.at


def test_after_weeks_off_the_computers_own_hour_is_asked_about() -> None:
    says = clock_at(LAST.at + timedelta(days=40), timedelta(minutes=3))
    after = judge(KEPT, says, LAST)
    assert after.proposed == says.started
    assert after.started == LAST.at, "until then: at least"


@pytest.mark.parametrize(
    ("now", "believed"),
    [
        (datetime(2025, 1, 1, tzinfo=UTC), True),
        (datetime(2024, 12, 31, 23, 59, 59, tzinfo=UTC), False),
    ],
)
def test_no_clock_of_before_2025_is_believed(now: datetime, believed: bool) -> None:
    assert judge(None, clock_at(now, timedelta(minutes=1)), None).doubtful is not believed


def test_a_new_shop_has_no_last_line_and_believes_any_year_the_program_was_there() -> None:
    assert not judge(None, clock_at(MORNING, timedelta(minutes=1)), None).doubtful
    says = clock_at(datetime(1970, 1, 1, 0, 2, tzinfo=UTC), timedelta(minutes=2))
    after = judge(None, says, None)
    assert after.doubtful
    assert after.nothing_known
    assert after.proposed is None, "there is no hour to ask about"
    right = judge(after, clock_at(MORNING, timedelta(minutes=3)), None, watched=True)
    assert not right.doubtful


def test_a_start_after_a_correction_is_asked_about_with_the_correction_in_it() -> None:
    three = timedelta(hours=3)
    wrong_by_three = ClockState("last start", MORNING + three, MORNING)
    last = LastLine(7, MORNING + three + NOON)
    says = clock_at(MORNING + timedelta(days=1), timedelta(minutes=1))
    after = judge(wrong_by_three, says, last)
    assert after.why == "it was wrong when the computer was last on"
    assert after.proposed == says.started + three


@pytest.mark.parametrize("wrong_by", [timedelta(hours=-3), timedelta(days=40)])
def test_a_correction_that_leads_before_the_last_line_or_long_after_it_is_not_proposed(
    wrong_by: timedelta,
) -> None:
    wrong = ClockState("last start", MORNING + wrong_by, MORNING)
    says = clock_at(MORNING + timedelta(hours=1), timedelta(minutes=1))
    after = judge(wrong, says, LastLine(7, MORNING))
    assert after.why == "it was wrong when the computer was last on"
    assert after.proposed == says.started


@pytest.mark.parametrize(("before_s", "proposed"), [(5, True), (6, False)])
def test_a_correction_that_leads_five_seconds_before_the_last_line_still_is(
    before_s: int, proposed: bool
) -> None:
    hour = timedelta(hours=1)
    says = clock_at(MORNING + hour, timedelta(minutes=1))
    wrong = ClockState("last start", MORNING - hour, MORNING)
    last = LastLine(7, MORNING + timedelta(seconds=before_s))
    assert (judge(wrong, says, last).proposed == says.started - hour) is proposed


# -- the clock comes right ---------------------------------------------------------


def doubtful() -> ClockState:
    return judge(KEPT, clock_at(datetime(1970, 1, 1, tzinfo=UTC), timedelta(minutes=3)), LAST)


def test_the_network_answers_the_question() -> None:
    says = clock_at(LAST.at + timedelta(hours=3), timedelta(minutes=4))
    after = judge(doubtful(), says, LAST, watched=True)
    assert (after.started, after.why) == (says.started, "")
    assert moved(doubtful(), after) == timedelta(hours=3) - timedelta(minutes=4)


def test_less_than_at_least_answers_nothing() -> None:
    says = clock_at(LAST.at + timedelta(minutes=2), timedelta(minutes=4))
    after = judge(doubtful(), says, LAST, watched=True)
    assert (after.started, after.doubtful) == (LAST.at, True)


def test_a_clock_that_is_further_on_than_at_least_is_what_is_asked_about() -> None:
    says = clock_at(LAST.at + timedelta(days=40), timedelta(minutes=4))
    after = judge(doubtful(), says, LAST, watched=True)
    assert after.doubtful
    assert after.proposed == says.started


def test_an_answer_corrects_the_clock_and_a_later_step_is_not_counted_twice() -> None:
    says = clock_at(datetime(1970, 1, 1, tzinfo=UTC), timedelta(minutes=3))
    typed = LAST.at + timedelta(hours=3)
    corrected = state_by_painter(doubtful(), says, typed)
    assert not corrected.doubtful
    assert corrected.started + says.up == typed
    assert correction(corrected) == typed - says.now
    network = clock_at(typed + timedelta(minutes=3), timedelta(minutes=4))
    after = judge(corrected, network, LAST, watched=True)
    assert correction(after) == timedelta(0), "dropped"
    assert moved(corrected, after) == timedelta(minutes=2), "only what the painter's watch was out"


def test_a_step_to_another_hour_than_the_typed_one_is_asked_about() -> None:
    says = clock_at(datetime(1970, 1, 1, tzinfo=UTC), timedelta(minutes=3))
    corrected = state_by_painter(doubtful(), says, LAST.at + timedelta(hours=3))
    network = clock_at(LAST.at + timedelta(hours=5), timedelta(minutes=4))
    after = judge(corrected, network, LAST, watched=True)
    assert after.why == "it was set, but not to the time that was typed here"
    assert (after.started, after.proposed) == (corrected.started, network.started)


@pytest.mark.parametrize(
    ("off", "believed"),
    [
        (timedelta(minutes=15), True),
        (timedelta(minutes=-15), True),
        (timedelta(minutes=15, seconds=1), False),
        (timedelta(minutes=-15, seconds=-1), False),
    ],
)
def test_a_painters_watch_may_be_out_by_a_quarter_of_an_hour(
    off: timedelta, believed: bool
) -> None:
    says = clock_at(datetime(1970, 1, 1, tzinfo=UTC), timedelta(minutes=3))
    typed = LAST.at + timedelta(hours=3)
    network = clock_at(typed + off + timedelta(minutes=1), timedelta(minutes=4))
    after = judge(state_by_painter(doubtful(), says, typed), network, LAST, watched=True)
    assert after.doubtful is not believed


def test_the_minute_before_moves_all_by_one() -> None:
    says = clock_at(datetime(1970, 1, 1, tzinfo=UTC), timedelta(minutes=3))
    after = state_by_painter(doubtful(), says, LAST.at + timedelta(minutes=2))
    assert moved(doubtful(), after) == timedelta(minutes=-1)


@pytest.mark.parametrize(("second", "moves"), [(0, 0), (59.9, 0), (60, -60)])
def test_an_hour_holds_to_the_end_of_its_minute(second: float, moves: int) -> None:
    expected = LAST.at.replace(second=0) + timedelta(minutes=3)
    state = ClockState("this start", expected - NOON, MORNING, why="it was set")
    says = ComputerClock("this start", MORNING, NOON + timedelta(seconds=second))
    after = state_by_painter(state, says, expected)
    assert (after.started - state.started).total_seconds() == moves


def test_yes_within_the_minute_moves_nothing() -> None:
    says = clock_at(datetime(1970, 1, 1, tzinfo=UTC), timedelta(minutes=3, seconds=20))
    minute = (LAST.at + timedelta(minutes=3)).replace(second=0)
    assert moved(doubtful(), state_by_painter(doubtful(), says, minute)) == timedelta(0)


# -- what is moved with it -----------------------------------------------------------


def test_older_clocks_stay_when_the_computer_came_up_behind() -> None:
    right = ClockState("next start", LAST.at + timedelta(hours=3), MORNING, since=LAST.at, line=7)
    assert not moves_all(right)


def test_older_clocks_move_too_when_by_the_new_time_they_are_still_to_come() -> None:
    right = ClockState("next start", LAST.at - timedelta(hours=3), MORNING, since=LAST.at, line=7)
    assert moves_all(right)


def test_of_one_start_everything_moves() -> None:
    assert moves_all(KEPT)


def test_the_program_was_made_before_its_tests() -> None:
    assert EARLIEST < MORNING


def test_a_clock_that_is_behind_at_least_by_no_more_than_a_kept_one_is_believed() -> None:
    """Five seconds are still no step (as for a clock that is kept in time)."""
    at_least = LAST.at + timedelta(minutes=4)
    for seconds, believed in ((5, True), (6, False)):
        says = clock_at(at_least - timedelta(seconds=seconds), timedelta(minutes=4))
        assert judge(doubtful(), says, LAST, watched=True).doubtful is not believed


def test_where_nothing_is_known_the_first_possible_second_is_believed() -> None:
    lost = judge(None, clock_at(datetime(1970, 1, 1, tzinfo=UTC), timedelta(minutes=2)), None)
    right = judge(lost, clock_at(EARLIEST, timedelta(minutes=3)), None)
    assert not right.nothing_known
    assert not right.doubtful
