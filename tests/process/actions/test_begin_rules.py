"""May I? Every refusal with its whole message: the rule, the figure, what would make it right.

Margin of 3 C over the dew point and 85 % humidity: source seen (application-conditions pages).
A reading about every 4 h: source seen (MIL-HDBK-1110). What goes over what, 10 to 40 C for the
metal, and the times: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from bench.process.actions.begin_rules import objections_to_begin, surface_of
from bench.process.clocks.conditions import (
    Conditions,
    conditions_against,
    conditions_at,
    wash_against,
)
from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import stand_state
from bench.process.clocks.temperature import Reading
from bench.process.parts.part import Mark, Part, StepRecord, StepStatus
from bench.process.parts.spray_guidance import skipped_steps_below
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Band, Limits, Product, Until
from bench.process.sheets.route import Step, StepKind
from bench.process.stock.equipment import Equipment
from bench.shop.seeds.seed_files import Seeds
from bench.trade.mixing import Ratio, Share
from bench.widgets.status_lines import air_line

from ..making import HOURS, MON, after, band, product

DRY = Reading(MON, 18.0, 60.0, 17.0)
"""Dew point 10.1 C by the Magnus formula: a margin of 6.9 C."""

PAINT = product(band("wait", 24 * 60), band("open"), over=("steel", "p"), test="thumb on it")


def step(
    kind: StepKind = "coat",
    status: StepStatus = "todo",
    product: str = "p",
    name: str = "coat",
    **more: object,
) -> StepRecord:
    """A step, a coat of ``p`` to be done unless told otherwise. number is set by ``route``."""
    plan = Step(name, kind, product if kind in ("coat", "dwell") else "")
    kept = {
        key: more.pop(key) for key in ("remedy", "continues", "wet_on_wet", "test") if key in more
    }
    done = {"first_at": MON, "last_at": MON} if status == "done" else {}
    return StepRecord(0, replace(plan, **kept), status, **{**done, **more})  # type: ignore[arg-type]


def route(*steps: StepRecord, substrate: str = "steel") -> Part:
    """A part with those steps in order."""
    numbered = tuple(replace(record, number=n) for n, record in enumerate(steps, start=1))
    return Part("7", "bracket", 1, "", "", substrate, "plain", 1, 1, numbered)


def shop(*products: Product, readings: tuple[Reading, ...] = (DRY,)) -> Environment:
    """The shop with those products."""
    return Environment(readings, HOURS, {each.key: each for each in products})


def refused(
    part: Part,
    around: Environment | None = None,
    minutes: float = 0,
    pots: tuple[Pot, ...] = (),
) -> list[Refusal]:
    """Every rule against beginning so many minutes after Monday 08:00."""
    around = around or shop(PAINT)
    at = after(minutes)
    state = stand_state(part, clocks_of(part, around), at)
    return list(objections_to_begin(part, state, around, pots, at, at))


def told(
    part: Part,
    around: Environment | None = None,
    minutes: float = 0,
    pots: tuple[Pot, ...] = (),
) -> str:
    """The one rule against it, whole; empty where none speaks. It may be overridden."""
    every = refused(part, around, minutes, pots)
    assert len(every) <= 1, every
    assert all(refusal.override != "never" for refusal in every)
    return str(every[0]) if every else ""


def test_with_nothing_against_it_a_coat_may_begin() -> None:
    assert told(route(step())) == ""


# --- what nobody may override --------------------------------------------------------------------

FACES = (Mark("A", MON, MON), Mark("B"), Mark("C"))
WET = (Mark("FRONT", MON), Mark("REAR", MON))


@pytest.mark.parametrize(
    ("part", "message"),
    [
        (
            route(step(status="done")),
            "everything on its route is done (CURED): take it off the stand",
        ),
        (
            route(step(status="done"), step("cure")),
            "curing runs by itself (CURE): wait, then test it",
        ),
        (
            replace(route(step()), hold="waiting for bolts"),
            "it is on hold (waiting for bolts): release it first",
        ),
        (route(step("work", "in hand", name="wash")), "wash is begun already: finish it"),
        (
            route(step(status="in hand", marks=FACES), step(name="coat 2")),
            "coat is begun already (faces open: B C): finish it",
        ),
        (
            route(step("dwell", "in hand", name="mordant", marks=WET)),
            "mordant: every zone is wet already: rinse the oldest",
        ),
        (
            route(step(), substrate=""),
            "its substrate is not named (tag 7): name it before the first coat",
        ),
    ],
    ids=["done", "cure", "hold", "in hand", "faces open", "all zones wet", "no substrate"],
)
def test_what_no_reason_can_override(part: Part, message: str) -> None:
    (refusal,) = refused(part)
    assert str(refusal) == message
    assert refusal.override == "never"


def test_a_part_without_a_substrate_can_be_washed_but_not_primed() -> None:
    assert told(route(step("work", name="wash"), step(), substrate="")) == ""
    washed = route(step("work", "done", name="wash"), step(), substrate="")
    assert [refusal.override for refusal in refused(washed)] == ["never"]


def test_a_missing_substrate_matters_to_the_first_coat_only() -> None:
    primed = route(step(status="done", passed_at=after(1440)), step(name="2"), substrate="")
    assert told(primed, shop(PAINT, readings=(replace(DRY, at=after(1440)),)), 1440) == ""


def test_what_cannot_be_overridden_is_said_before_what_can() -> None:
    part = replace(route(step(status="done"), step(name="coat 2")), hold="phone")
    assert [str(refusal) for refusal in refused(part)] == [
        "it is on hold (phone): release it first"
    ]
    assert "too soon" in str(refused(replace(part, hold=""))[0])


@pytest.mark.parametrize(
    ("painters", "names"), [((), []), (("Kit",), []), (("Mo",), ["part-taken"])]
)
def test_a_part_that_kit_took_is_begun_by_kit_or_by_a_helper_and_by_no_other(
    painters: tuple[str, ...], names: list[str]
) -> None:
    """With nobody named it is asked for whoever has it."""
    part = replace(route(step("work", name="wash")), taken_by=("Kit",))
    state = stand_state(part, clocks_of(part, shop(PAINT)), MON)
    against = objections_to_begin(part, state, shop(PAINT), (), MON, MON, painters=painters)
    assert [refusal.name for refusal in against] == names


def test_a_zone_that_is_still_dry_may_be_wetted_while_another_soaks() -> None:
    marks = (Mark("FRONT", MON), Mark("REAR"))
    assert told(route(step("dwell", "in hand", name="mordant", marks=marks))) == ""


# --- the clock before it -------------------------------------------------------------------------

COATED = route(step(status="done"), step(name="coat 2", remedy="key P320"))


def fresh(minutes: float) -> tuple[Reading, ...]:
    return (replace(DRY, at=after(minutes)),)


def test_too_soon() -> None:
    message = told(COATED, shop(PAINT, readings=fresh(60)), 60)
    assert message == "too soon (opens Tue 08:00, in 23 h): wait, then test it"


def test_too_cold_to_open_at_all() -> None:
    cold = product(band("wait", c20=24), band("open"), over=("steel", "p"))
    part = route(step(status="done"), step("work", name="sand"))
    message = told(part, shop(cold, readings=(Reading(MON, 2.0),)), 60)
    assert message == "too soon (does not open at these temperatures): wait, then test it"


FLASHING = product(
    band("flash", 10), band("wait", 60), band("open"), over=("steel", "p"), test="thumb on it"
)


def test_a_coat_onto_one_that_has_not_flashed_off_is_refused_and_nothing_overrides_it() -> None:
    (rule,) = refused(COATED, shop(FLASHING, readings=fresh(5)), 5)
    assert str(rule) == (
        "the coat below has not flashed off (opens 09:00, in 55 min): wait, then test it"
    )
    assert (rule.name, rule.override) == ("not-flashed", "never")
    wet = product(band("wet", 10), band("open"), over=("steel", "p"), test="thumb on it")
    assert [r.name for r in refused(COATED, shop(wet, readings=fresh(5)), 5)] == ["not-flashed"]


def test_flashed_off_its_recoat_time_can_be_overridden() -> None:
    (rule,) = refused(COATED, shop(FLASHING, readings=fresh(15)), 15)
    assert (rule.name, rule.override) == ("too-soon", "reason")


def test_a_route_that_says_wet_on_wet_needs_no_flash() -> None:
    part = route(step(status="done"), step(name="coat 2", wet_on_wet=True))
    assert refused(part, shop(FLASHING, readings=fresh(5)), 5) == []
    (rule,) = refused(part, shop(FLASHING, readings=fresh(15)), 15)
    assert rule.name == "too-soon", "wet on wet is not the recoat time"


def test_work_on_a_coat_that_has_not_flashed_off_is_too_soon_and_no_more() -> None:
    part = route(step(status="done"), step("work", name="sand"))
    (rule,) = refused(part, shop(FLASHING), 5)
    assert (rule.name, rule.override) == ("too-soon", "reason")


def test_in_the_shut_band() -> None:
    paint = product(band("open", 60), band("shut", 48 * 60), band("open"), over=("steel", "p"))
    message = told(COATED, shop(paint, readings=fresh(61)), 61)
    assert message == (
        "the recoat window is closed: the coat below may wrinkle (opens again Wed 04 Mar 08:00): wait"
    )


def test_the_window_was_missed() -> None:
    paint = product(band("open", 60), band("key"), over=("steel", "p"))
    message = told(COATED, shop(paint, readings=fresh(120)), 120)
    assert message == "the window was missed (closed 09:00): key P320"


def test_nobody_has_passed_the_test() -> None:
    message = told(COATED, shop(PAINT, readings=fresh(1500)), 1500)
    assert message == "nobody has passed the test (thumb on it): test it first"


def test_the_next_step_waits_for_the_test_of_a_step_that_left_nothing_to_dry() -> None:
    """30 s rub with thinner: a one-pack softens and the next coat lifts it (common practice)."""
    rubbed = step("work", "done", name="solvent rub", test="30 s rub: no softening")
    for to_come in (step(), step("work", name="abrade")):
        (rule,) = refused(route(rubbed, to_come), shop(PAINT))
        assert str(rule) == ("nobody has passed the test (30 s rub: no softening): test it first")
        assert (rule.name, rule.override) == ("untested", "reason")
    assert told(route(replace(rubbed, passed_at=MON), step())) == ""


def test_a_zone_rinsed_late_or_early_is_named_beside_the_test_that_waits_for_an_answer() -> None:
    """10 to 15 min of mordant: common practice, no source. 30 min of it eats the zinc."""
    zones = (Mark("FRONT", MON, after(30)), Mark("REAR", MON, after(12)))
    wash = step("dwell", "done", "", "mordant", test="dark and even", marks=zones)
    wash = replace(wash, step=replace(wash.step, least_s=600, most_s=900))
    assert told(route(wash, step("work", name="rinse"))) == (
        "nobody has passed the test (dark and even; FRONT rinsed late, after 30 min): test it first"
    )


# --- preparation ---------------------------------------------------------------------------------

UNPREPARED = route(
    step("work", "skipped", name="degrease", reason="no material"),
    step("work", "skipped", name="blast", reason="no time"),
    step(),
)


def test_a_coat_on_bare_steel_that_nobody_prepared_is_refused() -> None:
    """Paint peels from grease, scale and new zinc: the first of all failures (common practice)."""
    (rule,) = refused(UNPREPARED, shop(PAINT))
    assert str(rule) == (
        "its surface was not prepared (degrease skipped: no material; blast skipped: no time): "
        "prepare it; if it came prepared, correct the reason to 'already done'"
    )
    assert (rule.name, rule.override) == ("not-prepared", "reason")


def test_one_preparing_step_done_or_done_already_is_a_preparation() -> None:
    degrease, blast, coat = UNPREPARED.steps
    came_blasted = replace(blast, reason="already done")
    assert told(route(degrease, came_blasted, coat)) == ""
    washed = replace(degrease, status="done", first_at=MON, last_at=MON)
    assert told(route(washed, blast, coat)) == ""


def test_only_the_coat_that_goes_on_bare_metal_is_asked_for_its_preparation() -> None:
    primed = replace(step(), status="done", first_at=MON, last_at=MON, passed_at=MON)
    paint = replace(PAINT, bands=(band("open"),), over=("steel", "p", "old-paint"))
    assert told(route(*UNPREPARED.steps[:2], primed, step()), shop(paint)) == ""
    assert told(replace(UNPREPARED, substrate="old-paint"), shop(paint)) == ""


# --- substrate and undercoat ---------------------------------------------------------------------


def test_one_pack_enamel_straight_on_mordanted_zinc_is_refused_with_what_it_goes_over(
    seeds: Seeds,
) -> None:
    rinsed = (Mark("ALL", MON, after(12)),)
    mordanted = step("dwell", "done", "mordant-wash", "mordant", marks=rinsed, passed_at=after(12))
    part = route(mordanted, step(product="enamel-brush"), substrate="zinc")
    assert told(part, shop(*seeds.products.values())) == (
        "Chassis enamel, brush does not go over what is on it (zinc): it goes over "
        "Zinc etch primer 1:1, Epoxy primer 4:1, Zinc phosphate epoxy 4:1, "
        "High-build primer 5:1, old paint, Chassis enamel, brush"
    )


def test_the_last_coat_done_decides_not_the_substrate(seeds: Seeds) -> None:
    etched = step(status="done", product="etch-primer", passed_at=after(1))
    part = route(etched, step(product="epoxy-primer", name="epoxy"), substrate="zinc")
    around = shop(*seeds.products.values(), readings=fresh(2000))
    assert str(refused(part, around, 2000)[0]) == (
        "Epoxy primer 4:1 does not go over what is on it (Zinc etch primer 1:1): it goes over "
        "steel, cast iron, zinc, weathered zinc, aluminium, old paint, Zinc-rich touch-up, "
        "Seam sealer, Epoxy primer 4:1, Bare-spot zinc paint, e coat, powder coat, "
        "Adhesion promoter"
    )


def test_a_product_that_says_nothing_gets_no_rule_and_never_an_ok() -> None:
    assert told(route(step()), shop(product(band("open")))) == (
        "no substrate listed for paint (on it: steel): check the data sheet; try it on a coupon"
    )


def test_an_unknown_product_gets_no_rule_and_never_an_ok() -> None:
    assert told(route(step(product="mystery"), substrate="old-paint")) == (
        "no substrate listed for mystery (on it: old paint): "
        "check the data sheet; try it on a coupon"
    )


def test_a_build_coat_continues_its_mist_whatever_its_sheet_says_of_itself() -> None:
    paint = product(band("open"), over=("steel",))
    mist = step(status="done", name="mist")
    assert told(route(mist, step(continues=True)), shop(paint)) == ""
    assert "does not go over" in told(route(mist, step()), shop(paint))


def surface(*steps: StepRecord) -> str:
    return surface_of(route(*steps, substrate="zinc"))


def test_a_coat_that_came_with_the_part_is_on_it_one_left_out_is_not() -> None:
    assert surface(step(status="skipped", reason="already done"), step()) == "p"
    assert surface(step(status="skipped", reason="no material"), step()) == "zinc"
    assert surface(step(status="struck"), step()) == "zinc"


def test_a_step_that_continues_a_coat_continues_no_other_paint() -> None:
    mist = step(status="done", product="q", passed_at=after(1))
    part = route(mist, step(continues=True))
    against = refused(part, shop(PAINT, replace(PAINT, key="q", bands=(band("open"),))), 2)
    assert "not-over" in [refusal.name for refusal in against]


def test_a_wash_that_was_struck_prepares_nothing() -> None:
    """Undone with its rework; the one in its place was skipped for the weather."""
    washes = (
        step("work", "struck", name="wash"),
        step("work", "skipped", name="wash", reason="weather"),
    )
    assert [told.name for told in refused(route(*washes, step()))] == ["not-prepared"]


def test_washing_mordant_and_keying_leave_the_surface_what_it_is() -> None:
    assert surface(step("work", "done"), step("dwell", "done"), step()) == "zinc"
    assert surface(step(status="done"), step("work", "done", name="abrade"), step()) == "p"


def test_rework_from_before_the_first_coat_means_the_coats_are_off() -> None:
    blast, put_right = step("work", "done", name="blast"), step("work", "done", name="repair")
    coat = step(status="done")
    assert surface(blast, coat, put_right, step()) == "p"
    assert surface(blast, coat, put_right, blast, step()) == "zinc"
    assert surface(blast, coat, blast, step()) == "p", "the same work twice is no rework"


def test_what_was_left_out_under_a_coat_is_said_again_when_it_begins() -> None:
    part = route(
        step("work", "skipped", name="wash", reason="already done"),
        step("dwell", "skipped", name="mordant", reason="weather"),
        step(),
        step("work", name="sand"),
        step(name="coat 2"),
    )
    assert skipped_steps_below(part, part.steps[2]) == ("mordant was skipped: weather",)
    assert skipped_steps_below(part, part.steps[3]) == ()
    on = replace(
        part, steps=tuple(replace(r, status="done") if r.number == 3 else r for r in part.steps)
    )
    assert skipped_steps_below(on, on.steps[4]) == (), "once, not at every coat"


# --- conditions ----------------------------------------------------------------------------------


def read(*readings: Reading, minutes: float = 0, **limits: float) -> list[str]:
    """What the air has against a coat."""
    paint = replace(PAINT, limits=Limits(**limits))
    return [
        str(refusal) for refusal in refused(route(step()), shop(paint, readings=readings), minutes)
    ]


def test_no_reading() -> None:
    assert read() == ["no reading of the air (none yet): take a reading first"]


def test_a_reading_is_good_for_four_hours_and_no_longer() -> None:
    assert read(DRY, minutes=240) == []
    assert read(DRY, minutes=260) == [
        "the last reading is too old (4 h 20 min old, at most 4 h): take a reading first"
    ]


def test_a_reading_taken_afterwards_says_nothing_of_before() -> None:
    assert read(replace(DRY, at=after(5))) == [
        "no reading of the air (none yet): take a reading first"
    ]


def test_without_a_humidity_there_is_no_dew_point() -> None:
    assert read(Reading(MON, 18.0, None, 17.0)) == [
        "humidity was not read (air 18 C only): read it too, for the dew point"
    ]


def test_metal_too_near_the_dew_point() -> None:
    """16 C and 71 % give 10.7 C: computed with psychrolib; a printed chart rounds it to 11."""
    assert read(Reading(MON, 16.0, 71.0, 13.0)) == [
        "outside its limits (surface 13 C is 2.3 C above the dew point 10.7 C): "
        "warm it to 13.8 C or more"
    ]


def test_where_the_metal_was_not_read_the_air_is_taken_and_the_surface_asked_for() -> None:
    """Common practice, no source: steel rolled in from the yard is colder than the air."""
    margin, unread = read(Reading(MON, 20.0, 84.0))
    assert margin == (
        "outside its limits (surface 20 C is 2.8 C above the dew point 17.2 C; "
        "surface not read, air taken for it): warm it to 20.3 C or more"
    )
    assert unread == (
        "the surface may be colder than the air (air 20 C only): read the surface temperature"
    )
    (rule,) = refused(route(step()), shop(PAINT, readings=(Reading(MON, 20.0, 50.0),)))
    assert (rule.name, rule.override) == ("no-surface", "reason")


EVENING = (Reading(MON, 20.0, 60.0, 20.0), Reading(after(200), 11.0, 84.0))
"""14:00 in a warm shop, 17:20 with the door open. 11 C and 84 % give 8.4 C (psychrolib)."""


def test_an_older_surface_reading_never_hides_how_cold_the_air_has_become() -> None:
    margin, unread = read(*EVENING, minutes=200)
    assert "surface 11 C is 2.6 C above the dew point 8.4 C; surface not read" in margin
    assert unread == (
        "the surface may be colder than the air (surface 20 C, read 3 h 20 min before the air): "
        "read the surface temperature"
    )
    colder = replace(EVENING[0], metal_c=9.0)
    assert "surface 9 C is 0.6 C above" in read(colder, EVENING[1], minutes=200)[0]


def test_a_surface_reading_goes_with_the_air_of_the_hour_after_it_and_no_longer() -> None:
    """One hour: common practice, no source."""
    assert read(DRY, Reading(after(60), 18.0, 60.0), minutes=60) == []
    (unread,) = read(DRY, Reading(after(61), 18.0, 60.0), minutes=61)
    assert "surface 17 C, read 1 h 01 min before the air" in unread


def test_hot_steel_stays_hot_however_the_air_cools() -> None:
    hot, cooled = Reading(MON, 30.0, 40.0, 45.0), Reading(after(30), 20.0, 40.0)
    (message,) = read(hot, cooled, minutes=30, metal_most_c=40.0)
    assert message == "outside its limits (surface 45 C is above its maximum of 40 C): let it cool"


def test_the_status_line_judges_the_surface_as_the_rule_does() -> None:
    known = conditions_at(reversed(EVENING), after(200))
    shown = "".join(piece.text for piece in air_line(known, after(200), 132))
    assert "margin 2.6 C" in shown
    assert "surface not read" in shown
    assert "STOP: surface 11 C is 2.6 C above the dew point" in shown


def test_too_damp() -> None:
    assert read(Reading(MON, 18.0, 86.0, 25.0)) == [
        "outside its limits (humidity 86 % is over 85 %): dry or warm the air"
    ]


def test_metal_colder_or_warmer_than_its_sheet_allows() -> None:
    assert read(Reading(MON, 18.0, 40.0, 9.0), metal_least_c=10.0) == [
        "outside its limits (surface 9 C is below its minimum of 10 C): warm it"
    ]
    assert read(Reading(MON, 30.0, 40.0, 41.0)) == [
        "outside its limits (surface 41 C is above its maximum of 40 C): let it cool"
    ]


def test_every_limit_that_is_broken_is_told_not_only_the_first() -> None:
    messages = read(Reading(MON, 12.0, 90.0, 9.0), metal_least_c=10.0)
    assert [message.partition(" (")[2].partition(" ")[0] for message in messages] == [
        *("surface", "humidity", "surface"),
    ]
    paint = replace(PAINT, limits=Limits(metal_least_c=10.0, metal_most_c=40.0))
    damp = shop(paint, readings=(Reading(MON, 12.0, 90.0, 9.0),))
    names = [refusal.name for refusal in refused(route(step()), damp)]
    assert names == ["dew-point", "humidity", "too-cold"]
    hot = shop(paint, readings=(Reading(MON, 30.0, 40.0, 41.0),))
    assert [refusal.name for refusal in refused(route(step()), hot)] == ["too-warm"]


def test_a_limit_that_nobody_took_from_a_data_sheet_wears_its_mark_where_it_refuses() -> None:
    limits = Limits(metal_least_c=10.0, metal_most_c=40.0, rh_most_pct=85.0, rh_least_pct=30.0)
    typed = replace(PAINT, source="sheet", limits=limits)
    guessed = replace(typed, source="placeholder")
    wanted = {
        Reading(MON, 12.0, 90.0, 9.0): ["warm it to 13.5? C", "over 85? %", "minimum of 10? C"],
        Reading(MON, 30.0, 40.0, 41.0): ["maximum of 40? C"],
        Reading(MON, 18.0, 20.0, 18.0): ["at least 30? %"],
    }
    for reading, texts in wanted.items():
        marked, plain = (
            " ".join(map(str, refused(route(step()), shop(paint, readings=(reading,)))))
            for paint in (guessed, typed)
        )
        assert [text for text in texts if text not in marked] == [], marked
        assert "?" not in plain
        assert [text for text in texts if text.replace("?", "") not in plain] == []


def test_a_wash_is_refused_by_its_products_figure_with_a_mark_and_by_the_houses_without() -> None:
    cold = Conditions(Reading(MON, 4.0, 60.0, 4.0), None, Reading(MON, 4.0, 60.0, 4.0))
    (of_house,) = wash_against(cold, Limits(metal_least_c=0.0), MON, "?")
    assert "from 5 C on" in str(of_house)
    (of_product,) = wash_against(cold, Limits(metal_least_c=8.0), MON, "?")
    assert "from 8? C on" in str(of_product)


def test_a_wash_too_warm_wears_a_mark_only_where_its_product_says_less_than_the_house() -> None:
    hot = Conditions(Reading(MON, 38.0, 60.0, 38.0), None, Reading(MON, 38.0, 60.0, 38.0))
    (of_house,) = wash_against(hot, Limits(metal_most_c=40.0), MON, "?")
    assert "up to 30 C" in str(of_house)
    (of_product,) = wash_against(hot, Limits(metal_most_c=25.0), MON, "?")
    assert "up to 25? C" in str(of_product)


def test_a_wash_is_judged_by_warmer_air_read_after_its_surface() -> None:
    """The surface 28 C, the air 31 C half an hour later: it dries on."""
    surface = Reading(MON, 20.0, 60.0, 28.0)
    later = Conditions(Reading(after(30), 31.0), surface, surface)
    assert [rule.name for rule in wash_against(later, Limits(), after(30))] == ["too-warm"]


@pytest.mark.parametrize(("rh_pct", "names"), [(39.9, ["humidity"]), (40.0, [])])
def test_a_product_that_cures_from_damp_is_refused_below_its_least_humidity(
    rh_pct: float, names: list[str]
) -> None:
    air = conditions_at([Reading(MON, 18.0, rh_pct, 18.0)], MON)
    found = conditions_against(air, Limits(rh_least_pct=40.0), MON)
    assert [rule.name for rule in found] == names


def test_a_reading_that_cannot_be_right() -> None:
    (message,) = read(Reading(MON, 18.0, 0.5, 17.0))
    assert message == (
        "the reading cannot be right (humidity 0.5 %: must be at least 1, up to 100 %): read it again"
    )


def test_humidity_and_metal_may_come_from_two_readings() -> None:
    by_hand, by_probe = Reading(MON, 16.0, 71.0), Reading(after(30), 19.0, None, 13.0)
    (message,) = read(by_hand, by_probe, minutes=60)
    assert "surface 13 C is 2.3 C above the dew point 10.7 C" in message
    assert "humidity was not read" in read(by_hand, by_probe, minutes=250)[0]


def test_a_products_own_limits_count() -> None:
    assert read(DRY, rh_most_pct=50.0) == [
        "outside its limits (humidity 60 % is over 50 %): dry or warm the air"
    ]


def test_conditions_do_not_hold_up_washing() -> None:
    assert told(route(step("work", name="wash")), shop(PAINT, readings=())) == ""


def wash(*readings: Reading, minutes: float = 0, **limits: float) -> list[Refusal]:
    """What the air has against wetting a zone with mordant."""
    mordant = replace(PAINT, limits=Limits(**limits))
    zone = step("dwell", name="mordant", marks=(Mark("ALL"),))
    return refused(route(zone, substrate="zinc"), shop(mordant, readings=readings), minutes)


@pytest.mark.parametrize(
    ("surface_c", "names"),
    [(4.9, ["too-cold"]), (5, []), (30, []), (30.1, ["too-warm"]), (38, ["too-warm"])],
)
def test_a_wash_keeps_its_time_from_5_to_30_c_and_is_refused_outside(
    surface_c: float, names: list[str]
) -> None:
    """Colder it hardly bites, hotter it dries on: common practice, no source."""
    found = wash(Reading(MON, 18.0, 60.0, surface_c))
    assert [rule.name for rule in found] == names
    assert all(rule.override == "reason" for rule in found)


def test_a_wash_names_what_was_read_and_what_would_be_right() -> None:
    assert [str(rule) for rule in wash(Reading(MON, 20.0, None, 38.0))] == [
        "the time of a wash does not hold at this temperature (surface 38 C, up to 30 C): "
        "cool it, out of the sun"
    ]
    assert [str(rule) for rule in wash(Reading(MON, 3.0))] == [
        "the time of a wash does not hold at this temperature "
        "(air, surface not read, 3 C, from 5 C on): warm it"
    ]


def test_the_washs_own_limits_count_where_they_are_narrower() -> None:
    (rule,) = wash(Reading(MON, 18.0, None, 8.0), metal_least_c=10.0)
    assert rule.name == "too-cold"


def test_a_wash_without_a_fresh_reading_asks_for_one() -> None:
    assert [str(rule) for rule in wash()] == [
        "surface temperature not read (the time of a wash holds from 5 to 30 C): "
        "take a reading first"
    ]
    assert [rule.name for rule in wash(Reading(MON, 20.0), minutes=241)] == ["reading-old"]
    assert wash(Reading(MON, 20.0), minutes=240) == []


# --- the window it would leave -------------------------------------------------------------------

ETCH = product(
    Band("wait", Until(fixed_s=24 * 3600.0)),
    Band("open", Until(fixed_s=48 * 3600.0)),
    Band("key"),
    over=("steel", "p"),
)
"""Open for 2 d from the first face, but at 10 C the day's wait takes two (ageing: x 2 per 10 C,
common practice, no source)."""

NO_WINDOW = "No window at this temperature: warm the shop or type the sheet's figures"


def in_the_cold(paint: Product) -> Environment:
    """A shop of 10 C by day and by night."""
    cold = replace(HOURS, day_c=10.0, night_c=10.0)
    return Environment((Reading(MON, 10.0, 60.0, 10.0),), cold, {"p": paint})


def test_a_coat_that_would_leave_no_window_for_the_next_is_not_begun() -> None:
    two = route(step(), step())
    (no,) = refused(two, in_the_cold(ETCH))
    assert (str(no), no.name, no.override) == (NO_WINDOW, "no-window", "reason")
    assert told(two, shop(ETCH, readings=(replace(DRY, metal_c=20.0),))) == "", "20 C leaves a day"


def test_a_last_coat_needs_no_window_for_another() -> None:
    assert told(route(step(), step("cure")), in_the_cold(ETCH)) == ""


def test_a_mist_is_not_begun_where_the_build_that_continues_it_would_leave_no_window() -> None:
    mist = step(name="mist")
    flash = (Band("flash", Until(fixed_s=600.0)), Band("open"))
    mist = replace(mist, step=replace(mist.step, bands=flash))
    build = step(continues=True)
    assert told(route(mist, build, step()), in_the_cold(ETCH)) == NO_WINDOW
    assert told(route(mist, build, step("cure")), in_the_cold(ETCH)) == ""


# --- the pot -------------------------------------------------------------------------------------

TWO_PACK = replace(PAINT, pot_life=((20.0, 4 * 3600.0),))


def pot(use_from: datetime = MON, bin_by: datetime | None = None, letter: str = "A") -> Pot:
    return Pot(letter, "p", "paint", MON - timedelta(hours=4), use_from, bin_by)


@pytest.mark.parametrize(
    ("pots", "message"),
    [
        ((), "no pot of paint (none open): mix one first (*)"),
        (
            (pot(after(15), after(240)),),
            "the pot of paint still rests (until 08:15): wait for its rest to end",
        ),
        (
            (pot(MON - timedelta(hours=3), MON - timedelta(minutes=5)),),
            "the pot of paint is past its life (its life ended 07:55): bin it and mix fresh",
        ),
        ((pot(MON, after(1)), pot(after(9), after(9), "B")), ""),
    ],
    ids=["none", "rests", "past its life", "one of two in use"],
)
def test_a_two_pack_wants_a_pot_inside_its_life(pots: tuple[Pot, ...], message: str) -> None:
    assert told(route(step()), shop(TWO_PACK), pots=pots) == message


def test_a_pot_mixed_after_the_coat_began_was_not_what_it_was_begun_with() -> None:
    later = replace(pot(), mixed_at=after(5), use_from=after(5))
    assert "none open" in told(route(step()), shop(TWO_PACK), pots=(later,))


def test_a_one_pack_needs_no_pot_thinned_or_not() -> None:
    thinned = Ratio((Share("base", 10), Share("thinner", 1)))
    assert told(route(step()), shop(replace(PAINT, ratio=thinned))) == ""


def test_what_has_a_hardener_needs_a_pot_even_without_a_pot_life_on_its_sheet() -> None:
    mixed = replace(PAINT, ratio=Ratio((Share("base", 4), Share("hardener", 1))))
    assert told(route(step()), shop(mixed)) == "no pot of paint (none open): mix one first (*)"
    assert told(route(step()), shop(mixed), pots=(pot(),)) == ""


# --- equipment, and who has taken it --------------------------------------------------------------

ISOCYANATE = replace(PAINT, name="Two-pack gloss", isocyanate=True)
MASK = Equipment("mask", "Air-fed set", "air-fed set", needs_l_min=170)
IN_OTHER_HANDS = replace(MASK, holder="Mo", held_at=MON, held_for="5")


def told_to_kit(part: Part, *things: Equipment) -> str:
    """The one rule against Kit beginning on Monday at 08:10, whole."""
    around, at = shop(ISOCYANATE), after(10)
    state = stand_state(part, clocks_of(part, around), at)
    every = list(objections_to_begin(part, state, around, (), at, at, (), things, ("Kit",)))
    assert all(refusal.override != "never" for refusal in every)
    return "; ".join(str(refusal) for refusal in every)


def test_a_two_pack_coat_needs_the_air_fed_set_in_the_hands_of_one_of_its_painters() -> None:
    part = route(step())
    assert told_to_kit(part, MASK) == ""
    assert told_to_kit(part, replace(MASK, holder="Kit", held_at=MON)) == ""
    assert told_to_kit(part, IN_OTHER_HANDS) == (
        "the air-fed set is taken (Mo since 08:00, for tag 5): "
        "wait, or ask for it; left booked out: return it"
    )
    assert told_to_kit(part).startswith(
        "no air-fed mask is recorded here (Two-pack gloss: isocyanate): write it down first"
    )


def test_a_part_that_somebody_else_took_is_begun_with_them_or_not_at_all() -> None:
    part = route(step())
    assert told_to_kit(replace(part, taken_by=("Mo",)), MASK) == (
        "Mo has taken it: help, or Mo hands it over"
    )
    assert told_to_kit(replace(part, taken_by=("Mo", "Una")), MASK) == (
        "Mo and Una have taken it: help, or Mo and Una hand it over"
    )
    assert told_to_kit(replace(part, taken_by=("Mo", "Kit")), MASK) == ""


def breathing(part: Part, *things: Equipment, untrained: tuple[str, ...] = ()) -> list[str]:
    """The rules against Kit beginning on Monday at 08:10, by name, and how each is overridden."""
    around, at = shop(ISOCYANATE), after(10)
    state = stand_state(part, clocks_of(part, around), at)
    found = objections_to_begin(part, state, around, (), at, at, (), things, ("Kit",), untrained)
    return [f"{rule.name}: {rule.override}" for rule in found]


def test_what_concerns_breathing_is_overridden_by_another_air_supply_only() -> None:
    part = route(step())
    small = Equipment("c", "Compressor", "compressor", gives_l_min=100)
    assert breathing(part) == ["no-air-fed-mask: air supply"]
    assert breathing(part, IN_OTHER_HANDS) == ["air-taken: air supply"]
    assert breathing(part, replace(MASK, queue=("Mo",))) == ["air-asked-for: air supply"]
    assert breathing(part, MASK, small) == ["air-short: air supply"]
    assert breathing(part, MASK, untrained=("Kit", "Mo")) == ["not-trained: air supply"]
    assert breathing(part, MASK, untrained=("Mo",)) == []


# --- several at once -----------------------------------------------------------------------------


def test_every_rule_is_found_in_the_order_a_painter_would_put_them_right(seeds: Seeds) -> None:
    """The clock, what is under it, the air, then the mix: nobody mixes for a coat that must wait."""
    etched = step(status="done", product="etch-primer")
    part = route(etched, step(product="epoxy-primer", name="epoxy"), substrate="zinc")
    every = refused(part, shop(*seeds.products.values(), readings=()), 60)
    assert [refusal.rule for refusal in every] == [
        "too soon",
        "Epoxy primer 4:1 does not go over what is on it",
        "no reading of the air",
        "no pot of Epoxy primer 4:1",
    ]
    assert [refusal.name for refusal in every] == ["too-soon", "not-over", "no-reading", "no-pot"]
