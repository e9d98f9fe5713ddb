"""What a job will take before it is begun: paint by product, and hours as past steps took."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import timedelta

from bench.process.parts.durations import Length, span_words
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.route import Route, Shape, Step
from bench.process.wording.time_text import doubt_mark
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
    """How long the steps of one name take, on all lots together.

    times: how often it is on the quote; past: the fewest past steps that one of them rests on;
    doubt: ``?`` where those are too few.
    """

    name: str
    times: int
    past: int
    doubt: str
    usual: timedelta
    shorter: timedelta
    longer: timedelta


@dataclass(frozen=True)
class QuoteHours:
    """The hours of all steps but the cure, as long as past steps took."""

    lengths: tuple[StepLength, ...]

    def total(self, which: str) -> timedelta:
        """Add up one length of every step: "usual", "shorter" or "longer"."""
        return sum((getattr(length, which) for length in self.lengths), timedelta())

    @property
    def words(self) -> str:
        """Say the hours with their spread."""
        doubt = doubt_mark(any(length.doubt for length in self.lengths))
        usual, shorter, longer = (self.total(n) for n in ("usual", "shorter", "longer"))
        return span_words(usual, shorter, longer, doubt)


def quote_hours(
    items: Iterable[QuoteItem], length_of: Callable[[Step, float | None], Length]
) -> QuoteHours:
    """Add up the work of some lots. length_of: of a step on so many m2, None where nobody knows.

    A cure is no work.
    """
    by_name: dict[str, list[Length]] = {}
    for item in items:
        area_m2 = None if item.each_m2 is None else item.each_m2 * item.count
        for step in item.route.steps:
            if step.kind != "cure":
                by_name.setdefault(step.name, []).append(length_of(step, area_m2))
    return QuoteHours(
        tuple(
            StepLength(
                name,
                len(lengths),
                min(length.known_from for length in lengths),
                max(length.doubt for length in lengths),
                *(
                    sum((getattr(length, which) for length in lengths), timedelta())
                    for which in ("lasts", "shorter", "longer")
                ),
            )
            for name, lengths in by_name.items()
        )
    )
