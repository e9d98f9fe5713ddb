"""Finding rows: every question the rest of the program asks of the tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Any, TypeAlias, TypeVar

from sqlalchemy import Row, Text
from sqlalchemy import select as sql_select
from sqlmodel import Session, SQLModel, cast, col, func, select

from bench.store.folding import folded
from bench.store.journal import CLOCK_ACTIONS
from bench.store.tables import (
    JournalRow,
    MixRow,
    Painter,
    PartRow,
    ProductRow,
    ReadingRow,
    RouteRow,
    Setting,
    ShapeRow,
    Stand,
    StepRow,
    TestRow,
    ToolRow,
)

OLDEST_POT = (col(MixRow.mixed_at), col(MixRow.id))
OLDEST_READING = (col(ReadingRow.at), col(ReadingRow.id))
NEWEST_READING = (col(ReadingRow.at).desc(), col(ReadingRow.id).desc())
"""Of two at one instant the later line is the newer one, on either database."""

STEP_AS_TEXT = (
    *(col(part) for part in (StepRow.part_id, StepRow.number, StepRow.status)),
    *(col(at) for at in (StepRow.first_at, StepRow.last_at, StepRow.passed_at, StepRow.not_before)),
    *(col(word) for word in (StepRow.passed_by, StepRow.reason)),
    *(
        cast(json, Text).label(name)
        for name, json in (
            ("plan", col(StepRow.plan)),
            ("painters", col(StepRow.painters)),
            ("marks", col(StepRow.marks)),
            ("flags", col(StepRow.flags)),
        )
    ),
)
"""What the bench shows of a step; what is kept as JSON stays text, of which much is alike."""

StepRead: TypeAlias = Row[Any]
"""A row of STEP_AS_TEXT."""

Plan = TypeVar("Plan", RouteRow, ShapeRow, ToolRow)


def setting(session: Session, key: str) -> object:
    """A setting's value, None when it was never set."""
    row = session.get(Setting, key)
    return row.value if row is not None else None


@contextmanager
def settings_at_hand(session: Session) -> Iterator[None]:
    """Read every setting at once, for who will ask for several of them one by one."""
    kept = session.exec(select(Setting)).all()  # the session knows a row as long as somebody does
    yield
    del kept


def painters(session: Session) -> list[str]:
    """The painters' names in the order they came."""
    return list(session.exec(select(Painter.name).order_by(col(Painter.id))).all())


def painter(session: Session, name: str) -> Painter:
    """The painter with a name that ``painters`` gave."""
    return session.exec(select(Painter).where(Painter.name == name)).one()


def lines_since(session: Session, since: datetime, action: str, painter: str) -> int:
    """How many lines of an action a painter has in the journal since an instant."""
    wanted = select(func.count(col(JournalRow.id))).where(
        JournalRow.at >= since, JournalRow.action == action, JournalRow.painter == painter
    )
    return session.exec(wanted).one()


def stand(session: Session, number: int) -> Stand | None:
    """The stand with a number."""
    return session.get(Stand, number)


def stand_numbers(session: Session) -> list[int]:
    """Every stand's number in order."""
    return list(session.exec(select(Stand.number).order_by(col(Stand.number))).all())


def part_on(session: Session, stand_number: int) -> PartRow | None:
    """What is on a stand."""
    return session.exec(select(PartRow).where(PartRow.stand == stand_number)).first()


def part_tagged(session: Session, tag: str) -> PartRow | None:
    """The part with a tag; capitals do not matter."""
    wanted = select(PartRow).where(folded(PartRow.tag) == tag.strip().lower())
    return session.exec(wanted).first()


def tags(session: Session) -> list[str]:
    """Every tag ever given."""
    return list(session.exec(select(PartRow.tag)).all())


def parts_here(session: Session) -> list[PartRow]:
    """The parts that have not left the bench."""
    wanted = select(PartRow).where(col(PartRow.away).is_(False)).order_by(PartRow.tag)
    return list(session.exec(wanted).all())


def steps_of(session: Session, parts: Sequence[PartRow]) -> dict[int, list[StepRow]]:
    """The steps of some parts in order, by the part's id."""
    found: dict[int, list[StepRow]] = {part.id: [] for part in parts if part.id is not None}
    wanted = (
        select(StepRow)
        .where(col(StepRow.part_id).in_(list(found)))
        .order_by(col(StepRow.part_id), col(StepRow.number))
    )
    for step in session.exec(wanted).all():
        found[step.part_id].append(step)
    return found


def steps_here(session: Session) -> dict[int, list[StepRead]]:
    """The steps of the parts that have not left the bench, in order, by the part's id."""
    found: dict[int, list[StepRead]] = {}
    wanted = (
        sql_select(*STEP_AS_TEXT)
        .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
        .where(col(PartRow.away).is_(False))
        .order_by(col(StepRow.part_id), col(StepRow.number))
    )
    for step in session.execute(wanted):
        found.setdefault(step.part_id, []).append(step)
    return found


def tests_of(session: Session, steps: Sequence[StepRow]) -> list[TestRow]:
    """What painters said of some steps, in the order it was said."""
    ids = [step.id for step in steps]
    wanted = select(TestRow).where(col(TestRow.step_id).in_(ids)).order_by(col(TestRow.id))
    return list(session.exec(wanted).all())


def tests_here(session: Session) -> dict[tuple[int, int], list[TestRow]]:
    """What painters said of the parts that have not left the bench, by part's id and step."""
    wanted = (
        select(StepRow.part_id, StepRow.number, TestRow)
        .join(StepRow, col(TestRow.step_id) == col(StepRow.id))
        .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
        .where(col(PartRow.away).is_(False))
        .order_by(col(TestRow.id))
    )
    found: dict[tuple[int, int], list[TestRow]] = {}
    for part_id, number, test in session.exec(wanted).all():
        found.setdefault((part_id, number), []).append(test)
    return found


def coat_lengths_s(session: Session, shape: str, newest: int = 400) -> list[float]:
    """How long coats on parts of a shape took, first face to last, of its newest finished steps."""
    wanted = (
        select(StepRow)
        .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
        .where(PartRow.shape == shape, StepRow.status == "done")
        .order_by(col(StepRow.id).desc())
        .limit(newest)
    )
    return [
        (step.last_at - step.first_at).total_seconds()
        for step in session.exec(wanted).all()
        if step.plan["kind"] == "coat" and step.first_at and step.last_at
    ]


def sprayed_since(session: Session, since: datetime) -> list[StepRow]:
    """The sprayed coats begun since an instant."""
    wanted = select(StepRow).where(col(StepRow.sprayed).is_(True), col(StepRow.first_at) >= since)
    return list(session.exec(wanted).all())


def in_hand(session: Session) -> list[StepRow]:
    """Find the steps in hand, of whatever part, the first begun first."""
    wanted = select(StepRow).where(StepRow.status == "in hand")
    return list(session.exec(wanted.order_by(col(StepRow.first_at), col(StepRow.id))).all())


def last_sprayed(session: Session) -> StepRow | None:
    """Find the sprayed coat of which the trigger was released last, finished or given up."""
    over = select(StepRow).where(col(StepRow.sprayed).is_(True), col(StepRow.last_at).is_not(None))
    newest = over.order_by(col(StepRow.last_at).desc()).limit(1)
    # Each looks at one end of the index, however many coats there were.
    found = [session.exec(newest.where(StepRow.status == s)).first() for s in ("done", "struck")]
    at_ends = [(row.last_at, row) for row in found if row is not None and row.last_at is not None]
    return max(at_ends, key=lambda ended: ended[0])[1] if at_ends else None


def last_released(session: Session) -> tuple[int, datetime, str] | None:
    """Find what was put into the air last, undone or not: its line's number, until when, what.

    A line about the clock stands for all before it: by the clock of then they have other hours.
    """
    known = col(JournalRow.released_at).is_not(None)
    moved = select(func.max(JournalRow.id)).where(known, col(JournalRow.action).in_(CLOCK_ACTIONS))
    since = session.exec(moved).one() or 0
    wanted = sql_select(
        col(JournalRow.id), col(JournalRow.released_at), col(JournalRow.released)
    ).where(known, col(JournalRow.id) >= since)
    newest = (col(JournalRow.released_at).desc(), col(JournalRow.id).desc())
    found = session.execute(wanted.order_by(*newest).limit(1)).first()
    return None if found is None else (found[0], found[1], found[2])


def first_line_at(session: Session) -> datetime | None:
    """Find when the journal begins, None while it is empty."""
    return session.exec(select(JournalRow.at).order_by(col(JournalRow.id)).limit(1)).first()


def products(session: Session) -> list[tuple[str, str]]:
    """Every product by key: its key and its sheet as JSON."""
    wanted = select(ProductRow.key, cast(col(ProductRow.sheet), Text))
    return list(session.exec(wanted.order_by(col(ProductRow.key))).all())


def plans(session: Session, table: type[Plan]) -> list[tuple[str, str]]:
    """Routes, shapes or tools in the order they are offered: their keys and plans as JSON."""
    wanted = select(table.key, cast(col(table.plan), Text))
    return list(session.exec(wanted.order_by(col(table.position))).all())


def open_pots(session: Session) -> list[MixRow]:
    """The pots not binned yet, oldest first."""
    wanted = select(MixRow).where(col(MixRow.binned_at).is_(None)).order_by(*OLDEST_POT)
    return list(session.exec(wanted).all())


def pots_here(session: Session) -> list[MixRow]:
    """Find the pots not binned yet and those whose paint is in a gun, oldest first."""
    here = col(MixRow.binned_at).is_(None) | col(MixRow.in_gun).is_(True)
    return list(session.exec(select(MixRow).where(here).order_by(*OLDEST_POT)).all())


def last_pot(session: Session, letter: str) -> MixRow | None:
    """The newest pot with a letter, binned or not."""
    wanted = select(MixRow).where(MixRow.letter == letter)
    return session.exec(wanted.order_by(col(MixRow.id).desc()).limit(1)).first()


def sprayed_from(session: Session, pots: Sequence[MixRow]) -> list[StepRow]:
    """The sprayed coats that were begun with some pots."""
    ids = [pot.id for pot in pots]
    wanted = select(StepRow).where(StepRow.sprayed, col(StepRow.mix_id).in_(ids))
    return list(session.exec(wanted).all())


def last_reading_by(session: Session, painter: str) -> ReadingRow | None:
    """The newest reading somebody wrote down."""
    own = select(ReadingRow).where(ReadingRow.painter == painter)
    return session.exec(own.order_by(*NEWEST_READING).limit(1)).first()


def figures_since(session: Session, since: datetime) -> list[Any]:
    """When, air, humidity, metal and number of the same readings: a probe makes more than rows are
    for."""
    of = ReadingRow
    read = sql_select(*map(col, (of.at, of.air_c, of.rh_pct, of.metal_c, of.id)))
    before = read.where(col(of.at) < since).order_by(*NEWEST_READING).limit(1)
    after = read.where(col(of.at) >= since).order_by(*OLDEST_READING)
    return [*session.execute(before).all(), *session.execute(after).all()]


def readings_since(
    session: Session, since: datetime, until: datetime | None = None
) -> list[ReadingRow]:
    """The last reading before an instant, and all from it on, up to another, oldest first."""
    before = select(ReadingRow).where(ReadingRow.at < since).order_by(*NEWEST_READING).limit(1)
    after = select(ReadingRow).where(ReadingRow.at >= since).order_by(*OLDEST_READING)
    if until is not None:
        after = after.where(ReadingRow.at <= until)
    return [*session.exec(before).all(), *session.exec(after).all()]


def last_line(session: Session) -> JournalRow | None:
    """The newest line of the journal."""
    newest = select(JournalRow).order_by(col(JournalRow.id).desc()).limit(1)
    return session.exec(newest).first()


def lines_after(session: Session, number: int, actions: Sequence[str] = ()) -> list[JournalRow]:
    """The lines written after one of them, oldest first; of some actions if any are named."""
    wanted = select(JournalRow).where(col(JournalRow.id) > number).order_by(col(JournalRow.id))
    if actions:
        wanted = wanted.where(col(JournalRow.action).in_(actions))
    return list(session.exec(wanted).all())


def last_line_number(session: Session) -> int:
    """The number of the newest line, 0 where there is none."""
    return session.exec(select(func.max(JournalRow.id))).one() or 0


def changes_after(session: Session, number: int) -> list[tuple[int, list[dict[str, Any]]]]:
    """The number of each line after one of them, and what it changed, oldest first."""
    wanted = select(col(JournalRow.id), col(JournalRow.changes))
    after = wanted.where(col(JournalRow.id) > number).order_by(col(JournalRow.id))
    return [(line or 0, changes) for line, changes in session.exec(after).all()]


def values(row: SQLModel) -> dict[str, Any]:
    """The row's values by column, for a copy of it."""
    return row.model_dump()
