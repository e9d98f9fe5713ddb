"""The end of a shift: the page for whoever comes next, who left, and what was done since."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.attention.alarms import Alarm
from bench.process.attention.handover import Section, day_began, next_shift, sections, who_is_in
from bench.process.attention.standing import Standing
from bench.process.parts.log_entry import LogEntry
from bench.process.refusals.refusal import Refusal
from bench.process.safety.masks import room_in_full
from bench.shop.core.bench_view import BenchView, read_bench
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.parts.equipment import free as give_free
from bench.shop.parts.equipment import pass_on_for, tell_the_next
from bench.shop.queries import log
from bench.store.queries import bench_rows, people_rows
from bench.store.schema.tables import PROBE

MOST_SINCE = 500
"""Lines of the journal that are shown to somebody who was away for long; the newest."""


@dataclass(frozen=True)
class HandOver:
    """The hand-over page. now and until: in the shop's zone; who: who is in, and who left when."""

    now: datetime
    until: datetime
    who: str
    room: str
    sections: tuple[Section, ...]


@dataclass(frozen=True)
class ChangesSince:
    """What others did since a painter left, oldest first. left_at None: nobody said so."""

    painter: str
    left_at: datetime | None
    now: datetime
    lines: tuple[LogEntry, ...]


def handover(shop: Shop) -> HandOver:
    """Gather what the bench hands over now; which alarms somebody answered it does not know."""
    view, now = read_bench(shop), shop.clock.now()
    return handover_of(view, now, view.alarming(now), done_today(shop, view, now))


def done_today(shop: Shop, view: BenchView, at: datetime) -> tuple[LogEntry, ...]:
    """List what painters did today and nobody undid, oldest first, at most ``MOST_SINCE``."""
    since = day_began(view.house.hours, view.local(at))
    entries = log.log_page(shop, MOST_SINCE, since=since.date())
    return tuple(
        entry
        for entry in reversed(entries)
        if entry.at >= since and entry.painter not in ("", PROBE)
        if not entry.undone and entry.undoes is None
    )


def handover_of(
    view: BenchView, at: datetime, alarms: Sequence[Alarm], done: Iterable[LogEntry]
) -> HandOver:
    """Gather the hand-over from a view that is there already.

    alarms: those nobody answered; done: what was done today.
    """
    now = view.local(at)
    parts = [Standing(p.part, p.clocks, p.state(at), p.cold) for p in view.everything()]
    shift = next_shift(view.house.hours, now)
    facts = (view.pots, view.guns, view.equipment, view.every_note(), alarms, done)
    blocks = sections(parts, *facts, shift, now, view.house.units, view.plan)
    room = room_in_full(view.room(at), now)
    who = who_is_in(view.painters, view.left, now)
    return HandOver(now, shift.night[1], who, room, blocks)


def leave(shop: Shop, by: str) -> Outcome | Refusal:
    """Sign a painter out: return what no step in hand needs, and wait for nothing more."""
    with shop.act("hand over", by) as act:
        name = act.painter()
        if isinstance(name, Refusal):
            return name
        row = bench_rows.painter(act.session, name)
        if row.left_at is not None:
            return Refusal(f"{name} left already", act.hour(row.left_at), f"{name} comes in first")
        last = bench_rows.last_line(act.session)
        row.left_at, row.left_line = act.now, last.id or 0 if last else 0
        names = [*_parts_back(act, name), *_equipment_back(act, name)]
        returns = f"; given back: {', '.join(names)}" if names else ""
        return act.done("", f"{name} hands over and leaves{returns}")


def _equipment_back(act: Transaction, name: str) -> list[str]:
    names = []
    for row in people_rows.equipment(act.session):
        if name in row.queue:
            row.queue = [other for other in row.queue if other != name]
            tell_the_next(act, row)
        if row.holder == name and not row.held_for:
            give_free(act, row)
            names.append(row.name)
        elif row.holder == name:
            act.notes.append(
                f"{name} still has the {row.name}, for tag {row.held_for}, in progress"
            )
    return names


def _parts_back(act: Transaction, name: str) -> list[str]:
    in_hand = {part.id: step for part, step in people_rows.in_hand(act.session)}
    names = []
    for row in bench_rows.parts_here(act.session):
        if name not in row.taken_by:
            continue
        others = [other for other in row.taken_by if other != name]
        if row.id in in_hand and not others:
            step = in_hand[row.id].plan["name"]
            act.notes.append(f"tag {row.tag} {row.name}: {step} is in progress, with {name} alone")
            continue
        row.taken_by = others
        if row.id in in_hand:
            pass_on_for(act, row, name, others[0])
        names.append(f"tag {row.tag}")
    return names


def come_in(shop: Shop, by: str) -> Outcome | Refusal:
    """Sign a painter in again."""
    with shop.act("come in", by) as act:
        name = act.painter()
        if isinstance(name, Refusal):
            return name
        row = bench_rows.painter(act.session, name)
        if row.left_at is None:
            return Refusal(f"{name} is in already")
        row.left_at = None
        return act.done("", f"{name} is in")


def changes_since(shop: Shop, painter: str) -> ChangesSince | Refusal:
    """List what others did since a painter last handed over; after coming in, too."""
    view = read_bench(shop)
    painters = {name.casefold(): name for name in view.painters}
    name = painters.get(painter.strip().casefold())
    if name is None:
        right = f"one of {', '.join(view.painters)}"
        return Refusal(f"no painter '{painter[:40]}'", "", right)
    with shop.store.reading() as session:
        row = bench_rows.painter(session, name)
        if not row.left_line:
            return Refusal(f"{name} never handed over", "", "hand over when you leave")
        rows = people_rows.lines_by_others(session, row.left_line, name, MOST_SINCE)
        lines = log.entries_of(session, rows[::-1])
        left_at = view.local(row.left_at) if row.left_at else None
    return ChangesSince(name, left_at, view.local(shop.clock.now()), lines)
