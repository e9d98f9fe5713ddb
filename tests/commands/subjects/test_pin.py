"""A PIN on the command line."""

from __future__ import annotations

import io

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.parts import placement

from ..running import Paintbench, over_all


def test_a_pin_comes_by_standard_input_and_signs_by_the_environment(
    paintbench: Paintbench, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("4711\n"))
    ran = paintbench("pin", "--by", "Kit")
    assert (ran.code, ran.out) == (0, "Kit has a new PIN\n")
    placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket")
    paintbench("skip", "1", "--reason", "already done", "--by", "Kit")
    paintbench("skip", "1", "--reason", "already done", "--by", "Kit")
    ran = over_all(paintbench, "begin", "1", "--by", "Kit")
    assert (ran.code, ran.err) == (1, "Kit has a PIN: sign with it\n")
    ran = over_all(paintbench, "begin", "1", "--by", "Kit", PAINTBENCH_PIN="4711")
    assert (ran.code, ran.err) == (0, "")
