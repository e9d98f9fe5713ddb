"""How long a step usually takes: what its route says, corrected by the shop's own finished steps.

The one estimate for the plan, looking ahead, a quote and work that was perhaps forgotten.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice
from math import exp, log
from statistics import median

from bench.process.sheets.labour import labour_of
from bench.process.sheets.route import Step, StepKind
from bench.process.wording.time_text import doubt_mark, format_duration

SHORTEST_KNOWN_S = 60.0
"""First and last hour nearer than this: one time was known of it, not how long it took."""

NEWEST = 30
"""So many of the newest steps that are alike are looked at (house rule)."""

TIMES_MEDIAN = 3.0
"""Over so many times the median, or under its share of it, a press was forgotten (house rule)."""

PRIOR = 3
"""The route's own figure weighs as much as so many past steps (house rule)."""

PRIOR_SPREAD = 0.35
"""Of the natural logarithm of how long a step takes, before the shop's log says (house rule)."""

MAD_TO_SPREAD = 1.48
"""From the median of the deviations to the standard deviation of a normal distribution."""

ROUNDING = 1e-9
"""What is just three times the median is not over it by the rounding of floats."""

LEAST_KNOWN = 5
"""From so many past steps on a length bears no ``?``."""


@dataclass(frozen=True)
class PastStep:
    """A finished step: how long it took, and how long it was taken to last by its route alone."""

    name: str
    kind: StepKind
    tool: str
    lasted_s: float
    expected_s: float


@dataclass(frozen=True)
class Length:
    """How long a step is taken to last, and from how many past steps.

    spread: of its natural logarithm. like: the steps it is learned from: "step" those of its name,
    "tool" those of its kind and tool; empty for none.
    """

    lasts: timedelta
    known_from: int = 0
    spread: float = PRIOR_SPREAD
    like: str = ""

    @property
    def doubt(self) -> str:
        """Return ``?`` until enough past steps of its name say so."""
        return doubt_mark(self.known_from < LEAST_KNOWN or self.like != "step")

    @property
    def shorter(self) -> timedelta:
        """Return the length that one of six is under."""
        return self.lasts * exp(-self.spread)

    @property
    def longer(self) -> timedelta:
        """Return the length that one of six is over."""
        return self.lasts * exp(self.spread)

    @property
    def words(self) -> str:
        """Say it with its spread and where it comes from.

        >>> Length(timedelta(minutes=30)).words
        '30 min? (22 to 43 min), no past steps'
        >>> Length(timedelta(minutes=80), 7, 0.1, "step").words
        '1 h 20 min (1 h 13 min to 1 h 29 min), from 7 past steps'
        """
        return f"{self.span_words}, {self.past_words}"

    @property
    def span_words(self) -> str:
        """Say it with its spread."""
        return span_words(self.lasts, self.shorter, self.longer, self.doubt)

    @property
    def past_words(self) -> str:
        """Say from how many past steps it is known, and from which."""
        if not self.known_from:
            return "no past steps"
        steps = "step" if self.known_from == 1 else "steps"
        like = " of its kind and tool" if self.like == "tool" else ""
        return f"from {self.known_from} past {steps}{like}"


def span_words(usual: timedelta, shorter: timedelta, longer: timedelta, doubt: str = "") -> str:
    """Say a length with its spread.

    >>> span_words(timedelta(minutes=90), timedelta(minutes=60), timedelta(minutes=125))
    '1 h 30 min (1 h to 2 h 05 min)'
    """
    usually, least, most = (format_duration(t.total_seconds()) for t in (usual, shorter, longer))
    if least.endswith(" min") and most.endswith(" min") and " h" not in f"{least}{most}":
        least = least.removesuffix(" min")
    return f"{usually}{doubt} ({least} to {most})"


@dataclass(frozen=True)
class Learned:
    """What past steps say of others like them.

    shift: to be added to the natural logarithm of what a route says; count: past steps it rests on.
    """

    shift: float = 0.0
    count: int = 0
    spread: float = PRIOR_SPREAD

    @property
    def factors(self) -> tuple[float, float, float]:
        """Return the usual ratio, and those between which two of three lie."""
        return exp(self.shift), exp(self.shift - self.spread), exp(self.shift + self.spread)


def learned(ratios: Iterable[float]) -> Learned:
    """Return what the newest of some ratios, actual to expected, say; newest first, all over 0.

    What is over three times their median or under a third of it is left out. Source: shrinkage
    towards the route's figure with a weight of ``PRIOR``, robust by medians (house rule).

    >>> learned([2.0, 2.0, 2.0]).shift == log(2) / 2
    True
    """
    newest = [log(ratio) for ratio in islice(ratios, NEWEST)]
    near = log(TIMES_MEDIAN) + ROUNDING
    logs = [each for each in newest if abs(each - median(newest)) <= near]
    if not logs:
        return Learned()
    count, middle = len(logs), median(logs)
    deviation = median(abs(each - middle) for each in logs)
    return Learned(
        shift=count * middle / (count + PRIOR),
        count=count,
        spread=(MAD_TO_SPREAD * deviation * count + PRIOR_SPREAD * PRIOR) / (count + PRIOR),
    )


def expected_s(step: Step, area_m2: float | None) -> float:
    """Return how long a step takes by its route alone. area_m2: of the whole lot, None unknown.

    A wash soaks besides, zone by zone; what soaks as a whole is rinsed within its time.
    """
    labour_s = labour_of(step, sprayed=False).lasts_s(area_m2)
    if step.kind == "dwell":
        return labour_s + step.least_s
    return min(max(labour_s, step.least_s), step.most_s) if step.most_s else labour_s


def by_one_s(lasted_s: float, step: Step, painters: int) -> float:
    """Return how long a step that lasted so would have taken one painter.

    >>> by_one_s(600.0, Step("file", "work", hands="1-2"), 2)
    1200.0
    """
    return 2 * lasted_s if step.hands == "1-2" and painters > 1 else lasted_s


def learned_of(step: Step, tool: str, past: Sequence[PastStep]) -> tuple[Learned, str]:
    """Return what past steps say of a step, and which: "step", "tool" or none; newest first.

    Steps of the same name count, and where there are none, those of the same kind and tool.
    """
    known = [each for each in past if each.lasted_s >= SHORTEST_KNOWN_S]
    same = [each for each in known if (each.name, each.kind) == (step.name, step.kind)]
    alike = same or [each for each in known if (each.kind, each.tool) == (step.kind, tool)]
    found = learned(each.lasted_s / each.expected_s for each in alike)
    return found, ("step" if same else "tool") if found.count else ""


def usual_length(step: Step, tool: str, area_m2: float | None, past: Sequence[PastStep]) -> Length:
    """Return how long a step usually takes, from its first hour to its last.

    tool: its key, empty without one; area_m2: of the whole lot; past: finished steps, newest first.
    """
    found, like = learned_of(step, tool, past)
    lasts = timedelta(seconds=round(expected_s(step, area_m2) * exp(found.shift)))
    return Length(lasts, found.count, found.spread, like)


def was_interrupted(
    first_at: datetime, last_at: datetime, stays: Iterable[tuple[datetime, datetime]]
) -> bool:
    """Return whether somebody went home, or had the break, between two hours of a step.

    stays: when somebody is in on the days of the first hour and the next.
    """
    edges = (at for stay in stays for at in stay)
    return last_at - first_at > timedelta(days=1) or any(first_at < at < last_at for at in edges)
