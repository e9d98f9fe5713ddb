"""A figure beside its floor and its bar, and how both are timed in one run."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from statistics import quantiles
from typing import Any, Literal

Work = Callable[[], object]
Bar = Literal["times", "over", "at most"]
"""What a bar bounds: ours over the floor, ours less the floor, or ours alone."""


@dataclass(frozen=True)
class Figure:
    """What was measured, beside a floor measured in the same run.

    most: the bar, of the kind that ``bar`` says, in the unit unless it is "times"; None: only shown.
    """

    what: str
    ours: float
    floor: float
    unit: str
    most: float | None = None
    bar: Bar = "times"
    note: str = ""

    @property
    def ratio(self) -> float:
        """Ours over the floor."""
        return self.ours / self.floor if self.floor else float("inf")

    @property
    def met(self) -> bool | None:
        """Whether the bar is met; None without one."""
        if self.most is None:
            return None
        bounded = {"times": self.ratio, "over": self.ours - self.floor, "at most": self.ours}
        return bounded[self.bar] <= self.most

    @property
    def bar_words(self) -> str:
        """The bar as people read it; empty without one."""
        if self.most is None:
            return ""
        unit = {"times": "x", "over": f"{self.unit} over", "at most": self.unit}[self.bar]
        return f"{self.most:g} {unit}"


def beside(ours: Work, floor: Work, times: int) -> tuple[float, float]:
    """Seconds of a call of each, by turns: what else the computer does slows both.

    The fourth part that is quickest, at its slowest: an odd one out says nothing, and neither does
    a neighbour that took the processor away.
    """
    took: tuple[list[float], list[float]] = ([], [])
    for _ in range(times):
        for work, seconds in zip((ours, floor), took, strict=True):
            began = time.perf_counter()
            work()
            seconds.append(time.perf_counter() - began)
    return quantiles(took[0], n=4)[0], quantiles(took[1], n=4)[0]


def processor_s(work: Work, times: int) -> float:
    """Processor seconds of one call, where nobody else is in the way."""
    took = []
    for _ in range(times):
        began = time.process_time()
        work()
        took.append(time.process_time() - began)
    return min(took)


def table(figures: Iterable[Figure]) -> str:
    """The figures as people read them."""
    lines = [f"{'what':<34}{'ours':>9}{'floor':>9} {'unit':<5}{'ratio':>7}  {'bar':<12}"]
    for figure in figures:
        floor = f"{figure.floor:.3g}" if figure.floor else "-"
        ratio = f"{figure.ratio:.2f}" if figure.floor else "-"
        met = {True: "met", False: "MISSED", None: ""}[figure.met]
        line = f"{figure.what:<34}{figure.ours:>9.3g}{floor:>9} {figure.unit:<5}{ratio:>7}"
        lines.append(f"{line}  {figure.bar_words:<12}{met:<7}{figure.note}".rstrip())
    return "\n".join(lines)


def as_json(figures: Iterable[Figure]) -> list[dict[str, Any]]:
    """The figures as programs read them."""
    return [{**asdict(each), "ratio": each.ratio, "met": each.met} for each in figures]
