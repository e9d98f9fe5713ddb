"""Say which clocks moved with a correction, and write the entry that holds both values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.clocks.part_clocks import Environment, clocks_of, readings_since
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import stand_state
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.shop.core.mappers import (
    drops_of,
    guns_of,
    parts_here,
    pot_of,
    pots_of,
    products_of,
    readings_of,
)
from bench.shop.core.transaction import Outcome, Transaction
from bench.shop.environment.masks import last_released
from bench.store.queries import bench_rows
from bench.store.schema.tables import MixRow

MOST_TOLD = 8
"""So many clocks are told of; the bench shows the others."""

LEAST_MOVE = timedelta(seconds=60)
"""A clock that moved by less is not told of."""

Hour = tuple[datetime, str]
"""An hour as people see it, and its words."""

HourTable = Mapping[str, Hour]
"""The hours that the bench shows, by what they are of."""


@dataclass(frozen=True)
class Change:
    """What was corrected. what: the fact, empty where the two values name it themselves.

    called: how messages name what it is a fact of; tag: the part's, as it was before.
    """

    what: str
    old: str
    new: str
    called: str = ""
    tag: str = ""


def corrected(
    act: Transaction,
    tag: str,
    name: str,
    change: Change,
    why: str,
    before: HourTable,
) -> Outcome | Refusal:
    """Write the line with both values, and say which clocks moved with it."""
    act.session.flush()
    keep_topped_up(act, before)
    tell_moved(act, before)
    about = f"{change.what}: " if change.what else ""
    words = f"{name}: {about}was {change.old}, now {change.new}, because {why}"
    return act.done(tag, words)


def air_since(act: Transaction, products: Mapping[str, Product], since: datetime) -> Environment:
    """Give the readings as this action leaves them, those not committed yet among them."""
    return Environment(readings_of(act.session, since), act.house.hours, products)


def pot_now(act: Transaction, row: MixRow) -> Pot:
    """Give a pot with its clock by the readings as this action leaves them."""
    return pot_of(row, air_since(act, products_of(act.session), row.mixed_at))


def keep_clock(act: Transaction, row: MixRow) -> None:
    """Write down the clock of a pot as it was, where it is binned and its gun flushed."""
    if row.binned_at is not None and not row.in_gun:
        row.use_from = None
        pot = pot_now(act, row)
        row.use_from, row.bin_by, row.basis = pot.use_from, pot.bin_by, pot.basis


def clocks_now(act: Transaction) -> HourTable:
    """Give every hour that the bench shows: each part's window and cure, pots, guns, the room."""
    session, products = act.session, products_of(act.session)
    parts, pots = parts_here(session), bench_rows.pots_here(session)
    since = readings_since(act.now, parts, (pot.mixed_at for pot in pots))
    environment = air_since(act, products, since)
    hours: dict[str, Hour] = {}
    for part in parts:
        clocks = clocks_of(part, environment, doubtful=act.doubtful)
        state = stand_state(part, clocks, act.now)
        for word, edge in (("opens", state.opens), ("closes", state.closes)):
            if edge is not None:
                hours[f"tag {part.tag} {word}"] = edge.shown, edge.words(act.local_now)
    ends = {f"pot {pot.letter} bin by": pot.end for pot in pots_of(pots, environment)}
    guns = guns_of(session, pots, environment)
    ends |= {f"gun of pot {gun.letter} flush by": gun.end for gun in guns}
    for what, end in ends.items():
        if end is not None:
            hours[what] = end.at, end.words(act.local_now)
    release = last_released(session, products)
    if release:
        until = release.at + act.house.clearance.on(act.local_now.date()).typed
        hours["masks on until"] = until, act.hour(until)
    return hours


def keep_topped_up(act: Transaction, before: HourTable) -> None:
    """Let nothing that is corrected make a pot younger that was topped up."""
    for row in bench_rows.open_pots(act.session):
        was, _ = before.get(f"pot {row.letter} bin by", (None, ""))
        if was and len(drops_of(row)) > 1 and (pot_now(act, row).bin_by or was) > was:
            row.most_s = (was - row.mixed_at).total_seconds()


def tell_moved(act: Transaction, before: HourTable) -> None:
    """Note which hours that the bench shows moved with what this action changed."""
    after = clocks_now(act)
    lines = []
    for what in dict.fromkeys([*before, *after]):
        old, new = before.get(what), after.get(what)
        if old is None or new is None or max(old[0], new[0]) < act.now:
            continue
        if abs(new[0] - old[0]) >= LEAST_MOVE:
            lines.append(f"{what} {new[1]} now, not {old[1]}")
    more = len(lines) - MOST_TOLD
    act.notes += lines[:MOST_TOLD] + ([f"and {more} clocks more moved"] if more > 0 else [])
