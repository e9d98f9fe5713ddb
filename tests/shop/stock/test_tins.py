"""What is done to a tin: it comes, its lid is lifted, it is counted, binned and put right."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from bench.process.stock.tins import Tin, tin_word
from bench.shop.clock import timekeeping
from bench.shop.core.mappers import products_of
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.stock import tins
from bench.shop.stock.tin_usage import tin_of, tins_listed
from bench.store.schema.tables import TinRow
from bench.testing import ManualClock
from tests.shop.doing import done, refused, state, told

pytestmark = pytest.mark.sqlite

LONDON = ZoneInfo("Europe/London")
SPRING = date(2026, 3, 31)


def came(shop: Shop, product: str = "gloss", role: str = "hardener", **more: object) -> None:
    kept: dict[str, object] = {"batch": "H-204", "size_ml": 500.0, **more}
    done(tins.record_tin(shop, product, "Kit", role=role, **kept))  # type: ignore[arg-type]


def tin(shop: Shop, number: int = 1) -> Tin:
    with shop.store.reading() as session:
        row = session.get(TinRow, number)
        assert row is not None
        return tin_of(row, products_of(session), LONDON)


def listed(shop: Shop) -> list[int]:
    with shop.store.reading() as session:
        return [one.number for one in tins_listed(session, products_of(session), LONDON)]


# --- it comes ------------------------------------------------------------------------------------


def test_a_tin_that_came_is_sealed_and_full(shop: Shop) -> None:
    answer = done(
        tins.record_tin(
            shop, "gloss", "kit", role="Hardener ", batch=" H-204", size_ml=500, use_by=SPRING
        )
    )
    assert answer.text == (
        "tin 1, hardener of Two-pack gloss 2:1 came: 500 ml, H-204, use by 31 Mar 2026"
    )
    one = tin(shop)
    assert (one.role, one.batch, one.left_ml, one.opened_at) == ("hardener", "H-204", 500, None)
    assert one.use_by == datetime(2026, 4, 1, tzinfo=LONDON)
    assert one.opened_life_s == 90 * 86400.0
    assert one.guessed, "the shipped 90 days are a placeholder"


def test_a_box_of_cans_comes_at_once(shop: Shop) -> None:
    answer = done(tins.record_tin(shop, "enamel-aerosol", "Kit", size_ml=400, count=12))
    assert answer.text == (
        "tins 1 to 12, Chassis enamel, aerosol came: 400 ml, no batch number yet"
    )
    assert listed(shop) == list(range(1, 13))


def test_a_tin_may_be_out_of_date_the_day_it_comes(shop: Shop) -> None:
    answer = done(
        tins.record_tin(shop, "gloss", "Kit", role="base", size_ml=500, use_by=date(2025, 5, 31))
    )
    assert answer.notes == ("it is out of date already: its use-by was 31 May 2025",)


@pytest.mark.parametrize(
    ("product", "more", "message"),
    [
        ("glue", {}, "no product 'glue': one of alkaline-cleaner"),
        ("gloss", {"role": ""}, "which part of Two-pack gloss 2:1 is not said: one of base, har"),
        ("gloss", {"role": "activator"}, "Two-pack gloss 2:1 has no activator: one of base"),
        ("enamel-brush", {"role": "base"}, "Chassis enamel, brush is not mixed (base): leave"),
        ("gloss", {"size_ml": 0.0}, "a tin of 0 ml: over 0, up to 200000 ml"),
        ("gloss", {"size_ml": float("nan")}, "a tin of nan ml: over 0"),
        ("gloss", {"price": -1.0}, "a price of -1: from 0 to 100000"),
        ("gloss", {"price": float("inf")}, "a price of inf: from 0"),
        ("gloss", {"count": 0}, "0 tins: from 1 to 48 at once"),
        ("gloss", {"count": 49}, "49 tins: from 1 to 48 at once"),
        ("gloss", {"batch": "x" * 31}, "the batch number is too long (31 characters): at most 30"),
        ("gloss", {"batch": "a\x1b[2J"}, "the batch number has a control character"),
    ],
)
def test_a_tin_that_cannot_be_is_refused_and_nothing_is_written(
    shop: Shop, product: str, more: dict[str, object], message: str
) -> None:
    before = state(shop)
    asked: dict[str, object] = {"role": "hardener", "size_ml": 500.0, **more}
    answer = refused(tins.record_tin(shop, product, "Kit", **asked))  # type: ignore[arg-type]
    assert message in str(answer)
    assert state(shop) == before


def test_it_did_not_come_in_the_future(shop: Shop, clock: ManualClock) -> None:
    soon = clock.now() + timedelta(hours=1)
    answer = refused(tins.record_tin(shop, "enamel-brush", "Kit", size_ml=500, at=soon))
    assert answer.rule == "that is in the future"


def test_an_unknown_painter_lists_no_tin(shop: Shop) -> None:
    assert "no painter" in refused(tins.record_tin(shop, "enamel-brush", "Zed", size_ml=5)).rule


# --- its lid -------------------------------------------------------------------------------------


def test_its_clock_starts_when_the_lid_is_first_lifted(shop: Shop, clock: ManualClock) -> None:
    came(shop)
    clock.advance(days=10)
    answer = done(tins.open_tin(shop, 1, "Mo"))
    assert answer.text == "tin 1, hardener of Two-pack gloss 2:1 opened 07:30"
    assert answer.notes == ("good until 17 Sep 2025?",), "90 days on; a placeholder wears its mark"
    assert tin(shop).opened_at == clock.now()
    clock.advance(days=90)
    assert tin_word(tin(shop), clock.now()) == "OLD"


def test_a_lid_is_lifted_for_the_first_time_once(shop: Shop, clock: ManualClock) -> None:
    came(shop)
    done(tins.open_tin(shop, 1, "Mo"))
    clock.advance(minutes=5)
    answer = refused(tins.open_tin(shop, 1, "Mo"))
    assert str(answer) == "tin 1 is open already (since 07:30): take from it"


def test_it_may_have_been_opened_earlier_but_not_before_it_came(
    shop: Shop, clock: ManualClock
) -> None:
    came(shop)
    clock.advance(hours=2)
    answer = refused(tins.open_tin(shop, 1, "Mo", at=clock.now() - timedelta(hours=3)))
    assert str(answer) == "tin 1 was not there yet (it came 07:30): give a later time"
    done(tins.open_tin(shop, 1, "Mo", at=clock.now() - timedelta(hours=1)))
    assert tin(shop).opened_at == clock.now() - timedelta(hours=1)


@pytest.mark.parametrize("number", [0, 2, -1, 10**9])
def test_a_tin_that_is_not_there_is_refused_with_those_that_are(shop: Shop, number: int) -> None:
    came(shop)
    before = state(shop)
    for answer in (
        tins.open_tin(shop, number, "Kit"),
        tins.count_tin(shop, number, "Kit", left_ml=5),
        tins.bin_tin(shop, number, "Kit"),
        tins.correct_tin(shop, number, "Kit", batch="H-205"),
    ):
        assert str(refused(answer)) == f"no tin {number}: there are: 1"
    assert state(shop) == before


@pytest.mark.sqlite(False)
@pytest.mark.parametrize(("count", "listed"), [(12, "12"), (13, "12 ..")])
def test_of_many_tins_a_dozen_are_listed(shop: Shop, count: int, listed: str) -> None:
    came(shop, count=count)
    answer = refused(tins.open_tin(shop, 99, "Kit"))
    assert answer.remedy == f"there are: 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, {listed}"


# --- what is left --------------------------------------------------------------------------------


def test_counted_it_says_what_the_figures_said(shop: Shop) -> None:
    came(shop)
    answer = done(tins.count_tin(shop, 1, "Mo", left_ml=420))
    assert answer.text == (
        "tin 1, hardener of Two-pack gloss 2:1: 420 ml left in it (the figures said 500)"
    )
    assert tin(shop).left_ml == 420


@pytest.mark.parametrize("left_ml", [-1, 500.5, float("nan"), float("inf")])
def test_no_more_is_left_than_fits(shop: Shop, left_ml: float) -> None:
    came(shop)
    before = state(shop)
    for answer in (
        tins.count_tin(shop, 1, "Mo", left_ml=left_ml),
        tins.bin_tin(shop, 1, "Mo", left_ml=left_ml),
    ):
        assert refused(answer).remedy == "from 0 to the 500 ml of the tin"
    assert state(shop) == before


@pytest.mark.sqlite(False)
def test_a_binned_tin_takes_what_the_figures_say_with_it(shop: Shop) -> None:
    came(shop, count=2)
    done(tins.count_tin(shop, 1, "Mo", left_ml=120))
    answer = done(tins.bin_tin(shop, 1, "Mo"))
    assert answer.text.endswith("binned with 120 ml in it")
    assert done(tins.bin_tin(shop, 2, "Mo", left_ml=0)).text.endswith(": empty")
    assert listed(shop) == []


def test_an_empty_tin_is_neither_opened_nor_binned_again(shop: Shop) -> None:
    came(shop)
    done(tins.bin_tin(shop, 1, "Mo", left_ml=0))
    for answer in (tins.open_tin(shop, 1, "Mo"), tins.bin_tin(shop, 1, "Mo")):
        no = refused(answer)
        assert str(no) == "tin 1 is empty (since 07:30): count it if there is something left"
    assert "is empty already" in refused(tins.count_tin(shop, 1, "Mo", left_ml=0)).rule


def test_the_wrong_tin_that_was_binned_is_there_again_once_it_is_counted(shop: Shop) -> None:
    came(shop)
    done(tins.bin_tin(shop, 1, "Mo"))
    answer = done(tins.count_tin(shop, 1, "Kit", left_ml=300))
    assert "is there again: 300 ml left in it" in answer.text
    assert listed(shop) == [1]


# --- put right -----------------------------------------------------------------------------------


@pytest.mark.sqlite(False)
def test_the_batch_number_may_follow_later_and_the_old_one_is_told(shop: Shop) -> None:
    came(shop, batch="")
    answer = done(tins.correct_tin(shop, 1, "Mo", batch="H-204"))
    assert answer.text.endswith(": batch H-204 (was none)")
    answer = done(tins.correct_tin(shop, 1, "Mo", batch="H-205", use_by=SPRING, price=24.5))
    assert answer.text.endswith(
        ": batch H-205 (was H-204), use by 31 Mar 2026 (was none), price 24.50 (was not known)"
    )
    assert (tin(shop).batch, tin(shop).price) == ("H-205", 24.5)


@pytest.mark.sqlite(False)
def test_a_wrong_size_takes_what_is_left_with_it(shop: Shop) -> None:
    came(shop)
    done(tins.count_tin(shop, 1, "Mo", left_ml=400))
    done(tins.correct_tin(shop, 1, "Mo", size_ml=1000))
    assert (tin(shop).size_ml, tin(shop).left_ml) == (1000, 900)


def test_a_lid_that_was_never_lifted_has_no_clock(shop: Shop) -> None:
    came(shop)
    done(tins.open_tin(shop, 1, "Mo"))
    done(tins.correct_tin(shop, 1, "Mo", not_opened=True))
    assert tin_word(tin(shop), shop.clock.now()) == "SEALED"


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({}, "nothing to correct on tin 1: say what to change"),
        ({"size_ml": -5.0}, "a tin of -5 ml: over 0"),
        ({"price": float("nan")}, "a price of nan"),
        ({"batch": "\x07"}, "the batch number has a control character"),
    ],
)
def test_what_cannot_be_put_right_is_refused_and_changes_nothing(
    shop: Shop, more: dict[str, object], message: str
) -> None:
    came(shop)
    before = state(shop)
    assert message in str(refused(tins.correct_tin(shop, 1, "Mo", **more)))  # type: ignore[arg-type]
    assert state(shop) == before


# --- journal, undo, clock ------------------------------------------------------------------------


@pytest.mark.sqlite(False)
def test_every_deed_is_one_line_and_is_undone_exactly(shop: Shop) -> None:
    pictures = [state(shop)]
    for deed in (
        lambda: tins.record_tin(shop, "gloss", "Kit", role="hardener", size_ml=500, count=3),
        lambda: tins.open_tin(shop, 2, "Mo"),
        lambda: tins.count_tin(shop, 2, "Mo", left_ml=100),
        lambda: tins.correct_tin(shop, 2, "Kit", batch="H-9", price=3.0),
        lambda: tins.bin_tin(shop, 2, "Kit"),
    ):
        done(deed())
        pictures.append(state(shop))
        assert told(shop) == pictures[-1]
    assert check(shop).faults == ()
    for picture in reversed(pictures[:-1]):
        done(undo.undo(shop, "Mo"))
        assert state(shop) == picture


@pytest.mark.sqlite(False)
@pytest.mark.parametrize("hours", [3, -3])
def test_an_opened_tin_keeps_its_age_when_the_computers_clock_steps(
    shop: Shop, clock: ManualClock, hours: int
) -> None:
    came(shop, use_by=SPRING)
    clock.advance(hours=1)
    done(tins.open_tin(shop, 1, "Mo"))
    clock.advance(hours=5)
    clock.step(hours=hours)
    timekeeping.move_running_clocks(shop)
    one = tin(shop)
    assert one.opened_at is not None
    assert shop.clock.now() - one.opened_at == timedelta(hours=5)
    assert one.opened_at - one.came_at == timedelta(hours=1)
    assert one.use_by == datetime(2026, 4, 1, tzinfo=LONDON), "a printed day no clock moves"
