"""The plan as a page: what each painter begins when, day by day, and by when at the latest."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import groupby

from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.wording.time_text import doubt_mark
from bench.records.blocks import Block, Heading, Page, Say, Table, Title
from bench.records.record_text import hour


def plan_blocks(plan: WorkPlan, now: datetime, said: tuple[str, ...] = ()) -> Page:
    """Write a plan. now: in the shop's zone; said: what it is worth, and what it leaves out."""
    return tuple(_blocks(plan, now, said))


def _blocks(plan: WorkPlan, now: datetime, said: tuple[str, ...]) -> Iterator[Block]:
    yield Title("PLAN", f"planned {hour(plan.made_at.astimezone(now.tzinfo))}")
    yield from (Say(f"{words}.") for words in said)
    steps = sorted(plan.steps, key=lambda step: (step.starts, step.tag))
    for day, of_day in groupby(steps, key=lambda step: step.starts.astimezone(now.tzinfo).date()):
        yield Heading(f"{day:%a %d %b %Y}")
        rows = tuple(_row(step, now) for step in of_day)
        yield Table(("Begin", "Until", "Who", "Tag", "Step", "Latest"), (7, 6, 12, 6, 32, 14), rows)
    yield Say("? where nobody typed or learned how long a step takes. Mix so that you begin then.")


def _row(step: AgreedStep, now: datetime) -> tuple[str, ...]:
    zone = now.tzinfo
    before = ""
    if step.mixes_at is not None:
        before = f", mix {step.mixes_at.astimezone(zone):%H:%M}"
    if step.abrading_from is not None:
        before += f", abrade {step.abrading_from.astimezone(zone):%H:%M}"
    if step.open_pot:
        before += f", pot {step.open_pot}"
    share = f" {step.share[0]}/{step.share[1]}" if step.share[1] > 1 else ""
    return (
        f"{step.begins.astimezone(zone):%H:%M}",
        f"{step.ends.astimezone(zone):%H:%M}{doubt_mark(step.doubt)}",
        " ".join(step.painters) or "-",
        step.tag,
        f"{step.name}{share}{before}",
        f"{step.closes.astimezone(zone):%a %H:%M}" if step.closes is not None else "",
    )
