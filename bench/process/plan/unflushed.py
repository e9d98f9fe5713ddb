"""What is free while a pot lives, if its gun is cleaned later than now: after one more coat."""

from __future__ import annotations

from collections.abc import Sequence

from bench.process.plan.problem import Air, Hold
from bench.process.plan.room import Pot, Room
from bench.process.plan.slot_counters import above
from bench.process.plan.slot_sets import between, starts_meeting

# Slots before and after a pot's life that what is sprayed from it may hold.
MARGIN = 24


class Unflushed:
    """What is free while a pot lives, if its gun were not cleaned when it now is, but later."""

    def __init__(self, room: Room, pot: Pot) -> None:
        """Look at the slots of the pot's life alone: short sets are quick."""
        self.room, self.pot, self.paint = room, pot, room.problem.paints[pot.paint]
        self.since = max(0, pot.since - MARGIN)
        self.life = between(0, pot.empty_by + MARGIN - self.since)
        ended = pot.users[-1][0] - self.since if pot.users else 0
        self.flush = ended, ended + (self.paint.flush if pot.users else 0)

    def _blocked(self, resource: int, amount: int, need: int) -> int:
        room = self.room
        blocked = room.blocked(resource, amount)
        if room.limits.by_resource[resource]:
            blocked |= room.full_days(resource, need)
        blocked = blocked >> self.since & self.life
        if resource == self.paint.hands:
            given_back = between(*self.flush)
            if amount > 1:
                given_back &= ~(room.blocked(resource, amount - 1) >> self.since)
            if not room.full_days(resource, need) >> self.since & given_back:
                blocked &= ~given_back
        return blocked

    def _others(self, air: Air) -> int:
        counter = self.room.airs[air.air][1 - air.side]
        if not counter:
            return 0
        others = above(counter, 0) >> self.since & self.life
        for own in self.paint.flush_airs:
            if own.air == air.air and own.side != air.side:
                twice = above(counter, 1) >> self.since
                others &= ~between(self.flush[0] - own.before, self.flush[1] + own.after) | twice
        return others

    def meeting(self, length: int, holds: Sequence[Hold], airs: Sequence[Air]) -> int:
        """Return the starts from which work does not find what it holds."""
        met = 0
        for hold in holds:
            need = hold.amount * (length + hold.before + hold.after)
            blocked = self._blocked(hold.resource, hold.amount, need)
            met |= starts_meeting(blocked, hold.before, length + hold.after)
        for air in airs:
            met |= starts_meeting(self._others(air), air.before, length + air.after)
        return met << self.since

    def work_meeting(self, number: int, way: int) -> int:
        """Return the starts from which a task that is done so does not find what it holds."""
        task = self.room.problem.tasks[number]
        length = task.length_of(way)
        met = self.meeting(length, task.holds_of(way), task.airs)
        return met | self.room.carrying_meeting(task, length)

    def flush_meeting(self) -> int:
        """Return the slots from which the gun cannot be cleaned."""
        return self.meeting(self.paint.flush, (Hold(self.paint.hands, 1),), self.paint.flush_airs)
