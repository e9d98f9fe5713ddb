"""Queries about jobs, and the parts that name them. Capitals do not matter in a job's name."""

from __future__ import annotations

from sqlmodel import Session, col, select

from bench.store.queries.casefold import folded
from bench.store.schema.tables import JobRow, PartRow


def job_named(session: Session, name: str) -> JobRow | None:
    """Find the job with a name."""
    return session.exec(select(JobRow).where(folded(JobRow.name) == name.lower())).first()


def every_job(session: Session) -> list[JobRow]:
    """List every job by its name."""
    return list(session.exec(select(JobRow).order_by(JobRow.name)).all())


def parts_of_job(session: Session, name: str) -> list[PartRow]:
    """List the parts that name a job, here or away, in the order they came.

    What was put with another lot is part of that one, and left out.
    """
    query = select(PartRow).where(
        folded(PartRow.job) == name.lower(), PartRow.merged_into == "", PartRow.count > 0
    )
    return list(session.exec(query.order_by(col(PartRow.id))).all())


def all_of_job(session: Session, name: str) -> list[PartRow]:
    """List every part that names a job, what was put with another lot too."""
    return list(session.exec(select(PartRow).where(folded(PartRow.job) == name.lower())).all())


def names_on_parts(session: Session, *, here: bool) -> list[str]:
    """List the jobs that parts name, as they spell them. here: only parts on the bench."""
    query = select(PartRow.job).where(PartRow.job != "").distinct()
    if here:
        query = query.where(col(PartRow.away).is_(False))
    return list(session.exec(query.order_by(PartRow.job)).all())
