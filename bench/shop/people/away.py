"""When painters are away: typed ahead, and taken back."""

from __future__ import annotations

from datetime import datetime

from bench.process.calendar.absence import LIKE, Absence, covered, read_absence
from bench.process.refusals.refusal import Refusal
from bench.shop.core.mappers import absence_of, settings_of
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.store.databases.database import Session
from bench.store.queries import people_rows
from bench.store.schema.tables import AwayRow


def away(
    shop: Shop, by: str, painter: str, span: str, *, take_back: bool = False
) -> Outcome | Refusal:
    """Record when a painter is away. span: as ``read_absence`` reads it; take_back: no more."""
    with shop.act("away", by) as act:
        name = act.painter(painter)
        if isinstance(name, Refusal):
            return name
        try:
            absence = read_absence(name, span)
        except ValueError as fault:
            return Refusal("the days away", str(fault), "type them again")
        return _take_back(act, absence) if take_back else _add(act, absence)


def _add(act: Transaction, absence: Absence) -> Outcome | Refusal:
    if absence.ends <= act.local_now.replace(tzinfo=None):
        return Refusal(f"away {absence.words}", "that is over", "type the year again")
    known = [absence_of(row) for row in people_rows.away_rows(act.session)]
    if covered(absence, known):
        return Refusal(f"{absence.painter} is away then already", absence.words)
    begins, ends = _stored(absence.begins), _stored(absence.ends)
    act.session.add(AwayRow(painter=absence.painter, begins=begins, ends=ends))
    return act.done("", f"{absence.painter} is away {absence.words}")


def _take_back(act: Transaction, absence: Absence) -> Outcome | Refusal:
    own = [row for row in people_rows.away_rows(act.session) if row.painter == absence.painter]
    row = next((row for row in own if absence_of(row) == absence), None)
    if row is None:
        there = ", ".join(absence_of(row).words for row in own[:8])
        right = f"one of {there}" if there else LIKE
        return Refusal(f"{absence.painter} is not away {absence.words}", "", right)
    act.session.delete(row)
    return act.done("", f"{absence.painter} is not away {absence.words}")


def absences(shop: Shop) -> tuple[Absence, ...]:
    """List who is away from now on, the first to go first."""
    with shop.store.reading() as session:
        now = shop.clock.now().astimezone(settings_of(session).hours.zone)
        return absences_from(session, now)


def absences_from(session: Session, now: datetime) -> tuple[Absence, ...]:
    """List who is away from an hour in the shop's zone on, the first to go first."""
    return tuple(absence_of(row) for row in people_rows.away_rows(session, _stored(now)))


def _stored(at: datetime) -> str:
    return f"{at:%Y-%m-%dT%H:%M}"
