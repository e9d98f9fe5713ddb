"""How thick a coat came out: a heavy one waits longer, a thin one no less, and no window moves.

Half as long again for a coat that a painter calls heavy, and the square of how many times its
target a measured film is (doubling the film about quadruples solvent escape): common practice, no
source. The most of three times is a house rule.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from bench.process.actions.merge_rules import worse_of
from bench.process.ahead.cold_nights import step_as_finished
from bench.process.clocks.cure import cure_of_last_coat
from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.stand_state import stand_state
from bench.process.clocks.temperature import Reading
from bench.process.parts.film_thickness import (
    against_film,
    coat_to_judge,
    film_ahead,
    thickest,
    thickness_words,
    times_as_long,
    too_much_ahead,
)
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Band, Film, Product, Until
from bench.process.sheets.route import Step

from ..making import HOURS, MON, after, around, band, coated, product

FILM = Film(least_um=60, target_um=80, most_um=120)
PAINT = replace(
    product(band("flash", 10), band("wait", 60), band("open", 600), band("key")),
    film=FILM,
    volume_solids_pct=50.0,
    full_cure=((20.0, 6000.0),),
)
"""Dry 80 um of half solids: 160 um wet."""


def came_out(part: Part, **how: Any) -> Part:
    """The same part, its first coat as thick as this."""
    first, *rest = part.steps
    return replace(part, steps=(replace(first, **how), *rest))


def ends(part: Part, paint: Product = PAINT, *readings: Reading) -> dict[str, float]:
    """When each band ends, in minutes after Monday 08:00."""
    spans = clocks_of(part, around(paint, *readings)).spans
    return {span.word: (span.end - MON) / timedelta(minutes=1) for span in spans if span.end}


TEN_MINUTES = coated(MON, after(10))


def test_a_heavy_coat_waits_half_as_long_again_and_its_window_closes_when_it_did() -> None:
    assert ends(TEN_MINUTES) == {"flash": 20, "wait": 70, "open": 600}
    assert ends(came_out(TEN_MINUTES, weight="heavy")) == {"flash": 25, "wait": 100, "open": 600}


@pytest.mark.parametrize("how", [{"weight": "thin"}, {"dry_um": 20.0}, {"wet_um": 40.0}])
def test_a_thin_coat_shortens_nothing(how: dict[str, Any]) -> None:
    assert ends(came_out(TEN_MINUTES, **how)) == ends(TEN_MINUTES)


@pytest.mark.parametrize(
    ("how", "times"),
    [
        ({"dry_um": 80.0}, 1.0),
        ({"dry_um": 100.0}, 1.5625),
        ({"wet_um": 200.0}, 1.5625),
        ({"dry_um": 120.0}, 2.25),
        ({"dry_um": 80 * 3**0.5}, 3.0),
        ({"dry_um": 160.0}, 3.0),
        ({"dry_um": 2000.0}, 3.0),
        ({"wet_um": 200.0, "dry_um": 80.0}, 1.5625),
        ({"wet_um": 100.0, "dry_um": 120.0}, 2.25),
    ],
)
def test_a_measured_film_counts_with_the_square_of_its_target_from_one_to_three_times(
    how: dict[str, float], times: float
) -> None:
    part = came_out(TEN_MINUTES, **how)
    assert times_as_long(part, part.steps[0], PAINT) == pytest.approx(times)
    assert ends(part)["wait"] == pytest.approx(10 + 60 * times)
    assert ends(part)["open"] == 600


@pytest.mark.parametrize(("dry_um", "waits_until"), [(80.0, 70), (120.0, 145)])
def test_of_a_coat_both_heavy_and_measured_the_measured_film_counts(
    dry_um: float, waits_until: float
) -> None:
    part = came_out(TEN_MINUTES, weight="heavy", dry_um=dry_um)
    assert ends(part)["wait"] == waits_until


def test_where_the_product_names_no_target_the_measured_film_says_nothing_and_heavy_counts() -> (
    None
):
    part = came_out(TEN_MINUTES, weight="heavy", dry_um=400.0)
    assert ends(part, replace(PAINT, film=None))["wait"] == 100
    part = came_out(TEN_MINUTES, wet_um=400.0)
    assert ends(part, replace(PAINT, volume_solids_pct=None))["wait"] == 70


@pytest.mark.parametrize(("weight", "dries", "cures"), [("as meant", 60, 100), ("heavy", 90, 150)])
def test_a_heavy_coat_may_be_touched_and_is_cured_half_as_long_again_later(
    weight: str, dries: float, cures: float
) -> None:
    part = came_out(coated(MON, after(10), then="cure"), weight=weight)
    warm = Reading(MON, 20.0, metal_c=20.0)
    cure = cure_of_last_coat(part, around(PAINT, warm), after(30))
    assert cure is not None
    assert cure.contact is not None
    assert cure.full_cure is not None
    assert (cure.contact.at, cure.full_cure.at) == (after(10 + dries), after(10 + cures))
    assert ("half as long again for a heavy coat" in cure.rests_on) == (weight == "heavy")


def test_in_the_cold_a_heavy_coat_takes_half_as_long_again_of_what_the_cold_makes_of_it() -> None:
    """20 h at 10 C are 40 h (x2 per 10 C, the house rule); heavy 60 h."""
    paint = replace(product(Band("wait", Until(fixed_s=20 * 3600.0)), Band("open")), film=FILM)
    cold = replace(HOURS, day_c=10.0, night_c=10.0)
    air = Environment((Reading(MON, 10.0),), cold, {"p": paint})
    part = came_out(coated(MON, MON), weight="heavy")
    assert clocks_of(part, air).spans[0].end == after(60 * 60)


def test_the_forbidden_middle_of_a_heavy_coat_lasts_longer_and_begins_no_later() -> None:
    paint = product(band("open", 60), band("shut", 2880), band("open"))
    part = came_out(coated(MON, MON), weight="heavy")
    assert ends(part, paint) == {"open": 60, "shut": 4320}


def test_no_window_in_damp_air_closes_later_because_a_heavy_coat_opened_later() -> None:
    """A window that opened late leaves a shift of 8 h; for a heavy coat it is the same shift."""
    damp = Until(fixed_s=48 * 3600.0, damp_over_rh_pct=75, damp_s=24 * 3600.0)
    paint = product(band("wait", 20 * 60), Band("open", damp), band("key"))
    wet = Reading(MON, 20.0, 90.0, 20.0)
    warm = replace(HOURS, day_c=20.0, night_c=20.0)

    def closes(part: Part) -> datetime | None:
        clocks = clocks_of(part, Environment((wet,), warm, {"p": paint}))
        return next((span.end for span in clocks.spans if span.word == "open"), None)

    assert closes(coated(MON, MON)) == after(28 * 60)
    assert closes(came_out(coated(MON, MON), weight="heavy")) is None, "it opens at 30 h"


def test_where_a_heavy_coat_opens_after_its_window_closed_it_is_keyed() -> None:
    paint = product(band("wait", 60), band("open", 80), band("key"))
    part = came_out(coated(MON, MON), weight="heavy")
    assert ends(part, paint) == {"wait": 90}
    assert stand_state(part, clocks_of(part, around(paint)), after(85)).word == "WAIT"
    passed = came_out(part, passed_at=after(91))
    assert stand_state(passed, clocks_of(passed, around(paint)), after(92)).word == "ABRADE"


def test_a_not_yet_is_the_painters_own_hour_whatever_the_coat_came_out_like() -> None:
    part = came_out(TEN_MINUTES, weight="heavy", not_before=after(130))
    assert ends(part)["wait"] == 130
    opens = stand_state(part, clocks_of(part, around(PAINT)), after(60)).opens
    assert opens is not None
    assert opens.words(after(60)) == "10:10", "no rule of thumb made it"
    part = came_out(TEN_MINUTES, weight="heavy", not_before=after(90))
    assert ends(part)["wait"] == 100, "which is before the heavy coat opens"


def test_a_test_that_was_passed_before_the_coat_was_said_to_be_heavy_is_asked_anew() -> None:
    passed = came_out(TEN_MINUTES, passed_at=after(75), passed_by="Una")
    heavy = came_out(passed, weight="heavy")
    words = {}
    for part in (passed, heavy):
        clocks = clocks_of(part, around(PAINT))
        words[part] = [stand_state(part, clocks, after(at)).word for at in (80, 101)]
    assert words == {passed: ["OPEN", "OPEN"], heavy: ["WAIT", "TEST"]}
    tested = came_out(heavy, passed_at=after(102))
    assert stand_state(tested, clocks_of(tested, around(PAINT)), after(103)).word == "OPEN"


def mist_and_build(mist: str, build: str) -> Part:
    steps = (
        StepRecord(1, Step("mist", "coat", "p"), "done", MON, after(5), weight=mist),  # type: ignore[arg-type]
        StepRecord(
            2,
            Step("build", "coat", "p", continues=True),
            "done",
            after(20),
            after(30),
            weight=build,  # type: ignore[arg-type]
        ),
        StepRecord(3, Step("top", "coat", "p")),
    )
    return replace(coated(MON, MON), steps=steps)


@pytest.mark.parametrize(
    ("mist", "build", "waits_until"),
    [("as meant", "as meant", 90), ("heavy", "thin", 120), ("thin", "heavy", 120)],
)
def test_of_a_mist_and_the_build_that_continues_it_the_heavier_counts(
    mist: str, build: str, waits_until: float
) -> None:
    part = mist_and_build(mist, build)
    assert ends(part)["wait"] == waits_until
    assert thickest(part, part.steps[1], PAINT).weight == ("heavy" if waits_until > 90 else build)


def test_looking_ahead_a_coat_is_taken_to_come_out_as_meant() -> None:
    part = came_out(TEN_MINUTES, weight="heavy")
    assert (
        times_as_long(part, step_as_finished(part.steps[1], after(700), after(710)), PAINT) == 1.0
    )


def test_what_is_no_coat_waits_as_ever() -> None:
    wash = StepRecord(1, Step("wash", "work"), "done", MON, MON, weight="heavy")
    assert times_as_long(coated(MON, MON), wash, PAINT) == 1.0


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({}, ""),
        ({"weight": "thin"}, "thin coat: no wait is shorter"),
        ({"weight": "heavy"}, "heavy coat: waits half as long again"),
        ({"dry_um": 70.0}, "measured coat, DFT 70 um, target 80 um: no wait is shorter"),
        (
            {"wet_um": 240.0},
            "heavy coat, WFT 240 um, target 160 um: waits 2.25 times as long",
        ),
        (
            {"dry_um": 200.0, "weight": "thin"},
            "heavy coat, DFT 200 um, target 80 um: waits 3 times as long, "
            "the longest that is estimated",
        ),
    ],
)
def test_the_reason_of_a_later_hour_is_said_in_words(how: dict[str, Any], words: str) -> None:
    assert thickness_words(came_out(TEN_MINUTES, **how).steps[0], PAINT) == words


def test_an_hour_that_is_later_for_a_heavy_coat_is_marked_as_of_no_data_sheet_and_says_why() -> (
    None
):
    part = came_out(TEN_MINUTES, weight="heavy")
    state = stand_state(part, clocks_of(part, around(PAINT)), after(30))
    assert state.opens is not None
    assert state.closes is not None
    assert (state.opens.words(after(30)), state.closes.words(after(30))) == ("09:40?", "18:00")
    assert state.opens.figure_words == (
        "a figure of the data sheet, half as long again for a heavy coat"
    )


def test_only_the_last_coat_whose_next_step_is_not_begun_can_be_judged_with_one_key() -> None:
    part = TEN_MINUTES
    assert coat_to_judge(part) == part.steps[0]
    in_hand = replace(part, steps=(part.steps[0], replace(part.steps[1], status="in hand")))
    assert "is in progress" in str(coat_to_judge(in_hand))
    cured = replace(part, steps=(part.steps[0], replace(part.steps[1], status="done")))
    assert isinstance(coat_to_judge(cured), Refusal)
    washed = replace(part.steps[0], step=Step("wash", "work"))
    assert isinstance(coat_to_judge(replace(part, steps=(washed, part.steps[1]))), Refusal)


@pytest.mark.parametrize(
    ("um", "told"),
    [(0.0, "over 0, up to 2000 um"), (-5.0, "over 0"), (2001.0, "up to 2000"), (float("nan"), "0")],
)
def test_a_film_that_cannot_be_is_refused(um: float, told: str) -> None:
    refused = against_film(PAINT, "dry", um)
    assert refused is not None
    assert told in str(refused)


def test_a_film_without_a_target_to_hold_it_against_is_refused_and_says_what_to_do() -> None:
    refused = against_film(replace(PAINT, volume_solids_pct=None), "wet", 100.0)
    assert refused is not None
    assert "paint has no target WFT on its data sheet" in str(refused)
    assert "say thin or heavy" in str(refused)
    assert against_film(None, "dry", 100.0) is not None
    assert against_film(None, "dry", None) is None


@pytest.mark.parametrize("swapped", [False, True])
def test_of_two_lots_put_together_the_one_that_waits_longer_for_its_thickness_governs(
    swapped: bool,
) -> None:
    lots = [
        came_out(TEN_MINUTES, **how).steps[0] for how in ({"weight": "heavy"}, {"dry_um": 120.0})
    ]
    kept, other = reversed(lots) if swapped else lots
    worse = worse_of(kept, other, PAINT)
    assert (worse.weight, worse.wet_um, worse.dry_um) == ("as meant", None, 120.0)


# --- mist and build, and all coats of one product ------------------------------------------------

ETCH = replace(PAINT, film=Film(8, 12, 15, in_all_um=15), volume_solids_pct=10.0)
"""Dry 12 um of a tenth solids: 120 um wet."""


def misted(*more: StepRecord, **how: Any) -> Part:
    """A mist that is on, then its build, then what else."""
    mist = StepRecord(1, Step("mist", "coat", "p"), "done", MON, after(5), **how)
    build = StepRecord(2, Step("build", "coat", "p", continues=True))
    return replace(TEN_MINUTES, steps=(mist, build, *more))


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({}, "120 um wet = 12 dry, mist and build together"),
        ({"dry_um": 4.0}, "80 um wet = 8 dry on the mist that was measured"),
        ({"wet_um": 30.0}, "90 um wet = 9 dry on the mist that was measured"),
        ({"dry_um": 12.0}, "the mist measured as thick as the whole coat: no build"),
    ],
)
def test_a_mist_has_no_figure_and_counts_towards_its_build(how: dict[str, Any], words: str) -> None:
    part = misted(**how)
    mist, build = part.steps
    assert film_ahead(part, mist, ETCH).words == "thin and broken: metal shows through"
    assert film_ahead(part, mist, ETCH).wet_um == 0
    assert film_ahead(part, build, ETCH).words == words
    assert too_much_ahead(part, mist, ETCH) == ""
    assert too_much_ahead(part, build, ETCH) == ""


def test_a_coat_that_makes_more_film_than_its_product_may_have_is_named_before_it_is_sprayed() -> (
    None
):
    again = StepRecord(3, Step("once more", "coat", "p"))
    part = misted(again)
    mist, build, _ = part.steps
    on_it = replace(part, steps=(mist, replace(build, status="done"), again))
    told = "paint: 24 um DFT in all, its maximum is 15 um: measure it before you spray"
    assert too_much_ahead(on_it, again, ETCH) == told
    thin = replace(on_it, steps=(mist, replace(build, status="done", dry_um=3.0), again))
    assert too_much_ahead(thin, again, ETCH) == ""
    assert too_much_ahead(misted(dry_um=16.0), build, ETCH).startswith("paint: 16 um DFT")
    # Without a figure for all coats each may have its own maximum.
    two = replace(TEN_MINUTES, steps=(TEN_MINUTES.steps[0], again))
    assert too_much_ahead(two, again, PAINT) == ""
    heavy = came_out(two, dry_um=170.0)
    assert too_much_ahead(heavy, again, PAINT).startswith("paint: 250 um DFT in all, its maximum")
