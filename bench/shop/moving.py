"""Which clocks moved with a correction, and the line that keeps both values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.calendar import Surroundings, clocks_of, readings_since
from bench.process.pots import room_until
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.spoken import rounded_down, rounded_up
from bench.process.state import stand_state
from bench.shop.acting import Act, Done
from bench.shop.rows import guns_of, part_of, pots_of, products_of, readings_of
from bench.store import finding

MOST_TOLD = 8
"""So many clocks are told of; the bench shows the others."""

LEAST_MOVE = timedelta(seconds=60)


@dataclass(frozen=True)
class Change:
    """What was put right. what: the fact, empty where the two values name it themselves."""

    what: str
    old: str
    new: str


def corrected(
    act: Act,
    tag: str,
    called: str,
    change: Change,
    why: str,
    before: Mapping[str, datetime],
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


def clocks_now(act: Act) -> dict[str, datetime]:
    """Every hour that the bench shows: each part's window and cure, pots, guns, the room."""
    session, products = act.session, products_of(act.session)
    rows = finding.parts_here(session)
    steps = finding.steps_of(session, rows)
    parts = [part_of(row, steps[row.id or 0]) for row in rows]
    around = air_since(act, products, readings_since(act.now, parts))
    found: dict[str, datetime | None] = {}
    for part in parts:
        state = stand_state(part, clocks_of(part, around), act.now)
        called = f"tag {part.tag}"
        opens, shuts = state.opens_at, state.shuts_at
        if opens is not None:
            found[f"{called} opens"] = rounded_up(opens) if state.aged else opens
        if shuts is not None:
            span = state.span_to(shuts)
            found[f"{called} shuts"] = rounded_down(shuts) if span and span.aged else shuts
    found |= {f"pot {pot.letter} bin by": pot.bin_by for pot in pots_of(session, products)}
    found |= {
        f"gun of pot {gun.letter} flush by": gun.flush_by for gun in guns_of(session, products)
    }
    released, _ = finding.triggers(session)
    _, until = room_until([(released, False)], act.house.clearance, act.now)
    found["masks on until"] = until
    return {what: at for what, at in found.items() if at is not None}


def _moved_words(
    before: Mapping[str, datetime], after: Mapping[str, datetime], act: Act
) -> list[str]:
    told = []
    for what in dict.fromkeys([*before, *after]):
        old, new = before.get(what), after.get(what)
        if old is None or new is None or max(old, new) < act.now:
            continue
        if abs(new - old) >= LEAST_MOVE:
            told.append(f"{what} {act.hour(new)} now, not {act.hour(old)}")
    more = len(told) - MOST_TOLD
    return told[:MOST_TOLD] + ([f"and {more} clocks more moved"] if more > 0 else [])
