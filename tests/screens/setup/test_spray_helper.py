"""The spray helper: nothing cut, whatever the size of the screen."""

from __future__ import annotations

import pytest

from bench.process.parts.spray_guidance import ORDER, SYMPTOM_PASSES
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.settings.settings_change import set_settings
from bench.testing import ManualClock

from ..driving import at_the_bench


@pytest.mark.parametrize("size", [(80, 24), (132, 40), (60, 20)])
async def test_every_tool_face_and_fault_is_shown_whole(
    shop: Shop, clock: ManualClock, size: tuple[int, int]
) -> None:
    seen = ""
    async with at_the_bench(shop, clock, size) as hands:
        await hands.pick("spray helper: set-up, faces, next pass")
        first = hands.picture()
        for _ in range(30):
            seen += hands.picture()
            await hands.press("enter")
            if hands.picture() == first:
                break
        assert hands.picture() == first, "it goes round"
        await hands.press("0")
        assert "stand" in hands.picture()
    words = " ".join(seen.split())
    view = bench_view.read_bench(shop)
    told = [tool.name for tool in view.tools.values()]
    told += [" ".join(shape.faces) for shape in view.shapes.values()]
    told += [text for pair in SYMPTOM_PASSES for text in pair] + list(ORDER)
    told += [text for tool in view.tools.values() for text in (tool.air, tool.tip) if text]
    for text in told:
        assert " ".join(text.split()) in words, text
    assert ".." not in seen, "nothing is cut"


async def test_the_distance_is_in_the_shops_own_unit(shop: Shop, clock: ManualClock) -> None:
    set_settings(shop, "Kit", units="in")
    async with at_the_bench(shop, clock) as hands:
        await hands.pick("spray helper: set-up, faces, next pass")
        # 15-30 cm are 5.91-11.8 in (2.54 cm an inch, exactly).
        assert "5.91-11.8 in off" in hands.picture()
