"""What follows for one slot from where another lies, told to the solver: held against the table."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import pytest
from ortools.sat.python import cp_model

from bench.process.plan.model_lines import Line, Lines
from bench.process.plan.slot_sets import between, members

LINE, AFTER = between(0, 5) | between(7, 14), between(4, 9) | between(12, 22)


class _Pairs(cp_model.CpSolverSolutionCallback):
    """Takes down where both lines lie in each answer."""

    def __init__(self, line: Line, after: Line) -> None:
        super().__init__()
        self.line, self.after = line, after
        self.found: set[tuple[int, int]] = set()

    def on_solution_callback(self) -> None:
        """Take down one answer."""
        self.found.add((self.value(self.line.var), self.value(self.after.var)))


def allowed(table: Sequence[int], *, opens: bool) -> set[tuple[int, int]]:
    """Return every pair of slots that the solver allows for a table."""
    model = cp_model.CpModel()
    lines = Lines(model)
    line, after = lines.line(LINE), lines.line(AFTER)
    (lines.opens if opens else lines.closes)(table, line, after, True)
    solver, pairs = cp_model.CpSolver(), _Pairs(line, after)
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    solver.solve(model, pairs)
    return pairs.found


def drawn(seed: int) -> list[int]:
    """Draw a table as nights and breaks make it: it rises with the slot, stands still or falls."""
    random = Random(seed)
    table = [random.randint(2, 10)]
    while len(table) < 16:
        step = random.choice((1, 1, 0, 0, -1, 3))
        table += [max(0, table[-1] + step * n) for n in range(1, random.randint(2, 6))]
    return table


RISES_THEN_STANDS = [*range(5, 15), *[13] * 6]
FALLS_AT_THE_END = [5, 5, 8, 11, *range(14, 23), 21, 20, 19]
"""From slot 4 to 12 it rises with the slot, but the line has no 5 and no 6."""


@pytest.mark.parametrize("table", [RISES_THEN_STANDS, FALLS_AT_THE_END, *map(drawn, range(12))])
def test_the_solver_allows_what_the_table_allows_and_nothing_else(table: list[int]) -> None:
    every = [(slot, after) for slot in members(LINE) for after in members(AFTER)]
    assert allowed(table, opens=True) == {(s, a) for s, a in every if a >= table[s]}
    assert allowed(table, opens=False) == {(s, a) for s, a in every if a < table[s]}
