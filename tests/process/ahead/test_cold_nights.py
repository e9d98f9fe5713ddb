"""The night ahead of a coat, and a forecast for one date.

Minimum temperatures, hours and readings are common practice without a source; the dew point of
14.5 C and 80 % (11.1 C) is the Magnus equation's, tested against published tables in tests/trade.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from bench.process.ahead.cold_nights import Cold, DewPoint, cold_of, dew_point_of, next_cold
from bench.process.ahead.lookahead import USUAL_COAT, ahead_words, look_ahead
from bench.process.attention.alarms import Alarm, current_alarms
from bench.process.attention.todo_list import tasks
from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.stand_state import stand_state
from bench.process.clocks.temperature import Forecast, Hours, Reading
from bench.process.parts.durations import Length
from bench.process.parts.part import Part
from bench.process.sheets.product import Limits, Product
from bench.trade.ageing import Side

from ..making import HOURS, MON, after, band, coated, product

COLD_NIGHT = replace(HOURS, night_c=2.0)
EVENING = after(530)
"""16:50, the shop closes at 17:30."""
TUE = date(2026, 3, 3)


def paint(least_c: float = 5.0, **more: object) -> Product:
    return product(band("wait", c20=16), band("open"), limits=Limits(metal_least_c=least_c), **more)


PRIMER = paint()


def shop(
    hours: Hours, *readings: Reading, of: Product = PRIMER, rh_pct: float | None = None
) -> Environment:
    read = readings or (Reading(EVENING, 14.5, rh_pct, 14.5),)
    return Environment(read, hours, {"p": of})


def wet(minutes: float = 530) -> Part:
    """A coat sprayed at that minute after Monday 08:00."""
    return coated(after(minutes), after(minutes))


def every_cold(part: Part, around: Environment, now: datetime) -> tuple[Cold, ...]:
    return cold_of(part, clocks_of(part, around), around, dew_point_of(around, now), now)


def cold(part: Part, around: Environment, now: datetime) -> tuple[Cold, ...]:
    return next_cold(every_cold(part, around, now), now)


def words(part: Part, around: Environment, now: datetime) -> list[str]:
    return [stretch.words(now) for stretch in cold(part, around, now)]


def before_the_trigger(around: Environment, now: datetime = EVENING) -> str:
    both = coated(after(0), after(0))
    part = replace(both, steps=both.steps[1:])
    ahead = look_ahead(part, clocks_of(part, around), around, now, Length(USUAL_COAT))
    assert ahead is not None
    return ahead_words(ahead, now)


def test_a_cold_night_is_told_before_the_trigger() -> None:
    """Read at 16:50, so that it counts until 20:50; then the usual 2 C until 07:30."""
    assert "Tonight from ~20:50 to ~Tue 07:30 the surface is under the minimum 5 C: it stands" in (
        before_the_trigger(shop(COLD_NIGHT))
    )


def test_a_night_over_the_minimum_is_not_told_of() -> None:
    assert "minimum" not in before_the_trigger(shop(HOURS))


def test_dew_in_the_night_is_told_before_the_trigger() -> None:
    told = before_the_trigger(shop(HOURS, rh_pct=80.0))
    assert "Tonight from ~20:50 to ~Tue 07:30 the surface is through the dew point 11.1 C" in told


def test_no_dew_is_told_of_where_no_humidity_was_read() -> None:
    assert "dew" not in before_the_trigger(shop(HOURS))


def test_dew_is_told_of_for_a_day_after_the_humidity_was_read() -> None:
    around = shop(HOURS, rh_pct=80.0, of=paint(least_c=-20.0))
    slow = replace(around, products={"p": product(band("wait", c20=96), band("open"))})
    stretches = every_cold(wet(), slow, EVENING)
    assert [f"{stretch.begins.at:%a %H:%M}" for stretch in stretches] == ["Mon 20:50"]
    later = replace(slow, readings=(Reading(after(620), 14.5, 80.0, 14.5),))
    stretches = every_cold(wet(), later, after(620))
    assert [f"{s.begins.at:%a %H:%M}" for s in stretches] == ["Mon 22:20", "Tue 17:30"]


def test_at_its_minimum_a_coat_still_dries_and_at_the_dew_point_dew_settles() -> None:
    around = shop(HOURS, of=paint(least_c=11.0))
    assert every_cold(wet(), around, EVENING) == ()
    clocks, dew = clocks_of(wet(), around), DewPoint(EVENING, 11.0)
    (stretch,) = cold_of(wet(), clocks, around, dew, EVENING)
    assert stretch.limit == "dew point"


def test_cold_before_morning_is_not_tonights() -> None:
    early = after(-450)
    read = Reading(early, 14.5, None, 14.5)
    assert words(wet(-450), shop(COLD_NIGHT, read), early) == [
        "from ~04:30 to ~07:30 the surface is under the minimum 5 C: it stands still"
    ]


def test_a_night_that_is_over_is_told_of_no_more_and_the_next_one_is() -> None:
    noon = after(28 * 60)
    around = shop(COLD_NIGHT, Reading(EVENING, 14.5), Reading(noon, 14.5))
    (told,) = words(wet(), around, noon)
    assert told.startswith("tonight from ~17:30 to ~Wed 07:30")


def test_dew_matters_no_longer_than_the_coat_is_soft() -> None:
    soft = product(band("wait", 10 * 60), band("open"), limits=Limits(metal_least_c=-20.0))
    (told,) = words(wet(), shop(HOURS, rh_pct=80.0, of=soft), EVENING)
    assert told.startswith("tonight from ~20:50 to ~Tue 02:50 the surface is through the dew point")


def test_work_on_a_coat_that_is_still_soft_hides_no_cold_night() -> None:
    both = wet()
    sanding = replace(
        both.steps[1],
        step=replace(both.steps[1].step, kind="work"),
        status="in hand",
        first_at=EVENING,
    )
    part = replace(both, steps=(both.steps[0], sanding))
    assert words(part, shop(COLD_NIGHT), EVENING) == words(both, shop(COLD_NIGHT), EVENING) != []


def test_a_humidity_that_was_misread_tells_of_no_dew() -> None:
    """No shop hygrometer reads below 1 %."""
    assert "dew" not in before_the_trigger(shop(HOURS, rh_pct=0.2))


def test_a_coat_through_its_wait_before_the_night_is_not_told_of() -> None:
    quick = product(band("flash", 15), band("open"))
    assert words(wet(), shop(COLD_NIGHT, of=quick), EVENING) == []


def test_what_was_no_coat_is_not_told_of() -> None:
    part = wet()
    step = replace(part.steps[0].step, kind="work")
    done = replace(part.steps[0], step=step)
    assert words(replace(part, steps=(done, part.steps[1])), shop(COLD_NIGHT), EVENING) == []


def test_a_coat_in_hand_is_wet_too() -> None:
    part = wet()
    in_hand = replace(part.steps[0], status="in hand", last_at=None)
    assert words(replace(part, steps=(in_hand, part.steps[1])), shop(COLD_NIGHT), EVENING) == [
        "tonight from ~20:50 to ~Tue 07:30 the surface is under the minimum 5 C: it stands still"
    ]


def test_a_minimum_of_no_data_sheet_wears_its_mark() -> None:
    told = words(wet(), shop(COLD_NIGHT, of=paint(source="placeholder")), EVENING)
    assert told == [
        "tonight from ~20:50? to ~Tue 07:30? the surface is under the minimum 5? C: it stands still"
    ]


def test_the_hour_is_never_later_than_the_cold_begins_nor_sooner_than_it_ends() -> None:
    read = Reading(EVENING + timedelta(minutes=3), 14.5, None, 14.5)
    (stretch,) = cold(wet(), shop(COLD_NIGHT, read), EVENING + timedelta(minutes=3))
    assert f"{stretch.begins.at:%H:%M} {stretch.begins.shown:%H:%M}" == "20:53 20:50"


MIDNIGHT = after(16 * 60)


def alarms(part: Part, around: Environment, now: datetime) -> list[tuple[str, int | None, str]]:
    holding = held(part, around, now)
    return [(alarm.want.word, alarm.want.stand, alarm.want.text) for alarm in holding]


def held(part: Part, around: Environment, now: datetime) -> tuple[Alarm, ...]:
    clocks = clocks_of(part, around)
    stretches = every_cold(part, around, now)
    return current_alarms(
        [(part, stand_state(part, clocks, now))], (), now, cold=[(part, stretches)]
    )


def test_a_standstill_is_an_alarm_with_stand_hour_and_what_to_do() -> None:
    assert alarms(wet(), shop(COLD_NIGHT), MIDNIGHT) == [
        (
            "COLD",
            1,
            "bracket: since ~Mon 20:50 the surface is under the minimum 5 C: "
            "warm it, or it stands still",
        )
    ]


def test_dew_on_a_fresh_coat_is_an_alarm_with_its_reason_once_it_begins() -> None:
    """14.5 C and 80 % at 16:50: dew point 11.1 C; from 20:50 on the usual 11 C of the night."""
    around = shop(HOURS, rh_pct=80.0)
    assert alarms(wet(), around, EVENING) == [], "ahead it is only listed"
    assert alarms(wet(), around, MIDNIGHT) == [
        (
            "COLD",
            1,
            "bracket: since ~Mon 20:50 the surface is through the dew point 11.1 C: "
            "warm it, or dew settles on it",
        )
    ]


def test_dew_on_a_coat_through_its_wait_is_no_alarm() -> None:
    """16 h at 20 C from Sunday 08:00 are over on Monday; common practice, no source."""
    sunday = coated(after(-24 * 60), after(-24 * 60))
    around = shop(HOURS, Reading(after(-24 * 60), 20.0), Reading(EVENING, 14.5, 80.0, 14.5))
    assert [word for word, _, _ in alarms(sunday, around, MIDNIGHT)] == ["TEST"]


def test_dew_and_a_standstill_of_one_night_are_two_alarms() -> None:
    both = held(wet(), shop(COLD_NIGHT, rh_pct=80.0), MIDNIGHT)
    assert [alarm.want.word for alarm in both] == ["COLD", "COLD"]
    assert len({alarm.cause for alarm in both}) == 2


def test_a_further_reading_of_the_air_makes_no_second_alarm_of_dew() -> None:
    first = shop(HOURS, Reading(EVENING, 14.5, 80.0, 14.5), Reading(after(800), 11.0, 98.0, 10.0))
    more = shop(HOURS, *first.readings, Reading(after(805), 11.0, 97.0, 10.0))
    (one,), (two,) = (held(wet(), around, after(806)) for around in (first, more))
    assert one.since != two.since
    assert one.cause == two.cause


def test_a_standstill_that_was_read_has_the_hour_of_the_reading() -> None:
    read = Reading(after(540), 3.0, None, 3.0)
    (told,) = alarms(wet(), shop(HOURS, Reading(EVENING, 14.5), read), after(545))
    assert "since 17:00 the surface" in told[2]


def test_a_cold_night_ahead_is_listed_but_no_alarm() -> None:
    part, around = wet(), shop(COLD_NIGHT)
    assert alarms(part, around, EVENING) == []
    listed = tasks((), (), EVENING, cold=[(part, cold(part, around, EVENING))])
    assert [want.word for want in listed] == ["COLD"]


def test_a_standstill_ends_when_it_is_warm_again() -> None:
    assert alarms(wet(), shop(COLD_NIGHT), after(24 * 60)) == []


# --- a forecast for one date ---------------------------------------------------------------------


def forecast(day: date, low_c: float, high_c: float, since: datetime = MON) -> Hours:
    return replace(HOURS, forecasts=(Forecast(day, low_c, high_c, since),))


def temperature(hours: Hours, at: datetime, side: Side) -> float:
    """What is taken where nobody ever read a thermometer."""
    log = Environment((), hours, {}).weather().temperatures(MON, side)
    return [s.temp_c for s in log if s.start_s <= at.timestamp()][-1]


MON_NIGHT, TUE_NOON, TUE_NIGHT = after(18 * 60), after(28 * 60), after(42 * 60)


@pytest.mark.parametrize(
    ("at", "usual_c", "told_c"), [(MON_NIGHT, 11, 2), (TUE_NOON, 18, 18), (TUE_NIGHT, 11, 11)]
)
def test_a_night_typed_for_one_date_leaves_the_others(
    at: datetime, usual_c: float, told_c: float
) -> None:
    """Tuesday's small hours are of Monday's night."""
    assert temperature(HOURS, at, "opening") == usual_c
    assert temperature(forecast(MON.date(), 2.0, 18.0), at, "opening") == told_c


def test_a_mild_night_does_not_open_a_coat_sooner() -> None:
    assert temperature(forecast(MON.date(), 16.0, 18.0), MON_NIGHT, "opening") == 11


def test_a_cold_day_opens_a_coat_later_and_keeps_no_window_open_longer() -> None:
    told = forecast(TUE, 2.0, 9.0)
    assert temperature(told, TUE_NOON, "opening") == 9
    assert temperature(told, TUE_NOON, "closing") == 18


def test_a_warm_day_closes_a_window_sooner_for_its_own_date() -> None:
    told = forecast(TUE, 11.0, 27.0)
    hours = (after(15 * 60), MON_NIGHT, TUE_NOON, TUE_NIGHT)
    assert [temperature(told, at, "closing") for at in hours] == [18, 27, 27, 18]
    assert temperature(told, TUE_NOON, "opening") == 18


def test_a_forecast_leaves_the_hours_before_it_was_typed() -> None:
    told = forecast(MON.date(), 2.0, 18.0, since=MON_NIGHT)
    assert temperature(told, MON_NIGHT - timedelta(minutes=5), "opening") == 11
    assert temperature(told, MON_NIGHT, "opening") == 2


def test_a_forecast_night_is_told_before_the_trigger() -> None:
    told = before_the_trigger(shop(forecast(MON.date(), 2.0, 18.0)))
    assert "Tonight from ~20:50 to ~Tue 07:30 the surface is under the minimum 5 C" in told
