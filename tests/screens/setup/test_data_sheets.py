"""What the tins say, as a form: by keypad where figures are asked, names by keyboard."""

from __future__ import annotations

from textual.widgets import Input

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_editing import set_product
from bench.testing import ManualClock
from tests.shop.doing import done

from ..driving import Gone, Hands, Said, at_the_bench

PRODUCTS = ("set-up", "data sheets: products")
ROUTES = ("set-up", "the routes and their steps")


async def ask(hands: Hands, label: str) -> None:
    """The digit beside what is asked, on whatever page it stands."""
    for _ in range(6):
        rows = [row.split(None, 1) for row in hands.picture().splitlines()]
        digits = [row[0] for row in rows if len(row) == 2 and row[1].startswith(f"{label} ")]
        if digits:
            await hands.press(digits[0])
            return
        await hands.press("9")
    raise AssertionError(f"no {label!r} in\n{hands.picture()}")


async def typed(hands: Hands, text: str) -> None:
    hands.app.screen.query_one(Input).value = text
    await hands.press("enter")


async def test_a_products_figures_are_typed_by_keypad_and_a_refused_form_is_not_lost(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*PRODUCTS)
        await hands.play(("1 6", "goes over", "base 4, hardener 1 ?", Gone('"'), Gone("{")))
        await ask(hands, "film")
        await hands.play(
            ("", "now: min 40 um, target 60 um, max 100 um (placeholder ?)"),
            ("1 9 0 enter enter enter enter", "min 90 um, target 60 um, max 100 um  (typed now)"),
        )
        await ask(hands, "induction")
        await hands.play(("1 1 . 5 enter", "3  h"), ("3 enter", "1.5 h  (typed now)"))
        await ask(hands, "pot life")
        await hands.play(
            ("3", "4 h at 20 C  (typed now)"),  # the tin says the same
            ("+", "are they your tin's data sheet's?"),
            ("1", "Not saved: 1 fault. The form stays.", "film: film 90 / 60 / 100 um"),
            ("1",),
        )
        await ask(hands, "film")
        await hands.play(("", "now: min 90 um, target 60 um, max 100 um (typed now)"))
        await hands.press("1 5 0 enter enter enter enter")
        await ask(hands, "volume solids")
        await hands.play(
            ("1 5 . 5 enter + 1", "volume solids 5.5 %: is that so?"),
            ("0", Said("volume solids 5.5 %: is that so?: nothing was saved"), "5.5 %"),
            ("+ 1 enter", "Saved. Epoxy primer 4:1: changed"),
        )
    sheet = bench_view.read_bench(shop).products["epoxy-primer"]
    assert sheet.film is not None
    assert (sheet.film.least_um, sheet.induction_s, sheet.volume_solids_pct) == (50, 5400, 5.5)
    assert sheet.source == "sheet"
    assert sheet.placeholder == ("ratio", "limits", "bands", "opened_life_s", "full_cure")
    assert check(shop).faults == ()


async def test_a_window_and_times_by_temperature_are_typed_row_by_row(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*PRODUCTS)
        await hands.press("1 6")
        await ask(hands, "pot life")
        await hands.play(
            ("1", "4 h at 20 C", "another one"),
            ("2 1 0 enter 8 enter enter", "8 h at 10 C"),
            ("enter", "4 h at 20 C, 8 h at 10 C"),
        )
        await ask(hands, "recoat window")
        await hands.play(
            ("1 2", "open until 7 d at 20 C", "one place up"),
            ("1", "what it is"),
        )
        await ask(hands, "until")
        await hands.play(
            ("1 1 5 enter 4 enter", "until                  5 d"),
            ("0", "leave it?"),
            ("0 +", "open until 5 d"),
            ("enter", "open until 5 d"),
            ("0", "leave it?", "What was typed in it is gone then."),
            ("0 + 1", "Saved."),
        )
    sheet = bench_view.read_bench(shop).products["epoxy-primer"]
    assert sheet.pot_life == ((10.0, 28800.0), (20.0, 14400.0))
    assert sheet.bands[1].until is not None
    assert sheet.bands[1].until.fixed_s == 5 * 86400


async def test_a_new_product_is_asked_from_its_first_question_on(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*PRODUCTS)
        await hands.press("1 0")
        await typed(hands, "Club grey 5:1")
        await hands.play(
            ("1", "Club grey 5:1: name"),
            ("enter 4", "Club grey 5:1: goes over", "now: -"),
            ("1 2 enter", "Club grey 5:1: ratio"),
            ("1 1 enter 5 enter 1 enter enter enter", "Club grey 5:1: thinner"),
            ("0", "parts by volume, base 5, hardener 1", "top coat"),
            ("+ 1", "Not saved: 1 fault", "tool is missing: a top coat is sprayed"),
            ("1", "parts by volume, base 5, hardener 1"),
        )
        await ask(hands, "tool")
        await hands.play(("1 + 1", Said("new: Club grey 5:1")))
        await hands.pick(*PRODUCTS)
        await hands.play(("+", "Club grey 5:1"))
    assert bench_view.read_bench(shop).products["club-grey-5-1"].source == "sheet"


async def test_a_step_of_a_route_is_changed_and_a_new_route_begins_like_another(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*ROUTES)
        await hands.press("1 5")
        await ask(hands, "steps")
        await hands.press("1 3 1")
        await ask(hands, "max")
        await hands.play(
            ("1 5 enter 2 enter", "max                    5 min"),
            ("+ enter +", "Not saved: 1 fault", "step 3 Mordant wash", "a dwell needs"),
            ("1",),
        )
        await ask(hands, "steps")
        await hands.press("1 3 1")
        await ask(hands, "max")
        await hands.play(("1 1 2 enter 2 enter + enter +", Said("New galvanised: changed step")))
        await hands.pick(*ROUTES)
        await hands.press("1 0")
        await typed(hands, "Galvanised, club")
        await hands.press("2")
        await ask(hands, "New")
        await hands.play(("+", Said("new: Galvanised, club")))
    routes = bench_view.read_bench(shop).routes
    assert routes["zinc-new"].steps[2].most_s == 720.0
    assert routes["galvanised-club"].steps == routes["zinc-new"].steps


async def test_what_somebody_typed_meanwhile_is_not_taken_back(
    shop: Shop, clock: ManualClock
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.pick(*PRODUCTS)
        await hands.press("1 6")
        await ask(hands, "pot life")
        await hands.press("3")
        text = sheet_text(bench_view.read_bench(shop).products["epoxy-primer"])
        text = text.replace('"4 h"', '"3 h"').replace('"placeholder"', '"sheet"')
        done(set_product(shop, "Mo", "epoxy-primer", text))
        await hands.let_pass(seconds=2)
        await hands.play(("+ 1", Said("somebody changed this sheet meanwhile: ..")))
    sheet = bench_view.read_bench(shop).products["epoxy-primer"]
    assert sheet.pot_life == ((20.0, 10800.0),)
