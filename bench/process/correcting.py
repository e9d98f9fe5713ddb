"""Putting an older fact right: what a corrected hour may be, and what it says about the window."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Literal

from bench.process.calendar import Surroundings, clocks_after
from bench.process.edges import Edge, next_edge
from bench.process.part import Mark, Part, StepRecord
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.state import Clocks

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

OFF_PCT = 5.0
"""A hardener that is out by more than this is said (common practice, no source)."""

Said = Callable[[datetime], str]
"""How the shop says an instant."""


def edge_words(record: StepRecord, edge: StepEdge) -> str:
    """What painters call the two edges of a step."""
    if record.step.kind == "coat":
        return EDGES[edge]
    return "begun" if edge == "first" else "ended"


def fitted_hour(
    part: Part,
    record: StepRecord,
    edge: StepEdge,
    at: datetime,
    tests: Iterable[datetime],
    said: Said,
) -> datetime | Refusal:
    """The instant of an edge that was typed to the minute, or why it cannot have been then.

    Within the minute it is not before what came before it. tests: when painters tried this step.
    """
    old = record.first_at if edge == "first" else record.last_at
    if record.step.kind == "cure" or old is None:
        told = "it is not over" if edge == "last" else "it is not begun"
        return Refusal(f"{record.step.name} has no {edge_words(record, edge)} yet", told)
    before = [when for r in part.steps if r.number < record.number for when in _times(r)]
    after = [when for r in part.steps if r.number > record.number for when in _times(r)]
    own = [when for when in (*tests, record.passed_at) if when is not None]
    if edge == "first":
        after += [*own, *([record.last_at] if record.last_at else [])]
    else:
        before += [record.first_at] if record.first_at else []
        after += own
    return between(at, old, before, after, said)


def between(
    at: datetime, old: datetime, before: Iterable[datetime], after: Iterable[datetime], said: Said
) -> datetime | Refusal:
    """An hour typed to the minute that is neither before what came before it nor after the rest."""
    if at == old or at <= old < at + MINUTE:
        return Refusal("that is what is written down", said(old), "nothing to put right")
    latest, soonest = max(before, default=None), min(after, default=None)
    if latest and at < latest < at + MINUTE:
        at = latest
    if latest and at < latest:
        return _out_of_order(at, "before", latest, said)
    if soonest and at > soonest:
        return _out_of_order(at, "after", soonest, said)
    return at


def with_mark(
    part: Part,
    record: StepRecord,
    name: str,
    edge: StepEdge,
    at: datetime,
    tests: Iterable[datetime],
    said: Said,
) -> StepRecord | Refusal:
    """The step with one face's tick, or one zone's wetting (first) or rinsing (last), at ``at``.

    The step's own edges follow: the first zone that was wetted, the last face or zone that was
    done. Refused as in ``fitted_hour``.
    """
    mark = next((m for m in record.marks if m.name.casefold() == name.strip().casefold()), None)
    if mark is None:
        names = ", ".join(m.name for m in record.marks) or "none"
        return Refusal(f"{record.step.name} has no '{name[:40]}'", "", f"there are: {names}")
    soaks = record.step.kind == "dwell"
    if edge == "first" and not soaks:
        return Refusal(f"{mark.name} is a face", "", "its last edge is its tick")
    old = mark.begun_at if edge == "first" else mark.done_at
    if old is None:
        return Refusal(f"{mark.name} is not {mark_word(record, edge)} yet")
    later = [when for r in part.steps if r.number > record.number for when in _times(r)]
    later += [when for when in (*tests, record.passed_at) if when is not None]
    if edge == "first":
        before = [when for r in part.steps if r.number < record.number for when in _times(r)]
        after = [mark.done_at] if mark.done_at else later
    else:
        before = [when for when in (mark.begun_at if soaks else record.first_at,) if when]
        after = later
    when = between(at, old, before, after, said)
    if isinstance(when, Refusal):
        return when
    if edge == "first":
        right = replace(mark, begun_at=when)
    else:
        begun = mark.begun_at if soaks else min(mark.begun_at or when, when)
        right = replace(mark, begun_at=when if begun == old else begun, done_at=when)
    marks = tuple(right if m.name == mark.name else m for m in record.marks)
    wetted = [m.begun_at for m in marks if m.begun_at]
    done = [m.done_at for m in marks if m.done_at]
    return replace(
        record,
        marks=marks,
        first_at=min(wetted) if soaks else record.first_at,
        last_at=max(done) if record.last_at else None,
    )


def mark_word(record: StepRecord, edge: StepEdge) -> str:
    """What was done to a face or zone at an edge."""
    if record.step.kind != "dwell":
        return "ticked"
    return "wet" if edge == "first" else "rinsed"


def _times(record: StepRecord) -> list[datetime]:
    marks = [at for mark in record.marks for at in (mark.begun_at, mark.done_at)]
    return [at for at in (record.first_at, record.last_at, record.passed_at, *marks) if at]


def _out_of_order(at: datetime, side: str, other: datetime, said: Said) -> Refusal:
    return Refusal(
        f"that is {side} what came {side} it",
        f"{said(at)} is {side} {said(other)}",
        "put that right first, or read the hour again",
    )


def with_hour(record: StepRecord, edge: StepEdge, at: datetime) -> StepRecord:
    """The step with an edge at another hour. Faces never lie outside the two edges."""
    if edge == "first":
        marks = tuple(_no_sooner(mark, at, record.first_at) for mark in record.marks)
        return replace(record, first_at=at, marks=marks)
    marks = tuple(_no_later(mark, at, record.last_at) for mark in record.marks)
    return replace(record, last_at=at, marks=marks)


def _no_sooner(mark: Mark, at: datetime, old: datetime | None) -> Mark:
    begun, done = mark.begun_at, mark.done_at
    if begun is not None and (begun == old or begun < at):
        begun = at
    return replace(mark, begun_at=begun, done_at=max(done, at) if done else None)


def _no_later(mark: Mark, at: datetime, old: datetime | None) -> Mark:
    begun, done = mark.begun_at, mark.done_at
    if done is not None and (done == old or done > at):
        done = at
    return replace(mark, begun_at=min(begun, at) if begun else None, done_at=done)


def window_flags(
    part: Part, record: StepRecord, around: Surroundings, said: Said, now: datetime
) -> tuple[str, ...]:
    """What the sheet has to say of a coat whose window, or whose hour in it, is another by now."""
    below = [r for r in part.steps if r.number < record.number and r.status == "done"]
    if record.step.kind != "coat" or record.first_at is None or not below:
        return ()
    ground = below[-1]
    if record.step.continues and ground.step.kind == "coat":
        return ()
    if ground.last_at is None:
        return ()
    return tuple(_outside(record, clocks_after(part, ground, around), said, now))


def _outside(record: StepRecord, clocks: Clocks, said: Said, now: datetime) -> Iterator[str]:
    place = next((n for n, span in enumerate(clocks.spans) if span.word == "open"), None)
    if place is None or record.first_at is None:
        return
    opened = clocks.began(place, now)
    if record.first_at < opened.at:
        yield (
            f"as corrected its first face, {said(record.first_at)}, is before the window below "
            f"opened, {_hour(opened, said)}"
        )
    closed = next_edge(clocks.turns(now), "closing", record.first_at)
    if record.last_at is not None and closed is not None and record.last_at > closed.at:
        yield (
            f"as corrected its last face, {said(record.last_at)}, is past the edge of the window "
            f"below, which closed {_hour(closed, said)}"
        )


def _hour(edge: Edge, said: Said) -> str:
    return edge.marked(said(edge.shown))


def off_ratio(product: Product, poured_ml: Mapping[str, float]) -> str:
    """How a pot as it was really poured differs from its ratio; empty where it does not matter.

    Only by volume: what a scale said cannot be told from millilitres.
    """
    if product.ratio is None or product.ratio.by != "volume":
        return ""
    base = next((s for s in product.ratio.shares if s.role == "base"), None)
    if base is None or not poured_ml.get("base"):
        return ""
    told = []
    for share in product.ratio.shares:
        if share.role in ("base", "thinner"):
            continue
        wanted_ml = poured_ml["base"] * share.parts / base.parts
        off_pct = (poured_ml.get(share.role, 0.0) / wanted_ml - 1) * 100
        if abs(off_pct) > OFF_PCT:
            side = "too much" if off_pct > 0 else "too little"
            told.append(f"{abs(off_pct):.0f} % {side} {share.role}")
    return " and ".join(told)
