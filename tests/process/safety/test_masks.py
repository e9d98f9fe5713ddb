"""The room's line: when masks are on and why, and that it never says that one may come off.

Isocyanate or a spraying tool, each alone, is reason enough (common practice; UK HSE, vehicle
bodyshop pages, from memory: the mask stays on for the clearance time, which is measured by smoke).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from bench.process.clocks.part_clocks import Environment
from bench.process.parts.part import Part, StepRecord
from bench.process.safety.masks import (
    AtWork,
    Clearance,
    ClearanceMeasurement,
    LastRelease,
    Room,
    fresh_isocyanate,
    is_sprayed,
    room_in_full,
    room_of,
    room_words,
)
from bench.process.sheets.product import Product
from bench.process.sheets.route import SprayTool, Step

from ..making import HOURS, MON, after, band, product

HALF_HOUR = timedelta(minutes=30)
KIT_SPRAYS = AtWork(("Kit",), "sprayed", "Gloss")
SPRAYED = LastRelease(MON, "Gloss sprayed")
BY_MO = ClearanceMeasurement(date(2026, 2, 20), "Mo")
GLOSS = replace(product(band("open")), isocyanate=True)
BRUSH, GUN = SprayTool("brush", "Brush", sprayed=False), SprayTool("hvlp", "Gun", sprayed=True)


def room(
    *at_work: AtWork,
    released: LastRelease | None = None,
    measured: ClearanceMeasurement | None = None,
    least: timedelta | None = None,
    minutes: float = 0,
) -> Room:
    now = after(minutes)
    clearance = Clearance(HALF_HOUR, measured, least or HALF_HOUR)
    return room_of(at_work, released, clearance, after(-60), now)


def words(*at_work: AtWork, minutes: float = 0, **more: object) -> str:
    return room_words(room(*at_work, minutes=minutes, **more), after(minutes))  # type: ignore[arg-type]


def test_masks_are_on_while_somebody_sprays_and_for_the_clearance_time_after_it() -> None:
    assert not room().on
    assert room(KIT_SPRAYS).on
    assert room(released=SPRAYED, minutes=29).on
    assert not room(released=SPRAYED, minutes=30).on


def test_a_time_that_nobody_measured_is_never_shorter_than_the_estimate_of_it() -> None:
    hour = timedelta(minutes=60)
    assert room(released=SPRAYED, least=hour, minutes=59).on
    assert not room(released=SPRAYED, least=hour, minutes=60).on
    assert not room(released=SPRAYED, measured=BY_MO, least=hour, minutes=30).on


def test_a_time_that_nobody_measured_is_never_shorter_than_the_one_that_was_typed() -> None:
    assert room(released=SPRAYED, least=timedelta(minutes=15), minutes=29).on


def test_the_line_says_who_does_what_and_then_until_when_and_for_what() -> None:
    assert words(KIT_SPRAYS) == "MASKS ON: Kit sprays Gloss"
    both = AtWork(("Kit", "Mo"), "worked on", "Gloss")
    assert words(both, KIT_SPRAYS) == "MASKS ON: Kit and Mo work on fresh Gloss; and 1 more"
    until = f"{after(30):%H:%M}"
    assert words(released=SPRAYED, minutes=5) == f"MASKS ON until {until}?: Gloss sprayed"
    assert (
        words(released=SPRAYED, measured=BY_MO, minutes=5)
        == f"MASKS ON until {until}: Gloss sprayed"
    )


def test_while_work_goes_on_a_time_that_was_over_before_does_not_matter() -> None:
    assert room(KIT_SPRAYS, released=SPRAYED, minutes=500).on


def test_where_no_mask_is_known_to_be_needed_it_says_only_what_was_recorded() -> None:
    assert words() == f"no spraying recorded since {after(-60):%H:%M}"
    over = f"clearance time over at {after(30):%H:%M}"
    assert words(released=SPRAYED, minutes=45) == f"{over} (not measured)"
    assert words(released=SPRAYED, measured=BY_MO, minutes=45) == f"{over} (measured 20 Feb)"
    next_day = words(released=SPRAYED, minutes=24 * 60)
    assert next_day == f"no spraying recorded since {MON:%a %H:%M}"


def test_a_measured_clearance_time_counts_for_a_year() -> None:
    day = MON.date()
    a_year = ClearanceMeasurement(day - timedelta(days=365), "Mo")
    assert room(released=SPRAYED, measured=a_year, minutes=5).measured == a_year
    longer = ClearanceMeasurement(day - timedelta(days=366), "Mo")
    assert room(released=SPRAYED, measured=longer, minutes=5).measured is None
    assert "?" in words(released=SPRAYED, measured=longer, minutes=5)


def test_where_there_is_space_it_says_that_nobody_measured_the_time() -> None:
    known, unknown = (room(released=SPRAYED, measured=m, minutes=5) for m in (BY_MO, None))
    assert room_in_full(unknown, after(5)).endswith("Gloss sprayed (clearance time not measured)")
    assert room_in_full(known, after(5)).endswith("Gloss sprayed")


@pytest.mark.parametrize(
    ("made_of", "tool", "sprayed"),
    [
        (GLOSS, GUN, True),
        (GLOSS, None, True),
        (GLOSS, BRUSH, False),
        (replace(GLOSS, isocyanate=False), GUN, True),
        (replace(GLOSS, isocyanate=False), None, False),
        (replace(GLOSS, isocyanate=False), BRUSH, False),
    ],
)
def test_its_tool_says_whether_a_coat_is_sprayed_and_isocyanate_without_one_is(
    made_of: Product, tool: SprayTool | None, sprayed: bool
) -> None:
    assert is_sprayed(Step("Gloss", "coat"), made_of, tool) is sprayed
    assert is_sprayed(Step("Sand it", "work"), made_of, None) is False


# --- fresh isocyanate ----------------------------------------------------------------------------

COAT = StepRecord(1, Step("Gloss", "coat", product="gloss"), "done", MON, MON)
SANDING = StepRecord(2, Step("Sand it", "work"))
CURES_IN_A_WEEK = replace(GLOSS, full_cure=((20.0, 7 * 86400.0),))


def under_the_paper(coat: StepRecord, made_of: Product, days: float) -> Product | None:
    part = Part("1", "Axle", 1, "", "", "steel", "axle", 1, 1, (coat, SANDING))
    around = Environment((), replace(HOURS, day_c=20, night_c=20), {"gloss": made_of})
    return fresh_isocyanate(part, SANDING, around, after(days * 24 * 60))


def test_isocyanate_is_fresh_until_its_full_cure() -> None:
    assert under_the_paper(COAT, CURES_IN_A_WEEK, 6.9) == CURES_IN_A_WEEK
    assert under_the_paper(COAT, CURES_IN_A_WEEK, 7) is None


def test_a_coat_is_not_fresh_under_itself() -> None:
    part = Part("1", "Axle", 1, "", "", "steel", "axle", 1, 1, (COAT,))
    assert fresh_isocyanate(part, COAT, Environment((), HOURS, {"gloss": GLOSS}), MON) is None


def test_without_a_full_cure_on_its_sheet_it_is_fresh_for_good() -> None:
    assert under_the_paper(COAT, GLOSS, 400) == GLOSS


def test_a_coat_that_was_given_up_half_way_is_on_the_part_all_the_same() -> None:
    assert under_the_paper(replace(COAT, status="struck"), GLOSS, 1) == GLOSS
    assert under_the_paper(replace(COAT, status="skipped"), GLOSS, 1) is None


def test_paint_without_isocyanate_is_sanded_without_the_masks_of_it() -> None:
    assert under_the_paper(COAT, replace(GLOSS, isocyanate=False), 1) is None
