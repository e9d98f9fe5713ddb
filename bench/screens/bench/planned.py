"""What the agreed plan says of one part, on its stand and on its page."""

from __future__ import annotations

from datetime import datetime

from bench.process.parts.part import Part
from bench.process.plan.day_page import planned_words
from bench.process.plan.late_steps import BROKEN, broken_words
from bench.shop.core.bench_view import BenchView


def planned(view: BenchView, part: Part, now: datetime, *, days: bool = False) -> str:
    """Say that its promise is broken, and when its next step is planned; of one in hand no hour.

    now: in the shop's zone. days: with the days that are missed and promised.
    """
    if view.plan is None:
        return ""
    late = [each for each in view.promised(now) if each.tag == part.tag and each.days < 0]
    broken = [f"{BROKEN}: {broken_words(each)}" if days else BROKEN for each in late]
    begins = "" if part.tag in view.in_hand() else planned_words(view.plan, part.tag, now)
    return " | ".join([*broken, begins] if begins else broken)
