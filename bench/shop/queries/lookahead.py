"""Looking ahead from the bench as it is: before a trigger, before a mix, before going home.

And what the bench, or one part, would ring a phone for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.actions.begin_rules import objections_to_begin
from bench.process.ahead.attendance import Stay, nobody_in
from bench.process.ahead.day_strip import StripMark, signs_of
from bench.process.ahead.lookahead import Ahead, look_ahead, mix_against
from bench.process.ahead.unattended import MissedEvent, missed_while_closed
from bench.process.ahead.upcoming import UpcomingEvent, upcoming_events
from bench.process.attention.todo_list import Task, cold_tasks
from bench.process.clocks.pots import Pot, pot_if_mixed
from bench.process.clocks.stand_state import StandState
from bench.process.clocks.temperature import Hours
from bench.process.parts.durations import Length
from bench.process.parts.part import Part
from bench.process.plan.plan_events import plan_events
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.shop.core.bench_view import BenchView, find_part, read_bench
from bench.shop.core.mappers import by_key, untrained_painters
from bench.shop.core.transaction import Shop, Target
from bench.shop.queries.durations import usual_length_of
from bench.shop.stock.tin_usage import tins_of_coat
from bench.store.databases.database import Session
from bench.store.queries import bench_rows


@dataclass(frozen=True)
class PartAhead:
    """What lies ahead of one part. ahead None: there is nothing to begin; now: in the shop's zone.

    against: the rules against beginning now, none where none speaks.
    """

    now: datetime
    part: Part
    state: StandState
    ahead: Ahead | None
    against: tuple[Refusal, ...]
    signs: tuple[StripMark, ...]
    hours: Hours


@dataclass(frozen=True)
class MixAhead:
    """A pot as if it were mixed now, and the parts whose next coat it is for."""

    now: datetime
    pot: Pot
    parts: tuple[tuple[Part, Ahead], ...]

    @property
    def against(self) -> tuple[Refusal, ...]:
        """Why not to mix it: no part would have a window for what comes after it."""
        return mix_against(not ahead.no_window for _, ahead in self.parts)


@dataclass(frozen=True)
class Tonight:
    """The windows and pots that end with the shop closed. away None: somebody always is in.

    cold: the coats that are too cold now or will be within a day, whoever is in. bad_holidays: what
    is wrong with the rules of holidays that were left out of it.
    """

    now: datetime
    away: Stay | None
    missed: tuple[MissedEvent, ...]
    cold: tuple[Task, ...]
    bad_holidays: tuple[str, ...]


def ahead_of(shop: Shop, target: Target) -> PartAhead | Refusal:
    """Work out what follows if a part's next step is begun, and its next two days."""
    view, now = read_bench(shop), shop.clock.now()
    placed_part = find_part(view, target)
    if isinstance(placed_part, Refusal):
        return placed_part
    part, clocks, local = placed_part.part, placed_part.clocks, view.local(now)
    state = placed_part.state(now)
    with shop.store.reading() as session:
        tins = tins_of_coat(session, part, view.products, view.house.hours.zone)
        length = length_of(session, part, view.products)
    return PartAhead(
        now=local,
        part=part,
        state=state,
        ahead=look_ahead(part, clocks, view.around, now, length),
        against=tuple(
            objections_to_begin(
                *(part, state, view.around, view.pots, now, local, tins),
                view.equipment,
                part.taken_by,
                untrained_painters(view.trained),
                length.lasts,
                view.house.units,
                measured=placed_part.measurements,
            )
        ),
        signs=signs_of(part, clocks, view.pots, now),
        hours=view.house.hours,
    )


def ahead_of_mix(shop: Shop, product: str) -> MixAhead | Refusal:
    """Work out what follows if a product is mixed now, for each part that waits for it."""
    view, now = read_bench(shop), shop.clock.now()
    sheet = by_key(view.products, product, "product")
    if isinstance(sheet, Refusal):
        return sheet
    pot = pot_if_mixed(sheet, None, view.around, now)
    parts = []
    for placed_part in view.everything():
        if waits_for(placed_part.part, product):
            with shop.store.reading() as session:
                length = length_of(session, placed_part.part, view.products)
            rest = pot.use_from - now
            ahead = look_ahead(placed_part.part, placed_part.clocks, view.around, now, length, rest)
            parts += [(placed_part.part, ahead)] if ahead else []
    return MixAhead(view.local(now), pot, tuple(parts))


def waits_for(part: Part, product: str) -> bool:
    """Say whether the next step of a part is done with a product, and not begun yet."""
    record = part.current()
    return record is not None and (record.status, record.step.product) == ("todo", product)


def closed_hours_tasks(shop: Shop) -> Tonight:
    """List the windows that close and the pots that go off with the shop closed, worst first."""
    view = read_bench(shop)
    now, hours = view.local(shop.clock.now()), view.house.hours
    parts = ((placed_part.part, placed_part.clocks) for placed_part in view.everything())
    missed = missed_while_closed(parts, view.pots, hours, now)
    cold = cold_tasks(
        ((placed_part.part, placed_part.cold) for placed_part in view.everything()), now
    )
    return Tonight(now, nobody_in(hours, now), missed, cold, view.house.bad_holidays)


def held_until(shop: Shop, view: BenchView) -> dict[str, datetime]:
    """Estimate when equipment comes back, by its key.

    What a coat in hand took is held as long as coats on parts of that shape last.
    """
    hours = {}
    for item in view.equipment:
        placed_part = view.find(item.held_for) if item.held_for else None
        record = placed_part.part.current() if placed_part else None
        if placed_part and record and record.step.kind == "coat" and record.first_at:
            with shop.store.reading() as session:
                lasts = length_of(session, placed_part.part, view.products).lasts
            hours[item.key] = record.first_at + lasts
    return hours


def length_of(session: Session, part: Part, products: Mapping[str, Product]) -> Length:
    """Estimate how long a part's next step lasts; a wash goes by its zones."""
    record = part.current()
    if record is None or record.step.kind in ("dwell", "cure"):
        return Length(timedelta(0))
    return usual_length_of(session, record.step, part, products)


@dataclass(frozen=True)
class UpcomingEvents:
    """The events to come, the next one first. shop_key: tells this shop's things from another's.

    doubtful: the clock is wrong, so that every hour is only "at least". sequence: how many entries
    the log has, which only grows. tag: of the one part that was asked for, else empty.
    """

    now: datetime
    shop_key: str
    rings: tuple[UpcomingEvent, ...]
    doubtful: bool
    sequence: int
    tag: str = ""


NOTHING_AHEAD = Refusal("nothing is ahead to ring for", "", "begin a coat or mix a pot first")


def upcoming(shop: Shop, target: Target | None = None) -> UpcomingEvents | Refusal:
    """List the coming events of one part, or of the whole bench with its pots and guns.

    There may be none: NOTHING_AHEAD says so.
    """
    view, now = read_bench(shop), shop.clock.now()
    everything, tag = view.everything(), ""
    if target is not None:
        placed_part = find_part(view, target)
        if isinstance(placed_part, Refusal):
            return placed_part
        everything, tag = [placed_part], placed_part.part.tag
    pots, guns = (view.pots, view.guns) if target is None else ((), ())
    rings = upcoming_events(((p.part, p.clocks) for p in everything), pots, guns, now)
    tags = {placed.part.tag for placed in everything}
    begins = plan_events(view.plan, view.in_hand(), view.local(now))
    planned = [event for event in begins if event.key.split("/")[0] in tags]
    rings = tuple(sorted((*rings, *planned), key=lambda event: (event.edge.shown, event.key)))
    with shop.store.reading() as session:
        opened_at = bench_rows.first_line_at(session) or now
        sequence = bench_rows.last_line_number(session)
    return UpcomingEvents(now, opened_at.isoformat(), rings, view.doubtful, sequence, tag)
