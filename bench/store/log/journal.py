"""The journal: what was done, with every row before and after, in the same transaction.

``Ledger`` watches a session. When the action is written, it knows each row the action made,
changed or removed, so that undo can put exactly that back and a replay gives exactly the state.
"""

from __future__ import annotations

from collections.abc import Iterable
from copy import deepcopy
from datetime import UTC, datetime
from functools import cache
from typing import Any

from sqlalchemy import event, insert, inspect
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm.base import NO_VALUE
from sqlmodel import Session, SQLModel, col, select

from bench.store.log import checksum_chain
from bench.store.log.pin_marks import without_hash
from bench.store.schema.tables import (
    KEPT,
    DefectRow,
    JournalRow,
    MeasurementRow,
    Painter,
    PartRow,
    StepRow,
    TestRow,
)

_ORDER = {table: place for place, table in enumerate(KEPT)}

Image = dict[str, Any]


class Ledger:
    """Collects what one session changes, as pairs of row images."""

    def __init__(self, session: Session) -> None:
        self._before: dict[tuple[str, str], Image | None] = {}
        self._rows: dict[tuple[str, str], SQLModel] = {}
        event.listen(session, "before_flush", self._note_before)
        event.listen(session, "after_flush", self._note_rows)

    def changes(self, session: Session) -> list[dict[str, Any]]:
        """Write what was changed, and give every row touched, parents first, before and after."""
        session.flush()
        pictures = []
        for key in sorted(self._before, key=lambda key: _ORDER[key[0]]):
            row, before = self._rows.get(key), self._before[key]
            after = image(row) if row is not None and not _gone(row) else None
            if before != after:
                pictures.append({"table": key[0], "before": before, "after": after})
        return pictures

    def touched(self, session: Session, kinds: tuple[type[SQLModel], ...]) -> bool:
        """Say whether a row of some tables was made, changed or removed, flushed already or not."""
        rows = (*self._rows.values(), *session.new, *session.dirty, *session.deleted)
        return any(isinstance(row, kinds) for row in rows)

    def move_revisions(self, session: Session) -> None:
        """Raise the revision of each part of which anything was changed, so that its row tells."""
        rows = [row for row in session.dirty if session.is_modified(row)]
        changed_rows = [*self._rows.values(), *rows, *session.new, *session.deleted]
        for part_id in {_part_of(session, row) for row in changed_rows} - {None}:
            key = (str(PartRow.__tablename__), str(part_id))
            row = session.get(PartRow, part_id)
            if row is None or self._before.get(key, {}) is None:
                continue
            before = self._before.get(key) or _image_before(row)
            if before["revision"] == row.revision:
                row.revision += 1

    def _note_before(self, session: Session, *_: Any) -> None:
        for row in session.dirty | session.deleted:
            if session.is_modified(row) or row in session.deleted:
                self._keep(row, _image_before(row))

    def _note_rows(self, session: Session, *_: Any) -> None:
        for row in session.new:
            self._keep(row, None)

    def _keep(self, row: Any, before: Image | None) -> None:
        if row.__tablename__ in KEPT:
            key = (row.__tablename__, str(_key(row)))
            self._before.setdefault(key, before)
            self._rows[key] = row


def _part_of(session: Session, row: SQLModel) -> int | None:
    """The part that a row belongs to, if it is still there."""
    owner = session.get(StepRow, row.step_id) if isinstance(row, TestRow) else row
    if isinstance(owner, StepRow | DefectRow | MeasurementRow):
        return owner.part_id
    return owner.id if isinstance(owner, PartRow) else None


def touches(line: JournalRow, row: SQLModel) -> bool:
    """Say whether a line changed a row. A part's row changes with whatever of the part does."""
    name = _key_name(type(row))
    pictures = (
        change["after"] or change["before"]
        for change in line.changes
        if change["table"] == row.__tablename__
    )
    return any(picture[name] == getattr(row, name) for picture in pictures)


_LINE = insert(JournalRow.__table__)  # type: ignore[attr-defined]


def write(
    session: Session,
    changes: list[dict[str, Any]],
    *,
    at: datetime,
    action: str,
    painter: str,
    terminal: str,
    text: str,
    tag: str = "",
    undoes: int | None = None,
    doubtful: bool = False,
    release: tuple[datetime, str] | None = None,
) -> tuple[int, str]:
    """Write the line about what the session changed; answers its number and checksum.

    Only once the session is committed is any of it so. release: until when something was put into
    the air, and what it was.
    """
    line: dict[str, Any] = {
        "at": at,
        "action": action,
        "painter": painter,
        "terminal": terminal,
        "text": text,
        "tag": tag,
        "changes": changes,
        "undoes": undoes,
        "doubtful": doubtful,
        "released_at": release[0] if release else None,
        "released": release[1] if release else "",
    }
    line["checksum"] = checksum_chain.checksum_of(
        checksum_chain.newest(session), checksum_chain.content_of(line)
    )
    # Past the session's unit of work, which takes longer over one row than all the rest does.
    key = session.connection().execute(_LINE, line).inserted_primary_key
    assert key is not None
    return int(key[0]), line["checksum"]


def image(row: SQLModel) -> Image:
    """Give the row as plain JSON values; instants in UTC, of a PIN only that there is one."""
    picture = {name: as_plain(getattr(row, name)) for name in _columns(type(row))}
    return without_hash(picture) if isinstance(row, Painter) else picture


def _image_before(row: SQLModel) -> Image:
    was = inspect(row).committed_state
    values = {
        name: as_plain(was[name] if name in was else getattr(row, name))
        for name in _columns(type(row))
    }
    picture = {name: None if value is NO_VALUE else value for name, value in values.items()}
    return without_hash(picture) if isinstance(row, Painter) else picture


@cache
def _columns(kind: type[SQLModel]) -> tuple[str, ...]:
    return tuple(column.key for column in inspect(kind).mapper.column_attrs)


@cache
def _key_name(kind: type[SQLModel]) -> str:
    return str(inspect(kind).mapper.primary_key[0].name)


def _key(row: SQLModel) -> Any:
    return getattr(row, _key_name(type(row)))


def _gone(row: Any) -> bool:
    return bool(inspect(row).was_deleted)


def as_plain(value: Any) -> Any:
    """Give a column's value as JSON has it; an instant as ISO text in UTC."""
    return value.astimezone(UTC).isoformat() if isinstance(value, datetime) else value


def _values(kind: type[Any], picture: Image) -> dict[str, Any]:
    """A picture's values as the row holds them."""
    mapper = inspect(kind).mapper
    return {
        name: datetime.fromisoformat(value)
        if value is not None and "DATETIME" in mapper.columns[name].type.__class__.__name__.upper()
        else value
        for name, value in picture.items()
    }


CLOCK_ACTIONS = ("clock started", "clock wrong", "clock stepped", "clock set")
"""What is written down about the computer's clock. Time that has gone by cannot be undone."""

PIN_ACTIONS = ("PIN", "wrong PIN", "right PIN", "training")
"""Somebody else's undo must not take a PIN away, nor what was signed with it about a painter."""

RESTORED = "restored"
"""A copy was put over the data. No painter wrote it: the bench may be shut meanwhile."""

DATA_KEPT = "data kept"
"""Somebody goes on with the data as it is, though a backup goes further."""

CORRECT = "correct"
"""The action of a line that puts an older fact right, with what it was and why."""

THINNED = "readings thinned"
"""Old readings of probes went, by the bench itself: this entry is the only one that has them."""

NEVER_UNDONE = ("open shop", RESTORED, DATA_KEPT, THINNED, *CLOCK_ACTIONS, *PIN_ACTIONS)


def last_to_undo(session: Session) -> JournalRow | None:
    """Find the newest line that is neither an undo nor undone, and has something to put back."""
    undone_numbers = select(JournalRow.undoes).where(col(JournalRow.undoes).is_not(None))
    return session.exec(
        select(JournalRow)
        .where(
            col(JournalRow.undoes).is_(None),
            col(JournalRow.id).not_in(undone_numbers),
            col(JournalRow.action).not_in(NEVER_UNDONE),
        )
        .order_by(col(JournalRow.id).desc())
        .limit(1)
    ).first()


def last_undo(session: Session, since: datetime) -> JournalRow | None:
    """Find the newest line since an instant that undid another."""
    undid = select(JournalRow).where(JournalRow.at >= since, col(JournalRow.undoes).is_not(None))
    return session.exec(undid.order_by(col(JournalRow.id).desc()).limit(1)).first()


def differs(session: Session, changes: Iterable[dict[str, Any]]) -> str | None:
    """Find the first table whose row is no longer as the change left it, None when none."""
    for change in changes:
        row = _find(session, change)
        now = image(row) if row is not None else None
        if now != _whole(change["table"], change["after"]):
            return str(change["table"])
    return None


def in_the_way(session: Session, line: JournalRow) -> JournalRow | None:
    """Find the first later line that touched a row of this one, or needs a row that it made.

    Lines that were undone since, and what undid them, are as if they had never been.
    """
    keys = {_key_of(change) for change in line.changes}
    new_keys = {_key_of(change) for change in line.changes if change["before"] is None}
    query = select(JournalRow).where(col(JournalRow.id) > line.id).order_by(col(JournalRow.id))
    later = list(session.exec(query).all())
    numbers = {row.id for row in later}
    undone_numbers = {row.undoes for row in later if row.undoes in numbers}
    for row in later:
        if row.id in undone_numbers or row.undoes in numbers:
            continue
        if any(_key_of(c) in keys or _points_at(c) & new_keys for c in row.changes):
            return row
    return None


def _key_of(change: dict[str, Any]) -> tuple[str, str]:
    picture = change["after"] or change["before"]
    name = _key_name(KEPT[change["table"]])
    return change["table"], str(picture[name])


def _points_at(change: dict[str, Any]) -> set[tuple[str, str]]:
    """The rows that a row refers to, as it was left."""
    if change["after"] is None:
        return set()
    return {
        (key.column.table.name, str(change["after"].get(column.key)))
        for column in inspect(KEPT[change["table"]]).mapper.columns
        for key in column.foreign_keys
    }


def put_back_if_it_fits(session: Session, changes: list[dict[str, Any]]) -> bool:
    """Put rows back; False, with nothing changed, where something else has taken a row's place."""
    try:
        put_back(session, changes)
    except IntegrityError:
        session.rollback()
        return False
    return True


def put_back(session: Session, changes: list[dict[str, Any]]) -> None:
    """Restore every row to its image before: children go before parents, parents come first."""
    for change in reversed(changes):
        if change["before"] is None:
            session.delete(_find(session, change))
    session.flush()
    # Places that only one may hold are freed before they are filled: two parts that swapped stands,
    # and steps that moved along the route, must be able to go back.
    for change in changes:
        row = _find(session, change)
        if isinstance(row, PartRow):
            row.stand = None
        elif isinstance(row, StepRow):
            row.number = -(row.id or 0)
    session.flush()
    for change in changes:
        if change["before"] is not None:
            row = _find(session, change)
            kind = KEPT[change["table"]]
            values = _values(kind, {**blank(kind), **change["before"]})
            if row is None:
                session.add(kind(**values))
                continue
            if isinstance(row, Painter):
                # The log does not know the PIN, and nobody's undo changes it.
                values["pin"] = row.pin
            for name, value in values.items():
                setattr(row, name, value)
    session.flush()


def _find(session: Session, change: dict[str, Any]) -> SQLModel | None:
    kind = KEPT[change["table"]]
    picture = change["after"] or change["before"]
    return session.get(kind, picture[_key_name(kind)])


class NotReplayable(ValueError):
    """An entry of the log changes rows that this shop does not have: it is damaged."""


State = dict[str, dict[str, Image]]
"""Table -> key -> row image."""


def replay(lines: Iterable[JournalRow]) -> State:
    """Rebuild the state from the log alone. Raises NotReplayable."""
    state: State = {name: {} for name in KEPT}
    blanks = {name: blank(kind) for name, kind in KEPT.items()}
    for line in lines:
        try:
            for change in line.changes:
                _replay(change, state, blanks)
        except (LookupError, TypeError) as fault:
            raise NotReplayable(f"log entry {line.id} cannot be replayed") from fault
    return state


def _replay(change: dict[str, Any], state: State, blanks: dict[str, Image]) -> None:
    table = change["table"]
    key = str((change["after"] or change["before"])[_key_name(KEPT[table])])
    if change["after"] is None:
        state[table].pop(key, None)
    else:
        state[table][key] = {**blanks[table], **change["after"]}


def _whole(table: str, picture: Image | None) -> Image | None:
    return None if picture is None else {**blank(KEPT[table]), **picture}


def blank(kind: type[SQLModel]) -> Image:
    """Give a row's values where an older version's picture has none: the columns' defaults."""
    return deepcopy(_blank(kind))


@cache
def _blank(kind: type[SQLModel]) -> Image:
    return {
        name: field.get_default(call_default_factory=True)
        for name, field in kind.model_fields.items()
        if not field.is_required()
    }


def present(session: Session) -> State:
    """Give the state as the tables hold it, in the same form as ``replay``."""
    return {
        name: {str(_key(row)): image(row) for row in session.exec(select(kind)).all()}
        for name, kind in KEPT.items()
    }
