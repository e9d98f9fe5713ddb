"""Which clocks moved with a correction, and the line that keeps both values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.calendar import Surroundings, clocks_of, readings_since
from bench.process.pots import pot_ends_as_read
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.state import stand_state
from bench.shop.acting import Act, Done
from bench.shop.room import last_released
from bench.shop.rows import guns_of, part_of, pots_of, products_of, readings_of
from bench.store import finding
from bench.store.tables import MixRow
from bench.trade.ageing import Basis

MOST_TOLD = 8
"""So many clocks are told of; the bench shows the others."""

LEAST_MOVE = timedelta(seconds=60)

Hour = tuple[datetime, str]
"""An hour as people see it, and its words."""

Hours = Mapping[str, Hour]
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
    act: Act,
    tag: str,
    called: str,
    change: Change,
    why: str,
    before: Hours,
) -> Done | Refusal:
    """Write the line with both values, and say which clocks moved with it."""
    act.session.flush()
    act.notes += _moved_words(before, clocks_now(act), act)
    about = f"{change.what}: " if change.what else ""
    told = f"{called}: {about}was {change.old}, now {change.new}, because {why}"
    return act.done(tag, told)


def air_since(act: Act, products: Mapping[str, Product], since: datetime) -> Surroundings:
    """Readings as this action leaves them: what is not committed yet is kept nowhere else."""
    return Surroundings(readings_of(act.session, since), act.house.hours, products)


def pots_as_read(act: Act, *, put_right: bool = False) -> None:
    """What stands in warmer air than it was mixed in goes off sooner.

    No reading makes a pot younger, unless one was ``put_right``; what was topped up never is.
    """
    known = finding.open_pots(act.session) + finding.pots_in_guns(act.session)
    rows = {row.id: row for row in known if row.bin_by and (put_right or row.bin_by > act.now)}
    products = products_of(act.session) if rows else {}
    for row in rows.values():
        product = products.get(row.product)
        if product is None or row.bin_by is None:
            continue
        ends, basis = pot_as_read(act, product, row.mixed_at, row.total_ml)
        later = put_right and not topped_up(row)
        if ends is None or (ends > row.bin_by and not later) or abs(ends - row.bin_by) < LEAST_MOVE:
            continue
        was, row.bin_by, row.basis = row.bin_by, ends, basis
        if not put_right:
            told = f"bin by {act.hour(ends)} now, not {act.hour(was)}: it is warmer"
            act.notes.append(f"pot {row.letter}: {told}")


def pot_as_read(
    act: Act, product: Product, mixed_at: datetime, total_ml: float | None
) -> tuple[datetime | None, Basis]:
    """When a pot is to be binned by all that was read since, and what that rests on."""
    read = [(r.at, r.air_c) for r in readings_of(act.session, mixed_at)]
    return pot_ends_as_read(product, mixed_at, read, total_ml)


def end_anew(act: Act, row: MixRow, product: Product) -> None:
    """A pot that was put right ends as it should have; what was topped up ends no later for it."""
    ends, basis = pot_as_read(act, product, row.mixed_at, row.total_ml)
    if ends is not None and not (topped_up(row) and row.bin_by is not None and ends > row.bin_by):
        row.bin_by, row.basis = ends, basis


def topped_up(row: MixRow) -> bool:
    """Whether a part went in more than once."""
    return len({pour["role"] for pour in row.pours}) < len(row.pours)


def clocks_now(act: Act) -> Hours:
    """Every hour that the bench shows: each part's window and cure, pots, guns, the room."""
    session, products = act.session, products_of(act.session)
    rows = finding.parts_here(session)
    steps = finding.steps_of(session, rows)
    parts = [part_of(row, steps[row.id or 0]) for row in rows]
    around = air_since(act, products, readings_since(act.now, parts))
    found: dict[str, Hour] = {}
    for part in parts:
        clocks = clocks_of(part, around, doubtful=act.doubtful)
        state = stand_state(part, clocks, act.now)
        for word, edge in (("opens", state.opens), ("closes", state.closes)):
            if edge is not None:
                found[f"tag {part.tag} {word}"] = edge.shown, edge.words(act.local_now)
    ends = {f"pot {pot.letter} bin by": pot.bin_by for pot in pots_of(session, products)}
    ends |= {
        f"gun of pot {gun.letter} flush by": gun.flush_by for gun in guns_of(session, products)
    }
    released = last_released(session, products)
    clearance = act.house.clearance.on(act.local_now.date()).typed
    ends["masks on until"] = released.at + clearance if released else None
    return found | {what: (at, act.hour(at)) for what, at in ends.items() if at is not None}


def _moved_words(before: Hours, after: Hours, act: Act) -> list[str]:
    told = []
    for what in dict.fromkeys([*before, *after]):
        old, new = before.get(what), after.get(what)
        if old is None or new is None or max(old[0], new[0]) < act.now:
            continue
        if abs(new[0] - old[0]) >= LEAST_MOVE:
            told.append(f"{what} {new[1]} now, not {old[1]}")
    more = len(told) - MOST_TOLD
    return told[:MOST_TOLD] + ([f"and {more} clocks more moved"] if more > 0 else [])
