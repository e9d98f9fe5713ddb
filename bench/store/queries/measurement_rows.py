"""Finding what was measured on parts, and the instruments it was measured with."""

from __future__ import annotations

from sqlmodel import Session, col, select

from bench.store.schema.tables import InstrumentRow, MeasurementRow, PartRow, StepRow


def of_part(session: Session, part_id: int | None) -> list[tuple[MeasurementRow, int | None]]:
    """List what was measured on a part, struck or not, each with its step's number."""
    query = (
        select(MeasurementRow, StepRow.number)
        .join(StepRow, col(MeasurementRow.step_id) == col(StepRow.id), isouter=True)
        .where(MeasurementRow.part_id == part_id)
        .order_by(col(MeasurementRow.id))
    )
    return list(session.exec(query).all())


def of_step(session: Session, step_id: int | None) -> list[MeasurementRow]:
    """List what was measured at a step and was not struck."""
    query = select(MeasurementRow).where(
        MeasurementRow.step_id == step_id, col(MeasurementRow.struck).is_(False)
    )
    return list(session.exec(query.order_by(col(MeasurementRow.id))).all())


_HERE = (
    select(MeasurementRow, StepRow.number, PartRow.tag)
    .join(PartRow, col(MeasurementRow.part_id) == col(PartRow.id))
    .join(StepRow, col(MeasurementRow.step_id) == col(StepRow.id), isouter=True)
    .where(col(PartRow.away).is_(False), col(MeasurementRow.struck).is_(False))
    .order_by(col(MeasurementRow.id))
)


def here(session: Session) -> list[tuple[MeasurementRow, int | None, str]]:
    """List what was measured on the parts that have not left the bench, and was not struck.

    With the number of its step, and the part's tag.
    """
    return list(session.exec(_HERE).all())


_INSTRUMENTS = select(InstrumentRow).order_by(col(InstrumentRow.name))


def instruments(session: Session) -> list[InstrumentRow]:
    """List every instrument, those that are gone too, by name."""
    return list(session.exec(_INSTRUMENTS).all())
