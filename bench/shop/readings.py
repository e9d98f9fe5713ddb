"""What somebody read off a thermometer, or what a probe said."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.refusal import Refusal
from bench.process.setting_list import COLDEST_C, WARMEST_C
from bench.shop.acting import Act, Done, Shop
from bench.store import finding
from bench.store.tables import PROBE, ReadingRow


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
    for what, value in (("air", air_c), ("metal", metal_c), ("humidity", rh_pct)):
        if value is not None and (refused := unlikely(what, value)):
            return refused
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


def unlikely(what: str, value: float) -> Refusal | None:
    """Return why a figure of a reading cannot be. what: its name; value: C, of humidity %."""
    if what == "humidity":
        fits = 0 < value <= 100
        return None if fits else Refusal(f"humidity {value:g} %", "", "over 0, up to 100 %")
    if COLDEST_C <= value <= WARMEST_C:
        return None
    right = f"from {COLDEST_C:g} to {WARMEST_C:g} C; read it again"
    return Refusal(f"{what} {value:g} C", "", right)


def _lately(act: Act, by: str, within: timedelta) -> bool:
    last = finding.last_reading_by(act.session, by)
    return last is not None and act.now - last.at < within
