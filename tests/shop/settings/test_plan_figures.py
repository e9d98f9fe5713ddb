"""Figures for the plan: a placeholder until they are typed, and again once they are taken back."""

from __future__ import annotations

import pytest

from bench.process.plan.figures import ShopFigures
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.plan.inputs import plan_inputs
from bench.shop.settings.settings_change import set_settings
from bench.shop.settings.shop_settings import PLAN_KEYS
from tests.shop.doing import done, refused, state

TYPED = {
    "spray_spaces": 2.0,
    "mixing_min": 12.0,
    "flush_min": 8.0,
    "handling_min": 720.0,
    "full_pct": 75.0,
    "closing_slack_min": 25.0,
    "moving_min": 10.0,
    "wet_min": 45.0,
}


def placeholders(shop: Shop) -> tuple[str, ...]:
    house = read_bench(shop).house
    return tuple(key for key in PLAN_KEYS if house.of_plan(key) is None)


def figures(shop: Shop) -> tuple[float, ...]:
    found = plan_inputs(shop).shop
    return (
        *(found.spray_spaces, found.mixing_min, found.flush_min, found.handling_h),
        *(found.filled_pct, found.slack_min, found.wet_min, found.moving_min),
    )


def test_what_was_typed_is_planned_by_and_what_was_not_is_a_placeholder(shop: Shop) -> None:
    usual = ShopFigures()
    by_default = (
        *(usual.spray_spaces, usual.mixing_min, usual.flush_min, usual.handling_h),
        *(usual.filled_pct, usual.slack_min, usual.wet_min, usual.moving_min),
    )
    assert figures(shop) == by_default
    assert placeholders(shop) == PLAN_KEYS == tuple(TYPED)
    done(set_settings(shop, "Kit", **TYPED))
    assert figures(shop) == (2, 12, 8, 12, 75, 25, 45, 10)
    assert placeholders(shop) == ()
    done(set_settings(shop, "Kit", mixing_min=0.0))
    assert placeholders(shop) == ("mixing_min",)
    assert figures(shop)[1] == usual.mixing_min
    for _ in range(2):
        done(undo.undo(shop, "Kit"))
    assert figures(shop) == by_default


@pytest.mark.sqlite
@pytest.mark.parametrize(
    "typed",
    [
        {"spray_spaces": 1.5},
        {"spray_spaces": 7.0},
        {"mixing_min": 0.5},
        {"full_pct": 49.0},
        {"handling_min": -1.0},
    ],
)
def test_a_figure_out_of_its_range_is_refused_with_the_range(
    shop: Shop, typed: dict[str, float]
) -> None:
    before = state(shop)
    assert "0: not typed" in str(refused(set_settings(shop, "Kit", **typed)))
    assert state(shop) == before
