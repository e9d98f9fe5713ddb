"""Notice that somebody changed a row since the painter saw it, so that no key acts on the new.

Two terminals look at one bench. Writers take turns, and each action asks the rules; yet a key
that meant "begin" on a picture a moment old would finish what the other has begun just now. So a
screen says up to which line of the journal its picture reached, and an action on a part or a pot
that somebody did something to since is refused, with who, what and when.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from bench.store.databases.database import Session
from bench.store.log.journal import CLOCK_ACTIONS, touches
from bench.store.queries import bench_rows
from bench.store.schema.tables import (
    EquipmentRow,
    InstrumentRow,
    JobRow,
    JournalRow,
    MeasurementRow,
    MixRow,
    NoteRow,
    PartRow,
    ProductRow,
    ReadingRow,
    RouteRow,
    TinRow,
    WorkPlanRow,
)

WatchedRow = (
    PartRow
    | MixRow
    | TinRow
    | ReadingRow
    | ProductRow
    | RouteRow
    | EquipmentRow
    | NoteRow
    | InstrumentRow
    | MeasurementRow
    | JobRow
    | WorkPlanRow
)
"""What two painters may reach for at once."""


@dataclass(frozen=True)
class SeenEntries:
    """The journal up to a line, and the numbers of the later lines that are this painter's own."""

    line: int
    own: frozenset[int] = frozenset()


def changed_since_seen(
    session: Session,
    entries: SeenEntries | None,
    row: WatchedRow,
    beside: Collection[str] = (),
) -> JournalRow | None:
    """Find the last entry about a row that the painter has not seen, None where there is none.

    entries: what was seen, None where nobody looks at a picture. Setting the clock moves the hours
    of every row, and no painter did that: it does not count. beside: the actions that may go on
    beside this one, such as the faces of a coat that two spray at once.
    """
    if entries is None:
        return None
    for line in reversed(bench_rows.lines_after(session, entries.line)):
        if line.id in entries.own or line.action in {*CLOCK_ACTIONS, *beside}:
            continue
        if touches(line, row):
            return line
    return None
