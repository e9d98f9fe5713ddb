"""What of long ago a step of the clock still moves."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.shop.clock.clock_step import shift
from bench.shop.core.transaction import Shop
from bench.store.schema.tables import PartRow, StepRow, TinRow
from tests.conftest import MONDAY

HOUR = timedelta(hours=1)


@pytest.mark.parametrize(("ago", "moves"), [(timedelta(days=2), True), (49 * HOUR, False)])
def test_a_coat_of_a_part_that_left_and_an_empty_tin_move_for_two_days(
    shop: Shop, ago: timedelta, moves: bool
) -> None:
    at = MONDAY - ago
    with shop.store.writing() as session:
        part = PartRow(
            tag="x", name="x", count=1, substrate="steel", shape="frame", route="zinc-new"
        )
        part.away = True
        session.add(part)
        session.flush()
        assert part.id is not None
        coat = StepRow(
            part_id=part.id,
            number=1,
            plan={"name": "x", "kind": "coat"},
            status="done",
            sprayed=True,
        )
        coat.first_at = coat.last_at = at
        tin = TinRow(product="gloss", size_ml=500, left_ml=0, came_at=at, empty_at=at)
        session.add_all([coat, tin])
        session.flush()
        shift(session, HOUR, 0, MONDAY, everything=True)
        new = at + HOUR if moves else at
        assert (coat.first_at, tin.empty_at) == (new, new)
