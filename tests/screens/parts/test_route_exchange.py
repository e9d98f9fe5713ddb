"""Another route for a part, by keypad: shown before it is agreed."""

from __future__ import annotations

from bench.shop.core.transaction import Shop
from bench.shop.parts import holds_and_rework, placement
from bench.testing import ManualClock
from tests.shop.doing import done, part

from ..driving import Said, at_the_bench


async def test_what_stays_and_what_is_to_do_is_shown_and_enter_agrees(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="axle"))
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    async with at_the_bench(shop, clock) as hands:
        await hands.press("1")
        await hands.pick("another route; what was done stays")
        await hands.play(
            ("2 3", "Tag 1 Axle: go on with Zinc cavities, wax?", "to do: Wash the inside; Rinse"),
            ("0", "which route?"),
            ("1 5", Said("on New galvanised the same steps are still to do..")),
            (
                "2 6",
                "done, stays: File the zinc spikes (skipped)",
                "to do: Degrease; Rinse and dry",
            ),
        )
        assert part(shop).steps[1].step.name == "Degrease and rinse", "nothing yet"
        await hands.press("enter")
    assert [record.step.name for record in part(shop).steps[:3]] == [
        *("File the zinc spikes", "Degrease", "Rinse and dry"),
    ]
