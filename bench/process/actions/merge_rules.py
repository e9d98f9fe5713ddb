"""Lots: which may be put together again, and what a few pieces take with them."""

from __future__ import annotations

from bench.process.actions.begin_rules import surface_of
from bench.process.clocks.stand_state import StandState
from bench.process.parts.film_thickness import heavier
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product

SAME_BAND = {"CLOSING": "OPEN", "RINSE": "SOAK"}
"""Words of one band: only how near its end is differs."""


def against_merging(
    first: Part, other: Part, first_state: StandState, other_state: StandState
) -> Refusal | None:
    """Return why two lots cannot be merged: the first difference between them, None without one."""
    for what, a, b in (
        ("shape", first.shape, other.shape),
        ("substrate", first.substrate, other.substrate),
        ("owner", first.owner, other.owner),
        ("job", first.job, other.job),
    ):
        if a != b:
            return _differs(what, a or "none", b or "none")
    for part in (first, other):
        if part.hold:
            return Refusal(f"tag {part.tag} is on hold", part.hold, "release it first")
        if part.rework:
            return Refusal(f"tag {part.tag} is in rework", part.rework, "put it right first")
        current = part.current()
        if current is not None and current.status == "in hand":
            return Refusal(f"tag {part.tag} is in progress", current.step.name, "finish it first")
    if _to_come(first) != _to_come(other):
        return _differs("stage", _stage(first), _stage(other))
    if surface_of(first) != surface_of(other) or _last(first) != _last(other):
        return _differs("last coat or work", _last_words(first), _last_words(other))
    words = [SAME_BAND.get(state.word, state.word) for state in (first_state, other_state)]
    if words[0] != words[1]:
        return _differs("band", first_state.word, other_state.word)
    return None


def _differs(what: str, first: str, other: str) -> Refusal:
    remedy = "merge what is alike, and no further on than the other"
    return Refusal(f"the {what} is not the same", f"{first} and {other}", remedy)


def _to_come(part: Part) -> list[tuple[object, tuple[str, ...]]]:
    todo = [record for record in part.steps if record.status == "todo"]
    return [(record.step, tuple(mark.name for mark in record.marks)) for record in todo]


def _stage(part: Part) -> str:
    current = part.current()
    return current.step.name if current is not None else "route done"


def _last(part: Part) -> object:
    record = part.clock_step()
    return record.step if record is not None else None


def _last_words(part: Part) -> str:
    record = part.clock_step()
    return record.step.name if record is not None else "nothing done"


def share(of: int, count: int, pieces: int) -> int | None:
    """Give what ``pieces`` of ``count`` take along of so many bungs; None where it does not go up.

    >>> share(28, 14, 2), share(5, 14, 2)
    (4, None)
    """
    return of // count * pieces if of % count == 0 else None


def mean_area_m2(
    area_m2: float | None, count: int, other_m2: float | None, other_count: int
) -> float | None:
    """Return the area of one piece of two lots together, None where it was typed of one alone.

    >>> mean_area_m2(1.0, 3, 2.0, 1), mean_area_m2(1.0, 3, None, 1)
    (1.25, None)
    """
    if area_m2 is None or other_m2 is None:
        return None
    return (area_m2 * count + other_m2 * other_count) / (count + other_count)


def worse_of(first: StepRecord, other: StepRecord, product: Product | None) -> StepRecord:
    """Return the record of a step that both lots did, as old and as wet as the worse of the two.

    Too early counts from the later last face, too late from the earlier first one; the test is
    passed only where both passed it; and it came out as thick as the one that waits longer for it.
    """
    thicker = heavier((first, other), product)
    passed = [r.passed_at for r in (first, other)]
    both = [at for at in passed if at is not None]
    firsts = [r.first_at for r in (first, other) if r.first_at is not None]
    lasts = [r.last_at for r in (first, other) if r.last_at is not None]
    waits = [r.not_before for r in (first, other) if r.not_before is not None]
    return StepRecord(
        number=first.number,
        step=first.step,
        status=first.status,
        first_at=min(firsts, default=None),
        last_at=max(lasts, default=None),
        painters=tuple(dict.fromkeys([*first.painters, *other.painters])),
        marks=first.marks,
        passed_at=max(both) if len(both) == len(passed) else None,
        passed_by=first.passed_by if len(both) == len(passed) else "",
        not_before=max(waits, default=None),
        reason=first.reason,
        flags=tuple(dict.fromkeys([*first.flags, *other.flags])),
        weight=thicker.weight,
        wet_um=thicker.wet_um,
        dry_um=thicker.dry_um,
    )
