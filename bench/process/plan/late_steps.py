"""What a late step pushes, and what planning again moves."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from bench.process.ahead.attendance import Stay, stays
from bench.process.clocks.temperature import LOOK_AHEAD_DAYS, Hours
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.day_page import LATE_AFTER
from bench.process.wording.time_text import format_clock, format_duration

if TYPE_CHECKING:
    from bench.process.plan.promises import Promises

MOST_TOLD = 3
"""So many pushed steps are named, the others counted."""


@dataclass(frozen=True)
class Pushed:
    """A step that comes later than planned. misses: then its window is closed."""

    step: AgreedStep
    begins: datetime
    misses: bool


@dataclass(frozen=True)
class Moved:
    """A step that another plan begins at another hour. begins: None where it is not in it."""

    step: AgreedStep
    begins: datetime | None


def late_steps(plan: WorkPlan, in_hand: Collection[str], now: datetime) -> tuple[AgreedStep, ...]:
    """Return the steps that should have begun and did not, the latest first: one of each part.

    in_hand: the tags of parts of which a step is begun.
    """
    firsts = {step.tag: step for step in reversed(plan.steps) if step.tag not in in_hand}
    late = [step for step in firsts.values() if step.starts < now - LATE_AFTER]
    return tuple(sorted(late, key=lambda step: step.starts))


def pushes(plan: WorkPlan, step: AgreedStep, now: datetime) -> tuple[Pushed, ...]:
    """Return what comes later where a step begins only now, in the order in which it begins.

    The part's own next steps move by as much, since what lies between them is drying. What the same
    painters do next, and what shares its pot, moves where it would overlap.
    """
    moved = {_key(step): max(now - step.starts, timedelta(0))}
    pushed = []
    for later in sorted(plan.steps, key=lambda each: each.starts):
        if _key(later) in moved or later.starts < step.starts:
            continue
        delay = max(_delays(plan, later, moved), default=timedelta(0))
        if delay > timedelta(0):
            moved[_key(later)] = delay
            begins = later.begins + delay
            misses = later.closes is not None and begins >= later.closes
            pushed.append(Pushed(later, begins, misses))
    return tuple(pushed)


def slipped(plan: WorkPlan, late: Iterable[AgreedStep], now: datetime, hours: Hours) -> WorkPlan:
    """Return a plan as it stands with steps that begin only now, and with all that they push.

    What is pushed beyond the hours with somebody in is done when somebody is in again.
    """
    there = None if hours.always_in else stays(hours, now, LOOK_AHEAD_DAYS)
    for step in late:
        begins = {_key(step): step.begins + max(now - step.starts, timedelta(0))}
        begins |= {_key(each.step): each.begins for each in pushes(plan, step, now)}
        steps = (_begun(each, begins.get(_key(each), each.begins), there) for each in plan.steps)
        plan = replace(plan, steps=tuple(steps))
    return plan


def _begun(step: AgreedStep, begins: datetime, there: Sequence[Stay] | None) -> AgreedStep:
    """Return a step as it is begun later. there: when somebody is in, None for always."""
    if begins == step.begins:
        return step
    length = step.ends - step.begins
    free = (max(begins, a) for a, b in there or () if max(begins, a) + length <= b)
    begins = next(free, begins)
    later = begins - step.begins
    mixes, abrading = step.mixes_at, step.abrading_from
    return replace(
        step,
        begins=begins,
        ends=begins + length,
        mixes_at=mixes and mixes + later,
        abrading_from=abrading and abrading + later,
        moved_at=step.moved_at and max(step.moved_at, begins + length),
    )


def _delays(
    plan: WorkPlan, later: AgreedStep, moved: dict[tuple[str, int, int], timedelta]
) -> Iterator[timedelta]:
    for earlier in plan.steps:
        delay = moved.get(_key(earlier))
        if delay is None or earlier.starts > later.starts:
            continue
        if earlier.tag == later.tag:
            yield delay
        shares_pot = later.pot is not None and later.pot == earlier.pot
        if shares_pot or {*earlier.painters} & {*later.painters}:
            yield earlier.ends + delay - later.starts


def _key(step: AgreedStep) -> tuple[str, int, int]:
    return step.tag, step.number, step.share[0]


def late_words(
    plan: WorkPlan, step: AgreedStep, now: datetime, promises: Promises | None = None
) -> str:
    """Say how late a step is, what it pushes, and which promises are then not kept any more.

    now: in the shop's zone; promises: None where nobody knows what is promised.
    """
    late = format_duration((now - step.starts).total_seconds())
    words = f"tag {step.tag} {step.name} is {late} late"
    pushed = pushes(plan, step, now)
    broken = _broken_words(plan, step, now, promises) if promises is not None else ""
    if not pushed:
        return f"{words}: nothing else moves{broken}"
    first = sorted(pushed, key=lambda each: not each.misses)[:MOST_TOLD]
    told = ", ".join(_pushed_words(each, now) for each in first)
    more = f" and {len(pushed) - len(first)} more" if len(pushed) > len(first) else ""
    return f"{words}: pushes {told}{more}{broken}. Plan again"


def _broken_words(plan: WorkPlan, step: AgreedStep, now: datetime, promises: Promises) -> str:
    """Name the promises that the plan keeps, and does not keep with a step begun only now."""
    before = {each.tag: each.days for each in promises.of(plan)}
    after = promises.of(slipped(plan, [step], now, promises.grid.hours))
    broken = [each.words for each in after if each.days < 0 <= before.get(each.tag, -1)]
    return f". PROMISE BROKEN: {'; '.join(broken)}" if broken else ""


def _pushed_words(pushed: Pushed, now: datetime) -> str:
    misses = ", MISSES ITS WINDOW" if pushed.misses else ""
    to = format_clock(pushed.begins, now)
    return f"tag {pushed.step.tag} {pushed.step.name} to {to}{misses}"


def moves(agreed: WorkPlan | None, plan: WorkPlan) -> tuple[Moved, ...]:
    """Return the steps of the agreed plan that another one moves, in their order there."""
    begins = {_key(step): step.begins for step in plan.steps}
    steps = agreed.steps if agreed is not None else ()
    return tuple(
        Moved(step, begins.get(_key(step)))
        for step in steps
        if begins.get(_key(step)) != step.begins
    )


def move_words(moved: Moved, now: datetime) -> str:
    """Say what moves from when to when. now: in the shop's zone."""
    step = moved.step
    words = f"tag {step.tag} {step.name}: {format_clock(step.begins, now)}"
    if moved.begins is None:
        return f"{words} is no longer planned"
    return f"{words} -> {format_clock(moved.begins, now)}"
