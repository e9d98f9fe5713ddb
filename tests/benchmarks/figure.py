"""A figure beside its floor and its bar, and how both are timed in one run."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from statistics import quantiles
from typing import Any

Work = Callable[[], object]


@dataclass(frozen=True)
class Figure:
    """What was measured, beside a floor measured in the same run.

    most: the bar, as so many times the floor, or in the unit where ``absolute``; None: only shown.
    """

    what: str
    ours: float
    floor: float
    unit: str
    most: float | None = None
    absolute: bool = False
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
        return (self.ours if self.absolute else self.ratio) <= self.most


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
    lines = [f"{'what':<34}{'ours':>9}{'floor':>9} {'unit':<5}{'ratio':>7}  {'bar':<9}"]
    for figure in figures:
        ours, floor = f"{figure.ours:.3g}", f"{figure.floor:.3g}"
        bar = "" if figure.most is None else f"{figure.most:g} "
        bar += "" if figure.most is None else figure.unit if figure.absolute else "x"
        met = {True: "met", False: "MISSED", None: ""}[figure.met]
        line = f"{figure.what:<34}{ours:>9}{floor:>9} {figure.unit:<5}{figure.ratio:>7.2f}"
        lines.append(f"{line}  {bar:<9}{met:<7}{figure.note}".rstrip())
    return "\n".join(lines)


def as_json(figures: Iterable[Figure]) -> list[dict[str, Any]]:
    """The figures as programs read them."""
    return [{**asdict(each), "ratio": each.ratio, "met": each.met} for each in figures]
