"""Bands on the calendar: two edges, the forbidden middle, temperature that may only be stricter."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.stand_state import stand_state
from bench.process.clocks.temperature import Reading
from bench.process.clocks.windows import leaves_no_window
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.product import BadSheet, Band, Product, Until
from bench.process.sheets.product_rules import check_bands
from bench.process.sheets.route import Step

from ..making import MON, after, around, band, coated, product

FORBIDDEN_MIDDLE = product(band("open", 60), band("shut", 48 * 60), band("open"))
"""Open for an hour, shut to 48 h, open again: common practice for one-pack aerosols, no source."""


def word_at(paint: Product, minutes: float, part: Part | None = None) -> str:
    part = part or coated(MON, MON)
    return stand_state(part, clocks_of(part, around(paint)), after(minutes)).word


def test_too_early_counts_from_the_last_face_and_too_late_from_the_first() -> None:
    # First 08:40, last 09:25, 24 h least, 7 d most: common practice, no source.
    first, last = after(40), after(85)
    paint = product(band("wait", 24 * 60), band("open", 7 * 24 * 60), band("key"))
    part = coated(first, last)
    wait, is_open, _ = clocks_of(part, around(paint)).spans
    assert wait.end == last + timedelta(hours=24)
    assert is_open.end == first + timedelta(days=7)
    assert {span.times for span in clocks_of(part, around(paint)).spans} == {1}


def test_a_band_that_would_end_before_it_began_is_left_out() -> None:
    paint = product(band("flash", 8), band("open", 60), band("shut", 48 * 60), band("open"))
    slow = coated(MON, after(58))  # the flash ends 66 min after the first face: past the hour
    assert [span.word for span in clocks_of(slow, around(paint)).spans] == ["flash", "shut", "open"]


def test_a_band_that_ends_as_it_begins_is_left_out_too() -> None:
    paint = product(band("flash", 60), *FORBIDDEN_MIDDLE.bands)
    spans = clocks_of(coated(MON, MON), around(paint)).spans
    assert [span.word for span in spans] == ["flash", "shut", "open"]


def test_a_painters_not_yet_keeps_no_window_open() -> None:
    paint = product(band("wait", 60), band("open", 600), band("key"))
    part = coated(MON, MON)
    put_off = replace(part, steps=(replace(part.steps[0], not_before=after(700)), part.steps[1]))
    words = [word_at(paint, minutes, put_off) for minutes in (650, 699, 701)]
    assert words == ["WAIT", "WAIT", "TEST"]
    spans = clocks_of(put_off, around(paint)).spans
    assert [span.word for span in spans] == ["wait", "key"], "it is over when the wait is"


@pytest.mark.parametrize(
    ("put_off_min", "ends"),
    [
        (5, (10, 60, 600)),
        (30, (10, 60, 600)),
        (60, (10, 60, 600)),
        (61, (10, 61, 600)),
        (90, (10, 90, 600)),
    ],
)
def test_a_not_yet_puts_off_the_end_of_the_wait_it_outlasts_and_no_flash_before_it(
    put_off_min: float, ends: tuple[float, ...]
) -> None:
    paint = product(band("flash", 10), band("wait", 60), band("open", 600), band("key"))
    part = coated(MON, MON)
    not_before = after(put_off_min)
    put_off = replace(part, steps=(replace(part.steps[0], not_before=not_before), part.steps[1]))
    spans = clocks_of(put_off, around(paint)).spans
    assert [span.end for span in spans] == [*map(after, ends), None]


def test_a_not_yet_that_ends_with_the_wait_itself_leaves_it_an_estimate() -> None:
    reading = Reading(MON, 20.0)
    part = coated(MON, MON)
    end = opens(EPOXY, reading)
    assert end is not None
    for later_s, aged in ((0, True), (1, False)):
        steps = (replace(part.steps[0], not_before=end + timedelta(seconds=later_s)), part.steps[1])
        spans = clocks_of(replace(part, steps=steps), around(EPOXY, reading)).spans
        assert spans[0].aged is aged


@pytest.mark.parametrize(
    ("bands", "none"),
    [
        ((band("wait", 60), band("key")), False),
        ((band("wait", 60), band("open", 50), band("key")), True),
        ((band("wait", 60), band("open", 70), band("key")), False),
        ((band("wet", 60), band("shut")), True),
    ],
)
def test_a_sheet_that_always_wants_keying_leaves_a_window_and_one_that_closed_first_none(
    bands: tuple[Band, ...], none: bool
) -> None:
    part, paint = coated(MON, MON), product(*bands)
    spans = clocks_of(part, around(paint)).spans
    assert leaves_no_window(part, part.steps[0], paint, spans) is none


def opens(paint: Product, *readings: Reading, at: datetime = MON) -> datetime | None:
    part = coated(at, at)
    return clocks_of(part, around(paint, *readings)).spans[0].end


EPOXY = product(band("wait", c10=24, c20=16), band("open", c20=168), band("key"))
"""16 h at 20 C, 24 h at 10 C: a generic data sheet, source not named here."""


def test_a_wait_is_not_shortened_by_warmth_the_sheet_does_not_list() -> None:
    warm = Reading(MON - timedelta(hours=1), 30.0)
    end = opens(EPOXY, warm)
    assert end is not None
    assert end >= MON + timedelta(hours=16)


def test_a_closing_window_is_not_lengthened_by_cold() -> None:
    cold = Reading(MON - timedelta(hours=1), 5.0)
    part = coated(MON, MON)
    assert clocks_of(part, around(EPOXY, cold)).spans[1].end == MON + timedelta(days=7)


def test_metal_temperature_decides_where_it_was_read() -> None:
    air_only = Reading(MON, 20.0)
    cold_metal = Reading(MON, 20.0, None, 10.0)
    slow, quick = opens(EPOXY, cold_metal), opens(EPOXY, air_only)
    assert slow is not None
    assert quick is not None
    assert slow > quick


def test_readings_may_come_in_any_order() -> None:
    readings = [Reading(MON, 20.0), Reading(after(120), 15.0), Reading(after(240), 12.0)]
    assert opens(EPOXY, *readings) == opens(EPOXY, *reversed(readings))


def test_under_its_least_temperature_nothing_dries_and_the_stand_says_so() -> None:
    paint = replace(
        product(band("wait", c20=16), band("open")),
        limits=replace(EPOXY.limits, metal_least_c=12.0),
    )
    part = coated(MON, MON)
    state = stand_state(part, clocks_of(part, around(paint, Reading(MON, 6.0))), after(30))
    assert state.word == "WAIT"
    assert state.seconds_left(after(30)) is None
    assert "cold" in state.note


def blasted(first: datetime, last: datetime) -> Part:
    """Steel that was blasted between two instants: prime within 4 h, in damp air within 2 h."""
    # Within 4 h, sooner in damp air: common practice, no source.
    dry_or_damp = Until(fixed_s=4 * 3600, damp_over_rh_pct=75, damp_s=2 * 3600)
    blast = Step("blast", "work", bands=(Band("open", dry_or_damp), Band("key")))
    done = StepRecord(1, blast, "done", first, last)
    todo = StepRecord(2, Step("prime", "coat", "p"))
    return Part("4", "b", 1, "", "", "steel", "plain", 1, 1, (done, todo))


def primed_by(part: Part, *readings: Reading) -> datetime | None:
    return clocks_of(part, around(EPOXY, *readings)).spans[0].end


def test_damp_air_shortens_the_time_bare_steel_may_wait() -> None:
    dry, damp = Reading(MON, 18, 60.0), Reading(MON, 18, 78.0)
    assert primed_by(blasted(MON, MON), dry) == after(240)
    assert primed_by(blasted(MON, MON), damp) == after(120)


def test_the_first_bared_steel_is_as_old_as_the_blasting_is_begun() -> None:
    # Blasted from 08:00 to 10:30: by 12:00 the first of it is four hours old.
    part = blasted(MON, after(150))
    dry = [Reading(MON, 18, 60.0), Reading(after(150), 18, 60.0)]
    assert primed_by(part, *dry) == after(240)


def test_steel_blasted_for_longer_than_it_may_wait_is_missed_when_the_blasting_is_done() -> None:
    part = blasted(MON, after(300))
    clocks = clocks_of(part, around(EPOXY, Reading(after(200), 18, 60.0)))
    assert [span.word for span in clocks.spans] == ["key"]


def test_the_dampest_air_since_it_was_bared_counts() -> None:
    dry = [Reading(MON, 18, 60.0), Reading(after(100), 18, 62.0)]
    assert primed_by(blasted(MON, MON), *dry, Reading(after(110), 18, 82.0)) == after(120)
    assert primed_by(blasted(MON, MON), *dry, Reading(after(180), 18, 82.0)) == after(120)
    missed = Reading(after(240), 18, 82.0)
    assert primed_by(blasted(MON, MON), *dry, missed) == after(240), "read when it was over"
    before = Reading(after(-60), 18, 82.0)
    assert primed_by(blasted(MON, MON), before, *dry) == after(240), "it was dry when it was bared"


def test_where_nobody_read_the_humidity_for_four_hours_it_is_taken_as_damp() -> None:
    part = blasted(MON, MON)
    assert primed_by(part) == after(120), "never read"
    assert primed_by(part, Reading(after(-5 * 60), 18, 40.0)) == after(120), "read too long ago"
    assert primed_by(part, Reading(MON, 18)) == after(120), "only the temperature"
    # Read an hour before: dry until three hours after, and nobody knows of the fourth.
    read = Reading(after(-60), 18, 60.0)
    assert primed_by(part, read) == after(180)
    assert primed_by(part, read, Reading(after(170), 18, 60.0)) == after(240)
    assert primed_by(part, Reading(after(110), 18, 60.0)) == after(240), "read in time"
    assert primed_by(part, Reading(after(120), 18, 60.0)) == after(120), "it was over by then"


def test_in_damp_air_a_window_that_opened_late_still_leaves_a_shift() -> None:
    # A day to wait, closes after three, in damp air after one: the form of an etch primer's sheet.
    closes = Until(fixed_s=72 * 3600, damp_over_rh_pct=75, damp_s=24 * 3600)
    etch = product(band("wait", 24 * 60), Band("open", closes), band("key"))
    damp = [Reading(after(60 * n), 18, 90.0) for n in range(0, 72, 3)]
    wait, window, _ = clocks_of(coated(MON, after(60)), around(etch, *damp)).spans
    assert wait.end == after(25 * 60)
    assert window.end == after(25 * 60) + timedelta(hours=8)


def test_that_shift_never_outlasts_the_window_of_dry_air() -> None:
    closes = Until(fixed_s=30 * 3600, damp_over_rh_pct=75, damp_s=24 * 3600)
    etch = product(band("wait", 24 * 60), Band("open", closes), band("key"))

    def window_ends(rh_pct: float) -> datetime | None:
        read = [Reading(after(60 * n), 18, rh_pct) for n in range(0, 72, 3)]
        return clocks_of(coated(MON, after(60)), around(etch, *read)).spans[1].end

    assert window_ends(90.0) == window_ends(40.0) == after(30 * 60)


def test_damp_is_for_what_closes() -> None:
    damp = Until(fixed_s=3600, damp_over_rh_pct=75, damp_s=7200)
    with pytest.raises(BadSheet, match="is for a window that closes"):
        check_bands((Band("wait", damp), Band("open")))


def test_a_test_that_was_passed_before_the_forbidden_middle_does_not_count_after_it() -> None:
    part = coated(MON, MON)
    passed = replace(part.steps[0], passed_at=after(10), passed_by="Kit")
    part = replace(part, steps=(passed, part.steps[1]))
    enamel = product(band("flash", 8), *FORBIDDEN_MIDDLE.bands)
    assert [word_at(enamel, minutes, part) for minutes in (30, 100, 48 * 60)] == [
        "OPEN",
        "KEEP OFF",
        "TEST",
    ]
    again = replace(passed, passed_at=after(48 * 60 + 5))
    part = replace(part, steps=(again, part.steps[1]))
    assert word_at(enamel, 48 * 60 + 6, part) == "OPEN"


def test_not_yet_after_the_forbidden_middle_puts_its_end_back_and_nothing_before_it() -> None:
    part = coated(MON, MON)
    enamel = product(band("flash", 8), *FORBIDDEN_MIDDLE.bands)
    waits = replace(part.steps[0], not_before=after(48 * 60 + 30))
    spans = clocks_of(replace(part, steps=(waits, part.steps[1])), around(enamel)).spans
    assert [span.end for span in spans] == [after(8), after(60), after(48 * 60 + 30), None]


@pytest.mark.parametrize(
    ("bands", "told"),
    [
        ((band("open", 60), band("shut", 30), band("open")), "each band must end later"),
        ((band("open", 60), band("shut"), band("open")), "no end but others follow"),
        ((band("open", 60), band("wait")), "nothing would ever open"),
        ((band("open", 60),), "the last band has an end"),
        ((band("open", -5), band("open")), "must be over 0"),
        ((band("open", 0), band("open")), "must be over 0"),
    ],
)
def test_bands_that_contradict_themselves_are_refused_and_pointed_at(
    bands: tuple[Band, ...], told: str
) -> None:
    with pytest.raises(BadSheet, match=told) as refused:
        check_bands(bands)
    assert refused.value.where[0] == "bands"


def test_degreased_metal_is_primed_or_wiped_again_within_a_day() -> None:
    """24 h: common practice, no source."""
    cleaner = replace(product(), kind="cleaner")
    part = coated(MON, MON)
    wash = replace(part.steps[0], step=Step("degrease", "work", "p"))
    part = replace(part, steps=(wash, part.steps[1]))
    spans = clocks_of(part, around(cleaner)).spans
    assert [(span.word, span.end) for span in spans] == [("open", after(24 * 60)), ("key", None)]
