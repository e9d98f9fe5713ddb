"""What puts paint into the air of the room, and that nothing ends the time of the masks early."""

from __future__ import annotations

import io
import shutil
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from sqlmodel import select

from bench.process.safety.hazards import harm_words, hazards_of_mix
from bench.process.safety.masks import ClearanceMeasurement, Room, room_words
from bench.process.stock.mixing import MixStart
from bench.shop.clock import timekeeping
from bench.shop.clock.timekeeping import set_clock
from bench.shop.core import bench_view
from bench.shop.core.json_form import as_json
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.corrections.correction import correct
from bench.shop.corrections.step_facts import HourOfStep
from bench.shop.data import backups
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import back_dating, holds_and_rework, placement, steps
from bench.shop.seeds import sheet_editing
from bench.shop.seeds.seed_files import BadSeed, Seeds, folder, load
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.settings import settings_change
from bench.shop.settings.setting_list import BY_KEY
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.store.schema.tables import JournalRow, ProductRow, StepRow
from bench.testing import ManualClock
from bench.trade.solvent import AIR_CHANGES_H, MIXING_FACTOR
from tests.living import done_once
from tests.shop.doing import begin_over, done, part, refused

pytestmark = pytest.mark.sqlite

CUP = MixStart(need_ml=300)
CLEARANCE = timedelta(minutes=30)
"""The placeholder of a shop that typed none."""


@pytest.fixture(autouse=True)
def mild(shop: Shop) -> None:
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=55, metal_c=20))


def room(shop: Shop) -> Room:
    return bench_view.read_bench(shop).room(shop.clock.now())


def words(shop: Shop) -> str:
    view, now = bench_view.read_bench(shop), shop.clock.now()
    return room_words(view.room(now), view.local(now))


@done_once
def before(shop: Shop, name: str, route: str = "steel-blasted", stand: int = 1) -> None:
    """A bracket that stands before a step of its route."""
    done(placement.place(shop, stand, "Kit", route=route, shape="bracket"))
    while part(shop, str(stand)).current().step.name != name:  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))


def begun(shop: Shop, stand: int = 1) -> None:
    done(begin_over(shop, stand, "Kit"))


@done_once
def sprayed(shop: Shop, clock: ManualClock, name: str = "Two-pack gloss 1") -> datetime:
    """A bracket with one coat on, sprayed in 20 minutes; when its trigger was released."""
    before(shop, name)
    begun(shop)
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    return clock.now()


def retyped(shop: Shop, seeds: Seeds, key: str, **changed: object) -> None:
    """A product as an earlier version kept it: nothing of it was refused then."""
    with shop.store.writing() as session:
        row = session.get_one(ProductRow, key)
        row.sheet = as_json(replace(seeds.products[key], **changed))  # type: ignore[arg-type]
        session.commit()


# --- spraying ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("tool", "isocyanate", "does"),
    [
        ("hvlp", True, "sprays"),
        ("", True, "sprays"),
        ("brush", True, "applies"),
        ("hvlp", False, "sprays"),
    ],
)
def test_isocyanate_alone_or_a_spraying_tool_alone_puts_masks_on(
    shop: Shop, clock: ManualClock, seeds: Seeds, tool: str, isocyanate: bool, does: str
) -> None:
    retyped(shop, seeds, "gloss", tool=tool, isocyanate=isocyanate)
    before(shop, "Two-pack gloss 1")
    begun(shop)
    assert words(shop) == f"MASKS ON: Kit {does} Two-pack gloss 2:1"
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    assert room(shop).until == clock.now() + CLEARANCE
    clock.advance(minutes=30)
    assert not room(shop).on


def test_enamel_that_is_brushed_on_puts_no_masks_on(shop: Shop, seeds: Seeds) -> None:
    retyped(shop, seeds, "gloss", tool="brush", isocyanate=False)
    before(shop, "Two-pack gloss 1")
    begun(shop)
    assert words(shop) == "no spraying recorded since 07:30"


def test_a_route_that_says_brush_does_not_take_the_masks_off_isocyanate(
    shop: Shop, seeds: Seeds
) -> None:
    route = seeds.routes["steel-blasted"]
    brushed = [replace(s, tool="brush") if s.product == "gloss" else s for s in route.steps]
    text = sheet_text(replace(route, steps=tuple(brushed)))
    done(sheet_editing.set_route(shop, "Kit", "steel-blasted", text))
    before(shop, "Two-pack gloss 1")
    begun(shop)
    assert words(shop) == "MASKS ON: Kit applies Two-pack gloss 2:1"


def test_a_coat_begun_by_an_earlier_version_counts_as_well(
    shop: Shop, clock: ManualClock, seeds: Seeds
) -> None:
    """It kept neither what was in the air nor, without a tool, that it was sprayed."""
    retyped(shop, seeds, "gloss", tool="")
    before(shop, "Two-pack gloss 1")
    begun(shop)
    with shop.store.writing() as session:
        for row in session.exec(select(StepRow).where(StepRow.in_air != "")):
            row.in_air, row.sprayed = "", False
        session.commit()
    assert words(shop) == "MASKS ON: Kit sprays Two-pack gloss 2:1"
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    assert words(shop) == "MASKS ON until 08:20?: Two-pack gloss 2:1 sprayed"


def as_an_earlier_version(shop: Shop) -> None:
    """Its journal did not say what was put into the air."""
    with shop.store.writing() as session:
        for row in session.exec(select(JournalRow)):
            row.released_at, row.released = None, ""
        session.commit()


def test_a_coat_that_an_earlier_version_finished_counts_to_the_end_of_its_time(
    shop: Shop, clock: ManualClock
) -> None:
    released = sprayed(shop, clock)
    as_an_earlier_version(shop)
    assert room(shop).until == released + CLEARANCE
    assert words(shop).endswith("Two-pack gloss 2:1 sprayed")
    done(back_dating.back_date(shop, 1, "Kit", 15))
    assert room(shop).until == released + CLEARANCE, "nor is that ended by a correction"


def test_a_coat_that_was_struck_in_an_earlier_version_counts_as_well(
    shop: Shop, clock: ManualClock
) -> None:
    before(shop, "Two-pack gloss 1")
    begun(shop)
    clock.advance(minutes=10)
    done(holds_and_rework.rework(shop, 1, "Kit", "run"))
    as_an_earlier_version(shop)
    assert room(shop).until == clock.now() + CLEARANCE


def test_two_at_once_are_said_and_masks_stay_on_for_the_one_who_goes_on(
    shop: Shop, clock: ManualClock
) -> None:
    before(shop, "Two-pack gloss 1")
    before(shop, "Epoxy primer", stand=2)
    done(begin_over(shop, 2, "Mo"))
    clock.advance(minutes=1)
    begun(shop)
    assert words(shop) == "MASKS ON: Kit sprays Two-pack gloss 2:1; and 1 more"
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(hours=2)
    assert words(shop) == "MASKS ON: Mo sprays Epoxy primer 4:1"


# --- nothing ends it early -----------------------------------------------------------------------


def test_a_coat_struck_half_way_keeps_masks_on_for_the_clearance_time(
    shop: Shop, clock: ManualClock
) -> None:
    before(shop, "Two-pack gloss 1")
    begun(shop)
    clock.advance(minutes=10)
    done(holds_and_rework.rework(shop, 1, "Kit", "run"))
    assert room(shop).until == clock.now() + CLEARANCE
    assert room(shop).reason == "Two-pack gloss 2:1 sprayed"


def test_a_coat_of_which_the_beginning_is_undone_was_sprayed_until_then(
    shop: Shop, clock: ManualClock
) -> None:
    before(shop, "Two-pack gloss 1")
    begun(shop)
    clock.advance(minutes=40)
    done(undo.undo(shop, "Mo"))
    assert part(shop).current().status == "todo"  # type: ignore[union-attr]
    assert room(shop).until == clock.now() + CLEARANCE
    clock.advance(minutes=29)
    assert room(shop).on


def test_undoing_the_last_face_and_all_before_it_ends_nothing(
    shop: Shop, clock: ManualClock
) -> None:
    released = sprayed(shop, clock)
    clock.advance(minutes=5)
    done(undo.undo(shop, "Kit"))
    assert words(shop) == "MASKS ON: Kit sprays Two-pack gloss 2:1"
    done(undo.undo(shop, "Kit"))
    until = room(shop).until
    assert until is not None
    assert until >= released + CLEARANCE
    assert check(shop).faults == ()


def test_a_chosen_line_that_is_undone_ends_nothing(shop: Shop, clock: ManualClock) -> None:
    before(shop, "Two-pack gloss 1")
    line = done(begin_over(shop, 1, "Kit")).line
    done(placement.place(shop, 2, "Mo", route="zinc-new", shape="frame"))
    clock.advance(minutes=2)
    done(undo.undo_line(shop, "Mo", line))
    assert room(shop).until == clock.now() + CLEARANCE


def test_a_coat_ended_at_an_earlier_hour_keeps_masks_on_from_that_hour(
    shop: Shop, clock: ManualClock
) -> None:
    before(shop, "Two-pack gloss 1")
    begun(shop)
    clock.advance(minutes=20)
    earlier = clock.now() - timedelta(minutes=5)
    done(steps.finish(shop, 1, "Kit", all_faces=True, at=earlier))
    assert room(shop).until == earlier + CLEARANCE


def test_of_a_corrected_hour_the_later_one_counts(shop: Shop, clock: ManualClock) -> None:
    released = sprayed(shop, clock)
    number = next(r.number for r in part(shop).steps if r.status == "done")
    clock.advance(minutes=15)
    done(
        correct(
            shop,
            1,
            "Kit",
            "read the wrong clock",
            HourOfStep(step=number, edge="last", at=released - timedelta(minutes=15)),
        )
    )
    assert part(shop).clock_step().last_at == released - timedelta(minutes=15)  # type: ignore[union-attr]
    assert room(shop).until == released + CLEARANCE
    done(
        correct(
            shop,
            1,
            "Kit",
            "it was later",
            HourOfStep(step=number, edge="last", at=released + timedelta(minutes=10)),
        )
    )
    assert room(shop).until == released + timedelta(minutes=10) + CLEARANCE


def test_the_later_end_of_a_coat_given_up_half_way_counts_though_it_was_undone(
    shop: Shop, clock: ManualClock
) -> None:
    before(shop, "Two-pack gloss 1")
    begun(shop)
    clock.advance(minutes=10)
    done(holds_and_rework.rework(shop, 1, "Kit", "run"))
    struck = next(r.number for r in part(shop).steps if r.status == "struck")
    clock.advance(minutes=20)
    later = clock.now() - timedelta(minutes=5)
    done(correct(shop, 1, "Kit", "it was later", HourOfStep(step=struck, edge="last", at=later)))
    assert room(shop).until == later + CLEARANCE
    done(undo.undo(shop, "Kit"))
    assert room(shop).until == later + CLEARANCE


def test_earlier_by_five_minutes_moves_the_coat_and_not_the_masks(
    shop: Shop, clock: ManualClock
) -> None:
    released = sprayed(shop, clock)
    done(back_dating.back_date(shop, 1, "Kit", 15))
    assert room(shop).until == released + CLEARANCE


def test_it_is_the_same_after_a_restart_and_on_another_terminal(
    shop: Shop, clock: ManualClock
) -> None:
    before(shop, "Two-pack gloss 1")
    begun(shop)
    clock.advance(minutes=10)
    done(undo.undo(shop, "Mo"))
    other = Shop(shop.store.reopen(), ManualClock(clock.now()), "the other")
    assert room(other) == room(shop)
    assert room(other).on
    other.store.close()


def test_it_goes_out_and_comes_in_with_the_whole_shop(
    shop: Shop, clock: ManualClock, tmp_path: Path
) -> None:
    done(settings_change.set_settings(shop, "Kit", clearance_min=25, measured_by="Una"))
    before(shop, "Two-pack gloss 1")
    begun(shop)
    done(undo.undo(shop, "Mo"))
    out = io.StringIO()
    backups.export_shop(shop, out)
    whole = backups.read_export(out.getvalue().encode(), "the export")
    assert isinstance(whole, backups.Whole)
    there = Shop(open_store(str(tmp_path / "there.db")), ManualClock(clock.now()), "there")
    done(backups.import_shop(there, whole))
    assert room(there) == room(shop)
    assert room(there).on
    assert room(there).measured == ClearanceMeasurement(date(2025, 6, 9), "Una")
    there.store.close()


@pytest.mark.parametrize("hours", [3, -3])
def test_a_clock_that_is_set_while_masks_are_on_leaves_them_on_for_the_rest_of_the_time(
    shop: Shop, clock: ManualClock, hours: int
) -> None:
    timekeeping.start_clock(shop)
    before(shop, "Two-pack gloss 1")
    begun(shop)
    done(undo.undo(shop, "Mo"))
    clock.advance(minutes=10)
    clock.step(hours=hours)
    timekeeping.move_running_clocks(shop)
    until = room(shop).until
    assert until is not None
    assert until - shop.clock.now() == timedelta(minutes=20)


def test_a_painter_who_says_what_time_it_is_leaves_masks_on_for_the_rest_of_the_time(
    shop: Shop, clock: ManualClock
) -> None:
    timekeeping.start_clock(shop)
    done(pots.mix(shop, "gloss", "Kit", known=CUP))
    clock.advance(minutes=10)
    done(set_clock(shop, "Kit", shop.clock.now() + timedelta(hours=2), reason="slow"))
    until = room(shop).until
    assert until is not None
    assert until - shop.clock.now() == timedelta(minutes=20)


# --- mixing, flushing, abrading ------------------------------------------------------------------


def test_isocyanate_puts_masks_on_from_its_mixing(shop: Shop, clock: ManualClock) -> None:
    done(pots.mix(shop, "gloss", "Kit", known=CUP))
    assert words(shop) == "MASKS ON until 08:00?: Two-pack gloss 2:1 mixed"
    clock.advance(minutes=20)
    done(pots.top_up(shop, "A", "Kit", known=CUP))
    assert room(shop).until == clock.now() + CLEARANCE
    clock.advance(minutes=30)
    done(pots.bin_pot(shop, "A", "Kit"))
    assert not room(shop).on, "binned is not mixed"


def test_a_mix_that_is_undone_was_in_the_air_all_the_same(shop: Shop, clock: ManualClock) -> None:
    done(pots.mix(shop, "gloss", "Kit", known=CUP))
    clock.advance(minutes=5)
    done(undo.undo(shop, "Kit"))
    assert room(shop).until == clock.now() + timedelta(minutes=25)


def test_epoxy_is_mixed_without_the_masks_of_isocyanate(shop: Shop) -> None:
    done(pots.mix(shop, "epoxy-primer", "Kit", known=CUP))
    assert not room(shop).on


def with_a_loaded_gun(shop: Shop, clock: ManualClock, product: str, name: str) -> None:
    done(pots.mix(shop, product, "Kit", known=CUP))
    sprayed(shop, clock, name)
    clock.advance(minutes=31)
    assert not room(shop).on


def test_flushing_a_gun_of_isocyanate_puts_masks_on_and_says_what_to_wear(
    shop: Shop, clock: ManualClock
) -> None:
    with_a_loaded_gun(shop, clock, "gloss", "Two-pack gloss 1")
    caution = ("Air-fed mask on, extraction on, no spraying into the open.",)
    assert [gun.cautions for gun in bench_view.read_bench(shop).guns] == [caution]
    assert done(pots.flush(shop, "A", "Kit")).notes == caution
    assert room(shop).until == clock.now() + CLEARANCE
    assert room(shop).reason == "Two-pack gloss 2:1 gun flushed"


def test_a_gun_of_epoxy_is_flushed_without_them(shop: Shop, clock: ManualClock) -> None:
    with_a_loaded_gun(shop, clock, "epoxy-primer", "Epoxy primer")
    assert done(pots.flush(shop, "A", "Kit")).notes == ()
    assert not room(shop).on


def test_sanding_fresh_isocyanate_puts_masks_on_until_after_the_dust(
    shop: Shop, clock: ManualClock
) -> None:
    before(shop, "High-build primer 2", route="aluminium")
    begun(shop)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(days=1)
    assert not room(shop).on
    done(begin_over(shop, 1, "Mo"))
    assert words(shop) == "MASKS ON: Mo works on fresh High-build primer 5:1"
    clock.advance(minutes=45)
    done(steps.finish(shop, 1, "Mo"))
    assert words(shop) == "MASKS ON until 08:45?: fresh High-build primer 5:1 worked on"


def test_sanding_that_is_undone_went_on_until_then(shop: Shop, clock: ManualClock) -> None:
    before(shop, "High-build primer 2", route="aluminium")
    begun(shop)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(days=1)
    done(begin_over(shop, 1, "Mo"))
    clock.advance(minutes=10)
    done(undo.undo(shop, "Mo"))
    assert room(shop).until == clock.now() + CLEARANCE


def test_keying_where_the_window_was_missed_puts_masks_on(shop: Shop, clock: ManualClock) -> None:
    sprayed(shop, clock)
    clock.advance(days=2)
    done(steps.begin(shop, 1, "Mo"))
    assert part(shop).current().step.name == "abrade"  # type: ignore[union-attr]
    assert words(shop) == "MASKS ON: Mo works on fresh Two-pack gloss 2:1"


@pytest.mark.parametrize(
    ("tool", "kind", "says"),
    [
        ("brush", "coat", "no spraying recorded since Mon 07:50"),
        ("lance", "coat", "MASKS ON: Mo sprays Cavity wax"),
        ("lance", "work", "MASKS ON: Mo sprays Cavity wax"),
        ("brush", "work", "MASKS ON: Mo works on fresh Two-pack gloss 2:1"),
    ],
)
def test_over_fresh_isocyanate_masks_are_on_for_what_is_sprayed_and_for_work_on_it(
    shop: Shop, clock: ManualClock, seeds: Seeds, tool: str, kind: str, says: str
) -> None:
    route = seeds.routes["steel-blasted"]
    *others, cure = route.steps
    wax = next(s for s in seeds.routes["zinc-cavities"].steps if s.product == "cavity-wax")
    then = replace(wax, tool=tool, kind=kind, tick=wax.tick and kind == "coat")  # type: ignore[arg-type]
    done(
        sheet_editing.set_route(
            shop, "Kit", route.key, sheet_text(replace(route, steps=(*others, then, cure)))
        )
    )
    retyped(shop, seeds, "cavity-wax", tool="", isocyanate=False)
    sprayed(shop, clock)
    while part(shop).current().step.name != wax.name:  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "no material"))
    clock.advance(days=1)
    done(begin_over(shop, 1, "Mo"))
    assert words(shop) == says


def test_a_step_that_sprays_what_no_product_names_is_called_by_its_tool(
    shop: Shop, seeds: Seeds
) -> None:
    route = seeds.routes["steel-blasted"]
    blast = next(step for step in route.steps if not step.product)
    spray = replace(blast, tool="hvlp", equipment=())
    steps_now = tuple(spray if step is blast else step for step in route.steps)
    text = sheet_text(replace(route, steps=steps_now))
    done(sheet_editing.set_route(shop, "Kit", route.key, text))
    before(shop, spray.name)
    begun(shop)
    assert words(shop) == "MASKS ON: Kit sprays hvlp"


def test_reworking_fresh_isocyanate_puts_masks_on(shop: Shop, clock: ManualClock) -> None:
    sprayed(shop, clock)
    done(holds_and_rework.rework(shop, 1, "Kit", "run"))
    clock.advance(days=1)
    assert not room(shop).on
    done(steps.begin(shop, 1, "Mo"))
    assert words(shop) == "MASKS ON: Mo works on fresh Two-pack gloss 2:1"


def test_reworking_it_after_its_full_cure_does_not(shop: Shop, clock: ManualClock) -> None:
    """The shipped gloss: 14 d at 10 C, a placeholder; nights are 11 C here."""
    sprayed(shop, clock)
    done(holds_and_rework.rework(shop, 1, "Kit", "run"))
    clock.advance(days=20)
    done(steps.begin(shop, 1, "Mo"))
    assert not room(shop).on


# --- the clearance time --------------------------------------------------------------------------


def test_a_clearance_time_is_measured_only_with_a_name_and_a_day(shop: Shop) -> None:
    told = done(settings_change.set_settings(shop, "Kit", clearance_min=25)).text
    assert told == "from now on: masks stay on 25 min after the trigger (not measured)"
    assert bench_view.read_bench(shop).house.clearance.measured is None
    told = done(settings_change.set_settings(shop, "Kit", clearance_min=25, measured_by="Una")).text
    assert told.endswith("(measured 09 Jun 2025 by Una)")
    assert bench_view.read_bench(shop).house.clearance.measured == ClearanceMeasurement(
        date(2025, 6, 9), "Una"
    )
    done(settings_change.set_settings(shop, "Kit", clearance_min=20))
    assert bench_view.read_bench(shop).house.clearance.measured is None, (
        "another figure was measured by nobody yet"
    )


def test_until_it_is_measured_the_longest_of_setting_placeholder_and_estimate_counts(
    shop: Shop, clock: ManualClock
) -> None:
    """At 6 air changes an hour and mixing 3, 1 % is left after ln(100) * 60 * 3 / 6 = 138.2 min."""
    begun = clock.now()
    sprayed(shop, clock)
    released = room(shop).since
    assert released >= begun
    done(settings_change.set_settings(shop, "Kit", clearance_min=5))
    assert room(shop).until == released + timedelta(minutes=30)
    done(settings_change.set_settings(shop, "Kit", air_changes_h=6))
    assert room(shop).until == released + timedelta(minutes=30), "how it mixes is not known"
    done(settings_change.set_settings(shop, "Kit", mixing_factor=3))
    assert room(shop).until == released + timedelta(minutes=139)
    done(settings_change.set_settings(shop, "Kit", clearance_min=200))
    assert room(shop).until == released + timedelta(minutes=200)
    done(settings_change.set_settings(shop, "Kit", clearance_min=25, measured_by="Una"))
    assert room(shop).until == released + timedelta(minutes=25)


def test_the_extraction_may_be_set_as_far_as_the_sum_takes_it() -> None:
    most = [BY_KEY[key].most for key in ("air_changes_h", "mixing_factor")]
    assert most == [AIR_CHANGES_H[1], MIXING_FACTOR[1]]


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"air_changes_h": 0.05}, "0.05 air changes an hour; from 0.1; 0: not known"),
        ({"air_changes_h": 1001}, "1001 air changes an hour; from 0 to 1000 an hour"),
        ({"mixing_factor": 0.5}, "mixing factor 0.5; from 1; 0: not known"),
        ({"mixing_factor": 11}, "mixing factor 11; from 1 to 10; 0: not known"),
    ],
)
def test_an_extraction_that_cannot_be_is_refused(
    shop: Shop, given: dict[str, float], says: str
) -> None:
    told = refused(settings_change.set_settings(shop, "Kit", **given))
    assert "; ".join(filter(None, (told.rule, told.read, told.remedy))) == says


def test_after_a_year_it_is_not_measured_any_more(shop: Shop, clock: ManualClock) -> None:
    done(
        settings_change.set_settings(
            shop, "Kit", clearance_min=25, measured_by="Una", measured_on=date(2024, 6, 9)
        )
    )
    assert room(shop).measured is not None
    clock.advance(days=1)
    assert room(shop).measured is None


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"measured_by": "Una"}, "measured, Una, but no time"),
        ({"clearance_min": 25, "measured_on": date(2025, 6, 9)}, "who measured it is empty"),
        (
            {"clearance_min": 25, "measured_by": "Una", "measured_on": date(2025, 6, 10)},
            "that is in the future",
        ),
        ({"clearance_min": 1, "measured_by": "Una"}, "clearance time 1 min"),
    ],
)
def test_what_was_not_measured_so_is_refused(
    shop: Shop, given: dict[str, object], says: str
) -> None:
    was = bench_view.read_bench(shop).house
    assert refused(settings_change.set_settings(shop, "Kit", **given)).rule == says  # type: ignore[arg-type]
    assert bench_view.read_bench(shop).house == was


# --- a sheet without a tool ----------------------------------------------------------------------


def test_a_coat_without_a_tool_is_refused_with_the_line_that_is_missing(
    shop: Shop, seeds: Seeds
) -> None:
    text = sheet_text(seeds.products["gloss"])
    without = "\n".join(row for row in text.splitlines() if not row.startswith("tool"))
    answer = refused(sheet_editing.set_product(shop, "Kit", "gloss", without))
    assert answer.rule == "gloss:1: 'tool' is missing: a top coat is sprayed, brushed or rolled"
    assert answer.remedy == 'add a line, such as tool = "hvlp" or tool = "brush"'


def test_a_seed_file_of_a_coat_without_a_tool_is_refused(tmp_path: Path) -> None:
    root = tmp_path / "seeds"
    shutil.copytree(folder(), root)
    file = root / "products" / "gloss.toml"
    file.write_text(file.read_text().replace('tool = "hvlp"\n', ""))
    with pytest.raises(BadSeed, match=r"gloss\.toml:1: 'tool' is missing"):
        load(root)


def test_what_no_coat_is_made_of_needs_no_tool(seeds: Seeds) -> None:
    assert {p.kind for p in seeds.products.values() if not p.tool} <= {"cleaner", "wash", "thinner"}
    assert seeds.products["enamel-brush"].tool == "brush", "what is not sprayed says so"


# --- words ---------------------------------------------------------------------------------------


def test_no_caution_lets_a_mask_off_before_the_room_was_checked(seeds: Seeds) -> None:
    caution = (
        "Air-fed mask on until the measured clearance time is over and the room is checked; "
        "leave the room with the mask on."
    )
    with_it = [p for p in seeds.products.values() if p.isocyanate]
    assert with_it
    for made_of in with_it:
        first = harm_words(hazards_of_mix(made_of))[0]
        assert first.startswith("breath: ISOCYANATE")
        assert caution in first
