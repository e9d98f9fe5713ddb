"""Queries about the bench as it is: parts, steps, pots, readings, the log's newest entries."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from functools import cache
from typing import Any, TypeAlias, TypeVar

from sqlalchemy import CursorResult, Executable, Text, bindparam
from sqlalchemy import select as sql_select
from sqlmodel import Session, cast, col, func, select
from sqlmodel.sql.expression import Select

from bench.store.log.journal import CLOCK_ACTIONS
from bench.store.queries.casefold import folded
from bench.store.schema.tables import (
    JournalRow,
    MixRow,
    Painter,
    PartRow,
    ProductRow,
    ReadingRow,
    RouteRow,
    SettingRow,
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

FIGURES = tuple(
    map(
        col,
        (ReadingRow.at, ReadingRow.air_c, ReadingRow.rh_pct, ReadingRow.metal_c, ReadingRow.id),
    )
)
"""What a clock asks of a reading, in the order of ``process.clocks.temperature.Reading``."""

_STEP_JSON = ("plan", "painters", "marks", "flags")
STEP_READ = (
    *("number", "status", "first_at", "last_at", "passed_at", "not_before", "passed_by", "reason"),
    *("weight", "wet_um", "dry_um"),
    *_STEP_JSON,
)
"""What the bench shows of a step."""

_STEP = StepRow.__table__.c  # type: ignore[attr-defined]
STEP_AS_TEXT = tuple(
    cast(_STEP[name], Text).label(name) if name in _STEP_JSON else _STEP[name] for name in STEP_READ
)
"""The same in a row of columns; what is kept as JSON stays text, of which much is alike."""

StepRead: TypeAlias = tuple[Any, ...]
"""The columns of STEP_AS_TEXT of one step."""

ChosenPlan = TypeVar("ChosenPlan", RouteRow, ShapeRow, ToolRow)

# What every action or every picture asks is put into words once: that takes longer than the answer.


def columns_of(
    session: Session, query: Executable, params: Mapping[str, Any] | None = None
) -> CursorResult[*tuple[Any, ...]]:
    """Give the columns that were asked for, past what a session does for rows.

    What was changed in the session is seen, as by any other question.
    """
    session.flush()
    return session.connection().execute(query, params)


def setting(session: Session, key: str) -> object:
    """Give a setting's value, None when it was never set."""
    row = session.get(SettingRow, key)
    return row.value if row is not None else None


_SETTINGS = select(SettingRow)


@contextmanager
def settings_at_hand(session: Session) -> Iterator[None]:
    """Read every setting at once, for who will ask for several of them one by one."""
    rows = session.exec(_SETTINGS).all()  # the session knows a row as long as somebody does
    yield
    del rows


GONE = "painters gone"
"""The setting with the ids of the painters who left the shop; records keep their names."""

_PAINTERS = select(Painter).order_by(col(Painter.id))


def every_painter(session: Session) -> list[Painter]:
    """List the painters in the order they came, those who left the shop too."""
    return list(session.exec(_PAINTERS).all())


def painters_here(session: Session) -> list[Painter]:
    """List the painters of the shop in the order they came."""
    gone: Any = setting(session, GONE) or ()
    return [painter for painter in every_painter(session) if painter.id not in gone]


def painters(session: Session) -> list[str]:
    """List the names of the shop's painters in the order they came."""
    return [painter.name for painter in painters_here(session)]


def painter(session: Session, name: str) -> Painter:
    """Find the painter with a name that ``painters`` gave."""
    return session.exec(select(Painter).where(Painter.name == name)).one()


_STANDS = select(Stand.number).order_by(col(Stand.number))


def stand_numbers(session: Session) -> list[int]:
    """List every stand's number in order."""
    return list(columns_of(session, _STANDS).scalars())


_ON_STAND = select(PartRow).where(PartRow.stand == bindparam("stand"))


def part_on(session: Session, stand_number: int) -> PartRow | None:
    """Find the part on a stand."""
    return session.exec(_ON_STAND, params={"stand": stand_number}).first()


_TAGGED = select(PartRow).where(folded(PartRow.tag) == bindparam("tag"))


def part_tagged(session: Session, tag: str) -> PartRow | None:
    """Find the part with a tag; capitals do not matter."""
    return session.exec(_TAGGED, params={"tag": tag.strip().lower()}).first()


def tags(session: Session) -> list[str]:
    """List every tag ever given."""
    return list(session.exec(select(PartRow.tag)).all())


_PARTS_HERE = select(PartRow).where(col(PartRow.away).is_(False)).order_by(PartRow.tag)


def parts_here(session: Session) -> list[PartRow]:
    """List the parts that have not left the bench."""
    return list(session.exec(_PARTS_HERE).all())


_STEPS_OF = (
    select(StepRow)
    .where(col(StepRow.part_id).in_(bindparam("parts", expanding=True)))
    .order_by(col(StepRow.part_id), col(StepRow.number))
)


def steps_of(session: Session, parts: Sequence[PartRow]) -> dict[int, list[StepRow]]:
    """List the steps of some parts in order, by the part's id."""
    steps: dict[int, list[StepRow]] = {part.id: [] for part in parts if part.id is not None}
    for step in session.exec(_STEPS_OF, params={"parts": list(steps)}).all():
        steps[step.part_id].append(step)
    return steps


_STEPS_HERE = (
    sql_select(col(StepRow.part_id), *STEP_AS_TEXT)
    .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
    .where(col(PartRow.away).is_(False))
    .order_by(col(StepRow.part_id), col(StepRow.number))
)


def steps_here(session: Session) -> dict[int, list[StepRead]]:
    """List the steps of the parts that have not left the bench, in order, by the part's id."""
    steps: dict[int, list[StepRead]] = {}
    for row in columns_of(session, _STEPS_HERE):
        steps.setdefault(row[0], []).append(tuple(row[1:]))
    return steps


def tests_of(session: Session, steps: Sequence[StepRow]) -> list[TestRow]:
    """List what painters said of some tests, in the order they said it."""
    ids = [step.id for step in steps]
    query = select(TestRow).where(col(TestRow.step_id).in_(ids)).order_by(col(TestRow.id))
    return list(session.exec(query).all())


_TESTS_HERE = (
    select(StepRow.part_id, StepRow.number, TestRow)
    .join(StepRow, col(TestRow.step_id) == col(StepRow.id))
    .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
    .where(col(PartRow.away).is_(False))
    .order_by(col(TestRow.id))
)


def tests_here(session: Session) -> dict[tuple[int, int], list[TestRow]]:
    """List what painters said of the parts that have not left the bench, by part's id and step."""
    tests: dict[tuple[int, int], list[TestRow]] = {}
    for part_id, number, test in session.exec(_TESTS_HERE).all():
        tests.setdefault((part_id, number), []).append(test)
    return tests


def sprayed_since(session: Session, since: datetime) -> list[StepRow]:
    """List the sprayed coats begun since an instant."""
    query = select(StepRow).where(col(StepRow.sprayed).is_(True), col(StepRow.first_at) >= since)
    return list(session.exec(query).all())


_IN_HAND = (
    select(StepRow)
    .where(StepRow.status == "in hand")
    .order_by(col(StepRow.first_at), col(StepRow.id))
)


def in_hand(session: Session) -> list[StepRow]:
    """Find the steps in hand, of whatever part, the first begun first."""
    return list(session.exec(_IN_HAND).all())


_DONE_LATELY = (
    sql_select(
        col(StepRow.id),
        cast(_STEP["plan"], Text).label("plan"),
        col(StepRow.plan)["name"].as_string().label("name"),
        col(StepRow.first_at),
        col(StepRow.last_at),
        cast(_STEP["painters"], Text).label("painters"),
        col(PartRow.shape),
        col(PartRow.area_m2),
        col(PartRow.count),
    )
    .join(PartRow, col(StepRow.part_id) == col(PartRow.id))
    .where(col(StepRow.status) == "done")
    .where(col(StepRow.first_at).is_not(None), col(StepRow.last_at).is_not(None))
    .order_by(col(StepRow.id).desc())
    .limit(bindparam("newest"))
)
_LATELY = _DONE_LATELY.subquery()
_NAMED_LATELY = sql_select(_LATELY).where(_LATELY.c.name.in_(bindparam("names", expanding=True)))


def done_lately(session: Session, newest: int, names: Collection[str] = ()) -> list[Any]:
    """Give so many of the finished steps whose parts came last, the last begun first.

    Of each its id, plan as JSON, name, first and last hour, painters as JSON, and its part's shape,
    area and count. names: of those only steps that are called so.
    """
    query = _NAMED_LATELY if names else _DONE_LATELY
    named = {"names": list(names)} if names else {}
    rows = columns_of(session, query, {"newest": newest, **named})
    return sorted(rows, key=lambda row: (row.first_at, row.id), reverse=True)


_DOUBTFUL = select(col(JournalRow.changes)).where(col(JournalRow.doubtful).is_(True))


def doubtful_steps(session: Session) -> set[int]:
    """List the ids of the steps of which anything was written down by a doubted clock."""
    name = str(StepRow.__tablename__)
    return {
        change["after"]["id"]
        for changes in columns_of(session, _DOUBTFUL).scalars()
        for change in changes
        if change["table"] == name and change["after"]
    }


_LAST_SPRAYED = (
    select(StepRow)
    .where(col(StepRow.sprayed).is_(True), col(StepRow.last_at).is_not(None))
    .where(StepRow.status == bindparam("status"))
    .order_by(col(StepRow.last_at).desc())
    .limit(1)
)


def last_sprayed(session: Session) -> StepRow | None:
    """Find the sprayed coat of which the trigger was released last, finished or given up."""
    # Each looks at one end of the index, however many coats there were.
    each = ({"status": status} for status in ("done", "struck"))
    newest = [session.exec(_LAST_SPRAYED, params=status).first() for status in each]
    at_ends = [(row.last_at, row) for row in newest if row is not None and row.last_at is not None]
    return max(at_ends, key=lambda row_at: row_at[0])[1] if at_ends else None


_KNOWN = col(JournalRow.released_at).is_not(None)
_LAST_MOVED = select(func.max(JournalRow.id)).where(
    _KNOWN, col(JournalRow.action).in_(CLOCK_ACTIONS)
)
_LAST_RELEASED = (
    sql_select(col(JournalRow.id), col(JournalRow.released_at), col(JournalRow.released))
    .where(_KNOWN, col(JournalRow.id) >= bindparam("since"))
    .order_by(col(JournalRow.released_at).desc(), col(JournalRow.id).desc())
    .limit(1)
)


def last_released(session: Session) -> tuple[int, datetime, str] | None:
    """Find what was put into the air last, undone or not: its line's number, until when, what.

    A line about the clock stands for all before it: by the clock of then they have other hours.
    """
    since = columns_of(session, _LAST_MOVED).scalar() or 0
    row = columns_of(session, _LAST_RELEASED, {"since": since}).first()
    return None if row is None else (row[0], row[1], row[2])


_FIRST_LINE_AT = select(JournalRow.at).order_by(col(JournalRow.id)).limit(1)


def first_line_at(session: Session) -> datetime | None:
    """Find when the journal begins, None while it is empty."""
    first_at: datetime | None = columns_of(session, _FIRST_LINE_AT).scalar()
    return first_at


_PRODUCTS = select(ProductRow.key, cast(col(ProductRow.sheet), Text)).order_by(col(ProductRow.key))


def products(session: Session) -> list[tuple[str, str]]:
    """List every product by key: its key and its sheet as JSON."""
    return [(key, sheet) for key, sheet in columns_of(session, _PRODUCTS)]


def plans(session: Session, table: type[ChosenPlan]) -> list[tuple[str, str]]:
    """List routes, shapes or tools in the order they are offered: keys and plans as JSON."""
    return [(key, plan) for key, plan in columns_of(session, _plans(table))]


@cache
def _plans(table: type[ChosenPlan]) -> Select[str, str]:
    query = select(table.key, cast(col(table.plan), Text))
    return query.order_by(col(table.position))


_OPEN_POTS = select(MixRow).where(col(MixRow.binned_at).is_(None)).order_by(*OLDEST_POT)


def open_pots(session: Session) -> list[MixRow]:
    """List the pots not binned yet, oldest first."""
    return list(session.exec(_OPEN_POTS).all())


_POTS_HERE = (
    select(MixRow)
    .where(col(MixRow.binned_at).is_(None) | col(MixRow.in_gun).is_(True))
    .order_by(*OLDEST_POT)
)


def pots_here(session: Session) -> list[MixRow]:
    """Find the pots not binned yet and those whose paint is in a gun, oldest first."""
    return list(session.exec(_POTS_HERE).all())


def last_pot(session: Session, letter: str) -> MixRow | None:
    """Find the newest pot with a letter, binned or not."""
    query = select(MixRow).where(MixRow.letter == letter)
    return session.exec(query.order_by(col(MixRow.id).desc()).limit(1)).first()


def sprayed_from(session: Session, pots: Sequence[MixRow]) -> list[StepRow]:
    """List the sprayed coats that something of some pots went into."""
    ids, oldest = {pot.id for pot in pots}, min(pot.mixed_at for pot in pots)
    ended = col(StepRow.status).in_(("done", "struck")) & (col(StepRow.last_at) >= oldest)
    query = select(StepRow).where(StepRow.sprayed, ended | (col(StepRow.status) == "in hand"))
    return [row for row in session.exec(query).all() if ids & set(row.pots())]


def last_reading_by(session: Session, painter: str) -> ReadingRow | None:
    """Find the newest reading somebody wrote down."""
    query = select(ReadingRow).where(ReadingRow.painter == painter)
    return session.exec(query.order_by(*NEWEST_READING).limit(1)).first()


def figures_since(session: Session, since: datetime) -> list[Any]:
    """Give when, air, humidity, metal and number of the same: a probe's are too many for rows."""
    query, at = sql_select(*FIGURES), col(ReadingRow.at)
    before = query.where(at < since).order_by(*NEWEST_READING).limit(1)
    after = query.where(at >= since).order_by(*OLDEST_READING)
    return [*session.execute(before).all(), *session.execute(after).all()]


def readings_since(
    session: Session, since: datetime, until: datetime | None = None
) -> list[ReadingRow]:
    """List the last reading before an instant, and all from it on, up to another, oldest first."""
    before = select(ReadingRow).where(ReadingRow.at < since).order_by(*NEWEST_READING).limit(1)
    after = select(ReadingRow).where(ReadingRow.at >= since).order_by(*OLDEST_READING)
    if until is not None:
        after = after.where(ReadingRow.at <= until)
    return [*session.exec(before).all(), *session.exec(after).all()]


_LAST_LINE = select(JournalRow).order_by(col(JournalRow.id).desc()).limit(1)


def last_line(session: Session) -> JournalRow | None:
    """Find the newest line of the journal."""
    return session.exec(_LAST_LINE).first()


_LINES_AFTER = (
    select(JournalRow).where(col(JournalRow.id) > bindparam("number")).order_by(col(JournalRow.id))
)


def lines_after(session: Session, number: int, actions: Sequence[str] = ()) -> list[JournalRow]:
    """List the lines after one of them, oldest first; of some actions if any are named."""
    query = _LINES_AFTER
    if actions:
        query = query.where(col(JournalRow.action).in_(actions))
    return list(session.exec(query, params={"number": number}).all())


_LAST_NUMBER = select(func.max(JournalRow.id))


def last_line_number(session: Session) -> int:
    """Give the number of the newest line, 0 where there is none."""
    return columns_of(session, _LAST_NUMBER).scalar() or 0


_CHANGES_AFTER = (
    select(col(JournalRow.id), col(JournalRow.changes))
    .where(col(JournalRow.id) > bindparam("number"))
    .order_by(col(JournalRow.id))
)


def changes_after(session: Session, number: int) -> list[tuple[int, list[dict[str, Any]]]]:
    """List the number of each line after one of them, and what it changed, oldest first."""
    after = columns_of(session, _CHANGES_AFTER, {"number": number})
    return [(line or 0, changes) for line, changes in after]
