"""A number for each slot, kept by its binary digits: a set of slots for each of them.

The first set has the slots whose number is odd, and so on. Adding to many slots, or asking where
more than so much is held, takes a few operations on whole sets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from bench.process.plan.slot_sets import between


def levels(capacity: Sequence[int], horizon: int) -> Iterator[tuple[int, int]]:
    """Yield each capacity there is, and in which slots."""
    levels: dict[int, int] = {}
    since = 0
    for most, slots in groupby(capacity):
        until = since + len(list(slots))
        levels[most] = levels.get(most, 0) | between(since, min(until, horizon))
        since = until
    yield from levels.items()


def count(counter: list[int], slots: int, amount: int) -> None:
    """Add an amount to the numbers of some slots, or take it from them."""
    adds, amount, low = amount > 0, abs(amount), 0
    while amount:
        if amount & 1:
            carry, place = slots, low
            while carry:
                while place >= len(counter):
                    counter.append(0)
                digit = counter[place]
                counter[place] = digit ^ carry
                carry &= digit if adds else ~digit
                place += 1
        amount, low = amount >> 1, low + 1


def above(counter: list[int], number: int) -> int:
    """Return the slots whose number is above a given one; all of them where that is below zero."""
    if number < 0:
        return -1
    above, equal = 0, -1
    for place in range(max(len(counter), number.bit_length()) - 1, -1, -1):
        digit = counter[place] if place < len(counter) else 0
        if number >> place & 1:
            equal &= digit
        else:
            above |= equal & digit
            equal &= ~digit
    return above
