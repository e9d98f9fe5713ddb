"""A part's history: its entries and the corrections that touch it, in the order of the log."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.parts import placement
from bench.shop.queries.log import history_of
from bench.store.log.journal import CORRECT
from bench.store.queries import bench_rows
from bench.store.schema.tables import JournalRow
from tests.conftest import MONDAY
from tests.shop.doing import done

pytestmark = pytest.mark.sqlite


def test_corrections_keep_the_order_of_the_log_though_the_clock_was_set_back(shop: Shop) -> None:
    """The second was written while the clock ran a month late: before everything that matters."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    with shop.store.writing() as session:
        for days, text in ((1, "first"), (-30, "second")):
            session.add(
                JournalRow(
                    at=MONDAY + timedelta(days=days),
                    action=CORRECT,
                    painter="Kit",
                    terminal="test",
                    tag="1",
                    text=text,
                )
            )
            session.flush()
        session.commit()
    with shop.store.reading() as session:
        part = bench_rows.part_tagged(session, "1")
        assert part is not None
        history = history_of(session, part, MONDAY - timedelta(days=7))
        assert [row.text for row in history.corrections] == ["first", "second"]
