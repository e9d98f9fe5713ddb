"""Sheets and routes on the command line."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop

from ..running import Paintbench


def test_a_sheet_goes_out_as_text_is_changed_and_comes_back(
    paintbench: Paintbench, shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran = paintbench("product", "epoxy-primer")
    assert (ran.code, ran.err) == (0, "")
    file = tmp_path / "sheet.toml"
    file.write_text(ran.out.replace('"4 h"', '"3 h"').replace("placeholder", "sheet"))
    ran = paintbench("set-product", "epoxy-primer", str(file), "--by", "Kit")
    assert (ran.code, ran.out) == (
        0,
        "Epoxy primer 4:1: changed source, pot_life\n"
        "  still placeholders, with their ?: ratio, volume_solids, film, limits, band, "
        "opened_life, full_cure\n",
    )
    assert bench_view.read_bench(shop).products["epoxy-primer"].pot_life == ((20.0, 10800.0),)
    route = paintbench("route", "zinc-new").out.replace('most = "15 min"', 'most = "12 min"')
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(route.encode())))
    ran = paintbench("set-route", "zinc-new", "-", "--by", "Kit")
    assert (ran.code, ran.err) == (0, "")


def test_what_is_not_there_or_cannot_be_read_is_said(
    paintbench: Paintbench, tmp_path: Path
) -> None:
    assert "no product 'varnish'" in paintbench("product", "varnish").err
    ran = paintbench("set-product", "gloss", str(tmp_path / "none.toml"), "--by", "Kit")
    assert ran.code == 1
    assert "cannot be read" in ran.err
    (tmp_path / "odd.toml").write_bytes(b"\xff\xfe\x00name")
    ran = paintbench("set-product", "gloss", str(tmp_path / "odd.toml"), "--by", "Kit")
    assert "a UTF-8 text file" in ran.err
