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
    from bench.process.plan.promises import Promised, Promises

BROKEN = "PROMISE BROKEN"

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

    The part's own next steps move by as much, since what lies between them is drying; so does the
    window of each, which its coat below opens. What the same painters do next, and what shares its
    pot, moves where it would overlap.
    """
    return _pushed(plan, step, _delayed(plan, step, now))


def pushes_in_hours(
    plan: WorkPlan, step: AgreedStep, now: datetime, hours: Hours
) -> tuple[Pushed, ...]:
    """Return the same, with what is pushed beyond the shop's hours done when somebody is in."""
    after = slipped(plan, [step], now, hours)
    pairs = zip(plan.steps, after.steps, strict=True)
    moved = {_key(was): each.begins - was.begins for was, each in pairs if each != was}
    return _pushed(plan, step, moved)


Delays = dict[tuple[str, int, int], timedelta]
"""How much later each step begins, by its tag, number and share."""


def _delayed(plan: WorkPlan, step: AgreedStep, now: datetime) -> Delays:
    moved = {_key(step): max(now - step.starts, timedelta(0))}
    for later in sorted(plan.steps, key=lambda each: each.starts):
        if _key(later) in moved or later.starts < step.starts:
            continue
        delay = max(_delays(plan, later, moved), default=timedelta(0))
        if delay > timedelta(0):
            moved[_key(later)] = delay
    return moved


def _pushed(plan: WorkPlan, late: AgreedStep, moved: Delays) -> tuple[Pushed, ...]:
    pushed = []
    below: dict[str, timedelta] = {}
    for step in sorted(plan.steps, key=lambda each: each.starts):
        delay = moved.get(_key(step), timedelta(0))
        closes = step.closes and step.closes + below.get(step.tag, timedelta(0))
        below[step.tag] = delay
        if delay > timedelta(0) and _key(step) != _key(late):
            begins = step.begins + delay
            pushed.append(Pushed(step, begins, misses=closes is not None and begins >= closes))
    return tuple(pushed)


def slipped(plan: WorkPlan, late: Iterable[AgreedStep], now: datetime, hours: Hours) -> WorkPlan:
    """Return a plan as it stands with steps that begin only now, and with all that they push.

    What is pushed beyond the hours with somebody in is done when somebody is in again.
    """
    there = None if hours.always_in else stays(hours, now, LOOK_AHEAD_DAYS)
    for step in late:
        moved = _delayed(plan, step, now)
        delays = (moved.get(_key(each), timedelta(0)) for each in plan.steps)
        pairs = zip(plan.steps, delays, strict=True)
        steps = (_begun(each, each.begins + delay, there) for each, delay in pairs)
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


def _delays(plan: WorkPlan, later: AgreedStep, moved: Delays) -> Iterator[timedelta]:
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
    """Say which promises a late step breaks, how late it is, and what it pushes: the worst first.

    now: in the shop's zone; promises: None where nobody knows what is promised.
    """
    late = format_duration((now - step.starts).total_seconds())
    broken = _broken_words(plan, step, now, promises) if promises is not None else ""
    words = f"{broken}tag {step.tag} {step.name} is {late} late"
    if promises is None:
        pushed = pushes(plan, step, now)
    else:
        pushed = pushes_in_hours(plan, step, now, promises.grid.hours)
    if not pushed:
        return f"{words}: nothing else moves"
    first = sorted(pushed, key=lambda each: not each.misses)[:MOST_TOLD]
    told = ", ".join(_pushed_words(each, now) for each in first)
    more = f" and {len(pushed) - len(first)} more" if len(pushed) > len(first) else ""
    return f"{words}: pushes {told}{more}. Plan again"


def _broken_words(plan: WorkPlan, step: AgreedStep, now: datetime, promises: Promises) -> str:
    """Name the promises that the plan keeps, and does not keep with a step begun only now."""
    before = {each.tag: each.days for each in promises.of(plan)}
    after = promises.of(slipped(plan, [step], now, promises.grid.hours))
    broken = [each for each in after if each.days < 0 <= before.get(each.tag, -1)]
    return f"{BROKEN}: {', '.join(broken_words(each) for each in broken)}: " if broken else ""


def broken_words(promised: Promised) -> str:
    """Say shortly how a promise is broken: "tag 2 ready Fri 20 Jun, not Thu 19 Jun"."""
    return f"tag {promised.tag} ready {promised.ready:%a %d %b}, not {promised.promised:%a %d %b}"


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
