"""Each piece by itself: its cheapest chain of starts, where a slot of a resource has its price.

A column is one piece's chain, the start of each of its tasks. The prices come from ``bound.py``,
which adds up what all pieces want. A chain keeps its own waits, starts and abrading, nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from bench.process.plan import slot_sets
from bench.process.plan.model_windows import Windows
from bench.process.plan.problem import ABRADED, BY_TWO, WAYS, Problem, Task, Wait

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]
    Whole: TypeAlias = NDArray[np.int64]


@dataclass(frozen=True)
class Options:
    """Where one task may be: start, start of the work itself, end, and what that counts by itself.

    sprayed: where its paint is; held: from where on it takes what it holds, less the slots in which
    its own hands mix: a pot's mixing counts those. groups: stretches of them in which later starts
    have later ends, and in which way those are done. by_two: which of them two do.
    """

    number: int
    task: Task
    start: Whole
    begin: Whole
    end: Whole
    sprayed: Whole
    held: Whole
    price: Floats
    groups: tuple[tuple[slice, int], ...]
    by_two: NDArray[np.bool_]

    def starts(self, fits: NDArray[np.bool_]) -> list[int]:
        """Return the starts of some options as sets of slots, by the ways they are done."""
        found = [0] * len(WAYS)
        for group, way in self.groups:
            found[way] |= slot_sets.marked(self.start[group][fits[group]].tolist())
        return found


@dataclass(frozen=True)
class Step:
    """Which options before it each option of a task may follow: ``low`` up to ``high``."""

    before: slice
    after: slice
    low: Whole
    high: Whole


@dataclass(frozen=True)
class Column:
    """One piece's chain: the place of each task among its options, and what it counts by itself."""

    piece: int
    places: tuple[int, ...]
    price: float


class Chain:
    """A piece, with all chains it could have."""

    def __init__(self, problem: Problem, piece: int, windows: Windows) -> None:
        """Look through the waits of a piece; its start slots are those of ``windows``."""
        import numpy as np

        self.problem, self.piece = problem, piece
        tasks = problem.pieces[piece].tasks
        self.options = [_options(problem, number, windows) for number in tasks]
        last = self.options[-1]
        prices = np.asarray(problem.pieces[piece].price, dtype=np.float64)
        self.done = np.asarray(problem.pieces[piece].done_day, dtype=np.int64)[last.end]
        self.options[-1] = Options(
            last.number,
            last.task,
            last.start,
            last.begin,
            last.end,
            last.sprayed,
            last.held,
            last.price + prices[last.end],
            last.groups,
            last.by_two,
        )
        waits = {(wait.before, wait.after): wait for wait in problem.waits}
        self.steps = [
            list(_steps(problem, waits.get((a.number, b.number)), a, b))
            for a, b in zip(self.options, self.options[1:], strict=False)
        ]

    def cheapest(self, priced: Sequence[Floats]) -> tuple[float, list[Column]]:
        """Return the least price of a chain, and the best chain for each day it is ready on.

        priced: for each task what each of its options counts, by itself and by what it takes.
        """
        import numpy as np

        values = self._forwards(priced)
        ends = values[-1]
        best = float(ends.min())
        columns = []
        if np.isfinite(best):
            for day in np.unique(self.done):
                places = np.flatnonzero(self.done == day)
                place = int(places[ends[places].argmin()])
                if np.isfinite(ends[place]):
                    columns.append(self._column(values, place))
        return best, columns

    def through(self, priced: Sequence[Floats]) -> list[Floats]:
        """Return for each task and option the least price of a chain that has it; inf for none."""
        import numpy as np

        rest = np.zeros(len(priced[-1]))
        found = [rest]
        for number in range(len(self.steps) - 1, -1, -1):
            rest = rest + priced[number + 1]
            least = np.full(len(priced[number]), np.inf)
            for step in self.steps[number]:
                places = np.arange(step.before.stop - step.before.start)
                low = np.searchsorted(step.high, places, side="right").astype(np.int64)
                high = np.searchsorted(step.low, places, side="right").astype(np.int64)
                best = _least_between(rest[step.after], low, high)
                least[step.before] = np.minimum(least[step.before], best)
            rest = least
            found.append(rest)
        found.reverse()
        return [a + b for a, b in zip(self._forwards(priced), found, strict=True)]

    def _forwards(self, priced: Sequence[Floats]) -> list[Floats]:
        """Return for each task and option the least price of a chain up to it."""
        import numpy as np

        values = [priced[0]]
        for steps, price in zip(self.steps, priced[1:], strict=True):
            least = np.full(len(price), np.inf)
            for step in steps:
                found = _least_between(values[-1][step.before], step.low, step.high)
                least[step.after] = np.minimum(least[step.after], found)
            values.append(least + price)
        return values

    def _column(self, values: Sequence[Floats], place: int) -> Column:
        places = [place]
        for number in range(len(self.steps) - 1, -1, -1):
            best, found = float("inf"), 0
            for step in self.steps[number]:
                if not step.after.start <= places[-1] < step.after.stop:
                    continue
                at = places[-1] - step.after.start
                low, high = int(step.low[at]), int(step.high[at])
                if low < high:
                    part = values[number][step.before][low:high]
                    index = int(part.argmin())
                    if part[index] < best:
                        best, found = float(part[index]), step.before.start + low + index
            places.append(found)
        places.reverse()
        price = sum(float(o.price[p]) for o, p in zip(self.options, places, strict=True))
        return Column(self.piece, tuple(places), price)


def _options(problem: Problem, number: int, windows: Windows) -> Options:
    import numpy as np

    task, weights = problem.tasks[number], problem.weights
    start: list[int] = []
    lead: list[int] = []
    size: list[int] = []
    groups: list[tuple[slice, int]] = []
    for way in WAYS:
        since = len(start)
        for slot in slot_sets.members(windows.starts[way][number]):
            start.append(slot)
            lead.append(task.abrading_of(way))
            size.append(task.end_of(way, slot) - slot)
        if len(start) > since:
            groups.append((slice(since, len(start)), way))
    starts = np.array(start, dtype=np.int64)
    price = np.zeros(len(starts))
    by_two = np.zeros(len(starts), dtype=np.bool_)
    for group, way in groups:
        price[group] = float(weights.missed) if way == ABRADED else 0.0
        by_two[group] = way == BY_TWO
    if task.was is not None:
        price = price + np.where(starts != task.was, float(task.move_price), 0.0)
    if task.paint is not None and task.mixes > 1:
        price = price + float(task.mixes * weights.mix)
    begin, end = starts + np.array(lead, dtype=np.int64), starts + np.array(size, dtype=np.int64)
    sprayed = begin + task.lead
    mixing = 0 if task.paint is None else problem.paints[task.paint].mixing
    held = starts + np.minimum(sprayed - starts, mixing)
    return Options(number, task, starts, begin, end, sprayed, held, price, tuple(groups), by_two)


def _steps(problem: Problem, wait: Wait | None, before: Options, after: Options) -> Iterator[Step]:
    """Yield from where to where one may go; a little more, where windows are not so plain."""
    import numpy as np

    for ours, _ in before.groups:
        for theirs, way in after.groups:
            begins = after.begin[theirs]
            none = np.zeros(len(begins), dtype=np.int64)
            if wait is None:
                yield Step(ours, theirs, none, none + (ours.stop - ours.start))
                continue
            for stage in wait.stages:
                if stage.abraded != (way == ABRADED):
                    continue
                opens = np.asarray(stage.opens, dtype=np.int64)[before.end[ours]]
                opens = np.minimum.accumulate(opens[::-1])[::-1]
                high = np.searchsorted(opens, begins, side="right")
                low = none
                if stage.closes is not None:
                    closes = np.maximum.accumulate(np.asarray(stage.closes, dtype=np.int64))
                    closes = closes[before.begin[ours]]
                    low = np.searchsorted(closes, begins, side="right")
                yield Step(ours, theirs, low.astype(np.int64), high.astype(np.int64))


def _least_between(values: Floats, low: Whole, high: Whole) -> Floats:
    """Return the least value from each ``low`` up to each ``high``; inf where there is none."""
    import numpy as np

    found = np.full(len(low), np.inf)
    if not low.any():
        some = high > 0
        found[some] = np.minimum.accumulate(values)[high[some] - 1]
        return found
    some = high > low
    if not some.any():
        return found
    low, width = low[some], (high - low)[some]
    levels = np.log2(width).astype(np.int64)
    table = [values]
    for level in range(int(levels.max())):
        half = 1 << level
        longer = table[-1].copy()
        longer[:-half] = np.minimum(table[-1][:-half], table[-1][half:])
        table.append(longer)
    whole = np.stack(table)
    found[some] = np.minimum(whole[levels, low], whole[levels, low + width - (1 << levels)])
    return found


def chains(problem: Problem, windows: Windows) -> list[Chain]:
    """Return the chains of every piece."""
    return [Chain(problem, piece, windows) for piece in range(len(problem.pieces))]
