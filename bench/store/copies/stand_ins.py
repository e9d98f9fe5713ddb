"""Stand-ins for the names of people, for an export that others may read.

A painter becomes "painter 1", an owner "owner 1", a job "job 1", the same one wherever the name
stands as a whole word: in the tables, in the log's texts and in its row images.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from sqlmodel import Session, col, select

from bench.store.log.pin_marks import PAINTERS
from bench.store.schema.tables import BY_ITSELF, JobRow, JournalRow, Painter, PartRow

PARTS, JOBS = str(PartRow.__tablename__), str(JobRow.__tablename__)

TYPED = frozenset(
    {
        *("name", "job", "owner", "painter", "painters", "by", "passed_by", "taken_by", "of"),
        *("holder", "queue", "text", "reason", "flags", "hold", "rework", "defect", "against"),
        *("why", "clearance_by", "order_number", "condition"),
    }
)
"""Fields in which painters type, or in which they are named. All others are words of the program,
and a data sheet or a route is no place for people: they stay."""

LEFT = frozenset({"sheet", "plan"})
"""What is under these is a data sheet, a route or a step's plan."""


class StandIns:
    """The stand-in of every name that a shop has or had, by the name without regard to capitals."""

    def __init__(self, session: Session) -> None:
        self._by_name: dict[str, str] = {}
        for kind, name in _every_name(session):
            if name and name.casefold() not in self._by_name:
                number = sum(stand_in.startswith(kind) for stand_in in self._by_name.values()) + 1
                self._by_name[name.casefold()] = f"{kind} {number}"
        longest_first = sorted(self._by_name, key=len, reverse=True)
        names = "|".join(map(re.escape, longest_first))
        self._pattern = re.compile(rf"(?<!\w)(?:{names})(?!\w)", re.IGNORECASE) if names else None

    def row(self, row: dict[str, Any]) -> dict[str, Any]:
        """Give a row, or what JSON in it holds, with stand-ins in the fields that people type."""
        return {
            key: value if key in LEFT else self._with_stand_ins(value, typed=key in TYPED)
            for key, value in row.items()
        }

    def _with_stand_ins(self, content: Any, *, typed: bool) -> Any:
        if isinstance(content, str):
            return self._text(content) if typed else content
        if isinstance(content, list):
            return [self._with_stand_ins(each, typed=typed) for each in content]
        if isinstance(content, dict):
            values = {self._text(key) if typed else key: value for key, value in content.items()}
            return self.row(values)
        return content

    def _text(self, text: str) -> str:
        if self._pattern is None:
            return text
        return self._pattern.sub(lambda name: self._by_name[name[0].casefold()], text)


def _every_name(session: Session) -> Iterator[tuple[str, str]]:
    """Every name, those before a correction too: what it names, and the name; the oldest first."""
    entries = session.exec(select(JournalRow).order_by(col(JournalRow.id))).all()
    images = [
        (change["table"], image)
        for entry in entries
        for change in entry.changes
        for image in (change["before"], change["after"])
        if image
    ]
    yield from (("painter", image["name"]) for table, image in images if table == PAINTERS)
    yield from (("painter", painter.name) for painter in session.exec(select(Painter)))
    writers = (entry.painter for entry in entries if entry.painter not in BY_ITSELF)
    yield from (("painter", writer) for writer in writers)
    parts = [image for table, image in images if table == PARTS]
    parts += [row.model_dump() for row in session.exec(select(PartRow))]
    jobs = [image for table, image in images if table == JOBS]
    jobs += [row.model_dump() for row in session.exec(select(JobRow))]
    yield from (("owner", row["owner"]) for row in (*parts, *jobs))
    yield from (("job", part["job"]) for part in parts)
    yield from (("job", job["name"]) for job in jobs)
