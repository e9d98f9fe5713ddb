"""Where a wet part is carried out of its spray space: from which ends of its coat that can be."""

from __future__ import annotations

from collections.abc import Callable

from bench.process.plan import slot_sets
from bench.process.plan.problem import Carrying, Hold

Blocked = Callable[[int, int], int]
"""The slots in which less than an amount of a resource is left, by both."""


def ends_meeting(carrying: Carrying, horizon: int, blocked: Blocked) -> int:
    """Return the ends of a coat after which its place is not left, or nobody carries its part."""
    place = blocked(carrying.place, 1)
    hands = blocked(carrying.hands.resource, carrying.hands.amount)
    if not place and not hands:
        return 0
    met, length = 0, carrying.length
    in_place: dict[int, int] = {}
    by_hand = slot_sets.starts_meeting(hands, 0, length)
    for since, until, at, lag in carrying.alike:
        if at is None:
            if lag not in in_place:
                in_place[lag] = slot_sets.starts_meeting(place, 0, lag + length) | by_hand >> lag
            ends = in_place[lag]
        elif at < horizon and by_hand >> at & 1:
            ends = -1
        else:
            last = slot_sets.last_in(place, min(at + length, horizon) - 1)
            ends = 0 if last is None else slot_sets.between(since, last + 1)
        met |= ends & slot_sets.between(since, until)
    return met


def holds_of_carrying(
    carrying: Carrying, end: int
) -> tuple[tuple[int, int, Hold], tuple[int, int, Hold]]:
    """Return from when to when carrying a part holds what, by where its coat ended."""
    begins = carrying.begins[end]
    until = begins + carrying.length
    return (end, until, Hold(carrying.place, 1)), (begins, until, carrying.hands)
