"""The shop's own night, day, hours and probes: they hold from the moment they are set."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from bench.process.calendar.holidays import run_of_days
from bench.process.calendar.week import break_words, read_week
from bench.process.stock.mixing import MixStart
from bench.process.stock.tins import day_of
from bench.shop.clock import timekeeping
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.settings.holiday_file import add_holidays_of
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock import pots, tin_list
from bench.shop.stock.tins import record_tin
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import done, part, refused, stand, state, told

pytestmark = pytest.mark.sqlite


@done_once
def primed(shop: Shop, clock: ManualClock) -> None:
    """A bracket with epoxy on at 18 C by day: 16 h at 20 C, 24 h at 10 C (source seen)."""
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))


def opens(shop: Shop) -> datetime:
    at = stand(shop).opens.at
    assert at is not None
    return at


def test_a_colder_night_to_come_moves_the_opening(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock)
    before = opens(shop)
    clock.advance(hours=2)
    answer = done(set_settings(shop, "Kit", night_c=6))
    assert answer.text == "from now on: night 6 C"
    assert opens(shop) > before


def test_a_night_that_is_over_keeps_what_was_usual_then(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock)
    clock.advance(hours=23)  # the next morning, nobody has read anything since
    before = opens(shop)
    for night_c in (2, 25):
        done(set_settings(shop, "Kit", night_c=night_c))
        assert opens(shop) == before


def test_changed_in_the_middle_of_the_night_only_the_rest_of_it_is_colder(
    shop: Shop, clock: ManualClock
) -> None:
    primed(shop, clock)
    usual = opens(shop)
    clock.advance(hours=16)  # 23:30
    done(set_settings(shop, "Kit", night_c=6))
    before_midnight = opens(shop)
    done(undo.undo(shop, "Kit"))
    clock.advance(hours=2)
    done(set_settings(shop, "Kit", night_c=6))
    assert usual < opens(shop) < before_midnight


def test_day_and_hours_hold_from_now_on_too(shop: Shop, clock: ManualClock) -> None:
    clock.advance(days=2)
    done(set_settings(shop, "Kit", day_c=21, week=read_week("Mon-Sat 06:00-14:00")))
    hours = bench_view.read_bench(shop).house.hours
    assert (hours.day_c, hours.night_c) == (21, 11)
    monday, thursday = hours.spans(clock.now() - timedelta(days=2), 4)[::3]
    assert (monday[0].hour, monday[1].hour) == (7, 17)
    assert (thursday[0].hour, thursday[1].hour) == (6, 14)


def test_the_shipped_figures_are_placeholders_until_the_shop_types_its_own(shop: Shop) -> None:
    assert not bench_view.read_bench(shop).house.hours.typed
    done(set_settings(shop, "Kit", night_c=9))
    assert bench_view.read_bench(shop).house.hours.typed


@pytest.mark.parametrize("hours", [3, -3])
def test_a_clock_that_is_put_right_takes_the_hour_of_the_change_with_it(
    shop: Shop, clock: ManualClock, hours: int
) -> None:
    timekeeping.start_clock(shop)
    clock.advance(minutes=10)
    done(set_settings(shop, "Kit", night_c=6))
    clock.advance(minutes=10)
    clock.step(hours=hours)
    assert timekeeping.move_running_clocks(shop)
    (usual,) = bench_view.read_bench(shop).house.hours.before
    assert shop.clock.now() - usual.until == timedelta(minutes=10)
    assert check(shop).faults == ()


def test_it_is_journaled_and_undone_exactly(shop: Shop, clock: ManualClock) -> None:
    before = state(shop)
    done(set_settings(shop, "mo", night_c=9, day_c=17, week=read_week("Mon-Fri 8-16")))
    assert told(shop) == state(shop)
    last = undo.last_action(shop)
    assert last is not None
    assert (last.action, last.painter) == ("settings", "Mo")
    assert last.text == "from now on: night 9 C, day 17 C, Mon-Fri 08:00-16:00"
    done(undo.undo(shop, "Kit"))
    assert state(shop) == before
    assert check(shop).faults == ()


def test_the_list_of_what_was_usual_does_not_grow_for_ever(shop: Shop, clock: ManualClock) -> None:
    for _ in range(30):
        clock.advance(days=30)
        done(set_settings(shop, "Kit", night_c=9))
    assert len(bench_view.read_bench(shop).house.hours.before) <= 15


@pytest.mark.parametrize(
    ("what", "told"),
    [
        ({}, "nothing to set"),
        ({"night_c": -31}, "night -31 C"),
        ({"night_c": float("nan")}, "night nan C"),
        ({"day_c": 51}, "day 51 C"),
        ({"week": (None,) * 7}, "a week without hours"),
        ({"probe": {"metal": "/dev/x"}}, "no air probe"),
        ({"probe": {"wind": "/dev/x"}}, "no probe of wind"),
        ({"probe": {"air": "/dev/\x1b"}}, "the air probe's path"),
        ({"probe": {"air": "/" + "x" * 400}}, "the air probe's path"),
        ({"probe_every_min": 0.5}, "a reading every 0.5 min"),
        ({"probe_every_min": 2000}, "a reading every 2000 min"),
    ],
)
def test_what_cannot_be_set_is_refused_and_nothing_changes(
    shop: Shop, what: dict[str, object], told: str
) -> None:
    before = state(shop)
    assert told in refused(set_settings(shop, "Kit", **what)).rule  # type: ignore[arg-type]
    assert state(shop) == before


def test_a_stranger_sets_nothing(shop: Shop) -> None:
    before = state(shop)
    assert "no painter" in refused(set_settings(shop, "Zed", night_c=9)).rule
    assert state(shop) == before


def test_a_probes_path_may_have_400_characters(shop: Shop) -> None:
    done(set_settings(shop, "Kit", probe={"air": ("/" + "x" * 99) * 4}))


def test_probes_are_set_and_taken_away(shop: Shop) -> None:
    assert bench_view.read_bench(shop).house.probes is None
    done(set_settings(shop, "Kit", probe={"air": "/run/air", "metal": "/run/metal"}))
    probes = bench_view.read_bench(shop).house.probes
    assert probes is not None
    assert (dict(probes.paths), probes.every) == (
        {"air": "/run/air", "metal": "/run/metal"},
        timedelta(minutes=10),
    )
    done(set_settings(shop, "Kit", probe={"metal": ""}, probe_every_min=5))
    probes = bench_view.read_bench(shop).house.probes
    assert probes is not None
    assert (dict(probes.paths), probes.every) == ({"air": "/run/air"}, timedelta(minutes=5))
    done(set_settings(shop, "Kit", probe={"air": ""}))
    assert bench_view.read_bench(shop).house.probes is None


def test_a_holiday_from_now_on_leaves_the_days_gone_by_as_they_were(
    shop: Shop, clock: ManualClock
) -> None:
    primed(shop, clock)
    clock.advance(hours=20)
    before = opens(shop)
    answer = done(set_settings(shop, "Kit", holidays=["2025-06-09"]))  # yesterday, by mistake
    assert answer.text == "from now on: holiday Mon 09 Jun 2025"
    assert opens(shop) == before


def test_on_a_holiday_nobody_is_in_and_taken_away_again_somebody_is(shop: Shop) -> None:
    done(set_settings(shop, "Kit", holidays=["2025-06-10..2025-06-11", "FREQ=WEEKLY;BYDAY=FR"]))
    hours = bench_view.read_bench(shop).house.hours
    open_days = {span[0].date().isoformat() for span in hours.spans(shop.clock.now(), 5)}
    assert open_days == {"2025-06-09", "2025-06-12"}
    answer = done(set_settings(shop, "Mo", no_holidays=["2025-06-10..2025-06-11"]))
    assert answer.text == "from now on: no holiday Tue 10 Jun 2025 to Wed 11 Jun 2025"
    hours = bench_view.read_bench(shop).house.hours
    assert len(hours.spans(shop.clock.now(), 5)) == 4
    done(undo.undo(shop, "Kit"))
    assert len(bench_view.read_bench(shop).house.hours.spans(shop.clock.now(), 5)) == 2
    assert check(shop).faults == ()


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("2025-13-01", "month must be in 1..12"),
        ("2025-06-11..2025-06-10", "its end comes before its beginning"),
        ("2025-06-11..2027-06-10", "730 days off: from 1 to 366"),
        ("sometimes", "it has one FREQ"),
    ],
)
def test_what_is_no_holiday_is_refused_in_words(shop: Shop, typed: str, says: str) -> None:
    assert says in str(refused(set_settings(shop, "Kit", holidays=[typed])))


def test_a_holiday_that_is_not_there_cannot_be_taken_away(shop: Shop) -> None:
    done(set_settings(shop, "Kit", holidays=["2025-12-25"]))
    told = refused(set_settings(shop, "Kit", no_holidays=["2025-12-26"]))
    assert str(told) == "no holiday Fri 26 Dec 2025: there are: Thu 25 Dec 2025"


def test_where_somebody_always_is_no_window_is_missed_for_want_of_hands(shop: Shop) -> None:
    answer = done(set_settings(shop, "Kit", always_in=True))
    assert answer.text == "from now on: open day and night"
    assert bench_view.read_bench(shop).house.hours.always_in
    answer = done(set_settings(shop, "Kit", always_in=False))
    assert not bench_view.read_bench(shop).house.hours.always_in


def test_the_shops_own_zone_holds_whatever_the_computer_is_set_to(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    july = datetime(2026, 7, 15, 12, 0, tzinfo=UTC)
    answer = done(set_settings(shop, "Kit", zone="europe/dublin"))
    assert answer.text == "from now on: time zone Europe/Dublin"
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    assert bench_view.read_bench(shop).local(july).hour == 13, (
        "Ireland, an hour ahead of UTC in summer"
    )
    answer = done(set_settings(shop, "Kit", zone="local"))
    assert answer.text == "from now on: time zone the computer's own, Asia/Tokyo"
    assert bench_view.read_bench(shop).local(july).hour == 21
    done(undo.undo(shop, "Kit"))
    assert bench_view.read_bench(shop).house.zone_name == "Europe/Dublin"
    assert check(shop).faults == ()


@pytest.mark.parametrize("typed", ["Dublin", "Europe/Dublinn", "UTC+1", "é" * 500])
def test_a_zone_that_is_not_there_is_refused_with_what_was_read_and_what_to_type(
    shop: Shop, typed: str
) -> None:
    before = state(shop)
    told = refused(set_settings(shop, "Kit", zone=typed, night_c=3))
    assert told.rule == "no such time zone"
    assert told.read.isascii()
    assert told.remedy.endswith('or "local", the computer\'s own')
    assert ("Europe/Dublin" in told.remedy) or "ublin" not in typed
    assert state(shop) == before


def test_the_hours_somebody_is_in_are_those_on_the_shops_wall_through_the_change_of_clocks(
    shop: Shop,
) -> None:
    """Ireland's clocks went forward on Sunday 29 March 2026 (the IANA time zone database)."""
    done(set_settings(shop, "Kit", zone="Europe/Dublin", holidays=["FREQ=WEEKLY;BYDAY=SA"]))
    hours = bench_view.read_bench(shop).house.hours
    friday, monday = hours.spans(datetime(2026, 3, 27, 12, 0, tzinfo=UTC), 4)
    assert friday[0] == datetime(2026, 3, 27, 7, 30, tzinfo=UTC)
    assert monday[0] == datetime(2026, 3, 30, 6, 30, tzinfo=UTC)


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "Europe/Dublin", "America/New_York"])
def test_a_tin_keeps_its_use_by_where_the_shop_sets_another_zone(shop: Shop, zone: str) -> None:
    day = date(2026, 5, 31)
    done(record_tin(shop, "gloss", "Kit", role="base", size_ml=500, use_by=day))
    done(set_settings(shop, "Kit", zone=zone))
    (tin,) = tin_list.tins(shop).tins
    assert tin.use_by is not None
    assert day_of(tin.use_by) == "31 May 2026"
    assert tin.use_by == datetime(2026, 6, 1, tzinfo=ZoneInfo(zone)), "all of that day on its wall"


def test_a_break_is_set_shown_and_taken_away(shop: Shop) -> None:
    assert (
        done(set_settings(shop, "Kit", lunch="12-12:30")).text == "from now on: break 12:00-12:30"
    )
    lunch = bench_view.read_bench(shop).house.hours.lunch
    assert break_words(lunch) == "12:00-12:30"
    assert "wanted two hours" in str(refused(set_settings(shop, "Kit", lunch="noon")))
    assert done(set_settings(shop, "Kit", lunch="none")).text == "from now on: break none"
    assert bench_view.read_bench(shop).house.hours.lunch is None


FEASTS = """BEGIN:VCALENDAR
VERSION:2.0
PRODID:feasts
{}END:VCALENDAR
"""
FEAST = """BEGIN:VEVENT
UID:{0}
DTSTART{0}
{1}SUMMARY:a feast
END:VEVENT
"""


def test_a_calendar_file_gives_plain_days_off(shop: Shop) -> None:
    whole = ";VALUE=DATE:"
    today = shop.clock.now().date()
    ahead = [f"{today + timedelta(days=days):%Y%m%d}" for days in (-40, 10, 12, 20, 30, 900)]
    events = [
        FEAST.format(f"{whole}{ahead[0]}", ""),
        FEAST.format(f"{whole}{ahead[1]}", f"DTEND{whole}{ahead[2]}\n"),
        FEAST.format(f"{whole}{ahead[3]}", ""),
        FEAST.format(f":{ahead[4]}T120000Z", ""),
        FEAST.format(f"{whole}{ahead[4]}", "RRULE:FREQ=YEARLY\n"),
        FEAST.format(f"{whole}{ahead[5]}", ""),
    ]
    done(add_holidays_of(shop, "Kit", FEASTS.format("".join(events))))
    assert bench_view.read_bench(shop).house.hours.holidays == (
        run_of_days(today + timedelta(days=10), 2),
        run_of_days(today + timedelta(days=20)),
    )
    old = FEASTS.format(events[0])
    assert refused(add_holidays_of(shop, "Kit", old)).rule == "no whole day to come in this file"
    assert refused(add_holidays_of(shop, "Kit", "date,low")).rule == "no calendar file"


def test_a_megabyte_of_backups_is_a_million_bytes(shop: Shop) -> None:
    """Mega is a million (SI)."""
    done(set_settings(shop, "Kit", backup_mb=20))
    assert bench_view.read_bench(shop).house.backup_bytes == 20_000_000
