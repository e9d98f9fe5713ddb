"""Slots as a solver's variables, and what follows for one of them from where another lies.

A ``Line`` is a variable, the slots it may take, and a shift. "From slot v on" is one literal for
each variable and slot, made when it is first asked for. One that is always the same is a bool.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

from bench.process.plan import slot_sets

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

FEWEST_ON_SLOPE = 3

Literal: TypeAlias = "cp_model.BoolVarT | bool"
Expression: TypeAlias = "cp_model.LinearExpr | int"


@dataclass(frozen=True)
class Line:
    """A variable that takes one of ``slots``, and a shift to be added to it."""

    var: cp_model.IntVar
    slots: int
    shift: int = 0

    def later(self, by: int) -> Line:
        """Return the line ``by`` slots later."""
        return replace(self, shift=self.shift + by)

    @property
    def at(self) -> Expression:
        """Return it as an expression."""
        return self.var + self.shift if self.shift else self.var

    @property
    def least(self) -> int:
        """Return its first slot."""
        return slot_sets.first(self.slots) + self.shift

    @property
    def most(self) -> int:
        """Return its last slot."""
        return slot_sets.last(self.slots) + self.shift


def negated(literal: Literal) -> Literal:
    """Return the opposite of a literal."""
    return not literal if isinstance(literal, bool) else ~literal


class Lines:
    """The lines of one model, with their literals."""

    def __init__(self, model: cp_model.CpModel) -> None:
        """Make them for a model."""
        self.model = model
        self._from: dict[tuple[int, int], cp_model.IntVar] = {}

    def line(self, slots: int) -> Line:
        """Return a new line over a set of slots that is not empty."""
        return Line(self.model.new_int_var_from_domain(domain(slots), ""), slots)

    def from_slot(self, line: Line, slot: int) -> Literal:
        """Return the literal of "at ``slot`` or later"."""
        wanted = slot - line.shift
        if wanted <= slot_sets.first(line.slots):
            return True
        following = slot_sets.next_in(line.slots, wanted)
        if following is None:
            return False
        key = line.var.index, following
        if key not in self._from:
            literal = self._from[key] = self.model.new_bool_var("")
            self.model.add(line.var >= following).only_enforce_if(literal)
            self.model.add(line.var < following).only_enforce_if(~literal)
        return self._from[key]

    def clause(self, *literals: Literal) -> None:
        """Hold that one of the literals is true."""
        if any(literal is True for literal in literals):
            return
        self.model.add_bool_or([literal for literal in literals if literal is not False])

    def one_of(self, literals: Iterable[Literal]) -> None:
        """Hold that exactly one of the literals is true."""
        self.model.add_exactly_one([literal for literal in literals if literal is not False])

    def opens(self, table: Sequence[int], line: Line, after: Line, given: Literal) -> None:
        """Hold that ``after`` is not before the table's slot for ``line``, where ``given``."""
        lag = _same_lag(table, line, after)
        if lag is not None:
            self._linear(after.at - line.at >= lag, given)
            return
        pieces = _pieces(table, line, after, _up(after))
        for place, piece in enumerate(pieces):
            lower = (p.since for p in pieces[place + 1 :] if p.least < piece.most)
            ends = piece.until if piece.lag is not None else next(lower, None)
            over = False if ends is None else self.from_slot(line, ends)
            begun = self.from_slot(line, piece.since)
            if piece.lag is None:
                value = self.from_slot(after, piece.most)
                self.clause(negated(begun), over, value, negated(given))
            else:
                held = after.at - line.at >= piece.lag
                self._linear(held, begun, negated(over), given)

    def closes(self, table: Sequence[int], line: Line, after: Line, given: Literal) -> None:
        """Hold that ``after`` is before the table's slot for ``line``, where ``given``."""
        lag = _same_lag(table, line, after)
        if lag is not None:
            self._linear(after.at - line.at < lag, given)
            return
        pieces = _pieces(table, line, after, _down(after))
        for place, piece in enumerate(pieces):
            higher = (p.until for p in reversed(pieces[:place]) if p.most > piece.least)
            since = piece.since if piece.lag is not None else next(higher, None)
            begun = True if since is None else self.from_slot(line, since)
            over = False if piece.until is None else self.from_slot(line, piece.until)
            if piece.lag is None:
                late = negated(self.from_slot(after, piece.least))
                self.clause(negated(begun), over, late, negated(given))
            else:
                held = after.at - line.at < piece.lag
                self._linear(held, begun, negated(over), given)

    def _linear(self, holds: cp_model.BoundedLinearExpression | bool, *given: Literal) -> None:
        if not any(literal is False for literal in given):
            constraint = self.model.add(holds)
            constraint.only_enforce_if([literal for literal in given if literal is not True])


@dataclass(frozen=True)
class _Piece:
    """A stretch of a table: one value, or where ``lag`` is given one value later with each slot.

    From slot ``since`` up to, not with, ``until``; None where it is the last.
    """

    since: int
    until: int | None
    least: int
    most: int
    lag: int | None = None


def _pieces(
    table: Sequence[int], line: Line, after: Line, rounded: Callable[[int], int]
) -> list[_Piece]:
    """Return a table's stretches over a line, its values rounded to where ``after`` may lie."""
    slots = [slot + line.shift for slot in slot_sets.members(line.slots)]
    pieces: list[_Piece] = []
    place = 0
    while place < len(slots):
        value, lag = rounded(table[slots[place]]), table[slots[place]] - slots[place]
        flat = place
        while flat < len(slots) and rounded(table[slots[flat]]) == value:
            flat += 1
        slope = place
        while slope < len(slots) and _on_slope(table, slots[slope], lag, rounded):
            slope += 1
        end = max(flat, slope)
        until = slots[end] if end < len(slots) else None
        if slope - flat >= FEWEST_ON_SLOPE:
            pieces.append(_Piece(slots[place], until, value, slots[slope - 1] + lag, lag))
        else:
            end = flat
            until = slots[end] if end < len(slots) else None
            pieces.append(_Piece(slots[place], until, value, value))
        place = end
    return pieces


def _on_slope(table: Sequence[int], slot: int, lag: int, rounded: Callable[[int], int]) -> bool:
    return table[slot] == slot + lag == rounded(table[slot])


def domain(slots: int) -> cp_model.Domain:
    """Return a set of slots as the domain of a variable."""
    from ortools.sat.python import cp_model

    return cp_model.Domain.from_intervals([[a, b - 1] for a, b in slot_sets.runs(slots)])


def _same_lag(table: Sequence[int], line: Line, after: Line) -> int | None:
    """Return by how much the table's slots are later than its own, if it is the same for all.

    Where ``after`` cannot be anyway the table may say something else that is too late for it.
    """
    lag: int | None = None
    beyond = []
    for slot in slot_sets.members(line.slots):
        slot += line.shift
        if table[slot] > after.most:
            beyond.append(slot)
        elif lag is None:
            lag = table[slot] - slot
        elif table[slot] - slot != lag:
            return None
    if lag is None or any(slot + lag <= after.most for slot in beyond):
        return None
    return lag


def _up(after: Line) -> Callable[[int], int]:
    """Return what rounds a slot up to where a line may lie, or beyond all of it."""
    nearest = _nearest(after.slots, after.shift)
    return lambda slot: nearest[min(max(slot, 0), len(nearest) - 1)]


def _down(after: Line) -> Callable[[int], int]:
    """Return what rounds a slot that is too late down to the first that still is."""
    nearest = _nearest(after.slots, after.shift)
    before = [after.least] * len(nearest)
    for slot in range(after.least + 1, len(nearest)):
        before[slot] = slot if nearest[slot - 1] == slot - 1 else before[slot - 1]
    return lambda slot: before[min(max(slot, 0), len(before) - 1)]


@lru_cache(maxsize=64)
def _nearest(slots: int, shift: int) -> list[int]:
    """Return for each slot the next of a shifted set, or the one beyond its last."""
    beyond = slot_sets.last(slots) + shift + 1
    nearest = [beyond] * (beyond + 1)
    upto = 0
    for since, until in slot_sets.runs(slots):
        since, until = since + shift, until + shift
        nearest[max(0, upto) : max(0, since)] = [since] * (max(0, since) - max(0, upto))
        for slot in range(max(0, since), until):
            nearest[slot] = slot
        upto = until
    return nearest
