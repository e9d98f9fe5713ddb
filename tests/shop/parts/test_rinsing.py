"""A wash is rinsed inside its time: early is asked about, and can be wetted again.

10 to 15 min of mordant: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from bench.process.refusals.overrides import Override
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.step_facts import HourOfStep
from bench.shop.corrections.undo import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import back_dating, equipment, holds_and_rework, placement, steps, testing
from bench.shop.queries.log import log_page
from bench.shop.seeds import sheet_editing
from bench.shop.seeds.seed_files import Seeds
from bench.shop.seeds.seed_text import sheet_text
from bench.testing import ManualClock
from tests.living import done_once

from ..doing import begin_over, done, part, read_20c, refused, stand, state

pytestmark = pytest.mark.sqlite

DRYING_ON = Override({"rinsed-early": "it was drying on"})


@pytest.fixture
@done_once
def wet(shop: Shop, clock: ManualClock) -> Shop:
    """A bracket whose only zone was wetted with mordant at 07:30; now it is 07:34:10."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read_20c(shop)
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=4, seconds=10)
    return shop


def test_until_when_to_leave_it_on_is_told_up_to_the_full_minute(
    shop: Shop, clock: ManualClock
) -> None:
    clock.advance(seconds=20)
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read_20c(shop)
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=4)
    # Wetted at 07:30:20, ten minutes at least: 07:40:20, and 07:40 would be too early.
    assert refused(steps.finish(shop, 1, "Mo")).remedy == "leave it on, wet, until 07:41"


def test_a_zone_is_not_rinsed_before_its_minimum_unless_a_painter_says_why(wet: Shop) -> None:
    before = state(wet)
    no = refused(steps.finish(wet, 1, "Mo"))
    assert str(no) == "too early to rinse ALL (4 min of 10-15): leave it on, wet, until 07:40"
    assert (no.name, no.override) == ("rinsed-early", "reason")
    assert state(wet) == before
    answer = done(steps.finish(wet, 1, "Mo", override=DRYING_ON))
    assert answer.text == (
        "tag 1 Bracket: Mordant wash ALL finished 07:34; "
        "override: too early to rinse ALL (4 min of 10-15): it was drying on"
    )
    wash = next(record for record in part(wet).steps if record.step.kind == "dwell")
    assert wash.flags[0] == "ALL rinsed early, after 4 min", "rounded down: 4:10 is no 5 min"
    assert check(wet).faults == ()


def test_a_zone_rinsed_in_time_is_asked_nothing(wet: Shop, clock: ManualClock) -> None:
    clock.advance(minutes=5, seconds=50)
    assert refused(steps.finish(wet, 1, "Mo", override=DRYING_ON)).rule == "no rule is in the way"
    assert "override" not in done(steps.finish(wet, 1, "Mo")).text


def test_a_zone_is_not_rinsed_at_an_hour_that_is_still_to_come(
    wet: Shop, clock: ManualClock
) -> None:
    before = state(wet)
    later = clock.now() + timedelta(minutes=6)
    assert refused(steps.finish(wet, 1, "Mo", at=later)).rule == "that is in the future"
    assert state(wet) == before


def test_both_soakings_of_a_zone_that_was_wetted_again_are_in_the_log(
    wet: Shop, clock: ManualClock
) -> None:
    done(steps.finish(wet, 1, "Mo", override=DRYING_ON))
    clock.advance(minutes=5)
    answer = done(steps.begin(wet, 1, "Kit", zone="ALL"))
    assert answer.text == "tag 1 Bracket: Mordant wash ALL again begun 07:39"
    clock.advance(minutes=12)
    done(steps.finish(wet, 1, "Kit"))
    texts = [line.text for line in log_page(wet)]
    assert sum("Mordant wash ALL" in text for text in texts) == 4
    assert check(wet).faults == ()


def test_a_wash_that_passed_its_test_is_not_wetted_again(wet: Shop) -> None:
    done(steps.finish(wet, 1, "Mo", override=DRYING_ON))
    done(testing.pass_test(wet, 1, "Mo"))
    steps.begin(wet, 1, "Kit", zone="ALL")
    wash = next(record for record in part(wet).steps if record.step.kind == "dwell")
    assert (wash.status, wash.passed_by) == ("done", "Mo")


def test_a_wash_is_not_wetted_again_once_the_next_step_is_in_hand(wet: Shop) -> None:
    done(steps.finish(wet, 1, "Mo", override=DRYING_ON))
    done(begin_over(wet, 1, "Mo"))
    following = part(wet).current()
    steps.begin(wet, 1, "Kit", zone="ALL")
    assert part(wet).current() == following


def test_a_zone_rinsed_as_it_was_wetted_is_too_early(wet: Shop) -> None:
    wash = part(wet).current()
    assert wash is not None
    assert wash.first_at is not None
    early = refused(steps.finish(wet, 1, "Mo", at=wash.first_at))
    assert early.rule == "too early to rinse ALL"
    before = refused(steps.finish(wet, 1, "Mo", at=wash.first_at - timedelta(seconds=1)))
    assert before.rule == "zone ALL was not wet yet"


def flags(shop: Shop) -> tuple[str, ...]:
    """What the mordant wash is flagged with, but for rules that were overridden."""
    wash = next(record for record in part(shop).steps if record.step.kind == "dwell")
    return tuple(flag for flag in wash.flags if not flag.startswith("override: "))


def test_a_zone_wetted_again_and_rinsed_in_time_is_no_longer_flagged_as_early(
    wet: Shop, clock: ManualClock
) -> None:
    done(steps.finish(wet, 1, "Mo", override=DRYING_ON))
    assert flags(wet) == ("ALL rinsed early, after 4 min",)
    done(steps.begin(wet, 1, "Kit", zone="ALL"))
    assert flags(wet) == ()
    clock.advance(minutes=12)
    done(steps.finish(wet, 1, "Kit"))
    assert flags(wet) == ()
    done(undo(wet, "Kit"))
    done(undo(wet, "Kit"))
    assert flags(wet) == ("ALL rinsed early, after 4 min",), "undone, it is as it was"
    assert check(wet).faults == ()


def test_a_rinse_five_minutes_earlier_is_flagged_by_that_hour(
    wet: Shop, clock: ManualClock
) -> None:
    clock.advance(minutes=8)
    done(steps.finish(wet, 1, "Kit"))
    assert flags(wet) == ()
    answer = done(back_dating.back_date(wet, 1, "Kit", 5))
    assert flags(wet) == ("ALL rinsed early, after 7 min",)
    assert answer.notes == flags(wet), "and the painter is told at once"
    done(undo(wet, "Kit"))
    assert flags(wet) == ()


def test_a_rinse_that_was_pressed_late_is_no_longer_flagged_once_it_is_back_dated(
    wet: Shop, clock: ManualClock
) -> None:
    clock.advance(minutes=14)
    done(steps.finish(wet, 1, "Kit"))
    assert flags(wet) == ("ALL rinsed late, after 19 min",)
    done(back_dating.back_date(wet, 1, "Kit", 5))
    assert flags(wet) == ()
    assert check(wet).faults == ()


def test_a_first_brush_stroke_five_minutes_earlier_counts_for_its_rinse(
    wet: Shop, clock: ManualClock
) -> None:
    clock.advance(minutes=2)
    done(back_dating.back_date(wet, 1, "Kit", 5))
    answer = done(steps.finish(wet, 1, "Kit"))
    assert "override" not in answer.text, "11 min by now: its minimum is over"
    assert flags(wet) == ()


def test_a_cleaner_that_was_wetted_earlier_than_the_key_was_pressed_is_flagged_as_late(
    shop: Shop, clock: ManualClock
) -> None:
    """3 to 10 min of alkaline cleaner: common practice, no source."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read_20c(shop)
    clock.advance(minutes=10)
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=8)
    done(steps.finish(shop, 1, "Kit"))
    cleaner = part(shop).steps[1]
    assert cleaner.flags == ()
    assert cleaner.first_at is not None
    earlier = cleaner.first_at - timedelta(minutes=10)
    right = HourOfStep(step=cleaner.number, edge="first", at=earlier)
    answer = done(correct(shop, 1, "Mo", "pressed too late", right))
    assert part(shop).steps[1].flags == ("it rinsed late, after 18 min",)
    assert "it rinsed late, after 18 min" in answer.notes
    done(undo(shop, "Mo"))
    assert part(shop).steps[1].flags == ()
    assert check(shop).faults == ()


def test_a_zone_that_had_its_time_is_not_wetted_again(wet: Shop, clock: ManualClock) -> None:
    clock.advance(minutes=8)
    done(steps.finish(wet, 1, "Kit"))
    no = refused(steps.begin(wet, 1, "Kit", zone="ALL"))
    assert no.name == "untested"
    done(testing.pass_test(wet, 1, "Mo"))
    assert part(wet).current().step.name == "Rinse, dry overnight"  # type: ignore[union-attr]


def test_an_early_zone_is_wetted_again_while_another_soaks(shop: Shop, clock: ManualClock) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read_20c(shop)
    for zone in ("FRONT", "REAR"):
        done(steps.begin(shop, 1, "Kit", zone=zone))
    clock.advance(minutes=4)
    done(steps.finish(shop, 1, "Kit", mark="FRONT", override=DRYING_ON))
    assert refused(steps.begin(shop, 1, "Mo", zone="REAR")).rule == "zone REAR is wet already"
    done(steps.begin(shop, 1, "Mo", zone="FRONT"))
    clock.advance(minutes=8)
    done(steps.finish(shop, 1, "Kit", mark="REAR"))
    no = refused(steps.begin(shop, 1, "Mo", zone="REAR"))
    assert str(no) == ("Mordant wash: every zone is wet already: rinse the oldest")


def test_a_later_zone_leaves_the_first_stroke_and_what_was_given_back_where_they_are(
    shop: Shop, clock: ManualClock, seeds: Seeds
) -> None:
    route = seeds.routes["zinc-new"]
    kit = next(iter(seeds.equipment.values())).kind
    needing = [replace(s, equipment=(kit,)) if s.kind == "dwell" else s for s in route.steps]
    done(
        sheet_editing.set_route(
            shop, "Kit", route.key, sheet_text(replace(route, steps=tuple(needing)))
        )
    )
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read_20c(shop)
    began = clock.now()
    done(steps.begin(shop, 1, "Kit", zone="FRONT"))
    [taken] = [thing for thing in read_bench(shop).equipment if thing.holder]
    done(equipment.give_back(shop, taken.key, "Kit"))
    clock.advance(minutes=2)
    done(steps.begin(shop, 1, "Mo", zone="REAR"))
    record = part(shop).current()
    assert record is not None
    assert (record.first_at, record.painters) == (began, ("Kit", "Mo"))
    assert not [thing for thing in read_bench(shop).equipment if thing.holder]


def test_a_wash_begun_without_a_thermometer_asks_for_a_reading_or_a_reason(
    shop: Shop, clock: ManualClock
) -> None:
    """5 to 30 C, read within four hours: common practice, no source."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    no = refused(steps.begin(shop, 1, "Kit", zone="FRONT"))
    assert (str(no), no.name, no.override) == (
        "surface temperature not read (the time of a wash holds from 5 to 30 C): "
        "take a reading first",
        *("no-reading", "reason"),
    )
    measured = Override({"no-reading": "measured at the part"})
    answer = done(steps.begin(shop, 1, "Kit", zone="FRONT", override=measured))
    assert answer.text.endswith("holds from 5 to 30 C): measured at the part")
    read_20c(shop)
    clock.advance(hours=4, minutes=1)
    old = refused(steps.begin(shop, 1, "Kit", zone="REAR"))
    assert (
        str(old)
        == "the last reading is too old (4 h 01 min old, at most 4 h): take a reading first"
    )


def test_a_wash_begun_by_the_air_says_that_the_surface_was_not_read(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Kit", air_c=18))
    answer = done(steps.begin(shop, 1, "Kit", zone="FRONT"))
    assert answer.notes == ("surface not read: air 18 C taken for it",)
    read_20c(shop)
    assert done(steps.begin(shop, 1, "Kit", zone="REAR")).notes == ()


def test_a_cleaner_is_not_rinsed_early_and_is_told_as_late_where_it_dried_on(
    shop: Shop, clock: ManualClock
) -> None:
    """3 to 10 min of alkaline cleaner: common practice, no source."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read_20c(shop)
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=1)
    no = refused(steps.finish(shop, 1, "Kit"))
    assert str(no) == "too early to rinse it (1 min of 3-10): leave it on, wet, until 07:33"
    clock.advance(minutes=40)
    assert stand(shop).word == "RINSE NOW"
    done(steps.finish(shop, 1, "Kit"))
    assert part(shop).steps[1].flags == ("it rinsed late, after 41 min",)
