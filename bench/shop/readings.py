"""What somebody read off a thermometer, or what a probe said."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.refusal import Refusal
from bench.process.temperature import COLDEST_C, WARMEST_C
from bench.shop.acting import Act, Done, Shop
from bench.store import finding
from bench.store.tables import ReadingRow

PROBE = "probe"
"""Who wrote a reading down that nobody typed. No painter, and only readings bear it."""


def take_reading(
    shop: Shop,
    by: str,
    *,
    air_c: float,
    rh_pct: float | None = None,
    metal_c: float | None = None,
    at: datetime | None = None,
    not_within: timedelta | None = None,
) -> Done | Refusal:
    """Write down air temperature, and humidity and metal temperature where they were read.

    by: a painter, or PROBE. not_within: refused where the same one wrote a reading down so lately,
    on whatever terminal.
    """
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
        painter = PROBE if by == PROBE else act.painter()
        if isinstance(painter, Refusal):
            return painter
        if not_within is not None and _lately(act, painter, not_within):
            return Refusal("a reading was written down just now", "", "this one is not needed")
        act.session.add(
            ReadingRow(at=when, air_c=air_c, rh_pct=rh_pct, metal_c=metal_c, painter=painter)
        )
        told = f"air {air_c:g} C"
        told += f", {rh_pct:g} %" if rh_pct is not None else ""
        told += f", metal {metal_c:g} C" if metal_c is not None else ""
        return act.write(painter, "", f"reading {act.hour(when)}: {told}")


def _lately(act: Act, by: str, within: timedelta) -> bool:
    last = finding.last_reading_by(act.session, by)
    return last is not None and act.now - last.at < within
