"""The best place for all the steps of one piece, everything else staying where it is.

A column is one piece's chain with the start of every step. The steps are walked once, forwards:
for each, and for each sum of what was counted so far, the set of starts that can be reached. Then
it is walked back from the best end. What one piece's steps take from each other is not in those
sets: ``placing`` asks the room, and tries again without the start that was in the way.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from bench.process.plan.chain import Link, Step
from bench.process.plan.other_pieces import after_others, before_others
from bench.process.plan.problem import ABRADED, BY_TWO, WAYS, Placed
from bench.process.plan.room import Room
from bench.process.plan.slot_sets import between, first, last, last_in
from bench.process.plan.unflushed import Unflushed
from bench.process.plan.way_back import WayBack

Joins: TypeAlias = list[tuple[int, int]]
Own: TypeAlias = tuple[int, int]
"""The step that the piece mixed a pot for, which is still in use; and in which way it is done."""
Origin: TypeAlias = "tuple[Reached | None, Link | None, int | None]"


@dataclass
class Reached:
    """Starts of one step that can be reached at a price. own: whose pot is still in use.

    origins: from where, through which stage, from which pot (as ``Room.pots`` keys it), where to.
    """

    price: int
    own: Own | None
    way: int
    slots: int
    origins: list[tuple[Reached | None, Link | None, int | None, int]] = field(default_factory=list)


@dataclass(frozen=True)
class Wish:
    """What a column must be like, of those that count the same.

    late: for each step where between its first and its last slot it is wanted, 0 to 1; all at their
    first where empty. margin: slots that each step is begun at least before its window closes.
    apart: steps that are mixed for whatever could be shared. together: steps that two do.
    """

    late: tuple[float, ...] = ()
    may_abrade: bool = False
    margin: int = 0
    apart: frozenset[int] = frozenset()
    together: frozenset[int] = frozenset()


@dataclass
class Bans:
    """What a column must not use: starts by step, alone and by two, and pots by (step, pot)."""

    starts: list[list[int]]
    pots: set[tuple[int, int]] = field(default_factory=set)


class Column:
    """The search for one piece's best column in a room."""

    def __init__(self, room: Room, chain: tuple[Step, ...], wish: Wish, bans: Bans) -> None:
        """Prepare it; nothing is searched yet."""
        self.room, self.chain, self.wish = room, chain, wish
        self.banned, self.refused = bans.starts, bans.pots
        self.weights = room.problem.weights
        self.horizon = room.problem.horizon
        self.layers: list[list[Reached]] = []

    def best(self, prices: Sequence[int]) -> tuple[int, list[Placed]] | int | None:
        """Return the price and the column; the step at which the way back was lost; None for none.

        Two do together only what counts less so.
        prices: the piece's, by the slot in which its last step ends.
        """
        domains = self._domains()
        if domains is None:
            return None
        for at in range(len(self.chain)):
            self.layers.append(self._layer(at, domains[at]))
            if not self.layers[-1]:
                return None
        step, found = self.chain[-1], None
        for entry in self.layers[-1]:
            if entry.own is None:
                start = first(entry.slots)
                end = step.end(entry.way, start)
                key = entry.price + prices[end], entry.way == BY_TWO, end, start
                if found is None or key < found[0]:
                    found = key, entry, start
        if found is None:
            return None
        (price, _, end, _), entry, start = found
        alike = bisect_right(prices, prices[end]) - end  # later ends that count the same
        start = self.wanted(-1, entry.slots & between(start, start + alike))
        column = WayBack(self).back(entry, start)
        return column if isinstance(column, int) else (price, column)

    def wanted(self, at: int, slots: int) -> int:
        """Return which of some slots is wanted for a step."""
        if not self.wish.late:
            return first(slots)
        earliest, latest = first(slots), last(slots)
        wanted = earliest + round(self.wish.late[at] * (latest - earliest))
        return wanted + first(slots >> wanted)

    # Forwards

    def _domains(self) -> list[list[int]] | None:
        domains = []
        for at, step in enumerate(self.chain):
            can = [0] * len(WAYS)
            for way in WAYS:
                starts = step.starts[way] & ~self.banned[at][way == BY_TWO]
                if way == ABRADED and not self.wish.may_abrade and step.task.fixed is None:
                    starts = 0
                if way != BY_TWO and at in self.wish.together:
                    starts = 0
                if starts and step.is_waited_for:
                    starts &= before_others(self.room, step, way)
                if starts and step.task.paint is None:
                    starts &= self._free(step, way)
                can[way] = starts
            if not any(can):
                return None
            domains.append(can)
        return domains

    def _free(self, step: Step, way: int) -> int:
        """Return the starts from which a step finds all it holds."""
        if step.task.fixed is not None:
            return between(0, self.horizon)
        return ~self.room.work_meeting(step.number, way)

    def _layer(self, at: int, domain: Sequence[int]) -> list[Reached]:
        step = self.chain[at]
        raw: list[
            tuple[int, Own | None, int, int, tuple[Reached | None, Link | None, int | None]]
        ] = []
        for way in WAYS:
            slots = domain[way]
            if not slots:
                continue
            slots &= after_others(self.room, step, way)
            for links in step.far_links:
                slots &= self._far(step, links, way)
            if not slots:
                continue
            price = self.weights.missed if way == ABRADED else 0
            sources = list(self._sources(at, step, way, slots))
            can = 0
            for _, _, reached in sources:
                can |= reached
            joins: Joins = []
            free = -1 if step.task.paint is None else self._free(step, way)
            if step.task.paint is not None and at not in self.wish.apart:
                joins = self._joins(at, step, way, can, free)
            for source, link, reached in sources:
                base = price + (source.price if source else 0)
                own = source.own if source else None
                shares = own is not None and self.paint_of(own) == step.task.paint
                for number, join in () if shares else joins:
                    if use := reached & join:
                        raw.append((base, own, way, use, (source, link, number)))
                if can := reached & free:
                    for pot, more, kept, use in self._mixed(at, step, way, own, can):
                        raw.append((base + more, kept, way, use, (source, link, pot)))
        was = step.task.was
        if was is not None and step.task.move_price:
            split = []
            for price, own, way, use, origin in raw:
                split.append((price, own, way, use & 1 << was, origin))
                split.append((price + step.task.move_price, own, way, use & ~(1 << was), origin))
            raw = split
        entries: dict[tuple[int, Own | None, int], Reached] = {}
        covered: dict[tuple[Own | None, int], int] = {}
        for price, own, way, use, origin in sorted(raw, key=lambda r: r[0]):
            key = price, own, way
            entry = entries.get(key)
            if entry is None:
                use &= ~covered.get((own, way), 0)
                if not use:
                    continue
                entry = entries[key] = Reached(price, own, way, 0)
            entry.slots |= use
            entry.origins.append((*origin, use))
            covered[own, way] = covered.get((own, way), 0) | use
        return list(entries.values())

    def _sources(
        self, at: int, step: Step, way: int, slots: int
    ) -> Iterator[tuple[Reached | None, Link | None, int]]:
        if at == 0:
            yield None, None, slots
            return
        back = step.task.abrading_of(way)
        for source in self.layers[at - 1]:
            for link in step.links:
                if link.way != way:
                    continue
                shared = source.own
                if shared is not None and self.paint_of(shared) != step.task.paint:
                    shared = None
                can = slots & self._reach(source, link, shared) >> back
                if can:
                    yield source, link, can

    def paint_of(self, own: Own) -> int | None:
        """Return the paint of the pot that a step was mixed for."""
        return self.chain[own[0]].task.paint

    def _reach(self, source: Reached, link: Link, shared: Own | None = None) -> int:
        """Return where work can begin through a stage, from any of the starts of a source.

        shared: whose pot it shares, if it does; the work ends within that pot's life.
        """
        opens, horizon = link.opens[source.way], self.horizon
        if link.closes is None and shared is None:
            return between(opens[first(source.slots)], horizon)
        windows = (link.alone if shared is None else link.shared)[source.way]
        slots = rest = source.slots & windows.valid
        # Where a stretch of starts ends, or where no window reaches on to that of the next start.
        breaks, reach, at = ~slots >> 1 | windows.gaps, 0, -1
        while rest:
            at += 1 + first(rest)
            since, until = opens[at], 0
            if since >= horizon:
                break
            while True:
                at += first(breaks >> at)
                until = max(until, self._closing(source, link, at, shared))
                rest = slots >> at + 1
                further = last_in(rest, bisect_right(opens, until) - 2 - at)
                if further is None:
                    break
                at += 1 + further
            reach |= between(since, min(until, horizon))
        return reach

    def _closing(self, source: Reached, link: Link, at: int, shared: Own | None) -> int:
        """Return before which slot work begins, by a start of the step before it, at the latest."""
        until = self.horizon
        if link.closes is not None:
            counts = self.latest(source, link.before, at, link.first)
            closes = 0 if counts is None else link.closes[source.way][counts]
            until = min(until, closes - self.wish.margin)
        if shared is not None:
            number, mixed = shared
            counts = self.latest(source, link.before, at, number)
            empty_by = self.chain[number].empty_by[mixed]
            length = link.length
            life = 0 if counts is None else empty_by[counts] - length + 1
            until = min(until, life)
        return until

    def latest(self, entry: Reached, at: int, start: int, target: int) -> int | None:
        """Return the latest start of an earlier step from which a step's start can be reached."""
        if at == target:
            return start
        found: int | None = None
        begins = start + self.chain[at].task.abrading_of(entry.way)
        for source, link, _, use in entry.origins:
            if source is None or link is None or not use >> start & 1:
                continue
            latest = last_in(source.slots, bisect_right(link.opens[source.way], begins) - 1)
            if latest is not None:
                latest = self.latest(source, at - 1, latest, target)
            if latest is not None and (found is None or latest > found):
                found = latest
        return found

    def _far(self, step: Step, links: tuple[Link, ...], way: int) -> int:
        back = step.task.abrading_of(way)
        reach = 0
        for link in links:
            if link.way == way and link.before < len(self.layers):
                for source in self.layers[link.before]:
                    reach |= self._reach(source, link) >> back
        return reach

    # Pots

    def _mixed(
        self, at: int, step: Step, way: int, own: Own | None, can: int
    ) -> Iterator[tuple[int | None, int, Own | None, int]]:
        """Yield a pot mixed by the piece itself, or none: pot, price, own still in use, starts."""
        paint = step.task.paint
        if paint is None:
            yield None, 0, own, can
            return
        if own is not None and self.paint_of(own) == paint:
            pot = self.chain[own[0]].number
            if flushed := can & ~self._flush(step, way):
                yield pot, 0, None, flushed
            if step.later is not None and self._holds(own[0], step.later):
                yield pot, 0, own, can
            return
        mixed = can & step.opening[way]
        if step.task.fixed is None or not mixed:
            met = self.room.mixing_meeting(paint, step.others[way])
            mixed &= ~(met >> step.leads[way])
        if mixed:
            price = self.weights.mix * step.task.mixes
            if flushed := mixed & ~self._flush(step, way):
                yield step.number, price, own, flushed
            if own is None and step.later is not None and self._holds(at, step.later):
                yield step.number, price, (at, way), mixed

    def _holds(self, own: int, until: int) -> bool:
        """Return whether one cup holds what the steps between two take, and it is to."""
        if until in self.wish.apart:
            return False
        task = self.chain[own].task
        assert task.paint is not None
        steps = [s.task for s in self.chain[own : until + 1] if s.task.paint == task.paint]
        cup = self.room.problem.paints[task.paint].cup_ml
        return sum(s.ml for s in steps) <= cup and all(s.mixes == 1 for s in steps)

    def _flush(self, step: Step, way: int) -> int:
        """Return the starts after which the gun cannot be cleaned at once."""
        assert step.task.paint is not None
        return self._ending_in(step, way, self.room.flush_meeting(step.task.paint))

    @staticmethod
    def _ending_in(step: Step, way: int, slots: int) -> int:
        length, longer = step.lengths[way], step.task.longer_of(way)
        plain = slots >> length
        return plain & ~longer | slots >> length + step.task.longer & longer if longer else plain

    def _joins(self, at: int, step: Step, way: int, can: int, unmet: int) -> Joins:
        """Return the pots that stand in the room and from which starts a step can share each."""
        found = []
        task = step.task
        for number, pot in self.room.pots.items():
            if pot.paint != task.paint or task.ml > pot.left_ml or task.mixes > 1:
                continue
            if number >= 0 and self.room.problem.tasks[number].mixes > 1:
                continue
            if (at, number) in self.refused:
                continue
            since = max(0, pot.since - step.leads[way])
            within = can & step.ending_by(way, pot.empty_by) & -(1 << since)
            if not within:
                continue
            ended = pot.users[-1][0] if pot.users else 0
            sooner = within & step.ending_by(way, ended)
            later = within & ~sooner
            sooner &= unmet
            if later:
                free = Unflushed(self.room, pot)
                later &= ~self._ending_in(step, way, free.flush_meeting())
                if later and task.fixed is None:
                    later &= ~free.work_meeting(step.number, way)
            if sooner | later:
                found.append((number, sooner | later))
        return found
