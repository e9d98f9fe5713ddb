"""The plan as a page: what each painter begins when, day by day, and by when at the latest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.day_page import hours_of, hours_told
from bench.process.plan.drafting import Draft
from bench.process.plan.late_steps import Moved, move_words, moves
from bench.process.plan.plan_words import count_words, proof_words, worth_words
from bench.process.plan.promises import Promised
from bench.process.wording.time_text import doubt_mark, format_clock
from bench.records.blocks import Block, Heading, Page, Say, Table, Title
from bench.records.lanes_picture import LanesPicture
from bench.records.record_text import hour
from bench.shop.core.bench_view import BenchView
from bench.shop.plan.step_needs import day_lanes


@dataclass(frozen=True)
class WrittenPlan:
    """A plan that is written out, and the bench it is of.

    now: in the shop's zone. draft: where it is not agreed yet; note: why that is not proven.
    """

    plan: WorkPlan
    view: BenchView
    now: datetime
    draft: Draft | None = None
    note: str = ""

    @property
    def title(self) -> str:
        """Say what it is, for the foot of each sheet of paper."""
        kind = "Plan" if self.draft is None else "Plan not agreed yet"
        return f"{kind}, written {hour(self.now)}"

    @property
    def promised(self) -> tuple[Promised, ...]:
        """How the promised parts stand by it."""
        return self.view.promised(self.now) if self.draft is None else self.draft.promised

    @property
    def moved(self) -> tuple[Moved, ...]:
        """What it moves of the agreed plan."""
        return moves(self.view.plan, self.plan)


def plan_blocks(written: WrittenPlan) -> Page:
    """Write a plan as a page: what it is worth, then day by day its lanes and its steps."""
    return tuple(_blocks(written))


def _blocks(written: WrittenPlan) -> Iterator[Block]:
    plan, view, zone = written.plan, written.view, written.now.tzinfo
    yield Title(
        "PLAN" if written.draft is None else "PLAN NOT AGREED YET", f"written {hour(written.now)}"
    )
    yield from (Say(f"{words}.", late) for words, late in _said(written))
    steps = sorted(plan.steps, key=lambda step: (step.starts, step.tag))
    for day, of_day in groupby(steps, key=lambda step: step.starts.astimezone(zone).date()):
        yield Heading(f"{day:%a %d %b %Y}")
        shown = hours_of(day, view.house.hours, plan)
        yield LanesPicture(shown, day_lanes(view, plan, shown))
        rows = tuple(_row(step, written.now) for step in of_day)
        yield Table(("Begin", "Until", "Who", "Tag", "Step", "Latest"), (6, 6, 12, 6, 28, 16), rows)
    yield Say("? where nobody typed or learned how long a step takes. Mix so that you begin then.")
    yield Say("A plan permits nothing: masks, data sheets and tests decide when you begin.")


def _said(written: WrittenPlan) -> Iterator[tuple[str, bool]]:
    """Yield what is said of it, and whether that must not be overlooked."""
    yield f"Planned {hour(written.plan.made_at.astimezone(written.now.tzinfo))}", False
    draft = written.draft
    if draft is None:
        yield proof_words(written.plan), False
        yield from ((task.text, True) for task in written.view.late(written.now))
    else:
        yield from ((words, False) for words in (*worth_words(draft), written.note) if words)
    yield from ((each.words, each.days < 0) for each in written.promised)
    if draft is not None:
        yield from ((move_words(each, written.now), False) for each in written.moved)
        yield from ((f"Not planned: tag {e.tag}: {e.reason}", False) for e in draft.left_out)
        assumed = count_words(len(draft.assumed), "figure")
        yield f"{assumed} that nobody typed (?)".capitalize(), False


def _row(step: AgreedStep, now: datetime) -> tuple[str, ...]:
    zone = now.tzinfo
    begins = step.begins.astimezone(zone)
    before = "".join(f", {told}" for told in hours_told(step, begins))
    share = f" {step.share[0]}/{step.share[1]}" if step.share[1] > 1 else ""
    return (
        f"{begins:%H:%M}",
        f"{step.ends.astimezone(zone):%H:%M}{doubt_mark(step.doubt)}",
        " ".join(step.painters) or "-",
        step.tag,
        f"{step.name}{share}{before}",
        format_clock(step.closes, begins) if step.closes else "",
    )
