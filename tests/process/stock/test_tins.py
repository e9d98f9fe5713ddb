"""Tins: in date or not, whose turn it is, what is left, use-by dates.

How long an opened tin keeps (isocyanate hardener 1 to 6 months), the signs of a dead one, and when
one is called low or near its end: common practice, no source. The 214 days against 90 are the
example of the trade notes this program was made from, from memory.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from bench.process.actions.begin_rules import objections_to_begin
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import Clocks, stand_state
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import BadSheet, Product, Thinner
from bench.process.sheets.product_rules import check_product
from bench.process.stock.tins import (
    Tin,
    TinPlan,
    day_of,
    end_of_day,
    ends_soon,
    good_until,
    in_date,
    in_turn,
    is_low,
    plan_mix,
    plan_notes,
    pours_for,
    read_use_by,
    roles_of,
    sound_ml,
    tin_word,
    use_by_of_figures,
)
from bench.trade.mixing import Ratio, Share

from ..actions.test_begin_rules import PAINT, route, shop, step
from ..making import MON

DAY_S = 86400.0
LONDON = ZoneInfo("Europe/London")


def tin(number: int = 1, **more: object) -> Tin:
    """A sealed half litre of hardener that came 300 days ago, unless told otherwise."""
    kept: dict[str, object] = {
        "product": "gloss",
        "name": "Gloss",
        "role": "hardener",
        "batch": f"H-{number}",
        "size_ml": 500.0,
        "left_ml": 500.0,
        "came_at": MON - timedelta(days=300),
        "opened_life_s": 90 * DAY_S,
        **more,
    }
    return Tin(number, **kept)  # type: ignore[arg-type]


def opened(days: float, number: int = 1, **more: object) -> Tin:
    """A tin whose lid was lifted so many days ago."""
    return tin(number, opened_at=MON - timedelta(days=days), **more)


# --- in date -------------------------------------------------------------------------------------


def test_a_hardener_opened_214_days_ago_that_keeps_90_is_refused_with_both_figures() -> None:
    refused = in_date(opened(214), MON)
    assert refused is not None
    assert refused.override == "reason"
    assert str(refused) == (
        "tin 1, hardener of Gloss, is out of date (opened 214 d ago, keeps 90 d once open): "
        "open a fresh one. Cloudy, skinned, gelled or full of crystals: bin it"
    )


def test_a_placeholder_figure_is_shown_as_one_in_the_refusal() -> None:
    refused = in_date(opened(214, guessed=True), MON)
    assert refused is not None
    assert refused.read == "opened 214 d ago, keeps 90 d? once open"


def test_past_its_use_by_a_sealed_tin_is_refused_with_the_day() -> None:
    ends = end_of_day(date(2026, 2, 28), LONDON)
    refused = in_date(tin(use_by=ends), MON)
    assert refused is not None
    assert refused.read == "its use-by was 28 Feb 2026"


def test_the_day_of_the_use_by_itself_is_still_good() -> None:
    one = tin(use_by=end_of_day(date(2026, 3, 2), LONDON))
    last_minute = datetime(2026, 3, 2, 23, 59, tzinfo=LONDON)
    assert tin_word(one, last_minute) == "SEALED"
    assert tin_word(one, last_minute + timedelta(minutes=1)) == "OLD"


def test_both_reasons_are_told_where_both_hold() -> None:
    one = opened(100, use_by=end_of_day(date(2026, 1, 31), LONDON))
    refused = in_date(one, MON)
    assert refused is not None
    assert refused.read == ("opened 100 d ago, keeps 90 d once open; its use-by was 31 Jan 2026")


@pytest.mark.parametrize(("days", "word"), [(89.99, "OPEN"), (90, "OLD"), (90.01, "OLD")])
def test_the_clock_of_a_tin_starts_when_its_lid_is_lifted(days: float, word: str) -> None:
    assert tin_word(opened(days), MON) == word


def test_a_sealed_tin_has_no_clock_but_its_use_by() -> None:
    assert good_until(tin()) is None
    assert tin_word(tin(), MON + timedelta(days=3650)) == "SEALED"


def test_where_the_sheet_says_nothing_an_open_tin_goes_by_its_use_by() -> None:
    one = opened(1000, opened_life_s=None, use_by=end_of_day(date(2026, 6, 30), LONDON))
    assert tin_word(one, MON) == "OPEN"
    assert good_until(one) == datetime(2026, 7, 1, tzinfo=LONDON)


def test_the_sooner_end_counts() -> None:
    one = opened(80, use_by=end_of_day(date(2026, 6, 30), LONDON))
    assert good_until(one) == MON + timedelta(days=10)


@pytest.mark.parametrize(("days", "soon"), [(75, False), (76, True), (89, True), (91, False)])
def test_near_its_end_is_within_two_weeks_and_not_past_it(days: float, soon: bool) -> None:
    assert ends_soon(opened(days), MON) is soon


def test_an_empty_tin_is_empty_whatever_its_dates() -> None:
    assert tin_word(opened(500, empty_at=MON), MON) == "EMPTY"


@pytest.mark.parametrize(("left_ml", "low"), [(75, False), (74, True), (0, True)])
def test_with_less_than_a_seventh_left_it_is_low(left_ml: float, low: bool) -> None:
    assert is_low(tin(left_ml=left_ml)) is low


# --- whose turn it is ----------------------------------------------------------------------------


def test_opened_tins_come_first_then_the_soonest_use_by_then_the_first_that_came() -> None:
    ends = end_of_day(date(2026, 6, 30), LONDON)
    tins = [tin(1), tin(2, use_by=ends), opened(3, 3), tin(4, use_by=ends - timedelta(days=30))]
    assert [one.number for one in in_turn(tins, MON)] == [3, 4, 2, 1]


def test_a_tin_out_of_date_is_passed_over_while_there_is_another() -> None:
    assert [one.number for one in in_turn([opened(214, 1), tin(2)], MON)] == [2]
    assert [one.number for one in in_turn([opened(214, 1)], MON)] == [1]


def test_an_empty_tin_is_no_tin() -> None:
    assert in_turn([tin(empty_at=MON)], MON) == ()
    assert pours_for([tin(empty_at=MON)], 100, MON) == ()


def test_a_tin_that_runs_out_is_followed_by_the_next() -> None:
    pours = pours_for([tin(1), opened(3, 2, left_ml=60.0)], 100, MON)
    assert [(p.tin.number, p.ml, p.short_ml) for p in pours] == [(2, 60, 0), (1, 40, 0)]


def test_for_a_few_millilitres_no_second_lid_is_lifted() -> None:
    pours = pours_for([tin(1), opened(3, 2, left_ml=95.0)], 100, MON)
    assert [(p.tin.number, p.ml, p.short_ml) for p in pours] == [(2, 100, 0)]
    more = pours_for([tin(1), opened(3, 2, left_ml=94.5)], 100, MON)
    assert [(p.tin.number, p.ml) for p in more] == [(2, 94.5), (1, 5.5)]


def test_more_than_the_figures_say_is_poured_all_the_same_and_said() -> None:
    pours = pours_for([opened(3, 1, left_ml=60.0), opened(2, 2, left_ml=10.0)], 100, MON)
    assert [(p.tin.number, p.ml, p.short_ml) for p in pours] == [(1, 60, 0), (2, 40, 30)]
    notes = plan_notes(TinPlan(tuple(("hardener", pour) for pour in pours)))
    assert notes == (
        "from tins: hardener 1 (H-1), hardener 2 (H-2)",
        "tin 2: 30 ml more than its figures say was left: count it",
    )


def test_a_tin_with_nothing_left_by_its_figures_is_taken_before_none() -> None:
    pours = pours_for([opened(3, left_ml=0.0)], 100, MON)
    assert [(p.tin.number, p.ml, p.short_ml) for p in pours] == [(1, 100, 100)]


def test_only_what_is_in_date_counts_as_there() -> None:
    assert sound_ml([tin(1), opened(214, 2), opened(3, 3, left_ml=60.0)], MON) == 560


# --- a mix ---------------------------------------------------------------------------------------

BASE = tin(1, role="base", batch="B-1", size_ml=1000.0, left_ml=800.0, opened_life_s=None)
HARD = opened(3, 2)
THINNER = tin(3, product="thinner", name="Thinner", role="", batch="")
THINNERS = ("thinner",)


def planned(*tins: Tin, named: tuple[int, ...] = (), **ml: float) -> TinPlan:
    found = plan_mix(tins, "gloss", THINNERS, ml, MON, named)
    assert isinstance(found, TinPlan), found
    return found


def test_each_part_is_poured_from_its_own_tin() -> None:
    plan = planned(BASE, HARD, THINNER, base=200, hardener=100, thinner=30)
    assert [(role, pour.tin.number, pour.ml) for role, pour in plan.taken] == [
        ("base", 1, 200),
        ("hardener", 2, 100),
        ("thinner", 3, 30),
    ]
    assert plan_notes(plan) == (
        "from tins: base 1 (B-1), hardener 2 (H-2), thinner 3 (no batch number)",
    )


def test_its_own_thinner_goes_before_thinner_for_everything() -> None:
    own = tin(4, role="thinner")
    plan = planned(THINNER, own, thinner=30)
    assert [pour.tin.number for _, pour in plan.taken] == [4]


def test_a_part_without_a_tin_is_named_in_one_note_and_holds_nothing_up() -> None:
    plan = planned(BASE, base=200, hardener=100, thinner=30)
    assert plan.missing == ("hardener", "thinner")
    assert plan_notes(plan)[-1] == "no tin of hardener and thinner is listed: no batch number"
    assert plan.against(MON) == ()


def test_a_tin_of_another_product_is_not_touched() -> None:
    plan = planned(tin(1, product="epoxy"), hardener=100)
    assert plan.taken == ()


def test_the_painter_may_name_the_tin() -> None:
    plan = planned(HARD, tin(5), named=(5,), hardener=100)
    assert [pour.tin.number for _, pour in plan.taken] == [5]


def test_a_named_tin_that_is_out_of_date_is_asked_about() -> None:
    plan = planned(tin(1), opened(214, 2), named=(2,), hardener=100)
    ((one, refused),) = plan.against(MON)
    assert one.number == 2
    assert refused.rule == "tin 2, hardener of Gloss, is out of date"


def test_a_named_tin_that_holds_no_part_of_the_mix_is_refused() -> None:
    found = plan_mix((BASE, THINNER), "gloss", THINNERS, {"base": 200.0}, MON, (3,))
    assert str(found) == "tin 3 holds no part of this mix: name tins of base"


def test_a_dead_tin_that_was_passed_over_is_told() -> None:
    plan = planned(tin(1), opened(214, 2), hardener=100)
    assert plan.against(MON) == ()
    assert plan_notes(plan)[-1] == "tin 2 is out of date: bin it"


# --- use-by dates --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("figures", "day"),
    [
        (327, date(2027, 3, 31)),
        (228, date(2028, 2, 29)),
        (1226, date(2026, 12, 31)),
        (310327, date(2027, 3, 31)),
        (10127, date(2027, 1, 1)),
    ],
)
def test_a_keypad_types_month_and_year_or_day_month_and_year(figures: int, day: date) -> None:
    assert use_by_of_figures(figures) == day


@pytest.mark.parametrize(
    ("figures", "right"),
    [
        (27, "read 27; wanted month and year as 0327, or day, month and year as 310327"),
        (1327, "read '1327'; there is no such month"),
        (320327, "read 320327; wanted month and year as 0327, or"),
        (310227, "read '310227'; that month has 28 days"),
        (20270331, "read 20270331; wanted month and year"),
        (-327, "read -327; wanted month and year"),
    ],
)
def test_a_use_by_that_cannot_be_is_refused_with_what_would_be_right(
    figures: int, right: str
) -> None:
    with pytest.raises(ValueError, match="read") as fault:
        use_by_of_figures(figures)
    assert right in str(fault.value)


def test_on_the_command_line_it_is_written_year_first() -> None:
    assert read_use_by("2027-03-31") == read_use_by(" 2027-03 ") == date(2027, 3, 31)
    for wrong in ("31.03.2027", "2027", "2027-13", "2027-02-30", "1999-01", "", "soon"):
        with pytest.raises(ValueError, match="read"):
            read_use_by(wrong)


@pytest.mark.parametrize("day", [date(2026, 3, 28), date(2026, 3, 29), date(2026, 10, 25)])
def test_the_last_good_day_survives_a_change_of_summer_time(day: date) -> None:
    kept = end_of_day(day, LONDON).astimezone(UTC)
    assert day_of(kept.astimezone(LONDON)) == f"{day:%d %b %Y}"


# --- products ------------------------------------------------------------------------------------

MIXED = Product("p", "paint", "primer", ratio=Ratio((Share("base", 2), Share("hardener", 1))))


def test_a_product_comes_in_tins_of_its_parts() -> None:
    assert roles_of(MIXED) == ("base", "hardener")
    assert roles_of(replace(MIXED, thinner=Thinner(0, 10, "mixed")))[-1] == "thinner"
    assert roles_of(PAINT) == ("",)


@pytest.mark.parametrize(
    ("product", "lives", "right"),
    [
        (MIXED, {"activator": 60.0}, "it comes in no tin of 'activator'; one of base, hardener"),
        (PAINT, {"hardener": 60.0}, "it comes in no tin of 'hardener'; one of tin"),
        (MIXED, {"hardener": 0.0}, "an opened tin keeps some time; it must be over 0"),
    ],
)
def test_an_opened_life_is_of_a_part_that_there_is(
    product: Product, lives: dict[str, float], right: str
) -> None:
    with pytest.raises(BadSheet) as fault:
        check_product(replace(product, opened_life_s=lives))
    assert str(fault.value) == right


# --- may I? --------------------------------------------------------------------------------------


def against(tins: tuple[Tin, ...] = (), pots: tuple[Pot, ...] = ()) -> list[Refusal]:
    part = route(step())
    state = stand_state(part, Clocks(), MON)
    return list(objections_to_begin(part, state, shop(PAINT), pots, MON, MON, tins))


def test_a_coat_from_the_only_tin_that_is_past_its_use_by_is_refused() -> None:
    ends = end_of_day(date(2026, 2, 28), LONDON)
    one = tin(1, product="p", name="paint", role="", use_by=ends, opened_life_s=None)
    (refused,) = against((one,))
    assert refused.override == "reason"
    assert str(refused) == (
        "tin 1, paint, is out of date (its use-by was 28 Feb 2026): open a fresh one. "
        "Gelled, seedy or hard settled: bin it"
    )
    assert against((one, tin(2, product="p", role=""))) == []
    assert against() == []
    older = replace(one, number=2, use_by=ends - timedelta(days=30))
    assert [told.rule for told in against((one, older))] == ["tin 2, paint, is out of date"]


def test_a_paint_with_a_pot_life_is_judged_by_its_pot_and_not_by_the_next_tin() -> None:
    ends = end_of_day(date(2026, 2, 28), LONDON)
    old = tin(1, product="p", name="paint", role="", use_by=ends, opened_life_s=None)
    part, around = route(step()), shop(replace(PAINT, pot_life=((20.0, 3600.0),)))
    pot = Pot("B", "p", "paint", MON, MON, None)
    state = stand_state(part, Clocks(), MON)
    assert list(objections_to_begin(part, state, around, (pot,), MON, MON, (old,))) == []


def test_a_coat_from_a_pot_mixed_from_a_dead_tin_is_refused_with_what_was_said_then() -> None:
    pot = Pot("B", "p", "paint", MON, MON, None, against=("tin 2 .. 214 d: no other",))
    (refused,) = against(pots=(pot,))
    assert refused.override == "reason"
    assert str(refused) == (
        "pot B was mixed from a tin out of date (tin 2 .. 214 d: no other): "
        "bin it and mix from a tin that is in date"
    )
