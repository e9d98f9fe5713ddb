"""Put one piece into a room as well as can be, everything else staying where it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice
from typing import TypeAlias

from bench.process.plan import checking
from bench.process.plan.chain import Chains, Step
from bench.process.plan.column import Bans, Column, Wish
from bench.process.plan.problem import (
    BY_TWO,
    PLAIN,
    Placed,
    Problem,
    Schedule,
    Task,
    carried,
    span,
)
from bench.process.plan.room import Limits, Room
from bench.process.plan.slot_sets import between, runs

# How often a piece's own steps may be in each other's way before it is left out.
TRIES = 16


Found: TypeAlias = tuple[int, list[Placed]]


class Placer:
    """Places pieces of one problem."""

    def __init__(self, problem: Problem) -> None:
        """Read the problem once."""
        self.problem, self.limits, self.chains = problem, Limits(problem), Chains(problem)
        self._least: dict[int, int] = {}

    def least(self, piece: int) -> int:
        """Return what a piece counts where nothing else is in the way."""
        if piece not in self._least:
            room = self.room()
            self._least[piece] = 0  # while it is asked for, abrading is not tried for its days
            is_placed = self.place(room, piece, Wish())
            self._least[piece] = (room.prices[piece] or 0) if is_placed else 0
        return self._least[piece]

    def room(self) -> Room:
        """Return an empty room."""
        return Room(self.limits)

    def place(self, room: Room, piece: int, wish: Wish) -> bool:
        """Place a piece; False where there is no place for it, and nothing is changed.

        Abrading is tried where nothing else is possible, or costs more than a missed window. Where
        two find no place for what they are wished to do, it is done by one or two.
        """
        found = self._best(room, piece, wish)
        if found is None and wish.together:
            wish = replace(wish, together=frozenset())
            found = self._best(room, piece, wish)
        missed = self.problem.weights.missed
        is_dear = found is not None and found[0] > missed
        if found is None or (is_dear and found[0] - self.least(piece) > missed):
            if found is not None:
                room.take_out(piece)
            abraded = self._best(room, piece, replace(wish, may_abrade=True))
            if found is not None and (abraded is None or found[0] <= abraded[0]):
                if abraded is not None:
                    room.take_out(piece)
                room.put(piece, found[1])
            found = found or abraded
        return found is not None

    def restored(self, schedule: Schedule) -> Room:
        """Return a room with what can be kept of a schedule, the dearest pieces first.

        Looked at with all of them in it: where the gun is cleaned depends on who shares a pot.
        """
        kept, room = self._sound(schedule), self.room()
        room.open_pots(schedule, kept)
        for piece in kept:
            places = [schedule.placed[n] for n in self.problem.pieces[piece].tasks]
            room.put(piece, [placed for placed in places if placed is not None])
        while kept and (over := room.over()):
            room.take_out(next((p for p in reversed(kept) if self._meets(room, p, over)), kept[-1]))
            kept = [piece for piece in kept if room.prices[piece] is not None]
        return room

    def _meets(self, room: Room, piece: int, over: int) -> bool:
        """Return whether a piece has work in some slots, with its mixing and cleaning."""
        tasks = self.problem.tasks
        return any(
            over & _around(tasks[number], placed)
            for number in self.problem.pieces[piece].tasks
            if (placed := room.placed[number]) is not None
        )

    def _sound(self, schedule: Schedule) -> list[int]:
        """Return the pieces that break no rule by themselves, the dearest first."""
        pieces = self.problem.pieces
        kept = [n for n, p in enumerate(pieces) if schedule.placed[p.tasks[0]] is not None]
        kept.sort(key=lambda n: (-pieces[n].price[-1], n))
        while True:
            held = {number for piece in kept for number in pieces[piece].tasks}
            rest = Schedule(tuple(p if n in held else None for n, p in enumerate(schedule.placed)))
            broken = {
                self.problem.tasks[number].piece
                for fault in checking.faults(self.problem, rest)
                if fault.rule != "air"
                for number in fault.tasks
            }
            if not broken:
                return kept
            kept = self._without(schedule, kept, broken)

    def _without(self, schedule: Schedule, kept: list[int], out: set[int]) -> list[int]:
        """Return the pieces kept but for some, and those that share the pots of these."""
        tasks = self.problem.tasks
        while True:
            more = {
                task.piece
                for task, placed in zip(tasks, schedule.placed, strict=True)
                if placed is not None and placed.pot is not None and tasks[placed.pot].piece in out
            }
            if more <= out:
                return [piece for piece in kept if piece not in out]
            out = out | more

    def _best(self, room: Room, piece: int, wish: Wish) -> Found | None:
        """Place a piece in the best column and return it, what it counts first."""
        chain = self.chains.chain(piece)
        best: Found | None = None
        for banned in islice(self._stretches(room, piece, chain), 2):
            if best is not None:
                room.take_out(piece)
            found = self._column(room, piece, chain, wish, Bans(banned))
            if best is not None and (found is None or best[0] <= found[0]):
                if found is not None:
                    room.take_out(piece)
                room.put(piece, best[1])
            else:
                best = found
        return best

    def _stretches(
        self, room: Room, piece: int, chain: tuple[Step, ...]
    ) -> Iterator[list[list[int]]]:
        """Yield for each stretch with a stand to spare the starts of each step that are outside.

        Those of one painter, and those of two.
        """
        facts = self.problem.pieces[piece]
        horizon = self.problem.horizon
        blocked = 0
        if facts.stand is not None and not facts.is_on_stand:
            blocked = room.blocked(facts.stand, 1)
        if not blocked:
            yield [[0, 0] for _ in chain]
            return
        shortest = sum(min(step.lengths[PLAIN], step.lengths[BY_TWO]) for step in chain)
        for since, until in runs(between(0, horizon) & ~blocked):
            latest = until if until == horizon else until - facts.stand_after
            if latest - since < shortest:
                continue
            outside = between(0, since) | between(latest, horizon + 1)
            yield [
                [
                    outside | between(0, horizon) & ~step.ending_by(way, latest)
                    for way in (PLAIN, BY_TWO)
                ]
                for step in chain
            ]

    def _column(
        self, room: Room, piece: int, chain: tuple[Step, ...], wish: Wish, bans: Bans
    ) -> Found | None:
        """Place a piece in its best column without what is banned, and return it."""
        prices = self.problem.pieces[piece].price
        for _ in range(TRIES):
            found = Column(room, chain, wish, bans).best(prices)
            if found is None:
                return None
            if isinstance(found, int):
                continue
            room.put(piece, found[1])
            over, overdrawn = room.over(), room.overdrawn(piece)
            if not over and not overdrawn:
                return found
            room.take_out(piece)
            if over:
                _ban(chain, found[1], over, bans.starts)
            else:
                number, pot = overdrawn[-1]
                at = next(n for n, step in enumerate(chain) if step.number == number)
                bans.pots.add((at, pot))
        return None


def _ban(chain: tuple[Step, ...], places: list[Placed], over: int, banned: list[list[int]]) -> None:
    """Ban the start of the last step that is in the way, its mixing and flush counted in."""
    for at in range(len(chain) - 1, -1, -1):
        task = chain[at].task
        if over & _around(task, places[at]) and task.fixed is None:
            banned[at][places[at].by_two] |= 1 << places[at].start
            return
    banned[0][places[0].by_two] |= 1 << places[0].start


def _around(task: Task, placed: Placed) -> int:
    """Return the slots of a task, with an hour for its mixing and cleaning, and its carrying."""
    since, until = span(task, placed)
    out = carried(task, placed)
    return between(since - 12, until + 12) | (between(until, out[1]) if out else 0)
