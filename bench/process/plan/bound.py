"""What no plan can be below: a bound by columns, far better than a solver's own on a full bench.

Each piece alone takes its cheapest chain where hands, places and pots have prices; what they would
bring for all that there is goes off. That is a bound for any prices that are not below zero. Good
prices come from a linear program over the chains found so far (Dantzig and Wolfe 1960), smoothed
towards the prices that gave the best bound (Wentges 1997).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import ceil, gcd
from typing import TYPE_CHECKING, Any, TypeAlias

from bench.process.plan.bound_columns import Column, chains
from bench.process.plan.bound_rows import Rows
from bench.process.plan.checking import LEFT_OUT_PRICE
from bench.process.plan.model_windows import Windows, start_windows
from bench.process.plan.problem import Problem
from bench.process.plan.referee import needed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]

SMOOTHING = 0.5

NEARLY = 1e-4
"""So little may be lost where prices are added up."""


@dataclass(frozen=True)
class Bound:
    """What no plan can be below, and after how many rounds that was found."""

    price: int
    rounds: int


def lower_bound(
    problem: Problem,
    rounds: int = 60,
    better: Callable[[int], bool] | None = None,
    most: int | None = None,
) -> Bound:
    """Return what no plan can be below.

    rounds: of the linear program. better: told each better bound; returns False to end. most: what
    a plan that is there counts: it ends where the bound has come to it. Raises NoReferee.
    """
    return bounded(problem, rounds, better, most)[0]


def bounded(
    problem: Problem,
    rounds: int,
    better: Callable[[int], bool] | None = None,
    most: int | None = None,
) -> tuple[Bound, Columns | None]:
    """Return the bound as ``lower_bound`` does, and the columns it came from.

    Without columns where a piece has no place at all. Raises NoReferee.
    """
    needed()
    windows = start_windows(problem)
    lonely = [
        piece
        for piece, each in enumerate(problem.pieces)
        if not all(windows.has_some(n) for n in each.tasks)
    ]
    if lonely:
        return Bound(LEFT_OUT_PRICE * len(lonely), 0), None
    columns = Columns(problem, windows)
    return columns.bound(rounds, better, most), columns


class Columns:
    """The linear program over chains, and the bound that its prices give."""

    def __init__(self, problem: Problem, windows: Windows) -> None:
        """Make the rows, without any column."""
        import numpy as np
        from ortools.linear_solver import pywraplp

        self.problem = problem
        self.chains = chains(problem, windows)
        self.rows = Rows(problem, self.chains)
        self.grain = grain(problem)
        self.solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        free = -self.solver.infinity()
        self.pieces = [self.solver.Constraint(1.0, 1.0) for _ in self.chains]
        mosts = [row.most for row in self.rows.stretches]
        mosts += [row.standing for row in self.rows.pot_rows]
        self.mosts = np.array(mosts)
        self.held = [self.solver.Constraint(free, most) for most in mosts]
        self.objective = self.solver.Objective()
        self.objective.SetMinimization()
        for piece in self.pieces:
            column = self._variable(float(LEFT_OUT_PRICE))
            piece.SetCoefficient(column, 1.0)
        self._add_pots()
        self.seen: set[Column] = set()
        self.value, self.prices = -np.inf, np.zeros(len(mosts))  # the best bound, and by which

    def _variable(self, price: float) -> Any:
        variable = self.solver.NumVar(0.0, self.solver.infinity(), "")
        self.objective.SetCoefficient(variable, price)
        return variable

    def _add_pots(self) -> None:
        """Add for each paint and day how many pots are mixed."""
        rows, mix = self.rows, float(self.problem.weights.mix)
        self.gives: list[dict[int, float]] = [{} for _ in rows.pot_days]
        self.takes: list[dict[int, float]] = [{} for _ in rows.pot_days]
        for place, row in enumerate(rows.pot_rows):
            self.gives[row.day][len(rows.stretches) + place] = row.each
        for number in range(len(rows.pot_days)):
            for place in rows.days_of_pot(number):
                self.takes[number][place] = float(rows.pot_hands(number)[1])
            variable = self._variable(mix)
            for place, amount in self.gives[number].items():
                self.held[place].SetCoefficient(variable, -amount)
            for place, amount in self.takes[number].items():
                self.held[place].SetCoefficient(variable, amount)

    def bound(self, rounds: int, better: Callable[[int], bool] | None, most: int | None) -> Bound:
        """Return the best bound of so many rounds."""
        import numpy as np

        best, prices = self.value, self.prices
        done = 0
        for done in range(1, rounds + 1):
            value, columns = self.under(prices)
            if value > best:
                told = self._rounded(best)
                best = self.value = value
                self.prices = prices
                if self._rounded(best) > told and better and not better(self._rounded(best)):
                    break
            if most is not None and self._rounded(best) >= most:
                break
            added = self._add(columns)
            if added or done == 1:
                status = self.solver.Solve()
                assert status == self.solver.OPTIMAL, status
            total = self.objective.Value()
            if self._rounded(best) >= self._rounded(total):
                break
            duals = np.maximum(0.0, np.array([-row.dual_value() for row in self.held]))
            smooth = SMOOTHING if added else 0.0
            if not added and np.array_equal(prices, duals):
                break
            prices = smooth * self.prices + (1.0 - smooth) * duals
        return Bound(max(0, self._rounded(best)), done)

    def _rounded(self, value: float) -> int:
        if value == float("-inf"):
            return -LEFT_OUT_PRICE
        return ceil((value - NEARLY) / self.grain) * self.grain

    def _scaled(self, prices: Floats) -> Floats:
        """Return prices under which no pot is worth more than it counts to mix it."""
        scaled = prices.copy()
        for gives, takes in zip(self.gives, self.takes, strict=True):
            worth = sum(prices[place] * amount for place, amount in gives.items())
            price = float(self.problem.weights.mix)
            price += sum(prices[place] * amount for place, amount in takes.items())
            if worth > price:
                for place in gives:
                    scaled[place] *= price / worth
        return scaled

    def under(self, prices: Floats) -> tuple[float, list[Column]]:
        """Return the bound that prices give, any that are not below 0, and the cheapest chains."""
        prices = self._scaled(prices)
        total, columns = -float(prices @ self.mosts), []
        for chain, priced in zip(self.chains, self.rows.priced(self.chains, prices), strict=True):
            least, found = chain.cheapest(priced)
            total += min(least, float(LEFT_OUT_PRICE))
            columns += found
        return total, columns

    def can_narrow(self, most: int) -> bool:
        """Return whether any start could be ruled out for plans that count at most so much."""
        return self.value > float("-inf") and most - self.value < LEFT_OUT_PRICE

    def narrowed(self, most: int) -> tuple[Problem | None, float]:
        """Return the question without the starts that no plan counting at most so much has.

        With it the share of the starts that is left. None where there is no such plan.
        """
        prices, tasks = self._scaled(self.prices), list(self.problem.tasks)
        kept, count = 0, 0
        for chain, priced in zip(self.chains, self.rows.priced(self.chains, prices), strict=True):
            through = chain.through(priced)
            least = float(min(through[-1].min(), LEFT_OUT_PRICE))
            spare = most - (self.value - least) + NEARLY
            for options, counts in zip(chain.options, through, strict=True):
                fits = counts <= spare
                if not fits.any():
                    return None, 0.0
                kept, count = kept + int(fits.sum()), count + len(fits)
                tasks[options.number] = tasks[options.number].with_starts(options.starts(fits))
        return replace(self.problem, tasks=tuple(tasks)), kept / count

    def _add(self, columns: Sequence[Column]) -> int:
        """Add the columns that are not in the program yet; return how many."""
        added = 0
        for column in columns:
            if column in self.seen:
                continue
            self.seen.add(column)
            added += 1
            variable = self._variable(column.price)
            self.pieces[column.piece].SetCoefficient(variable, 1.0)
            weights = self.rows.weights(self.chains[column.piece], column)
            for place, weight in weights.items():
                self.held[place].SetCoefficient(variable, weight)
        return added


def grain(problem: Problem) -> int:
    """Return what everything that counts is a multiple of."""
    found = gcd(problem.weights.missed, problem.weights.mix)
    for piece in problem.pieces:
        found = gcd(found, *set(piece.price))
    return max(1, gcd(found, *(task.move_price for task in problem.tasks)))
