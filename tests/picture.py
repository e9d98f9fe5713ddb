"""The picture in the README: the demo shop on a Wednesday morning, drawn by Textual as SVG.

scripts/picture
"""

from __future__ import annotations

import asyncio
import os
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.seeds import seed_files
from bench.shop.seeds.demo import open_demo
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.screens.driving import at_the_bench

PICTURE = Path(__file__).resolve().parents[1] / "scripts" / "bench.svg"
WEDNESDAY = datetime(2025, 6, 11, 9, tzinfo=UTC)
SIZE = (100, 30)


async def drawn() -> str:
    """The bench of the demo as SVG, always the same."""
    os.environ["TZ"] = "UTC"
    time.tzset()
    with tempfile.TemporaryDirectory() as folder:
        shop = Shop(open_store(f"{folder}/demo.db"), ManualClock(WEDNESDAY), "demo")
        answer = open_demo(shop, seed_files.folder())
        if isinstance(answer, Refusal):
            raise SystemExit(str(answer))
        clock = shop.clock.computer
        assert isinstance(clock, ManualClock)
        async with at_the_bench(shop, clock, SIZE, demo=True) as hands:
            await hands.answer_all()
            picture = hands.app.export_screenshot(title="paintbench")
        shop.store.close()
    return picture


if __name__ == "__main__":
    PICTURE.write_text(asyncio.run(drawn()), encoding="utf-8")
    print(f"written: {PICTURE}")
