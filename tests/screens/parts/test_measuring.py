"""Readings by keypad: one after another, what they come to as they are typed, and what is wanted."""

from __future__ import annotations

from bench.screens.bench.stand_page import StandPage
from bench.screens.dialogs.readings import ReadingsPage
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.seeds.seed_text import sheet_text
from bench.shop.seeds.sheet_editing import set_route
from bench.shop.stock import instruments
from bench.testing import ManualClock
from tests.shop.doing import done, part

from ..driving import at_the_bench
from .test_thickness import PRIMER, prime, primed, right_column

__all__ = ["primed"]


def wants_dft(shop: Shop) -> None:
    """The route of the shop's steel wants its primer read, which parts to come will have."""
    route = bench_view.read_bench(shop).routes["steel-blasted"]
    head, *steps = sheet_text(route).split("[[step]]\n")
    steps[PRIMER - 1] = f'measure = ["dft"]\n{steps[PRIMER - 1]}'
    done(set_route(shop, "Kit", "steel-blasted", "[[step]]\n".join([head, *steps])))


async def test_readings_are_typed_one_after_another_and_judged_as_they_come(
    primed: Shop, clock: ManualClock
) -> None:
    gauge = {"kind": "film gauge", "error": 2.0}
    done(instruments.add_instrument(primed, "Kit", "G1", **gauge))  # type: ignore[arg-type]
    async with at_the_bench(primed, clock) as hands:
        await hands.press("1 enter 9 5")
        assert isinstance(hands.app.screen, ReadingsPage)
        assert "with G1 (film gauge, error 2 um" in hands.picture()
        await hands.press("enter")
        assert isinstance(hands.app.screen, StandPage), "without a reading it is left"
        await hands.press("9 5 6 2 enter 9 9 9 9 enter")
        assert "DFT 9999 um: must be over 0, up to 2000 um" in hands.picture()
        await hands.press("- - - - 6 5 enter")
        assert "mean 63.5 um, min 62, max 65 of 2" in hands.picture()
        assert "take 3 more readings" in hands.picture()
        await hands.press("- 6 6 enter + 6 4 enter")
        assert "on      A" in hands.picture()
        await hands.press("enter")
        assert isinstance(hands.app.screen, StandPage)
        told = " ".join(hands.picture().split())
        assert "mean 64 um, min 62, max 66 of 3; accepted so far by ISO 19840" in told
        assert "take 2 more readings" in told
    view = bench_view.read_bench(primed).find("1")
    assert view is not None
    assert [(m.face, m.readings, m.instrument) for m in view.measurements] == [
        ("", (62, 66), "G1"),
        ("A", (64,), "G1"),
    ]
    assert part(primed).steps[PRIMER - 1].dry_um == 64


async def test_a_step_asks_for_what_its_route_wants_and_anything_is_read_from_the_menu(
    shop: Shop, clock: ManualClock
) -> None:
    wants_dft(shop)
    prime(shop, clock)
    async with at_the_bench(shop, clock, (132, 40)) as hands:
        await hands.press("1 enter")
        assert "measure: DFT, 5 readings a face" in right_column(hands)
        await hands.press("9 5 6 2 enter 6 2 enter 6 2 enter 6 2 enter 6 2 enter enter")
        assert "measure:" not in right_column(hands)
        await hands.press("/ 9 8")
        assert "zinc" not in hands.picture(), "it is read before the first coat"
        await hands.press("7 7 . 2 enter enter")
        assert "rinse pH" in hands.picture()
        await hands.press("/ 9 8 8 1")
        await hands.press("/ 9 8 9")
        assert "6   strike: DFT 62 62 62 62 62 um (Kit" in hands.picture()
        await hands.press("6")
        assert "measure: DFT, 5 readings a face" in right_column(hands)
    view = bench_view.read_bench(shop).find("1")
    assert view is not None
    assert [(m.kind, m.readings, m.grade) for m in view.measurements] == [
        ("ph", (7.2,), ""),
        ("water-break", (), "free"),
    ]
