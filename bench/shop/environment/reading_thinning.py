"""Delete old readings of probes, which are of no use and fill the data; the log has all."""

from __future__ import annotations

from datetime import datetime, timedelta

from bench.process.clocks.part_clocks import READINGS_BEFORE
from bench.process.clocks.reading_thinning import (
    TimeSpan,
    WorkedStep,
    readings_to_drop,
    spans_of,
    whole_hours_before,
)
from bench.process.clocks.temperature import Reading
from bench.process.wording.time_text import day_words
from bench.shop.clock import timekeeping
from bench.shop.core.transaction import Outcome, Shop
from bench.store.databases.database import Session
from bench.store.log.journal import THINNED
from bench.store.queries import bench_rows, history_rows
from bench.store.schema.tables import PROBE

EVERY = timedelta(days=1)
"""At most so often an entry (house rule)."""

MOST_ROWS = 2000
"""At most so many readings in one entry, the oldest first: more than a probe that is read every
minute writes down in a day, and painters wait only a moment for it (house rule)."""


def thin(shop: Shop) -> Outcome | None:
    """Let readings go that no clock, no job record and no hour needs; None where none went.

    None too where some went less than a day ago, while the clock is wrong, and where something was
    written down meanwhile: the long look is not made while painters wait. Raises StoreFault.
    """
    with shop.store.reading() as session:
        clock = timekeeping.read_state(session, shop.clock)
        now, line = shop.clock.now(), bench_rows.last_line_number(session)
        if clock.doubtful or _is_done(session, now):
            return None
        going = _going(session, now)[:MOST_ROWS]
    if not going:
        return None
    with shop.act(THINNED, PROBE) as act:
        if bench_rows.last_line_number(act.session) != line:
            return None
        for row in history_rows.readings_numbered(
            act.session, [reading.number for reading in going]
        ):
            act.session.delete(row)
        until = day_words(going[-1].at.astimezone(act.house.hours.zone))
        return act.write(PROBE, "", f"old probe readings thinned: {len(going)}, up to {until}")


def _is_done(session: Session, now: datetime) -> bool:
    last_at = history_rows.last_of_action(session, THINNED)
    return last_at is not None and now - last_at < EVERY


def _going(session: Session, now: datetime) -> list[Reading]:
    rows = history_rows.probe_figures_before(session, whole_hours_before(now))
    spans = [*spans_of((WorkedStep(*step) for step in history_rows.worked_ever(session)), now)]
    spans += _of_pots(session, now)
    return readings_to_drop([Reading(*figures) for figures in rows], spans)


def _of_pots(session: Session, now: datetime) -> list[TimeSpan]:
    pots = history_rows.pots_ever(session)
    return [(mixed_at - READINGS_BEFORE, binned_at or now) for mixed_at, binned_at in pots]
