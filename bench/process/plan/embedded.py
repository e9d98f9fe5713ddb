"""Plan without a solver: a list first, then take a few pieces out and put them back better.

Pieces are placed one after the other, each at its best (``placing``), in several orders. Then,
round by round, a few are taken out, drawn by what they count more than they could, with some that
share their days or paint, and put back in another order. What is worse is kept for a while, less
and less of it (annealing). Limits are counted in rounds, and chance is handed in: the same question
has the same plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import exp
from random import Random

from bench.process.plan import checking
from bench.process.plan.checking import LEFT_OUT_PRICE, Cost
from bench.process.plan.column import Wish
from bench.process.plan.placing import Placer
from bench.process.plan.problem import Problem, Schedule, span
from bench.process.plan.room import Room

Better = Callable[[Schedule, Cost], bool]

# By how much worse a round may be to be kept, one in e: at the first round and at the last.
WARM, COLD = 120.0, 8.0
# The same at the first of thousands of rounds on a full bench: measured on benches of 30 parts.
LONG_WARM = 400.0
# What a slot counts by which a step is begun later: the last to be told apart.
SLOT_PRICE = 0.02
# How many of the pieces are put back at their earliest.
EARLY = 0.4
# How many of those of which two may share something are put back as if nobody wished that.
ALONE = 0.5
# How often what found no place is placed first.
STUCK_TIMES = 3
# Slots before a window closes that are tried for at the end: half an hour, then more.
MARGINS = (6, 12, 24, 48)


def plan(
    problem: Problem,
    random: Random,
    rounds: int,
    better: Better | None = None,
    hint: Schedule | None = None,
    margins: Sequence[int] = MARGINS,
    warm: float = WARM,
) -> Schedule:
    """Return the best plan of so many rounds; what finds no place at all is left out.

    better: told each best plan so far and what it counts; it returns False to end the search.
    hint: a plan to begin with, what of it can still be kept. margins: at the end more time before
    windows close is tried for, of plans that count the same. warm: in prices, by how much worse the
    first round may be, one time in e.
    """
    return Planner(problem, random).plan(rounds, better, hint, margins, warm)


class Planner:
    """A search for the best plan of one problem."""

    def __init__(self, problem: Problem, random: Random) -> None:
        """Read the problem."""
        self.problem, self.random, self.placer = problem, random, Placer(problem)
        self.paints = [
            {problem.tasks[n].paint for n in piece.tasks} - {None} for piece in problem.pieces
        ]

    def plan(
        self,
        rounds: int,
        better: Better | None,
        hint: Schedule | None,
        margins: Sequence[int],
        warm: float,
    ) -> Schedule:
        """Search for so many rounds."""
        if not self.problem.pieces:
            return self.placer.room().schedule()
        room = min(self._lists(hint), key=self.energy)
        best, least = room, self.energy(room)
        if better is not None and not self._tell(best, better):
            return best.schedule()
        now = least
        for turn in range(rounds):
            warmth = warm * (COLD / warm) ** (turn / rounds)
            trial = self._again(room)
            energy = self.energy(trial)
            if energy < now or self.random.random() < exp((now - energy) / warmth):
                room, now = trial, energy
            if now < least:
                is_told = better is not None and room.price() < best.price()
                best, least = room, now
                if is_told and better is not None and not self._tell(best, better):
                    break
        return self._settled(best, margins).schedule()

    def _settled(self, room: Room, margins: Sequence[int]) -> Room:
        """Return a room that counts the same, with more time before windows close."""
        for margin in margins:
            slacks = checking.slacks(self.problem, room.schedule())
            for number, piece in enumerate(self.problem.pieces):
                least = min(
                    (s for n in piece.tasks if (s := slacks[n]) is not None), default=margin
                )
                if least >= margin:
                    continue
                trial = room.copy()
                out = trial.take_out(number)
                wish = Wish(margin=margin)
                is_whole = all(self.placer.place(trial, each, wish) for each in out)
                if is_whole and trial.price() <= room.price():
                    room = trial
        return room

    def _tell(self, room: Room, better: Better) -> bool:
        schedule = room.schedule()
        return better(schedule, checking.cost(self.problem, schedule))

    def energy(self, room: Room) -> float:
        """Return what a room counts, the slots in which its tasks begin a little."""
        left_out = room.prices.count(None)
        begins = sum(placed.start for placed in room.placed if placed is not None)
        return room.price() + left_out * LEFT_OUT_PRICE + SLOT_PRICE * begins

    # The list

    def _lists(self, hint: Schedule | None) -> Iterable[Room]:
        """Yield first plans: pieces placed one after the other, in several orders."""
        if hint is not None:
            room = self.placer.restored(hint)
            self._place_all(room, self._left_out(room))
            yield room
            yield from self._stuck_first(room)
            return
        pieces = self.problem.pieces
        late = self.problem.horizon
        due = [late if p.promised_day is None else p.promised_day for p in pieces]
        slope = [p.price[-1] - p.price[0] for p in pieces]
        least = [self.placer.least(n) for n in range(len(pieces))]
        orders: tuple[Callable[[int], tuple[float, float]], ...] = (
            lambda n: (due[n], -slope[n]),
            lambda n: (-slope[n], due[n]),
            lambda n: (-least[n], due[n]),
            lambda n: (-len(pieces[n].tasks), due[n]),
            lambda n: (due[n] / pieces[n].priority, due[n]),
        )
        for order in orders:
            room = self.placer.room()
            self._place_all(room, sorted(range(len(pieces)), key=order))
            yield room
        yield from self._stuck_first(room)

    def _left_out(self, room: Room) -> list[int]:
        return [piece for piece, price in enumerate(room.prices) if price is None]

    def _stuck_first(self, room: Room) -> Iterable[Room]:
        """Yield plans in which the pieces that found no place are placed before all others."""
        stuck: list[int] = []
        for _ in range(STUCK_TIMES):
            more = [piece for piece in self._left_out(room) if piece not in stuck]
            if not more:
                return
            stuck = more + stuck
            others = [n for n in range(len(self.problem.pieces)) if n not in stuck]
            others.sort(key=lambda n: -self.problem.pieces[n].price[-1])
            room = self.placer.room()
            self._place_all(room, [*stuck, *others])
            yield room

    def _place_all(self, room: Room, pieces: Iterable[int], is_drawn: bool = False) -> None:
        """Place pieces in an order, first those with something that cannot be moved."""
        tasks = self.problem.tasks
        ordered = sorted(
            pieces,
            key=lambda p: all(tasks[n].fixed is None for n in self.problem.pieces[p].tasks),
        )
        for piece in ordered:
            self.placer.place(room, piece, self._wish(piece) if is_drawn else Wish())

    def _wish(self, piece: int) -> Wish:
        """Draw whether each step of a piece is wanted early, late or between, and by two."""
        together = self._together(piece)
        if self.random.random() < EARLY:
            return Wish(together=together)
        count = len(self.problem.pieces[piece].tasks)
        late = (self.random.choice((0.0, 0.0, 1.0, self.random.random())) for _ in range(count))
        return Wish(tuple(late), together=together)

    def _together(self, piece: int) -> frozenset[int]:
        """Draw what two do of the steps of a piece that they may share; half the time none."""
        numbers = enumerate(self.problem.pieces[piece].tasks)
        shared = [at for at, n in numbers if self.problem.tasks[n].by_two is not None]
        if not shared or self.random.random() < ALONE:
            return frozenset()
        return frozenset(at for at in shared if self.random.random() < 0.5)

    # Round by round

    def _again(self, room: Room) -> Room:
        """Return a copy of a room in which some pieces were taken out and put back."""
        random, trial = self.random, room.copy()
        out = {piece for piece, price in enumerate(room.prices) if price is None}
        for piece in self._drawn(room):
            if trial.prices[piece] is not None:
                out.update(trial.take_out(piece))
        order = sorted(out)
        random.shuffle(order)
        if random.random() < 0.3:
            gaps = self._gaps(room)
            order.sort(key=lambda n: -gaps[n])
        order.sort(key=lambda n: room.prices[n] is not None)
        self._place_all(trial, order, is_drawn=True)
        return trial

    def _gaps(self, room: Room) -> list[int]:
        """Return by how much more each piece counts than it would alone."""
        return [
            LEFT_OUT_PRICE if price is None else price - self.placer.least(piece)
            for piece, price in enumerate(room.prices)
        ]

    def _drawn(self, room: Room) -> list[int]:
        """Draw the pieces to be taken out: one, and some near it."""
        random, numbers = self.random, range(len(self.problem.pieces))
        weights = [min(gap, 5000) + 100 for gap in self._gaps(room)]
        seed = random.choices(numbers, weights)[0]
        count = random.choice((1, 2, 2, 3, 3, 4, 5))
        kind = random.randrange(4)
        days = {p: self._days(room, p) for p in numbers}
        if kind == 0:
            near = [p for p in numbers if days[p] & days[seed]]
        elif kind == 1:
            near = [p for p in numbers if self.paints[p] & self.paints[seed]]
        elif kind == 2:
            ends = {p: self._end(room, p) for p in numbers}
            near = sorted(numbers, key=lambda p: (abs(ends[p] - ends[seed]), p))[: 2 * count]
        else:
            near = list(numbers)
        near = [p for p in near if p != seed]
        return [seed, *random.sample(near, min(len(near), count - 1))]

    def _days(self, room: Room, piece: int) -> set[int]:
        table = self.problem.pieces[piece].done_day
        return {
            table[placed.start]
            for n in self.problem.pieces[piece].tasks
            if (placed := room.placed[n]) is not None
        }

    def _end(self, room: Room, piece: int) -> int:
        number = self.problem.pieces[piece].tasks[-1]
        placed = room.placed[number]
        return 0 if placed is None else span(self.problem.tasks[number], placed)[1]
