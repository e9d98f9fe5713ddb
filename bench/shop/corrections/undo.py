"""Undo an entry of anyone, on any terminal: the last, or a chosen one; redo it."""

from __future__ import annotations

from datetime import timedelta

from bench.process.parts.log_entry import LogEntry
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_duration
from bench.shop.clock import timekeeping
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.queries.log import entry_of
from bench.store.log import journal
from bench.store.queries import bench_rows, history_rows
from bench.store.schema.tables import JournalRow

UNDO_FOR = timedelta(minutes=10)
"""How long an entry that is not the last can be undone; an older one is corrected instead."""


def last_action(shop: Shop) -> LogEntry | None:
    """Give the entry that ``undo`` would undo, None when there is nothing."""
    with shop.store.reading() as session:
        row = journal.last_to_undo(session)
        return entry_of(row) if row is not None else None


def last_undone(shop: Shop) -> LogEntry | None:
    """Return the undo that ``redo`` would take back; None where there is none."""
    with shop.store.reading() as session:
        row = journal.last_undo(session, shop.clock.now() - UNDO_FOR)
        if row is None or journal.in_the_way(session, row) is not None:
            return None
        return entry_of(row)


def undo(shop: Shop, by: str, *, number: int | None = None) -> Outcome | Refusal:
    """Put everything back as it was before the last action; the journal keeps both.

    number: the line the painter was shown; if something newer was done, nothing is undone.
    """
    with shop.act("undo", by) as act:
        row = journal.last_to_undo(act.session)
        if row is None:
            return Refusal("there is nothing to undo")
        if number is not None and row.id != number:
            return Refusal("something newer was done meanwhile", row.text, "look at it first")
        return _undo_entry(act, row)


def undo_line(shop: Shop, by: str, number: int) -> Outcome | Refusal:
    """Put back what one line did, though others were written after it.

    Only where nothing later touched what it touched, or hangs on what it made, and within
    UNDO_FOR; the last line of all at any time.
    """
    with shop.act("undo", by) as act:
        row = act.session.get(JournalRow, number)
        if row is None:
            return Refusal(f"no entry {number} in the log", "", "read its number again")
        last = journal.last_to_undo(act.session)
        is_last = last is not None and last.id == row.id
        return _against(act, row, is_last=is_last) or _undo_entry(act, row)


def redo(shop: Shop, by: str, number: int) -> Outcome | Refusal:
    """Do again what the last undo took back, with its own hours and painters, as a new line.

    number: the undo the painter was shown. For UNDO_FOR, and only where nothing was done since to
    what it touched.
    """
    with shop.act("redo", by) as act:
        row = journal.last_undo(act.session, act.now - UNDO_FOR)
        if row is None or row.id != number:
            limit = f"the last undo can be redone for {UNDO_FOR.seconds // 60} min"
            return Refusal("that is not the last undo, or too long ago", limit, "do it by hand")
        if later := _later(act, row, "do it by hand"):
            return later
        original = act.session.get(JournalRow, row.undoes)
        assert original is not None
        act.action = original.action
        words = f"redone: {original.text} ({original.painter}, {act.hour(original.at)})"
        return _put_back(act, row, words)


def _against(act: Transaction, row: JournalRow, *, is_last: bool) -> Refusal | None:
    """Why a chosen line cannot be undone."""
    if row.undoes is not None:
        return Refusal("that entry is an undo", row.text, "do it again")
    if history_rows.undone_by(act.session, [row.id or 0]):
        return Refusal("that entry is undone already", row.text)
    if row.action in journal.NEVER_UNDONE:
        return Refusal("that cannot be undone", row.text, "correct it")
    age = act.now - row.at
    if age > UNDO_FOR and not is_last:
        return Refusal(
            f"it was done {format_duration(age.total_seconds())} ago",
            f"an entry that is not the last can be undone for {UNDO_FOR.seconds // 60} min",
            "correct the fact, with a reason",
        )
    return _later(act, row, "undo that first")


def _later(act: Transaction, row: JournalRow, right: str) -> Refusal | None:
    """What was done since to what a line touched. right: what the painter can do then."""
    later = journal.in_the_way(act.session, row)
    if later is None:
        return None
    words = f"entry {later.id}: {later.text} ({later.painter}, {act.hour(later.at)})"
    return Refusal("a later entry depends on it", words, right)


def _undo_entry(act: Transaction, row: JournalRow) -> Outcome | Refusal:
    words = f"undone: {row.text} ({row.painter}, {act.hour(row.at)})"
    return _put_back(act, row, words, undoes=row.id)


def _put_back(
    act: Transaction, row: JournalRow, words: str, *, undoes: int | None = None
) -> Outcome | Refusal:
    """Everything as it was before a line, under words of their own."""
    if timekeeping.moved_since(act.session, row):
        return Refusal(
            "the clock was set since, and the times of this entry with it",
            row.text,
            "correct it",
        )
    table = journal.differs(act.session, row.changes)
    if table is not None:
        return Refusal("it was changed since and cannot be undone", table, "correct it")
    tag, text = row.tag, row.text
    if not journal.put_back_if_it_fits(act.session, row.changes):
        return Refusal("something else is in its place by now", text, "make room for it first")
    if letter := _letter_twice(act):
        return Refusal(f"another pot is called {letter} by now", text, "bin that one first")
    return act.done(tag, words, undoes=undoes)


def _letter_twice(act: Transaction) -> str:
    """A letter that two open pots bear; empty where none is."""
    letters = [row.letter for row in bench_rows.open_pots(act.session)]
    return next((letter for letter in letters if letters.count(letter) > 1), "")
