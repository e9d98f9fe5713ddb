"""Showing and undoing the last thing done, by anyone, on any terminal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bench.process.refusal import Refusal
from bench.shop import timekeeping
from bench.shop.acting import Done, Shop
from bench.store import finding, journal
from bench.store.tables import JournalRow


@dataclass(frozen=True)
class Line:
    """One line of the journal, as it is read."""

    number: int
    at: datetime
    action: str
    painter: str
    terminal: str
    tag: str
    text: str
    undone: bool
    doubtful: bool


def last_action(shop: Shop) -> Line | None:
    """What ``undo`` would undo, None when there is nothing."""
    with shop.store.reading() as session:
        row = journal.last_to_undo(session)
        return _line(row, set()) if row is not None else None


def undo(shop: Shop, by: str, *, number: int | None = None) -> Done | Refusal:
    """Put everything back as it was before the last action; the journal keeps both.

    number: the line the painter was shown; if something newer was done, nothing is undone.
    """
    with shop.act("undo", by) as act:
        row = journal.last_to_undo(act.session)
        if row is None:
            return Refusal("there is nothing to undo")
        if number is not None and row.id != number:
            return Refusal("something newer was done meanwhile", row.text, "look at it first")
        if timekeeping.moved_since(act.session, row):
            return Refusal(
                "the clock was put right since, and with it the hours of this",
                row.text,
                "put it right by hand",
            )
        table = journal.differs(act.session, row.changes)
        if table is not None:
            return Refusal(
                "it was changed since and cannot be undone", table, "put it right by hand"
            )
        at = act.hour(row.at)
        journal.put_back(act.session, row.changes)
        return act.done(row.tag, f"undone: {row.text} ({row.painter}, {at})", undoes=row.id)


def lines(shop: Shop, newest: int = 50, tag: str = "") -> tuple[Line, ...]:
    """The newest lines of the journal, newest first; of one part if a tag is given."""
    with shop.store.reading() as session:
        undone = finding.undone_lines(session)
        return tuple(_line(row, undone) for row in finding.journal_lines(session, newest, tag))


def _line(row: JournalRow, undone: set[int]) -> Line:
    return Line(
        number=row.id or 0,
        at=row.at,
        action=row.action,
        painter=row.painter,
        terminal=row.terminal,
        tag=row.tag,
        text=row.text,
        undone=row.id in undone,
        doubtful=row.doubtful,
    )
