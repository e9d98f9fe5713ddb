"""Reading the journal: what was done, by whom, the newest first; and one part's whole history."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from typing import Any

from bench.process.actions.route_exchange import ROUTE_CHANGED
from bench.process.parts.log_entry import LogEntry
from bench.shop.core.mappers import of_columns, settings_of
from bench.shop.core.transaction import Shop
from bench.store.databases.database import Session
from bench.store.log.journal import CORRECT
from bench.store.queries import bench_rows, history_rows
from bench.store.queries.history_rows import CHANGE_ROUTE
from bench.store.schema.tables import JournalRow, MixRow, PartRow, StepRow

LATE = timedelta(hours=1)
"""What was done longer ago than this when it was typed is marked on the job record."""

EARLIEST, LATEST = date(1, 1, 2), date(9999, 12, 30)
"""Days that a midnight in any zone can still belong to."""


def log_page(
    shop: Shop,
    newest: int = 50,
    tag: str = "",
    *,
    since: date | None = None,
    until: date | None = None,
    before: int | None = None,
) -> tuple[LogEntry, ...]:
    """List the newest lines, newest first.

    tag: of one part. since, until: days in the shop's zone, both included. before: older than a
    line, by its number.
    """
    with shop.store.reading() as session:
        span = None
        if since is not None or until is not None:
            zone = settings_of(session).hours.zone
            span = instants(since or EARLIEST, until or LATEST, zone)
        return entries_of(
            session, history_rows.journal_page(session, newest, tag.strip(), span, before)
        )


def last_line_at(shop: Shop, painters: Collection[str], back: int) -> datetime | None:
    """Find when one of some painters wrote the newest line, among so many newest ones."""
    with shop.store.reading() as session:
        return history_rows.last_line_at(session, painters, back)


def entry_at(shop: Shop, number: int) -> LogEntry | None:
    """Find one entry by its number."""
    with shop.store.reading() as session:
        row = session.get(JournalRow, number)
        return entries_of(session, [row])[0] if row is not None else None


def entries_of(session: Session, rows: list[JournalRow]) -> tuple[LogEntry, ...]:
    """Read rows of the journal as log entries."""
    undo_numbers = history_rows.undone_by(session, [row.id or 0 for row in rows])
    return tuple(entry_of(row, undone=row.id in undo_numbers) for row in rows)


def entry_of(row: JournalRow, *, undone: bool = False) -> LogEntry:
    """Read one row of the journal as a log entry."""
    return of_columns(LogEntry, row, number=row.id or 0, undone=undone)


def entries_about(session: Session, part: PartRow) -> tuple[LogEntry, ...]:
    """List a part's entries under each tag it had, and its lot's until it was split off."""
    return entries_of(session, _lines_of(session, part, None))


def route_changes(entries: Iterable[LogEntry]) -> list[tuple[LogEntry, str]]:
    """List the entries that stand by which a part got another route, each with its words."""
    return [
        (entry, entry.text[entry.text.rindex(ROUTE_CHANGED) :])
        for entry in entries
        if ROUTE_CHANGED in entry.text
        and entry.action == CHANGE_ROUTE
        and not entry.undone
        and entry.undoes is None
    ]


def instants(first: date, last: date, zone: tzinfo) -> history_rows.Instants:
    """Give the instants of a span of days: midnight before the first to midnight after the last."""
    start = datetime.combine(max(first, EARLIEST), time(), zone)
    end = datetime.combine(min(last, LATEST) + timedelta(days=1), time(), zone)
    return start, end


MIX = str(MixRow.__tablename__)


@dataclass(frozen=True)
class History:
    """Lines oldest first; undone: of which lines by which line they were undone.

    corrections: the entries that correct what other rows hold, readings and pots too.
    """

    lines: tuple[JournalRow, ...]
    undone: dict[int, int]
    corrections: tuple[JournalRow, ...]

    def entries(self) -> tuple[LogEntry, ...]:
        """Give the lines as they are read."""
        return tuple(entry_of(row, undone=row.id in self.undone) for row in self.lines)

    def corrections_of(self, table: str, number: int | None) -> tuple[LogEntry, ...]:
        """List the corrections of one row. A pot's own of its coats belong to the pot."""
        return tuple(
            entry_of(row)
            for row in self.corrections
            if number in rows_touched(row, table) and (table == MIX or not rows_touched(row, MIX))
        )

    def of_the_part(self, part: PartRow, steps: Iterable[StepRow]) -> tuple[LogEntry, ...]:
        """List the corrections of the part itself, or of the lot that it was split from."""
        step_ids = {step.id for step in steps}
        numbers = {line.id for line in self.lines}
        return tuple(
            entry_of(row)
            for row in self.corrections
            if row.id in numbers and not rows_touched(row, str(StepRow.__tablename__)) & step_ids
        )

    def doubtful_steps(self) -> set[int]:
        """List the steps of which something was written down while the clock was wrong."""
        return {
            number
            for row in self.lines
            if row.doubtful and row.id not in self.undone and row.undoes is None
            for number in rows_touched(row, str(StepRow.__tablename__))
        }

    def steps_typed_late(self) -> dict[int, datetime]:
        """Say of each step with an hour that was typed much later when that was, at the latest."""
        typed: dict[int, datetime] = {}
        for row in self.lines:
            if row.id in self.undone or row.undoes is not None or row.action == CORRECT:
                continue
            for change in row.changes:
                before, after = change["before"], change["after"]
                if change["table"] != StepRow.__tablename__ or before is None or after is None:
                    continue
                if any(row.at - at > LATE for at in _hours_in(after) - _hours_in(before)):
                    typed[int(after["id"])] = row.at
        return typed


def _hours_in(step: dict[str, Any]) -> set[datetime]:
    """When something was done on a step, of its row in the journal."""
    texts = {step[name] for name in ("first_at", "last_at", "passed_at")}
    texts |= {mark[name] for mark in step["marks"] for name in ("begun_at", "done_at")}
    return {datetime.fromisoformat(text) for text in texts if text}


def history_of(session: Session, part: PartRow, since: datetime) -> History:
    """Give a part's history. since: from when on corrections of readings and pots matter."""
    lines = _lines_of(session, part, None)
    corrections = history_rows.lines_of_action(session, CORRECT, since)
    ids = {row.id for row in corrections}
    corrections = [r for r in lines if r.action == CORRECT and r.id not in ids] + corrections
    undo_numbers = history_rows.undone_by(session, [row.id or 0 for row in (*lines, *corrections)])
    standing = (row for row in corrections if row.id not in undo_numbers)
    return History(tuple(lines), undo_numbers, tuple(sorted(standing, key=lambda row: row.id or 0)))


def _lines_of(session: Session, part: PartRow, before: int | None) -> list[JournalRow]:
    """The part's lines under each tag it had, and its lot's until it was split off."""
    rows: list[JournalRow] = []
    tag = part.tag
    while True:
        lines = history_rows.lines_about(session, tag, before)
        renamed = next((r for r in reversed(lines) if _renamed_from(r, part, tag)), None)
        if renamed is None:
            break
        rows = [row for row in lines if (row.id or 0) >= (renamed.id or 0)] + rows
        tag, before = _renamed_from(renamed, part, tag), renamed.id
    # The tag may have been another part's before: its lines end where this part's begin.
    starts = [n for n, row in enumerate(lines) if _makes(row, part)]
    own_lines = lines[starts[-1] :] if starts else lines
    return [*_before_the_split(session, part, before), *own_lines, *rows]


def _renamed_from(row: JournalRow, part: PartRow, tag: str) -> str:
    """The tag it bore before a line gave it this one; empty where the line did not."""
    for change in row.changes if row.action == CORRECT else ():
        after, before = change["after"], change["before"]
        same = change["table"] == PartRow.__tablename__ and before and after
        if same and after["id"] == part.id and after["tag"] == tag != before["tag"]:
            return str(before["tag"])
    return ""


def _before_the_split(session: Session, part: PartRow, before: int | None) -> list[JournalRow]:
    if not part.split_from:
        return []
    lot = bench_rows.part_tagged(session, part.split_from)
    if lot is None or lot.id == part.id:
        return []
    lines = _lines_of(session, lot, before)
    start = next((n for n, row in enumerate(lines) if _makes(row, part)), None)
    if start is None:
        # Where the line that split it off bears the new tag, the lot's last line is before it.
        own_lines = history_rows.lines_about(session, part.tag)
        first = own_lines[0].id if own_lines else None
        return [row for row in lines if first is None or (row.id or 0) < first]
    return lines[: start + 1]


def _makes(row: JournalRow, part: PartRow) -> bool:
    return any(
        change["table"] == PartRow.__tablename__
        and change["before"] is None
        and change["after"]["id"] == part.id
        for change in row.changes
    )


def rows_touched(row: JournalRow, table: str) -> set[int]:
    """List the numbers of a table's rows that a line changed."""
    return {
        int((change["after"] or change["before"])["id"])
        for change in row.changes
        if change["table"] == table
    }
