"""What somebody read off a thermometer."""

from __future__ import annotations

from datetime import datetime

from bench.process.refusal import Refusal
from bench.shop.acting import Done, Shop
from bench.store.tables import ReadingRow

COLDEST_C, WARMEST_C = -30.0, 50.0
"""Outside these a thermometer was misread or the sun was on it (common practice, no source)."""


def take_reading(
    shop: Shop,
    by: str,
    *,
    air_c: float,
    rh_pct: float | None = None,
    metal_c: float | None = None,
    at: datetime | None = None,
) -> Done | Refusal:
    """Write down air temperature, and humidity and metal temperature where they were read."""
    for what, value in (("air", air_c), ("metal", metal_c)):
        if value is not None and not COLDEST_C <= value <= WARMEST_C:
            return Refusal(
                f"{what} {value:g} C", "", f"from {COLDEST_C:g} to {WARMEST_C:g} C; read it again"
            )
    if rh_pct is not None and not 0 < rh_pct <= 100:
        return Refusal(f"humidity {rh_pct:g} %", "", "over 0, up to 100 %")
    with shop.act("reading", by) as act:
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        act.session.add(
            ReadingRow(at=when, air_c=air_c, rh_pct=rh_pct, metal_c=metal_c, painter=painter)
        )
        told = f"air {air_c:g} C"
        told += f", {rh_pct:g} %" if rh_pct is not None else ""
        told += f", metal {metal_c:g} C" if metal_c is not None else ""
        return act.done("", f"reading {act.hour(when)}: {told}")
