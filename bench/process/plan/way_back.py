"""The way back through a column's search: from the best end to the start of every step."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING

from bench.process.plan.chain import Link
from bench.process.plan.problem import ABRADED, BY_TWO, WAYS, Placed
from bench.process.plan.slot_sets import between, last

if TYPE_CHECKING:
    from bench.process.plan.column import Column, Reached


class WayBack:
    """Walks back through the layers of a column that was searched forwards."""

    def __init__(self, column: Column) -> None:
        """Take the column; what cannot be reached is banned in it."""
        self.column = column

    def back(self, entry: Reached, start: int) -> list[Placed] | int:
        """Walk back from an end; return the column, or the step that cannot be reached."""
        places: list[Placed] = []
        floors = [0] * len(self.column.chain)
        ceilings = [(self.column.horizon,) * len(WAYS)] * len(self.column.chain)
        at = len(self.column.chain) - 1
        while True:
            picked = None
            for source, link, pot, use in entry.origins:
                if not use >> start & 1:
                    continue
                slot: int | None = 0
                if source is not None and link is not None:
                    slot = self._predecessor(at, entry, start, source, link, floors, ceilings)
                if slot is not None:
                    picked = source, pot, slot
                    break
            if picked is None:
                self.column.banned[at][entry.way == BY_TWO] |= 1 << start
                return at
            source, pot, slot = picked
            stood = ~pot if pot is not None and pot < 0 else None
            mixed = None if stood is not None else pot
            places.append(Placed(start, entry.way == ABRADED, mixed, stood, entry.way == BY_TWO))
            if source is None:
                return places[::-1]
            entry, start, at = source, slot, at - 1

    def _predecessor(
        self, at: int, entry: Reached, start: int, source: Reached, link: Link,
        floors: list[int], ceilings: list[tuple[int, ...]],
    ) -> int | None:  # fmt: skip
        """Return where the step before begins, by all that comes after it."""
        step = self.column.chain[at]
        begins = start + step.task.abrading_of(entry.way)
        low = list(floors)
        low[at - 1] = max(low[at - 1], 0)
        opened = bisect_right(link.opens[source.way], begins) - 1
        high = min(ceilings[at - 1][source.way], opened)
        if link.closes is not None:
            closes = link.closes[source.way]
            least = bisect_right(closes, begins + self.column.wish.margin)
            low[link.first] = max(low[link.first], least)
        own = source.own
        if own is not None and self.column.paint_of(own) == step.task.paint:
            end = step.end(entry.way, start)
            number, mixed = own
            least = bisect_left(self.column.chain[number].empty_by[mixed], end)
            low[number] = max(low[number], least)
        for links in step.far_links:
            for far in links:
                if far.way == entry.way:
                    latest = (bisect_right(far.opens[n], begins) - 1 for n in WAYS)
                    ceilings[far.before] = tuple(map(min, ceilings[far.before], latest))
                    if far.closes is not None:
                        low[far.first] = max(low[far.first], bisect_right(far.closes[0], begins))
        slots = source.slots & between(low[at - 1], high + 1)
        if not slots:
            return None
        earlier = [n for n in range(at - 1) if low[n]]
        slot = self.column.wanted(at - 1, slots)
        for n in earlier:
            reached = self.column.latest(source, at - 1, slot, n)
            if reached is None or reached < low[n]:
                slot = last(slots)
                break
        floors[:] = low
        return slot
