"""Queries about the past: one part's whole history, and the parts of ten years."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, and_, case
from sqlalchemy import select as sql_select
from sqlmodel import Session, col, func, or_, select

from bench.store.queries import bench_rows
from bench.store.queries.casefold import folded
from bench.store.schema.tables import (
    PROBE,
    DefectRow,
    JournalRow,
    MixRow,
    NoteRow,
    PartRow,
    ProductRow,
    ReadingRow,
    RouteRow,
    StepRow,
)

SHEET = "sheet"
"""The action by which a product's sheet or a route is typed."""

CHANGE_ROUTE = "change route"
"""The action by which a part goes on with another route."""

Instants = tuple[datetime, datetime]
"""From the first on, up to the second."""


def every_part(session: Session) -> list[PartRow]:
    """List every part there ever was, in the order they came."""
    return list(session.exec(select(PartRow).order_by(col(PartRow.id))).all())


def newest_route(session: Session) -> str | None:
    """Give the route of the part that came last, None before there was one."""
    return session.exec(select(PartRow.route).order_by(col(PartRow.id).desc()).limit(1)).first()


def defects_of(session: Session, part: PartRow) -> list[DefectRow]:
    """List the defects of a part, oldest first."""
    query = select(DefectRow).where(DefectRow.part_id == part.id).order_by(col(DefectRow.id))
    return list(session.exec(query).all())


def notes_of(session: Session, part: PartRow) -> list[NoteRow]:
    """List the notes on a part, struck out or not, oldest first."""
    query = select(NoteRow).where(NoteRow.part_id == part.id).order_by(col(NoteRow.id))
    return list(session.exec(query).all())


def lines_about(session: Session, tag: str, before: int | None = None) -> list[JournalRow]:
    """List the lines that bear a tag, spelled just so, oldest first. before: only older ones."""
    query = select(JournalRow).where(JournalRow.tag == tag).order_by(col(JournalRow.id))
    if before is not None:
        query = query.where(col(JournalRow.id) < before)
    return list(session.exec(query).all())


def lines_of_action(session: Session, action: str, since: datetime) -> list[JournalRow]:
    """List the lines of one kind since an instant, oldest first."""
    query = (
        select(JournalRow)
        .where(JournalRow.action == action, JournalRow.at >= since)
        .order_by(col(JournalRow.id))
    )
    return list(session.exec(query).all())


def keys_typed(session: Session, kind: type[ProductRow | RouteRow]) -> list[str]:
    """List the key of every sheet that was ever typed as a new one, undone or not, oldest first."""
    changes = select(JournalRow.changes).where(JournalRow.action == SHEET)
    return [
        change["after"]["key"]
        for row in session.exec(changes.order_by(col(JournalRow.id)))
        for change in row
        if change["table"] == kind.__tablename__ and change["before"] is None
    ]


def undone_by(session: Session, numbers: Sequence[int]) -> dict[int, int]:
    """Find which of some lines were undone, each with the line that undid it."""
    query = select(JournalRow.undoes, JournalRow.id).where(col(JournalRow.undoes).in_(numbers))
    return {line: by for line, by in session.exec(query).all() if line is not None and by}


def lots_beside(session: Session, tag: str) -> list[PartRow]:
    """List the lots that were split off from the one with a tag, or put with it."""
    beside = or_(PartRow.split_from == tag, PartRow.merged_into == tag)
    return list(session.exec(select(PartRow).where(beside).order_by(col(PartRow.id))).all())


def tag_lots_beside(session: Session, old: str, new: str) -> None:
    """Retag the lots that were split off from a tag or put with it."""
    for row in lots_beside(session, old):
        row.split_from = new if row.split_from == old else row.split_from
        row.merged_into = new if row.merged_into == old else row.merged_into


def parts_like(
    session: Session,
    texts: Sequence[tuple[str, Instants | None]],
    spans: Sequence[Instants],
    job: str,
    owner: str,
    whole: str,
    most: int,
    skip: int,
) -> tuple[list[PartRow], int]:
    """List a page of the parts that fit, and count them all.

    One whose tag is ``whole`` comes first, then the newest. Capitals do not matter. Spans are from
    an instant on, up to another.
    """
    fits: list[ColumnElement[bool]] = []
    for text, span in texts:
        matches = [_holds(column, text) for column in (PartRow.tag, PartRow.name, PartRow.job)]
        matches.append(_holds(PartRow.owner, text))
        fits.append(or_(*matches, *([_worked_on(span)] if span is not None else ())))
    fits += [_worked_on(span) for span in spans]
    fits += [_holds(PartRow.job, job)] if job else []
    fits += [_holds(PartRow.owner, owner)] if owner else []
    tagged = case((folded(PartRow.tag) == whole.lower(), 0), else_=1)
    page = (
        select(PartRow, func.count().over())
        .where(*fits)
        .order_by(tagged, col(PartRow.id).desc())
        .offset(skip)
        .limit(most)
    )
    rows = list(session.exec(page).all())
    if rows or not skip:
        return [row for row, _ in rows], rows[0][1] if rows else 0
    return [], session.exec(select(func.count(col(PartRow.id))).where(*fits)).one()


def _holds(column: Any, text: str) -> ColumnElement[bool]:
    return folded(column).contains(text.lower(), autoescape=True)


def _worked_on(span: Instants) -> ColumnElement[bool]:
    start, end = span
    begun_then = select(StepRow.part_id).where(
        col(StepRow.first_at) >= start, col(StepRow.first_at) < end
    )
    left_then = and_(col(PartRow.left_at) >= start, col(PartRow.left_at) < end)
    return or_(col(PartRow.id).in_(begun_then), left_then)


def worked_between(
    session: Session, parts: Sequence[PartRow]
) -> dict[int, tuple[datetime | None, datetime | None]]:
    """Find when the first and the last action on some parts was, by the part's id."""
    query = (
        select(StepRow.part_id, func.min(StepRow.first_at), func.max(StepRow.last_at))
        .where(col(StepRow.part_id).in_([part.id for part in parts]))
        .group_by(col(StepRow.part_id))
    )
    return {part: (first, last) for part, first, last in session.exec(query).all()}


def journal_page(
    session: Session,
    newest: int,
    tag: str,
    span: Instants | None,
    before: int | None,
) -> list[JournalRow]:
    """List the newest lines, newest first: of one tag, of a span, older than a line, if given."""
    query = select(JournalRow).order_by(col(JournalRow.id).desc()).limit(newest)
    if tag:
        # As the part is spelled the index finds it; a tag no part bears now is looked for in all.
        part = bench_rows.part_tagged(session, tag)
        spelled = JournalRow.tag == part.tag if part else folded(JournalRow.tag) == tag.lower()
        query = query.where(spelled)
    if span is not None:
        query = query.where(JournalRow.at >= span[0], JournalRow.at < span[1])
    if before is not None:
        query = query.where(col(JournalRow.id) < before)
    return list(session.exec(query).all())


def last_line_at(session: Session, painters: Collection[str], back: int) -> datetime | None:
    """Find when one of some painters wrote the newest line, among so many newest ones."""
    query = (
        select(JournalRow.at)
        .where(
            col(JournalRow.id) > bench_rows.last_line_number(session) - back,
            col(JournalRow.painter).in_(painters),
        )
        .order_by(col(JournalRow.id).desc())
        .limit(1)
    )
    return session.exec(query).first()


def last_of_action(session: Session, action: str) -> datetime | None:
    """Find when the newest line of one kind was written, None where there is none."""
    query = select(JournalRow.at).where(JournalRow.action == action)
    return session.exec(query.order_by(col(JournalRow.id).desc()).limit(1)).first()


def probe_figures_before(session: Session, until: datetime) -> list[Any]:
    """Give when, air, humidity, metal and number of each reading by a probe, oldest first.

    until: up to this instant, without it.
    """
    query = (
        sql_select(*bench_rows.FIGURES)
        .where(col(ReadingRow.painter) == PROBE, col(ReadingRow.at) < until)
        .order_by(*bench_rows.OLDEST_READING)
    )
    return list(session.execute(query).all())


def readings_numbered(session: Session, numbers: Collection[int]) -> list[ReadingRow]:
    """List the readings with some numbers."""
    query = select(ReadingRow).where(col(ReadingRow.id).in_(numbers))
    return list(session.exec(query.order_by(col(ReadingRow.id))).all())


def worked_ever(session: Session) -> list[Any]:
    """Give each step that was ever begun, part by part, in order: the part's number, whether it has
    left, whether it is a coat, its first and last hour, and when it was tested."""
    query = (
        sql_select(
            col(StepRow.part_id),
            col(PartRow.away),
            col(StepRow.plan)["kind"].as_string() == "coat",
            col(StepRow.first_at),
            col(StepRow.last_at),
            col(StepRow.passed_at),
        )
        .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
        .where(col(StepRow.first_at).is_not(None))
        .order_by(col(StepRow.part_id), col(StepRow.number))
    )
    return list(bench_rows.columns_of(session, query))


def pots_ever(session: Session) -> list[tuple[datetime, datetime | None]]:
    """Give when each pot was mixed and binned; None while any of it is open or in a gun."""
    query = sql_select(col(MixRow.mixed_at), col(MixRow.binned_at), col(MixRow.in_gun))
    rows = bench_rows.columns_of(session, query)
    return [(mixed_at, None if in_gun else binned_at) for mixed_at, binned_at, in_gun in rows]
