"""What a job will take before it is begun: paint by product, and hours as past steps took."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from statistics import median

from bench.process.ahead.lookahead import SHORTEST_KNOWN_S
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.route import Route, Shape
from bench.process.wording.time_text import format_duration
from bench.trade.film import MOST_AREA_M2

MOST_PIECES = 9999


@dataclass(frozen=True)
class QuoteItem:
    """A lot that is asked about. area_m2: of one piece, None for what is typical of its shape."""

    route: Route
    shape: Shape
    area_m2: float | None = None
    count: int = 1

    @property
    def each_m2(self) -> float | None:
        """Give the area of one piece, None where nobody knows it."""
        return self.shape.area_m2 if self.area_m2 is None else self.area_m2

    @property
    def is_typical(self) -> bool:
        """Say whether its area is a placeholder."""
        return self.area_m2 is None and self.shape.source == "placeholder"


def check_item(item: QuoteItem) -> Refusal | None:
    """Say what of an item cannot be so."""
    if not 1 <= item.count <= MOST_PIECES:
        return Refusal(f"{item.count} pieces", "", f"from 1 to {MOST_PIECES:,}")
    if item.area_m2 is not None and not 0 < item.area_m2 <= MOST_AREA_M2:
        remedy = f"over 0, up to {MOST_AREA_M2:,.0f}"
        return Refusal(f"an area of {item.area_m2:g} m2", "", remedy)
    return None


def part_of_item(item: QuoteItem, tag: str) -> Part:
    """Give the part that an item would be, with its whole route to do."""
    steps = tuple(StepRecord(n, step) for n, step in enumerate(item.route.steps, start=1))
    return Part(
        tag=tag,
        name=item.shape.name,
        count=item.count,
        job="",
        owner="",
        substrate=item.route.substrate,
        shape=item.shape.key,
        stand=None,
        last_stand=None,
        steps=steps,
        area_m2=item.area_m2,
    )


@dataclass(frozen=True)
class StepLength:
    """How long a step took so far. times: how often it is on the quote; past: steps in the log."""

    name: str
    times: int
    past: int
    usual: timedelta = timedelta()
    shortest: timedelta = timedelta()
    longest: timedelta = timedelta()


@dataclass(frozen=True)
class QuoteHours:
    """The hours of the steps that are in the log; uncounted: the names of those that are not."""

    lengths: tuple[StepLength, ...]
    uncounted: tuple[str, ...]

    def total(self, which: str) -> timedelta:
        """Add up one length of every step: "usual", "shortest" or "longest"."""
        each = (length.times * getattr(length, which) for length in self.lengths)
        return sum(each, timedelta())

    @property
    def words(self) -> str:
        """Say the hours with their spread, or that none are known."""
        if not self.lengths:
            return "no past steps: no hours can be said"
        least = "at least " if self.uncounted else ""
        return f"{least}{span_words(*(self.total(n) for n in ('usual', 'shortest', 'longest')))}"


def span_words(usual: timedelta, shortest: timedelta, longest: timedelta) -> str:
    """Say a length with its spread.

    >>> span_words(timedelta(minutes=90), timedelta(minutes=60), timedelta(minutes=125))
    '1 h 30 min (1 h to 2 h 05 min)'
    """
    usually, least, most = (format_duration(t.total_seconds()) for t in (usual, shortest, longest))
    return f"{usually} ({least} to {most})"


def quote_hours(items: Iterable[QuoteItem], past_s: Mapping[str, Sequence[float]]) -> QuoteHours:
    """Add up the work of some lots, each step once a lot. past_s: lengths by the step's name.

    A cure is no work; a length under a minute was typed afterwards and says nothing.
    """
    times: dict[str, int] = {}
    for item in items:
        for step in item.route.steps:
            if step.kind != "cure":
                times[step.name] = times.get(step.name, 0) + 1
    lengths, uncounted = [], []
    for name, count in times.items():
        known = [s for s in past_s.get(name, ()) if s >= SHORTEST_KNOWN_S]
        if known:
            spread = (timedelta(seconds=s) for s in (median(known), min(known), max(known)))
            lengths.append(StepLength(name, count, len(known), *spread))
        else:
            uncounted.append(name)
    return QuoteHours(tuple(lengths), tuple(uncounted))
