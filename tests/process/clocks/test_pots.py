"""Pots and the guns loaded from them: warmth shortens, cold never lengthens."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from bench.process.attention.todo_list import tasks
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.pots import (
    Gun,
    Pot,
    drop_ends,
    flush_by,
    gun_left_s,
    loads_a_gun,
    outside_its_limits,
    pot_clock,
    pot_to_take,
    pot_word,
    rest_of,
    warmed_words,
    warmest_reading,
    why_shorter,
)
from bench.process.clocks.temperature import Reading
from bench.process.sheets.product import Limits, Product
from bench.process.wording.display_units import METRIC
from bench.trade.mixing import Ratio, Share

from ..making import HOURS, MON, after, band, product

FOUR_HOURS = product(band("open"), pot_life=((20.0, 4 * 3600.0),))


def mixed(
    sheet: Product, paint_c: float | None, total_ml: float | None = None
) -> tuple[datetime, str]:
    """When a pot ends that was mixed at MON in air of one temperature, None where nobody read it."""
    read = [] if paint_c is None else [Reading(MON, paint_c)]
    return drop_ends(sheet, (MON, total_ml), read)


POT = Pot("A", "p", "primer", MON, after(15), after(240))


@pytest.mark.parametrize(
    ("paint_c", "hours", "source"),
    [
        (20.0, 4.0, "the sheet's own point"),
        (30.0, 1.6, "/ 2.5 per 10 C: the house rule; a maker's page halves, source seen"),
        (10.0, 4.0, "no credit for cold: the house rule"),
    ],
)
def test_a_pot_of_four_hours_at_20_c(paint_c: float, hours: float, source: str) -> None:
    ends, _ = mixed(FOUR_HOURS, paint_c)
    assert (ends - MON).total_seconds() == pytest.approx(hours * 3600, abs=1), source


def test_a_cold_point_on_the_sheet_is_credited() -> None:
    sheet = replace(FOUR_HOURS, pot_life=((10.0, 8 * 3600.0), (20.0, 4 * 3600.0)))
    ends, basis = mixed(sheet, 10.0)
    assert ends == MON + timedelta(hours=8)
    assert basis == "sheet"


@pytest.mark.parametrize(
    ("paint_c", "minutes"), [(20, 15), (10, 30), (30, 15), (None, 15)], ids=str
)
def test_cold_lengthens_the_rest_and_warmth_does_not_shorten_it(
    paint_c: float | None, minutes: float
) -> None:
    """Twice as long 10 C colder: as the pot life does (a maker's page, source seen), turned round."""
    sheet = replace(FOUR_HOURS, induction_s=15 * 60)
    assert rest_of(sheet, paint_c) == timedelta(minutes=minutes)
    assert rest_of(FOUR_HOURS, paint_c) == timedelta(0)


@pytest.mark.parametrize(
    ("read", "hours", "source"),
    [
        ([(-10, 20)], 4.0, "as at the mixing"),
        ([(-10, 20), (120, 30)], 1.6, "two hours at its warmer end, 30 C: more than all of it"),
        (
            [(-10, 20), (40, 30)],
            1.6,
            "40 min at 30 C of its 96; what is left lasts 56 min: arithmetic",
        ),
        ([(-10, 20), (60, 20), (60, 30)], 2.2, "a quarter used at 20 C, then 1.2 h: arithmetic"),
        ([(-10, 30), (60, 20)], 1.6, "cold after warmth gives nothing back: the house rule"),
        ([(-10, 20), (60, 5)], 4.0, "no credit for cold: the house rule"),
        ([(-10, 20), (60, 30), (70, 5), (80, 29)], 1.6, "nor does what is less warm than before"),
        ([(-10, 20), (60, 30), (65, 5), (94, 5), (95, 31)], 1.6, "warmer, but cold in between"),
        (
            [(-10, 20), (48, 30), (60, 40)],
            1.12,
            "half at 30 C, half of 38.4 min at 40 C: arithmetic",
        ),
        ([(-10, 20), (239, 20), (250, 45)], 4.0, "what is over stays over"),
        ([(-10, 20), (240, 45)], 4.0, "and what ends with a reading is over with it"),
        ([(15, 20)], 4.0, "nothing was read before it was mixed: the first after it"),
    ],
)
def test_a_pot_in_a_room_that_warms_up(
    read: list[tuple[float, float]], hours: float, source: str
) -> None:
    ends, _ = drop_ends(FOUR_HOURS, (MON, None), [Reading(after(at), c) for at, c in read])
    assert (ends - MON).total_seconds() == pytest.approx(hours * 3600, abs=1), source


def test_readings_of_one_temperature_move_no_end_by_the_least_bit() -> None:
    read = [Reading(after(7 * n - 1), 17.3) for n in range(30)]
    assert drop_ends(FOUR_HOURS, (MON, None), read) == (MON + timedelta(hours=4), "sheet")


def test_a_reading_written_down_late_makes_no_pot_younger() -> None:
    """In the order they were read 20 C after half an hour would leave more; 30 C was known first."""
    read = [Reading(after(-10), 20, number=1), Reading(after(60), 30, number=2)]
    late = Reading(after(30), 20, number=3)
    assert drop_ends(FOUR_HOURS, (MON, None), read)[0] == after(96)
    assert drop_ends(FOUR_HOURS, (MON, None), [read[0], late, read[1]])[0] == after(96)


def test_a_pot_in_a_warming_room_agrees_with_an_integral() -> None:
    """scipy's quad over 2.5^((T - 20) / 10) / 4 h; readings close enough that stretches tell little."""
    from scipy.integrate import quad  # slow to import, for each process of the tests

    def air_c(minutes: float) -> float:
        return 20 + 8 * minutes / 120

    read = [Reading(after(n), air_c(n)) for n in range(121)]
    ends, _ = drop_ends(FOUR_HOURS, (MON, None), read)
    used, _ = quad(lambda m: 2.5 ** ((min(air_c(m), 28) - 20) / 10) / 240, 0, 120)
    left_min = (1 - used) * 240 / 2.5**0.8
    assert (ends - MON).total_seconds() / 60 == pytest.approx(120 + left_min, abs=0.5)


def test_a_pot_that_a_warmer_reading_ended_sooner_says_which_one_and_how_it_counts() -> None:
    cool, warm = Reading(after(-10), 20.0), Reading(after(60), 27.0)
    drops = [(MON, None)]
    around = Environment((cool, warm), HOURS, {})
    bin_by = pot_clock(FOUR_HOURS, drops, around)[1]
    assert bin_by is not None
    assert bin_by < after(240)
    found = warmest_reading(FOUR_HOURS, drops, around, bin_by)
    assert found == warm
    assert warmed_words(replace(POT, warmed=found), after(70)) == (
        "sooner: air 27 C read 09:00, counted from the reading before it"
    )
    as_mixed = Environment((cool, Reading(after(60), 15.0)), HOURS, {})
    assert warmest_reading(FOUR_HOURS, drops, as_mixed, after(240)) is None
    assert warmed_words(POT, after(70)) == ""


def test_without_a_reading_the_figure_is_a_guess() -> None:
    assert mixed(FOUR_HOURS, None)[1] == "guess"


@pytest.mark.parametrize(
    ("minutes", "word"),
    [(14, "REST"), (15, "USE"), (209, "USE"), (210, "BIN BY"), (239, "BIN BY"), (240, "BIN")],
)
def test_a_pot_rests_is_used_and_is_binned(minutes: float, word: str) -> None:
    assert pot_word(POT, after(minutes)) == word


@pytest.mark.parametrize(
    ("total_ml", "hours"), [(None, 4.0), (100.0, 4.0), (500.0, 4.0), (501.0, 3.2), (2000.0, 3.2)]
)
def test_a_big_pot_warms_itself_and_lasts_a_fifth_less(
    total_ml: float | None, hours: float
) -> None:
    # Over 500 ml 15-25 % off: common practice, no source.
    ends, basis = mixed(FOUR_HOURS, 20.0, total_ml)
    assert (ends - MON) / timedelta(hours=1) == pytest.approx(hours)
    assert basis == "sheet"


@pytest.mark.parametrize(
    ("total_ml", "paint_c", "why"),
    [
        (500.0, 20.0, ""),
        (500.0, None, ""),
        (501.0, 5.0, "less than the sheet's 4 h: over 500 ml it heats up"),
        (300.0, 28.0, "less than the sheet's 4 h: air 28 C"),
        (600.0, 28.0, "less than the sheet's 4 h: air 28 C, over 500 ml it heats up"),
    ],
)
def test_a_life_that_is_shorter_than_the_sheets_says_why(
    total_ml: float, paint_c: float | None, why: str
) -> None:
    assert why_shorter(FOUR_HOURS, total_ml, paint_c, METRIC) == why
    end = mixed(FOUR_HOURS, paint_c, total_ml)[0]
    assert bool(why) == (end - MON < timedelta(hours=4)), "it says so exactly where it is"


def test_warmth_read_after_the_warm_life_would_have_been_over_still_ends_a_cold_pot() -> None:
    """8 h at 10 C, 4 h at 20 C. It may have been 20 C since the mixing: the warmer end counts."""
    sheet = replace(FOUR_HOURS, pot_life=((10.0, 8 * 3600.0), (20.0, 4 * 3600.0)))
    cold, warm = Reading(after(-10), 10.0), Reading(after(300), 20.0)
    assert pot_clock(sheet, [(MON, None)], Environment((cold,), HOURS, {}))[1] == after(480)
    assert pot_clock(sheet, [(MON, None)], Environment((cold, warm), HOURS, {}))[1] == after(240)


def test_a_topped_up_pot_rests_again_and_grows_no_younger() -> None:
    sheet = replace(FOUR_HOURS, induction_s=15 * 60.0)
    around = Environment((Reading(after(-10), 20.0),), HOURS, {})
    use_from, bin_by, _ = pot_clock(sheet, [(MON, None), (after(60), None)], around)
    assert (use_from, bin_by) == (after(75), after(240))


@pytest.mark.parametrize(
    ("minutes", "letter"),
    [
        (-1, None),
        (0, "A"),
        (60, "A"),
        (75, "B"),
        (239, "B"),
        (300, "B"),
    ],
)
def test_a_coat_takes_the_newest_pot_that_may_be_used_and_none_not_mixed_yet(
    minutes: float, letter: str | None
) -> None:
    newer = replace(POT, letter="B", mixed_at=after(60), use_from=after(75), bin_by=after(300))
    found = pot_to_take("p", [POT, newer], after(minutes))
    assert (found.letter if found else None) == letter
    assert pot_to_take("q", [POT, newer], after(minutes)) is None


@pytest.mark.parametrize(
    ("paint_c", "words"),
    [
        (9.9, "9.9 C is below its range, 10? C: read its sheet first"),
        (10.0, ""),
        (40.0, ""),
        (40.1, "40.1 C is above its range, 40? C: read its sheet first"),
        (None, ""),
    ],
)
def test_a_pot_mixed_outside_the_range_its_sheet_coats_at_says_so(
    paint_c: float | None, words: str
) -> None:
    """10 to 40 C: a placeholder of common practice."""
    limits = Limits(metal_least_c=10.0, metal_most_c=40.0)
    sheet = replace(FOUR_HOURS, source="placeholder", limits=limits)
    assert outside_its_limits(sheet, paint_c, METRIC) == words


# --- guns: within the pot's life, 15 to 60 min in practice: common practice, no source -----------


def test_a_gun_is_to_be_flushed_an_hour_after_its_last_trigger() -> None:
    assert flush_by(after(240), [(after(20), False)]) == after(80)


def test_or_by_the_end_of_its_pot_if_that_is_sooner() -> None:
    assert flush_by(after(240), [(after(200), False)]) == after(240)


def test_while_somebody_sprays_only_the_pot_counts() -> None:
    assert flush_by(after(240), [(after(20), False), (None, True)]) == after(240)


def test_a_later_coat_from_the_same_pot_counts_from_its_own_last_trigger() -> None:
    assert flush_by(after(240), [(after(90), False), (after(20), False)]) == after(150)


def test_a_pot_without_a_life_leaves_the_hour_after_the_trigger() -> None:
    assert flush_by(None, [(after(20), False)]) == after(80)
    assert flush_by(None, [(None, True)]) is None


def test_only_what_was_mixed_and_ages_and_is_sprayed_loads_a_gun() -> None:
    ratio = Ratio((Share("base", 4), Share("hardener", 1)))
    mixed = replace(FOUR_HOURS, ratio=ratio)
    assert loads_a_gun(mixed, sprayed=True)
    assert not loads_a_gun(mixed, sprayed=False), "a brush is washed, not flushed"
    assert not loads_a_gun(FOUR_HOURS, sprayed=True), "a can is its own gun"
    assert not loads_a_gun(replace(mixed, pot_life=()), sprayed=True)


GUN = Gun("A", "primer", after(80))


@pytest.mark.parametrize(
    ("minutes", "told"),
    [
        (64, None),
        (65, "flush every gun of pot A primer by 09:20 (15 min)"),
        (80, "flush every gun of pot A primer NOW, it was due 09:20"),
        (600, "flush every gun of pot A primer NOW, it was due 09:20"),
    ],
)
def test_a_gun_wants_flushing_when_its_hour_is_near_and_until_it_is_done(
    minutes: float, told: str | None
) -> None:
    found = tasks((), (), after(minutes), [GUN])
    assert [want.text for want in found] == ([told] if told else [])


def test_a_gun_past_its_hour_is_as_bad_as_a_pot_to_bin() -> None:
    pots = [replace(POT, bin_by=after(70))]
    assert [want.word for want in tasks((), pots, after(90), [GUN])] == ["GUN", "BIN"]
    assert [want.word for want in tasks((), pots, after(75), [GUN])] == ["BIN", "GUN"]


def test_two_loaded_guns_are_two_clocks() -> None:
    other = Gun("B", "gloss", after(75))
    assert [want.tag for want in tasks((), (), after(70), [GUN, other])] == ["B", "A"]
    assert gun_left_s(Gun("C", "gloss", None), MON) is None
