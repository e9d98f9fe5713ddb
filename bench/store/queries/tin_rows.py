"""Questions about tins: which there are, and what was poured from them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import ColumnElement
from sqlmodel import Session, String, cast, col, func, or_, select

from bench.store.schema.tables import MixRow, PartRow, StepRow, TinRow

Pourer = TypeVar("Pourer", MixRow, StepRow)
Happened = TypeVar("Happened", MixRow, StepRow, TinRow)


def tins_listed(session: Session, product: str = "") -> list[TinRow]:
    """List the tins that are not empty, of one product if it is named, by product and number."""
    query = select(TinRow).where(col(TinRow.empty_at).is_(None))
    if product:
        query = query.where(TinRow.product == product)
    return list(session.exec(query.order_by(col(TinRow.product), col(TinRow.id))).all())


def any_tin(session: Session) -> bool:
    """Say whether a tin was ever written down."""
    return session.exec(select(TinRow.id).limit(1)).first() is not None


def tins_numbered(session: Session, numbers: Iterable[int]) -> dict[int, TinRow]:
    """List some tins by their numbers, empty or not."""
    query = select(TinRow).where(col(TinRow.id).in_(set(numbers)))
    return {row.id: row for row in session.exec(query).all() if row.id is not None}


def tins_of_batch(session: Session, batch: str) -> list[TinRow]:
    """List the tins with a batch number, empty or not; capitals do not matter."""
    query = select(TinRow).where(func.lower(TinRow.batch) == batch.strip().lower())
    return list(session.exec(query.order_by(col(TinRow.id))).all())


def last_size_ml(session: Session, product: str, role: str) -> float | None:
    """Say how big the newest tin of a part was, None where there never was one."""
    query = select(TinRow.size_ml).where(TinRow.product == product, TinRow.role == role)
    return session.exec(query.order_by(col(TinRow.id).desc()).limit(1)).first()


def tins_running(session: Session, since: datetime) -> list[TinRow]:
    """List the tins that are not empty, and those emptied since an instant."""
    query = select(TinRow).where(or_(col(TinRow.empty_at).is_(None), col(TinRow.empty_at) >= since))
    return list(session.exec(query).all())


def poured_from(session: Session, table: type[Pourer], numbers: Iterable[int]) -> list[Pourer]:
    """List the mixes, or the coats, that took something from some tins, oldest first."""
    ids = set(numbers)
    if not ids:
        return []
    near = select(table).where(or_(*_names_one(table.tins, "id", ids)))
    rows = session.exec(near.order_by(col(table.id))).all()
    return [row for row in rows if ids & {pour["id"] for pour in row.tins}]


def _names_one(column: Any, name: str, numbers: Iterable[int | None]) -> list[ColumnElement[bool]]:
    """Whether a list stored as JSON may name a number; a longer one starts with it too."""
    text = cast(col(column), String)
    return [text.like(f'%"{name}": {number}%') for number in numbers]


def coats_from_pots(session: Session, pots: Sequence[MixRow]) -> list[StepRow]:
    """List the coats that something of some pots went into."""
    ids = {pot.id for pot in pots}
    of_faces = _names_one(StepRow.marks, "pot", ids)
    near = select(StepRow).where(or_(col(StepRow.mix_id).in_(ids), *of_faces))
    rows = session.exec(near.order_by(col(StepRow.id))).all()
    return [row for row in rows if ids & set(row.pots())]


def pots_binned(session: Session, newest: int, product: str = "") -> list[MixRow]:
    """List so many of the pots that are binned, the newest first; of one product if it is named."""
    query = select(MixRow).where(col(MixRow.binned_at).is_not(None))
    query = query.where(MixRow.product == product) if product else query
    return list(session.exec(query.order_by(col(MixRow.id).desc()).limit(newest)).all())


def coats_begun_with(session: Session, pots: Sequence[MixRow]) -> list[StepRow]:
    """List the coats that were begun with one of some pots, finished or not."""
    query = select(StepRow).where(col(StepRow.mix_id).in_([pot.id for pot in pots]))
    return list(session.exec(query.order_by(col(StepRow.id))).all())


def pots_mixed_before(session: Session, product: str, at: datetime, most: int) -> list[MixRow]:
    """List the pots of a product that were mixed up to an instant, the newest first."""
    query = select(MixRow).where(MixRow.product == product, MixRow.mixed_at <= at)
    newest = (col(MixRow.mixed_at).desc(), col(MixRow.id).desc())
    return list(session.exec(query.order_by(*newest).limit(most)).all())


def pots_of_coats(session: Session, coats: Sequence[StepRow]) -> dict[int, MixRow]:
    """List the pots that some coats were sprayed from, by their ids."""
    ids = {pot for coat in coats for pot in coat.pots()}
    rows = session.exec(select(MixRow).where(col(MixRow.id).in_(ids))).all() if ids else []
    return {row.id: row for row in rows if row.id is not None}


def parts_of_coats(session: Session, coats: Sequence[StepRow]) -> dict[int, PartRow]:
    """List the parts that some coats are on, by their ids, on the bench or away."""
    ids = {coat.part_id for coat in coats}
    rows = session.exec(select(PartRow).where(col(PartRow.id).in_(ids))).all()
    return {row.id: row for row in rows if row.id is not None}


def between(
    session: Session, table: type[Happened], column: str, since: datetime, until: datetime
) -> list[Happened]:
    """List the rows with a column from one instant up to another, in order."""
    at = getattr(table, column)
    query = select(table).where(at >= since, at < until).order_by(at, col(table.id))
    return list(session.exec(query).all())
