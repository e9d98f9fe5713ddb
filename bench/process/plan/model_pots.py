"""The pots of a model: each coat opens one or is sprayed from one that was opened before it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bench.process.plan import slot_sets
from bench.process.plan.model_lines import Line, Literal, negated
from bench.process.plan.problem import (
    Hold,
    Placed,
    Problem,
    Schedule,
    mixed_by_others,
    span,
    spray_start,
)

if TYPE_CHECKING:
    from bench.process.plan.model import Model, Work


@dataclass
class Pot:
    """A pot that may be used. opener: the task it is mixed for, None where it stands there open.

    begins: from where on it is sprayed from; empty_by: by when it is empty, both as lines.
    left_ml: for those that may join. last_end: where the last of those that stay has ended.
    """

    opener: int | None
    open_pot: int | None
    is_used: Literal
    begins: Line | None
    empty_by: Line
    left_ml: int
    last_end: Line | None
    joins: dict[int, Literal] = field(default_factory=dict)


def staying_pots(
    problem: Problem, stays: Mapping[int, Placed]
) -> dict[tuple[int, bool], list[int]]:
    """Return what is sprayed from each pot of the tasks that stay.

    By the task it is mixed for and False, or its place among the open pots and True.
    """
    found: dict[tuple[int, bool], list[int]] = {}
    for number, placed in stays.items():
        if placed.pot is not None:
            found.setdefault((placed.pot, False), []).append(number)
        elif placed.open_pot is not None:
            found.setdefault((placed.open_pot, True), []).append(number)
    return found


class Pots:
    """What is mixed, and who joins, in one model."""

    def __init__(self, model: Model) -> None:
        """Take from what is left the mixing, and the flush where nobody can join, of what stays."""
        self.model, problem = model, model.problem
        self.opened: dict[int, Literal] = {}
        self.pots: list[Pot] = []
        self.joinable: list[tuple[int, bool]] = []
        self.staying_work: list[tuple[int, int, int]] = []
        self.staying = staying_pots(problem, model.stays)
        for (key, is_open), users in self.staying.items():
            paint_number = problem.tasks[users[0]].paint
            assert paint_number is not None
            paint = problem.paints[paint_number]
            hold = (Hold(paint.hands, 1),)
            if not is_open:
                task, placed = problem.tasks[key], model.stays[key]
                sprayed = spray_start(task, placed)
                begun = sprayed - paint.mixing
                others = mixed_by_others(task, paint, abraded=placed.is_abraded)
                model.ground.take((begun, begun + others), hold, ())
                self.staying_work.append((begun, begun + others, paint.hands))
                model.ground.take((begun, sprayed), (), paint.mixing_airs)
            if self._may_join(paint_number, self._left(key, is_open)):
                self.joinable.append((key, is_open))
            else:
                end = self._last_end(users)
                model.ground.take((end, end + paint.flush), hold, paint.flush_airs)
                self.staying_work.append((end, end + paint.flush, paint.hands))

    def _last_end(self, users: list[int]) -> int:
        tasks, stays = self.model.problem.tasks, self.model.stays
        return max(span(tasks[user], stays[user])[1] for user in users)

    def _left(self, key: int, is_open: bool) -> int:
        """Return how much is left of a pot once what stays has been sprayed from it."""
        problem = self.model.problem
        taken = sum(problem.tasks[user].ml for user in self.staying.get((key, is_open), ()))
        if is_open:
            return problem.open_pots[key].left_ml - taken
        task = problem.tasks[key]
        assert task.paint is not None
        return 0 if task.mixes > 1 else problem.paints[task.paint].cup_ml - taken

    def _may_join(self, paint: int, left_ml: int) -> bool:
        tasks = self.model.problem.tasks
        return any(
            tasks[n].paint == paint and tasks[n].mixes == 1 and tasks[n].ml <= left_ml
            for n in self.model.moving
        )

    def share(self) -> None:
        """Add the pots to the model, once its tasks are in it."""
        problem = self.model.problem
        for paint in range(len(problem.paints)):
            coats = [n for n in sorted(self.model.moving) if problem.tasks[n].paint == paint]
            if not coats:
                continue
            pots = [*self._standing(paint), *(self._mixed(n) for n in coats)]
            pots = [pot for pot in pots if pot.is_used is not False]
            for coat in coats:
                choices = [self.opened[coat]]
                for pot in pots:
                    literal = self._join(coat, pot)
                    if literal is not False:
                        pot.joins[coat] = literal
                        choices.append(literal)
                self.model.lines.one_of(choices)
            for pot in pots:
                self._limit(paint, pot)
            self._enough(paint, coats, pots)
            self.pots += pots

    def _mixed(self, number: int) -> Pot:
        """Return the pot that may be mixed for a task."""
        model, work = self.model, self.model.works[number]
        task, lines = work.task, model.lines
        assert task.paint is not None
        paint, sprayed = model.problem.paints[task.paint], work.sprayed
        ways = self._ways(work)
        opens: Literal = any(ways)
        if opens and not (task.mixes > 1):
            opens = model.cp.new_bool_var("")
        self.opened[number] = opens
        leads = task.lead, task.lead + task.abrading
        ends = {
            paint.empty_by[slot + lead]
            for slots, lead in zip(ways, leads, strict=True)
            for slot in slot_sets.members(slots)
        }
        empty_by = lines.line(sum(1 << end for end in ends) or 1)
        if opens is not False:
            lines.closes([end + 1 for end in paint.empty_by], sprayed, empty_by, opens)
            model.price.append(model.problem.weights.mix * task.mixes * opens)
            for way, slots in enumerate(ways):
                self._mixing(work, way, slots, opens)
            for air in paint.mixing_airs:
                begin = sprayed.later(-paint.mixing)
                model.breathe(air, begin, sprayed, opens, ("mixing", number))
        left = 0 if task.mixes > 1 else paint.cup_ml - task.ml
        return Pot(number, None, opens, sprayed, empty_by, left, work.end)

    def _ways(self, work: Work) -> tuple[int, int]:
        """Return from which starts a task can be mixed for, without and with the abrading first."""
        task, ground = work.task, self.model.ground
        if task.fixed is not None:
            return work.ways
        leads = task.lead, task.lead + task.abrading
        plain, abraded = (
            ground.mixing_starts(task, slots & task.opening_starts >> lead, abraded=is_abraded)
            for slots, lead, is_abraded in zip(work.ways, leads, (False, True), strict=True)
        )
        return plain, abraded

    def _mixing(self, work: Work, way: int, slots: int, opens: Literal) -> None:
        """Let a pot be mixed for a task that is placed in one way, from some starts alone."""
        model, task, given = self.model, work.task, work.is_abraded(way)
        assert task.paint is not None
        if given is False:
            return
        both = opens
        if given is not True:
            both = given if opens is True else model.cp.new_bool_var("")
            model.lines.clause(negated(opens), negated(given), both)
        model.within(work.start, slots, both)
        paint = model.problem.paints[task.paint]
        others = mixed_by_others(task, paint, abraded=bool(way))
        if others:
            begin = work.start.later(task.lead + way * task.abrading - paint.mixing)
            model.use_hand(paint.hands, begin, begin.later(others), both)

    def _standing(self, paint: int) -> list[Pot]:
        """Return the pots that stand there whatever the solver does."""
        model, problem, found = self.model, self.model.problem, []
        for key, is_open in self.joinable:
            users = self.staying[key, is_open]
            if problem.tasks[users[0]].paint != paint:
                continue
            end = model.lines.line(1 << self._last_end(users))
            if is_open:
                begins, empty_by = None, problem.open_pots[key].empty_by
            else:
                start = spray_start(problem.tasks[key], model.stays[key])
                begins = model.lines.line(1 << start)
                empty_by = problem.paints[paint].empty_by[start]
            until = model.lines.line(1 << empty_by)
            opener, open_pot = (None, key) if is_open else (key, None)
            left_ml = self._left(key, is_open)
            found.append(Pot(opener, open_pot, True, begins, until, left_ml, end))
        for key, stands in enumerate(problem.open_pots):
            if stands.paint == paint and (key, True) not in self.staying:
                used = model.cp.new_bool_var("")
                until = model.lines.line(1 << stands.empty_by)
                found.append(Pot(None, key, used, None, until, stands.left_ml, None))
        return found

    def _join(self, coat: int, pot: Pot) -> Literal:
        """Return the literal of a coat sprayed from another's pot, False where it cannot be."""
        work, cp = self.model.works[coat], self.model.cp
        if pot.opener == coat or work.task.mixes > 1 or work.task.ml > pot.left_ml:
            return False
        if work.end.least > pot.empty_by.most:
            return False
        if pot.begins is not None and work.sprayed.most < pot.begins.least:
            return False
        joins = cp.new_bool_var("")
        if pot.begins is not None and pot.begins.most > work.sprayed.least:
            cp.add(work.sprayed.at >= pot.begins.at).only_enforce_if(joins)
        if work.end.most > pot.empty_by.least:
            cp.add(work.end.at <= pot.empty_by.at).only_enforce_if(joins)
        if pot.is_used is not True:
            cp.add_implication(joins, pot.is_used)
        return joins

    def _limit(self, paint_number: int, pot: Pot) -> None:
        """Hold that a pot is large enough and is emptied in time, and that its gun is cleaned."""
        model, cp = self.model, self.model.cp
        paint = model.problem.paints[paint_number]
        tasks = model.problem.tasks
        if sum(tasks[coat].ml for coat in pot.joins) > pot.left_ml:
            cp.add(sum(tasks[n].ml * joins for n, joins in pot.joins.items()) <= pot.left_ml)
        if pot.last_end is not None and pot.last_end.most > pot.empty_by.least:
            held = cp.add(pot.last_end.at <= pot.empty_by.at)
            if pot.is_used is not True:
                held.only_enforce_if(pot.is_used)
        if pot.opener is None and pot.last_end is None:
            model.lines.clause(negated(pot.is_used), *pot.joins.values())
        if paint.flush and (pot.joins or pot.last_end is not None):
            self._flush(paint_number, pot)

    def _flush(self, paint_number: int, pot: Pot) -> None:
        model = self.model
        paint = model.problem.paints[paint_number]
        ends = {n: model.works[n].end for n in pot.joins}
        begin = pot.last_end
        if ends:
            slots = model.ground.flush_starts(paint_number)
            least = min(line.least for line in (*ends.values(), pot.last_end) if line is not None)
            most = max(line.most for line in (*ends.values(), pot.last_end) if line is not None)
            slots &= slot_sets.between(least, most + 1)
            if not slots:
                model.lines.clause(negated(pot.is_used))
                return
            begin = model.lines.line(slots)
            is_last: list[Literal] = [negated(pot.is_used)]
            if pot.last_end is not None:
                is_last.append(self._ends(pot.last_end, begin, pot.is_used))
            is_last += [self._ends(ends[n], begin, joins) for n, joins in pot.joins.items()]
            model.lines.clause(*is_last)
        elif begin is not None and pot.opener in model.works:
            slots = model.ground.flush_starts(paint_number)
            model.within(begin, slots, pot.is_used)
        assert begin is not None
        until = begin.later(paint.flush)
        model.use_hand(paint.hands, begin, until, pot.is_used)
        owner = "flush", (~(pot.open_pot or 0) if pot.opener is None else pot.opener)
        for air in paint.flush_airs:
            model.breathe(air, begin, until, pot.is_used, owner)

    def _ends(self, end: Line, begin: Line, joins: Literal) -> Literal:
        """Hold that a flush is not before a coat's end; return the literal of "it is the last"."""
        cp = self.model.cp
        held = cp.add(begin.at >= end.at)
        is_last = cp.new_bool_var("")
        cp.add(begin.at <= end.at).only_enforce_if(is_last)
        if joins is not True:
            held.only_enforce_if(joins)
            cp.add_implication(is_last, joins)
        return is_last

    def _enough(self, paint: int, coats: list[int], pots: list[Pot]) -> None:
        """Hold that all pots together are large enough: implied, and a better bound."""
        model = self.model
        tasks, cup = model.problem.tasks, model.problem.paints[paint].cup_ml
        wanted = sum(tasks[n].ml for n in coats if tasks[n].mixes == 1)
        wanted -= sum(pot.left_ml for pot in pots if pot.opener not in model.works)
        if wanted > 0 and cup > 0:
            opened = [self.opened[n] for n in coats if tasks[n].mixes == 1]
            if all(literal is not True for literal in opened):
                model.cp.add(sum(opened) >= -(-wanted // cup))

    # From and to a schedule

    def hint(self, schedule: Schedule) -> None:
        """Tell the solver which pots a schedule has."""
        cp = self.model.cp
        for number, opens in self.opened.items():
            placed = schedule.placed[number]
            if placed is not None and not isinstance(opens, bool):
                cp.add_hint(opens, placed.pot == number)
        for pot in self.pots:
            for number, joins in pot.joins.items():
                placed = schedule.placed[number]
                if placed is not None and not isinstance(joins, bool):
                    same = placed.pot == pot.opener if pot.opener is not None else False
                    if pot.open_pot is not None:
                        same = placed.open_pot == pot.open_pot
                    cp.add_hint(joins, same)

    def chosen(self, number: int, holds: Callable[[Literal], bool]) -> Placed:
        """Return from which pot a solution sprays a task, with start 0."""
        if number not in self.opened:
            return Placed(0)
        if holds(self.opened[number]):
            return Placed(0, pot=number)
        pot = next(pot for pot in self.pots if number in pot.joins and holds(pot.joins[number]))
        return Placed(0, pot=pot.opener, open_pot=pot.open_pot)
