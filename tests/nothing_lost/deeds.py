"""Whatever two painters do, drawn at random: mostly what goes through, some of it refused."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from bench.process.actions.next_action import next_action
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from tests.shop.doing import begin_over

STANDS = 12
PAINTERS = ("Kit", "Mo")
OVERRIDE = "tested on the coupon"

Deed = Callable[[Shop, Random, str], Outcome | Refusal]


def _place(shop: Shop, draw: Random, by: str) -> Outcome | Refusal:
    return placement.place(
        shop,
        draw.randint(1, STANDS),
        by,
        route=draw.choice(("zinc-new", "steel-blasted", "aluminium")),
        shape=draw.choice(("frame", "bracket", "axle")),
        count=draw.choice((1, 1, 14)),
    )


def _go_on(shop: Shop, draw: Random, by: str) -> Outcome | Refusal:
    """The obvious thing on some stand, against the clock if need be."""
    stand = draw.randint(1, STANDS)
    placed = bench_view.read_bench(shop).on(stand)
    if placed is None:
        return _place(shop, draw, by)
    deed = next_action(placed.part, placed.state(shop.clock.now()))
    if deed in ("begin", "closed"):
        return begin_over(shop, stand, by, OVERRIDE)
    if deed == "test":
        return testing.pass_test(shop, stand, by)
    if deed == "take off":
        return placement.take_off(shop, stand, by)
    if deed == "release":
        return holds_and_rework.release(shop, stand, by)
    return steps.finish(shop, stand, by, all_faces=True)


def _hold(shop: Shop, draw: Random, by: str) -> Outcome | Refusal:
    return holds_and_rework.hold(shop, draw.randint(1, STANDS), by, "other")


def _rework(shop: Shop, draw: Random, by: str) -> Outcome | Refusal:
    return holds_and_rework.rework(
        shop, draw.randint(1, STANDS), by, "fish-eye", count=draw.choice((1, 2))
    )


def _move(shop: Shop, draw: Random, by: str) -> Outcome | Refusal:
    here, there = draw.sample(range(1, STANDS + 1), 2)
    return placement.move(shop, here, by, to=there, swap=draw.random() < 0.5)


def _mix(shop: Shop, draw: Random, by: str) -> Outcome | Refusal:
    return pots.mix(shop, "etch-primer", by, known=MixStart(need_ml=draw.randint(100, 900)))


def _bin(shop: Shop, draw: Random, by: str) -> Outcome | Refusal:
    return pots.bin_pot(shop, draw.choice("ABC"), by)


def _read(shop: Shop, draw: Random, by: str) -> Outcome | Refusal:
    return readings.take_reading(shop, by, air_c=draw.randint(5, 30), rh_pct=55.0)


def _undo(shop: Shop, _: Random, by: str) -> Outcome | Refusal:
    return undo.undo(shop, by)


DEEDS: tuple[Deed, ...] = (
    *(_go_on,) * 6,
    *(_place, _hold, _rework, _move, _mix, _bin, _read, _undo),
)


def any_deed(shop: Shop, draw: Random) -> Outcome | Refusal:
    """One of them, by one of the painters."""
    return draw.choice(DEEDS)(shop, draw, draw.choice(PAINTERS))
