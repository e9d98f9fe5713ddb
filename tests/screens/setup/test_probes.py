"""Probes under the running program: read beside it, their faults in the air line, never a stop."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.settings.settings_change import set_settings
from bench.testing import ManualClock

from ..driving import Hands, at_the_bench


@pytest.fixture
def air(tmp_path: Path) -> Path:
    file = tmp_path / "temp1_input"
    file.write_text("18250\n", encoding="utf-8")
    return file


@pytest.fixture
def silent(tmp_path: Path) -> Iterator[Path]:
    """A pipe that nobody writes to: whoever opens it waits."""
    pipe = tmp_path / "w1_slave"
    os.mkfifo(pipe)
    yield pipe
    os.close(os.open(pipe, os.O_RDWR | os.O_NONBLOCK))


def probes(shop: Shop, **paths: Path) -> None:
    answer = set_settings(shop, "Kit", probe={what: str(path) for what, path in paths.items()})
    assert isinstance(answer, Outcome), answer


async def answered(hands: Hands, shop: Shop) -> None:
    """Wait until the threads have answered and a reading is written down."""

    def read() -> bool:
        hands.clock.advance(seconds=1)
        hands.app.tick()
        return bench_view.read_bench(shop).reading() is not None

    await hands.wait_until(read)


async def test_the_program_reads_its_probes_by_itself(
    shop: Shop, clock: ManualClock, air: Path
) -> None:
    probes(shop, air=air)
    async with at_the_bench(shop, clock) as hands:
        await answered(hands, shop)
        hands.app.tick()
        assert "air 18.25 C" in hands.picture()
        assert "probe:" not in hands.picture()


async def test_a_probe_that_hangs_stops_nothing_and_is_told_in_the_air_line(
    shop: Shop, clock: ManualClock, air: Path, silent: Path
) -> None:
    probes(shop, air=air, metal=silent)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(seconds=1)
        await hands.press("2 + 1 2")  # the keys go on while the pipe is waited for
        await hands.press("escape 0")
        await hands.let_pass(seconds=10)
        assert "metal probe: no answer, 1 min; air now 18.25 C" in hands.picture()
        await hands.press("/ 2")
        assert f"metal probe {silent}"[:60] in hands.picture().replace("\n", "")
        assert "see that it is plugged in" in " ".join(hands.picture().split())
        await hands.press("0")
        for _ in range(11 * 6):
            await hands.let_pass(seconds=10)
            await hands.pilot.pause()
        assert "metal probe: no answer, 12 min" in hands.picture()
        await answered(hands, shop)
        assert "air 18.25 C" in hands.picture()


async def test_a_fault_leaves_room_for_what_must_be_known(shop: Shop, clock: ManualClock) -> None:
    from bench.shop.environment.readings import take_reading

    probes(shop, air=Path("/nowhere/temp1_input"))
    answer = take_reading(shop, "Kit", air_c=18.5, rh_pct=95, metal_c=17.5)
    assert isinstance(answer, Outcome)
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(seconds=1)

        def told() -> bool:
            hands.app.tick()
            return "air probe: no such file or directory" in hands.picture()

        await hands.wait_until(told)
        line = next(row for row in hands.picture().splitlines() if "probe" in row)
        assert "STOP" in line
        assert len(line) <= 80


async def test_probes_set_while_it_runs_are_read_at_once(
    shop: Shop, clock: ManualClock, air: Path
) -> None:
    async with at_the_bench(shop, clock) as hands:
        await hands.let_pass(minutes=5)
        assert "no reading yet" in hands.picture()
        probes(shop, air=air)
        hands.app.tick()
        await answered(hands, shop)
