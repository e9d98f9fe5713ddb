"""The agreed plan as events to come: when each step begins, and by when at the latest."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import datetime

from bench.process.ahead.upcoming import UpcomingEvent
from bench.process.clocks.edges import Edge
from bench.process.plan.agreed import WorkPlan
from bench.process.wording.time_text import format_clock


def plan_events(
    plan: WorkPlan | None, in_hand: Collection[str], now: datetime
) -> Iterator[UpcomingEvent]:
    """Yield the begin of each step that is still to come.

    in_hand: the tags of parts of which a step is begun; now: in the shop's zone.
    """
    begun: set[str] = {*in_hand}
    for step in plan.steps if plan is not None else ():
        if step.tag in begun:
            begun.discard(step.tag)
            continue
        if step.starts <= now or step.share[0] > 1:
            continue
        who = f"{' and '.join(step.painters)}: " if step.painters else ""
        begins = format_clock(step.begins, now)
        mix = f"mix {format_clock(step.mixes_at, now)}; " if step.mixes_at is not None else ""
        closes = f"; at the latest {format_clock(step.closes, now)}" if step.closes else ""
        yield UpcomingEvent(
            f"{step.tag}/{step.number}/plan",
            "begin",
            Edge(step.starts, "closing", unconfirmed=step.doubt),
            f"tag {step.tag}: begin {step.name}",
            f"{who}{mix}begin {begins}{closes}",
        )
