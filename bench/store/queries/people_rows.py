"""Finding what painters share: equipment, notes, and who has left."""

from __future__ import annotations

from sqlmodel import Session, col, func, select

from bench.store.schema.tables import (
    PROBE,
    AwayRow,
    EquipmentRow,
    JournalRow,
    NoteRow,
    PartRow,
    StepRow,
)

_EQUIPMENT = select(EquipmentRow).order_by(col(EquipmentRow.position), col(EquipmentRow.key))


def equipment(session: Session) -> list[EquipmentRow]:
    """List the equipment that one painter holds at a time, in the order it is offered."""
    return list(session.exec(_EQUIPMENT).all())


def away_rows(session: Session, since: str = "") -> list[AwayRow]:
    """List when painters are away, the first to go first. since: such as end later, as stored."""
    query = select(AwayRow).where(AwayRow.ends > since)
    return list(session.exec(query.order_by(AwayRow.begins, col(AwayRow.id))).all())


def next_position(session: Session) -> int:
    """Give the place of a new item in the list: behind the others."""
    last = session.exec(select(func.max(EquipmentRow.position))).one()
    return 0 if last is None else last + 1


def in_hand(session: Session) -> list[tuple[PartRow, StepRow]]:
    """List the steps in hand of the parts that have not left the bench, with their parts."""
    query = (
        select(PartRow, StepRow)
        .join(StepRow, col(StepRow.part_id) == col(PartRow.id))
        .where(col(PartRow.away).is_(False), StepRow.status == "in hand")
        .order_by(PartRow.tag)
    )
    return list(session.exec(query).all())


def notes(session: Session, part_id: int | None) -> list[NoteRow]:
    """List the notes of a part, or of the bench, that nobody struck, oldest first."""
    query = select(NoteRow).where(col(NoteRow.struck).is_(False), NoteRow.part_id == part_id)
    return list(session.exec(query.order_by(col(NoteRow.id))).all())


_NOTES_HERE = (
    select(NoteRow, func.coalesce(PartRow.tag, ""))
    .join(PartRow, col(NoteRow.part_id) == col(PartRow.id), isouter=True)
    .where(
        col(NoteRow.struck).is_(False),
        col(NoteRow.part_id).is_(None) | col(PartRow.away).is_(False),
    )
    .order_by(col(NoteRow.id))
)


def notes_here(session: Session) -> list[tuple[NoteRow, str]]:
    """List the notes nobody struck, of the bench and the parts on it with tags, oldest first."""
    return list(session.exec(_NOTES_HERE).all())


def lines_by_others(session: Session, after: int, painter: str, newest: int) -> list[JournalRow]:
    """List what everybody else wrote after a line, newest first; no probe is anybody."""
    query = (
        select(JournalRow)
        .where(col(JournalRow.id) > after, col(JournalRow.painter).not_in((painter, PROBE)))
        .order_by(col(JournalRow.id).desc())
        .limit(newest)
    )
    return list(session.exec(query).all())
