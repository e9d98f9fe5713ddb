"""A part's page: what could hurt stays whole, no key is named that is refused, and it uses the room."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.process.actions.next_action import action_line, next_action
from bench.process.refusals import rules
from bench.process.refusals.refusal import Refusal
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.parts import steps, testing
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from bench.widgets.digits import TALL, TALL_WIDE, big
from bench.widgets.stand import number_of
from tests.shop.doing import done

from ..driving import WEDNESDAY, at_the_bench
from ..invariants import holds


@pytest.fixture
def demo(demo_file: Path, tmp_path: Path) -> Iterator[Shop]:
    """A demo shop of the test's own, to do something in."""
    copy = shutil.copy(demo_file, tmp_path / "demo.db")
    shop = Shop(open_store(str(copy)), ManualClock(WEDNESDAY), "demo")
    yield shop
    shop.store.close()


async def test_a_long_row_of_opinions_makes_room_for_what_could_hurt(demo: Shop) -> None:
    clock = demo.clock.computer
    assert isinstance(clock, ManualClock)
    for by in ("Una", "Bo", "Una", "Bo"):
        done(testing.put_test_off(demo, "10", by, minutes=1))
        clock.advance(minutes=1)
    async with at_the_bench(demo, clock, demo=True) as hands:
        await hands.answer_all()
        await hands.press("1 0 enter")
        picture = hands.picture()
        assert " 3 not yet" in picture
        assert ": not yet" in picture
        holds(hands)


def test_no_start_is_named_that_would_be_refused_as_too_soon_or_too_late(demo: Shop) -> None:
    view, now = bench_view.read_bench(demo), demo.clock.now()
    named = []
    for stand, placed in view.stands:
        if placed is None:
            continue
        state = placed.state(now)
        action = next_action(placed.part, state)
        if "start" not in action_line(action, placed.part, state, now):
            continue
        answer = steps.begin(demo, stand, "Una")
        named.append(stand)
        met = [answer, *answer.also] if isinstance(answer, Refusal) else []
        late = {rules.TOO_SOON.name, rules.WINDOW_MISSED.name} & {each.name for each in met}
        assert not late, (stand, answer)
    assert named


@pytest.mark.parametrize("size", [(100, 32), (132, 40)])
async def test_a_large_terminal_has_five_rows_of_figures_and_all_that_is_known_of_the_step(
    demo: Shop, size: tuple[int, int]
) -> None:
    clock = demo.clock.computer
    assert isinstance(clock, ManualClock)
    async with at_the_bench(demo, clock, size, demo=True) as hands:
        await hands.answer_all()
        await hands.press("1 4 enter")
        picture = hands.picture()
        rows = picture.splitlines()
        now, placed = hands.app.now(), hands.app.view.find("14")
        assert placed is not None
        number = number_of(placed.state(now), now)
        assert all(row.rstrip() in picture for row in big(number, TALL, TALL_WIDE))
        assert "FLASH" in rows[1]
        assert "spray: Aerosol" in picture, "that of the next coat, while it flashes"
        below = next(y for y, row in enumerate(rows) if "MASKS ON" in row)
        empty = sum(not row.strip() for row in rows[:below])
        assert empty <= size[1] // 4
        holds(hands)
