"""Check a corrected hour against what came before and after it, and against the window below."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Literal

from bench.process.clocks.edges import Edge, next_edge
from bench.process.clocks.part_clocks import Environment, clocks_after
from bench.process.clocks.stand_state import Clocks
from bench.process.parts.part import Mark, Part, StepRecord
from bench.process.refusals.refusal import Refusal

StepEdge = Literal["first", "last"]
EDGES: dict[StepEdge, str] = {"first": "first face", "last": "last face"}

CORRECT_REASONS = (
    "the key was pressed late",
    "the key was pressed for another part",
    "misread",
    "mistyped",
    "it was somebody else",
    "other",
)
"""Why what was written down is wrong."""

MINUTE = timedelta(minutes=1)

HourText = Callable[[datetime], str]
"""How the shop says an instant."""


def mark_name(record: StepRecord, typed: str) -> str:
    """Return a face's or zone's name as the step spells it; as it was typed where it has none."""
    folded = typed.strip().casefold()
    return next((m.name for m in record.marks if m.name.casefold() == folded), typed)


def edge_words(kind: str, edge: StepEdge, mark: str | None = None) -> str:
    """Return what painters call an edge of a step, or of one of its faces or zones."""
    if mark and kind == "dwell":
        return f"{mark} wet" if edge == "first" else f"{mark} rinsed"
    if mark:
        return f"{mark} ticked"
    if kind == "coat":
        return EDGES[edge]
    return "begun" if edge == "first" else "ended"


def edge_at(record: StepRecord, edge: StepEdge, mark: str | None = None) -> datetime | None:
    """Return when an edge of a step, or of its face or zone, was; None while it is to come."""
    if mark is None:
        return record.first_at if edge == "first" else record.last_at
    face = next(m for m in record.marks if m.name == mark)
    return face.begun_at if edge == "first" else face.done_at


def with_hour(
    part: Part,
    record: StepRecord,
    edge: StepEdge,
    at: datetime,
    tests: Iterable[datetime],
    hour_text: HourText,
    mark: str | None = None,
) -> StepRecord | Refusal:
    """Return the step with an edge at another hour, or why it cannot have been then.

    at: typed to the minute. tests: when painters tried this step. mark: an edge of this face (its
    tick) or zone (wetted, rinsed) alone.
    """
    if mark is not None and (refused := _no_edge(record, edge, mark)):
        return refused
    if edge_at(record, edge, mark) is None or record.step.kind == "cure":
        return _not_yet(record, edge, mark)
    when = between(at, *_neighbours(part, record, edge, tests, mark), hour_text)
    if isinstance(when, Refusal):
        return when
    if mark is None:
        return _move_edge(record, edge, when)
    return _move_mark(record, edge, when, mark)


def _no_edge(record: StepRecord, edge: StepEdge, mark: str) -> Refusal | None:
    """Return why a face or zone has no such edge."""
    names = [m.name for m in record.marks]
    if mark not in names:
        choices = f"there are: {', '.join(names) or 'none'}"
        return Refusal(f"{record.step.name} has no '{mark[:40]}'", "", choices)
    if edge == "first" and record.step.kind != "dwell":
        return Refusal(f"{mark} is a face", "", "its one hour is the last edge, its tick")
    return None


def _not_yet(record: StepRecord, edge: StepEdge, mark: str | None) -> Refusal:
    words = "has not started" if edge == "first" else "is not over"
    return Refusal(f"{mark or record.step.name} {words} yet", "", "there is no hour to correct")


def _neighbours(
    part: Part, record: StepRecord, edge: StepEdge, tests: Iterable[datetime], mark: str | None
) -> tuple[list[datetime], list[datetime]]:
    """Return what came before an edge, and what came after it."""
    before = [at for r in part.steps if r.number < record.number for at in r.times()]
    after = [at for r in part.steps if r.number > record.number for at in r.times()]
    after += [at for at in (*tests, record.passed_at) if at]
    # A face begins with its step, a zone with its own wetting.
    first = edge_at(record, "first", mark if record.step.kind == "dwell" else None)
    last = edge_at(record, "last", mark)
    if edge == "first":
        after += [last] if last else []
    else:
        before += [first] if first else []
    return before, after


def between(
    at: datetime, before: Iterable[datetime], after: Iterable[datetime], hour_text: HourText
) -> datetime | Refusal:
    """Return an hour typed to the minute if it fits between what came before it and after it.

    Within the minute it is not before what came before it.
    """
    latest, soonest = max(before, default=None), min(after, default=None)
    if latest and at < latest < at + MINUTE:
        at = latest
    if latest and at < latest:
        return _out_of_order(at, "before", latest, hour_text)
    if soonest and at > soonest:
        return _out_of_order(at, "after", soonest, hour_text)
    return at


def _out_of_order(at: datetime, side: str, other: datetime, hour_text: HourText) -> Refusal:
    return Refusal(
        f"that is {side} what came {side} it",
        f"{hour_text(at)} is {side} {hour_text(other)}",
        "correct the other hour first, or read this one again",
    )


def _move_edge(record: StepRecord, edge: StepEdge, at: datetime) -> StepRecord:
    """Return the step with an edge of its own moved. Faces never lie outside the two edges."""
    old = edge_at(record, edge)

    def moved(when: datetime | None, of: StepEdge) -> datetime | None:
        if when is None or (of == edge and when == old):
            return when and at
        return max(when, at) if edge == "first" else min(when, at)

    marks = tuple(
        replace(m, begun_at=moved(m.begun_at, "first"), done_at=moved(m.done_at, "last"))
        for m in record.marks
    )
    if edge == "first":
        return replace(record, marks=marks, first_at=at)
    return replace(record, marks=marks, last_at=at)


def _move_mark(record: StepRecord, edge: StepEdge, at: datetime, name: str) -> StepRecord:
    """Return the step with a mark moved, and the step's own edges that follow from it."""
    marks = tuple(_move_mark_edge(m, edge, at) if m.name == name else m for m in record.marks)
    first, last = record.first_at, record.last_at
    if record.step.kind == "dwell":
        first = min(m.begun_at for m in marks if m.begun_at)
    if last is not None:
        last = max(m.done_at for m in marks if m.done_at)
    return replace(record, marks=marks, first_at=first, last_at=last)


def _move_mark_edge(mark: Mark, edge: StepEdge, at: datetime) -> Mark:
    """Return the mark with one edge at ``at``. A face that was only ticked begins with its tick."""
    if edge == "first":
        return replace(mark, begun_at=at)
    began_at = mark.begun_at if mark.begun_at and mark.begun_at != mark.done_at else at
    return replace(mark, begun_at=min(began_at, at), done_at=at)


def window_flags(
    part: Part, record: StepRecord, around: Environment, hour_text: HourText, now: datetime
) -> tuple[str, ...]:
    """Return the notes on a coat whose window, or whose hour in it, was changed by a correction."""
    below = [r for r in part.steps if r.number < record.number and r.status == "done"]
    if record.step.kind != "coat" or record.first_at is None or not below:
        return ()
    ground = below[-1]
    if record.step.continues and ground.step.kind == "coat":
        return ()
    if ground.last_at is None:
        return ()
    return tuple(_outside(record, clocks_after(part, ground, around), hour_text, now))


def _outside(
    record: StepRecord, clocks: Clocks, hour_text: HourText, now: datetime
) -> Iterator[str]:
    place = next((n for n, span in enumerate(clocks.spans) if span.word == "open"), None)
    if place is None or record.first_at is None:
        return
    opened = clocks.began(place, now)
    if record.first_at < opened.at:
        yield (
            f"as corrected its first face, {hour_text(record.first_at)}, is before the window "
            f"below opened, {_hour(opened, hour_text)}"
        )
    closed = next_edge(clocks.turns(now), "closing", record.first_at)
    if record.last_at is not None and closed is not None and record.last_at > closed.at:
        yield (
            f"as corrected its last face, {hour_text(record.last_at)}, is past the edge of the "
            f"window below, which closed {_hour(closed, hour_text)}"
        )


def _hour(edge: Edge, hour_text: HourText) -> str:
    return edge.marked(hour_text(edge.shown))
