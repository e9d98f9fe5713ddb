"""What no better plan can use: starts that the prices of the bound rule out.

Under the prices of a bound a piece counts at least so much through each of its starts. Where that
is above its least by more than a plan may be above the bound, no such plan has that start. What is
left is a far smaller question, and its own bound may be better still.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bench.process.plan.bound import bounded
from bench.process.plan.problem import Problem

TIMES = 4
"""So often a question that became smaller is asked for its own bound."""
MOST_SHARE = 0.5
"""It is not asked again where more than this was left of it."""


@dataclass(frozen=True)
class Within:
    """A question without the starts that no plan counting at most so much has.

    price: what no plan of the whole question that counts at most so much can be below.
    """

    problem: Problem
    price: int


class Narrowing:
    """The bound of a problem, and what plans near to it can use."""

    def __init__(
        self, problem: Problem, rounds: int, better: Callable[[int], bool] | None = None
    ) -> None:
        """Find the bound: rounds, better as in ``lower_bound``. Raises NoReferee."""
        self.problem, self.rounds = problem, rounds
        found, self.columns = bounded(problem, rounds, better)
        self.price = found.price

    def within(self, most: int) -> Within | None:
        """Return what a plan that counts at most so much can use; None where there is no such."""
        problem, columns, price = self.problem, self.columns, self.price
        for _ in range(TIMES):
            if columns is None or not columns.can_narrow(most):
                break
            narrowed, share = columns.narrowed(most)
            if narrowed is None:
                return None
            problem = narrowed
            if share > MOST_SHARE:
                break
            found, columns = bounded(problem, self.rounds, None)
            price = max(price, found.price)
        return None if price > most else Within(problem, price)
