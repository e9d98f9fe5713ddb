"""Lots on the command line."""

from __future__ import annotations

from bench.shop.core.transaction import Shop
from bench.shop.parts import placement

from ..running import Paintbench


def test_a_lot_is_split_counted_and_merged(paintbench: Paintbench, shop: Shop) -> None:
    placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket", count=14)
    ran = paintbench("split", "1", "--count", "2", "--to", "3", "--by", "Mo")
    assert (ran.code, ran.out) == (
        0,
        "tag 1 Bracket split by Mo: 12 stay, 2 are tag 1b on stand 3\n",
    )
    ran = paintbench("count", "--tag", "1b", "--bungs-in", "4", "--bungs-out", "4", "--by", "Mo")
    assert (ran.code, ran.err) == (0, "")
    assert "bungs 4 in, 4 out" in ran.out
    ran = paintbench("merge", "1", "--with", "1b", "--by", "Kit")
    assert (ran.code, ran.err) == (0, "")
    assert paintbench("check").code == 0
    ran = paintbench("split", "1", "--count", "15", "--by", "Mo")
    assert (ran.code, ran.err) == (1, "15 of a lot of 14: from 1 to 13\n")
