"""When a part could be ready, why one cannot be, and what may go wrong: asked of a built plan."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from random import Random

from bench.process.plan.built import BuiltPlan
from bench.process.plan.figures import PlanInputs
from bench.process.plan.grid import slots_of
from bench.process.plan.problem import SLOT_MIN, Schedule, span
from bench.process.plan.risk import chances
from bench.process.plan.when import earliest
from bench.process.plan.why import Reason, Relief, why
from bench.process.wording.time_text import format_clock

NIGHT_SPREAD = 0.15
"""Of the logarithm of the time until a window opens or closes (house rule; common practice, no
source): nights as they usually differ from those the plan counts on."""


@dataclass(frozen=True)
class CanBeReady:
    """By when new parts could be ready. moved: steps of others that begin at another hour."""

    ready: date
    last_step_ends: datetime
    moved: int = 0


@dataclass(frozen=True)
class WhenAnswer:
    """The earliest days of new parts: as the plan is, and with moves that break no promise.

    reason: why one of them is in no plan at all, else empty.
    """

    beside: CanBeReady | None
    with_moves: CanBeReady | None
    reason: str = ""


def when_of(
    builts: Iterable[tuple[str, BuiltPlan]], planned: Schedule, random: Random
) -> WhenAnswer:
    """Say when some new parts could all be ready beside what is planned.

    builts: each new part's tag, and the question with it and those before it, at their ends;
    planned: without any of them.
    """
    beside: Schedule | None = planned
    moved: Schedule | None = planned
    tags: list[str] = []
    for tag, built in builts:
        tags.append(tag)
        piece = next((n for n, p in enumerate(built.problem.pieces) if p.key == tag), None)
        if piece is None:
            left = (each.reason for each in built.left_out if each.tag == tag)
            return WhenAnswer(None, None, next(left, "it has no step to do"))
        beside = _with_piece(built, beside, piece, None)
        moved = _with_piece(built, moved, piece, random)
    alone, others = (_can_be_ready(built, tags, planned, each) for each in (beside, moved))
    # Of several, a later one may have pushed an earlier: then nothing was won.
    is_sooner = others is not None and (alone is None or others.ready < alone.ready)
    return WhenAnswer(alone, others if is_sooner else alone)


def _with_piece(
    built: BuiltPlan, planned: Schedule | None, piece: int, random: Random | None
) -> Schedule | None:
    """Put one more in, None where it cannot be. random: where others may be moved for it."""
    if planned is None:
        return None
    more = len(built.problem.tasks) - len(planned.placed)
    whole = Schedule((*planned.placed, *[None] * more))
    found = earliest(built.problem, whole, piece, random is not None, random)
    return found.schedule if found is not None else None


def _can_be_ready(
    built: BuiltPlan, tags: Collection[str], before: Schedule, after: Schedule | None
) -> CanBeReady | None:
    """Return when the last of some parts is ready, and how many steps were moved for it."""
    if after is None:
        return None
    tasks, ends, days = built.problem.tasks, [], []
    for piece in built.problem.pieces:
        placed = after.placed[piece.tasks[-1]]
        if piece.key in tags and placed is not None:
            ends.append(span(tasks[piece.tasks[-1]], placed)[1])
            days.append(piece.done_day[ends[-1]])
    pairs = zip(before.placed, after.placed, strict=False)
    moved = sum(a is not None and b is not None and a.start != b.start for a, b in pairs)
    return CanBeReady(built.grid.shop_date(max(days)), built.grid.at(max(ends)), moved)


def when_words(answer: WhenAnswer, now: datetime) -> tuple[str, ...]:
    """Say when new parts could be ready. now: in the shop's zone."""
    if answer.reason:
        return (f"It is in no plan: {answer.reason}",)
    if answer.with_moves is None:
        return ("Not within the days that are planned",)
    words = []
    if answer.beside is None:
        words.append("Not without moving others")
    else:
        words.append(f"{_ready_words(answer.beside, now)}, and nothing else moves")
    moved = answer.with_moves
    if moved.moved and (answer.beside is None or moved.ready < answer.beside.ready):
        steps = f"{moved.moved} step{'s' * (moved.moved != 1)}"
        words.append(f"{_ready_words(moved, now)} if {steps} of others move; no promise is broken")
    return tuple(words)


def _ready_words(can: CanBeReady, now: datetime) -> str:
    return f"Ready {can.ready:%a %d %b}, last coat {format_clock(can.last_step_ends, now)}"


@dataclass(frozen=True)
class WhyAnswer:
    """Why a part cannot be ready on a day, in words; empty where it can. reliefs: what would do."""

    reasons: tuple[str, ...]
    reliefs: tuple[str, ...]
    is_proven: bool


ALONE = "work and drying take longer, even with the bench to itself"


def why_of(built: BuiltPlan, tag: str) -> WhyAnswer:
    """Say why a part cannot be ready on the day its job is promised for."""
    piece = next((n for n, p in enumerate(built.problem.pieces) if p.key == tag), None)
    if piece is None:
        left = (each.reason for each in built.left_out if each.tag == tag)
        return WhyAnswer((next(left, "it has no step to do"),), (), True)
    found = why(built.problem, [piece])
    # That it is wanted by that day is the question, and no reason.
    others = [reason for reason in found.reasons if reason != Reason("promise", piece)]
    reasons = tuple(_reason_words(built, reason) for reason in others)
    return WhyAnswer(
        reasons or (ALONE,) * bool(found.reasons),
        tuple(_relief_words(built, relief) for relief in found.reliefs),
        found.is_proven,
    )


def _reason_words(built: BuiltPlan, reason: Reason) -> str:
    problem = built.problem
    if reason.kind == "resource":
        resource = problem.resources[reason.which]
        return f"only {max(resource.capacity)} x {resource.key}"
    if reason.kind == "day":
        limit = problem.day_limits[reason.which]
        hours = limit.most * SLOT_MIN / 60
        return f"{built.grid.day_of(limit.since):%a %d %b} is planned full: {hours:.1f} h of work"
    if reason.kind == "promise":
        piece = problem.pieces[reason.which]
        day = built.grid.shop_date(piece.promised_day or 0)
        return f"tag {piece.key} has to be ready by {day:%a %d %b}"
    task = built.tasks[reason.which]
    return f"tag {task.tag} {task.steps[0].name}: no hour in which it can begin"


def _relief_words(built: BuiltPlan, relief: Relief) -> str:
    reason, by = relief.reason, relief.by
    problem = built.problem
    if reason.kind == "resource":
        return f"possible with {by} more: {problem.resources[reason.which].key}"
    if reason.kind == "day":
        day = built.grid.day_of(problem.day_limits[reason.which].since)
        return f"possible if {day:%a %d %b} is planned {by * SLOT_MIN} min fuller"
    days = f"{by} shop day{'s' * (by != 1)}"
    return f"possible if tag {problem.pieces[reason.which].key} is promised {days} later"


def why_words(answer: WhyAnswer, tag: str, day: date) -> Iterator[str]:
    """Say why a part cannot be ready by a day, and what would do."""
    if not answer.reasons:
        known = "It can be: plan again" if answer.is_proven else "No reason was found: plan again"
        yield f"tag {tag} by {day:%a %d %b}: {known}"
        return
    not_possible = f"tag {tag} by {day:%a %d %b} is not possible"
    if len(answer.reasons) == 1:
        yield f"{not_possible}: {answer.reasons[0]}"
    else:
        yield f"{not_possible} with all of these together:"
        yield from (f"  {words}" for words in answer.reasons)
    yield from answer.reliefs
    if not answer.is_proven:
        yield "Not proven: the bench's own planner did not find a way"


@dataclass(frozen=True)
class StepRisk:
    """How likely it is, 0 to 1, that a step begins after its window closed."""

    tag: str
    name: str
    missed: float


@dataclass(frozen=True)
class RiskAnswer:
    """How likely it is that any window is missed; the steps, the worst first."""

    missed: float
    steps: tuple[StepRisk, ...]


def risk_of(built: BuiltPlan, inputs: PlanInputs, schedule: Schedule, random: Random) -> RiskAnswer:
    """Live through a plan many times, and count the windows that are missed."""
    parts = {part.tag: part for part in inputs.parts}
    spreads = []
    for task in built.tasks:
        part = parts[task.tag]
        records = {record.number: record for record in part.steps}
        spreads.append(
            max(inputs.length_of(part, records[step.number]).spread for step in task.steps)
        )
    closings = [until for _, (_, until) in built.grid.days]
    found = chances(
        *(built.problem, schedule, random, spreads, NIGHT_SPREAD, closings),
        slack=slots_of(inputs.shop.slack_min),
    )
    steps = tuple(
        StepRisk(built.tasks[each.task].tag, built.tasks[each.task].steps[0].name, each.missed)
        for each in found.by_task
    )
    return RiskAnswer(found.missed, steps)


def risk_words(answer: RiskAnswer) -> Iterator[str]:
    """Say how likely it is that a window is missed, by step, the worst first."""
    if not answer.missed:
        yield "No window is missed in any of 500 tries with other luck"
        return
    yield f"Some window is missed in {_of_100(answer.missed)} tries with other luck:"
    for step in answer.steps:
        yield f"  tag {step.tag} {step.name}: {_of_100(step.missed)}"


def _of_100(share: float) -> str:
    return f"{share * 100:.0f} of 100" if share >= 0.01 else "less than 1 of 100"
