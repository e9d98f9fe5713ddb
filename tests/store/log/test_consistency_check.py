"""Whether the data is whole: what is found in the file itself."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.parts import placement
from tests.shop.doing import done


@pytest.mark.sqlite
def test_a_row_that_points_at_what_is_not_there_is_named(shop: Shop, data: Path) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    assert check(shop).faults == ()
    with closing(sqlite3.connect(data)) as other, other:
        other.execute("UPDATE step SET part_id = 99 WHERE id = 1")
    assert check(shop).faults[0] == "step row 1 points at a part that is not there"
