"""How long each painter worked on some parts: from their steps, no hour of one person twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.parts.part import StepRecord

LONGEST_STEP = timedelta(hours=12)
"""A step longer than this ran over a night, or was finished late (house rule): it is named."""

Stretch = tuple[datetime, datetime]


@dataclass(frozen=True)
class WorkHours:
    """by_painter: the time of each, by name; without: steps that were done and say no length.

    long: the names of steps over ``LONGEST_STEP``, which count as they stand.
    """

    by_painter: tuple[tuple[str, timedelta], ...]
    without: int
    long: tuple[str, ...]

    @property
    def total(self) -> timedelta:
        """Return the time of all painters together."""
        return sum((time for _, time in self.by_painter), timedelta())


def work_hours(records: Iterable[StepRecord]) -> WorkHours:
    """Sum steps from first to last hour by painter; what two steps share counts once.

    Where faces were ticked, the time up to each is that of who ticked it. A cure is no work.
    """
    stretches: dict[str, list[Stretch]] = {}
    without, long = 0, []
    for record in records:
        if record.step.kind == "cure" or record.status not in ("done", "struck"):
            continue
        first, last = record.first_at, record.last_at
        if first is None or last is None or first >= last or not record.painters:
            without += 1
            continue
        long += [record.step.name] if last - first > LONGEST_STEP else []
        for name, stretch in _stretches(record, first, last):
            stretches.setdefault(name, []).append(stretch)
    times = {name: _union(of_painter) for name, of_painter in stretches.items()}
    return WorkHours(tuple(sorted(times.items())), without, tuple(dict.fromkeys(long)))


def _stretches(
    record: StepRecord, first: datetime, last: datetime
) -> Iterator[tuple[str, Stretch]]:
    """Yield who worked on a step, and from when to when: a helper who ticked nothing, all of it."""
    ticked = sorted((m.done_at, m.by) for m in record.marks if m.done_at is not None and m.by)
    ticked = [] if record.step.kind == "dwell" else ticked
    tickers = {name for _, name in ticked}
    yield from ((name, (first, last)) for name in record.painters if name not in tickers)
    since = first
    for at, name in ticked:
        yield name, (since, max(at, since))
        since = max(at, since)


def _union(stretches: Iterable[Stretch]) -> timedelta:
    """Return how long some stretches of time are together."""
    total, until = timedelta(), None
    for start, end in sorted(stretches):
        begin = start if until is None else max(start, until)
        total += max(end - begin, timedelta())
        until = end if until is None else max(end, until)
    return total
