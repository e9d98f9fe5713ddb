"""The airs of a model: what two kinds of work do to the air of a place keeps them apart.

Of each two that could meet one is the first. That is many pairs, and still less work for the solver
than intervals that never overlap.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from bench.process.plan.model_lines import Line, Literal, negated
from bench.process.plan.problem import Problem

if TYPE_CHECKING:
    from bench.process.plan.model import Model


@dataclass
class Breath:
    """What does something to the air of a place, from one line to another, where ``given``."""

    start: Line
    end: Line
    given: Literal
    owner: tuple[str, int]


def keep_apart(model: Model) -> None:
    """Hold that the two sides of an air never meet in a model."""
    _Airs(model).hold()


class _Airs:
    """The airs of a model, with the order of the tasks of each piece."""

    def __init__(self, model: Model) -> None:
        self.model, self.ranks = model, _ranks(model.problem)

    def hold(self) -> None:
        """Keep every two of different sides apart."""
        for (air, side), breaths in self.model.breaths.items():
            if side:
                continue
            for here in breaths:
                for there in self.model.breaths.get((air, 1), ()):
                    if here.owner != there.owner:
                        self._apart(here, there)

    def _apart(self, here: Breath, there: Breath) -> None:
        """Hold that two never overlap, where both are given."""
        if here.start.least >= there.end.most or there.start.least >= here.end.most:
            return
        given = [literal for literal in (here.given, there.given) if literal is not True]
        before: Literal | None = self._order(here, there)
        if before is None:
            before = self.model.cp.new_bool_var("")
        if before is not False:
            held = self.model.cp.add(here.end.at <= there.start.at)
            held.only_enforce_if([*given, *([] if before is True else [before])])
        if before is not True:
            held = self.model.cp.add(there.end.at <= here.start.at)
            held.only_enforce_if([*given, *([] if before is False else [negated(before)])])

    def _order(self, here: Breath, there: Breath) -> bool | None:
        """Return whether one is always the first, by where they can be or by their piece."""
        if here.end.least > there.start.most:
            return False
        if there.end.least > here.start.most:
            return True
        if here.owner[0] == there.owner[0] == "task":
            one, other = (self.ranks.get(breath.owner[1]) for breath in (here, there))
            if one is not None and other is not None and one[0] == other[0]:
                return one[1] < other[1]
        return None


def _ranks(problem: Problem) -> dict[int, tuple[int, int]]:
    """Return the piece and the place in it of each task that waits for the one before it."""
    follows = {(wait.before, wait.after) for wait in problem.waits}
    return {
        task: (number, place)
        for number, piece in enumerate(problem.pieces)
        if all(pair in follows for pair in pairwise(piece.tasks))
        for place, task in enumerate(piece.tasks)
    }
