"""The area of a part, where its shape's is not known or is not its own."""

from __future__ import annotations

from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_number
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target
from bench.trade.film import MOST_AREA_M2


def set_area(
    shop: Shop, target: Target, by: str, *, area_m2: float, sizes: str = ""
) -> Outcome | Refusal:
    """Write down the area of all faces of one piece, in m2, over 0 up to 10,000.

    It goes before the typical one of the part's shape. sizes: what it was worked out from.
    """

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        if refused := against_area(area_m2):
            return refused
        was = job.row.area_m2
        job.row.area_m2 = area_m2
        words = [f"each piece {format_number(area_m2)} m2"]
        words += [sizes] if sizes else []
        words += [f"was {format_number(was)} m2"] if was is not None else []
        return job.done(f": {', '.join(words)}, says {painter}")

    return act_on_part(shop, "area", target, by, work)


def against_area(area_m2: float) -> Refusal | None:
    """Say what is wrong with the area of a piece."""
    if not 0 < area_m2 <= MOST_AREA_M2:
        return Refusal(f"an area of {area_m2:g} m2", "", f"over 0, up to {MOST_AREA_M2:,.0f}")
    return None
