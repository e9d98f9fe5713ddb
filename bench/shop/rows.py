"""Turning rows into the plain values the rules work on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime, time, timedelta
from typing import Any, TypeVar

from dateutil import tz
from pydantic import TypeAdapter

from bench.process.part import Mark, Part, StepRecord
from bench.process.pots import Pot
from bench.process.product import Product
from bench.process.route import Route, Shape, SprayTool, Step
from bench.process.temperature import Hours, Reading
from bench.store import finding
from bench.store.database import Session
from bench.store.tables import PartRow, RouteRow, ShapeRow, StepRow, ToolRow

T = TypeVar("T")

WEEK: tuple[tuple[str, str] | None, ...] = (
    *(("07:30", "17:30"),) * 5,
    ("08:00", "12:30"),
    None,
)
"""Shop hours until the shop types its own: a placeholder."""


@dataclass(frozen=True)
class House:
    """What is so in this shop. clearance is a placeholder until the room was measured."""

    hours: Hours
    clearance: timedelta
    clearance_measured: bool


STARTING_HOUSE: dict[str, Any] = {
    "zone": "",
    "week": WEEK,
    "day_c": 18.0,
    "night_c": 11.0,
    "clearance_min": 30,
    "clearance_measured": False,
}
"""Placeholders: an ordinary working week, a cool shop, 30 min clearance for an open room."""


def house_of(session: Session) -> House:
    """The shop's own settings."""
    typed: Any = finding.setting(session, "house") or {}
    kept = {**STARTING_HOUSE, **typed}
    zone = (tz.gettz(kept["zone"]) if kept["zone"] else None) or tz.tzlocal()
    week = tuple(
        (time.fromisoformat(day[0]), time.fromisoformat(day[1])) if day else None
        for day in kept["week"]
    )
    return House(
        hours=Hours(week, kept["day_c"], kept["night_c"], zone),
        clearance=timedelta(minutes=kept["clearance_min"]),
        clearance_measured=kept["clearance_measured"],
    )


_readers: dict[type[Any], TypeAdapter[Any]] = {}


def _reader(kind: type[T]) -> TypeAdapter[T]:
    """The reader of a kind, made once: making one costs far more than using it."""
    if kind not in _readers:
        _readers[kind] = TypeAdapter(kind)
    return _readers[kind]


def as_json(thing: Any) -> dict[str, Any]:
    """A product, route, step or shape as it is stored."""
    plain: dict[str, Any] = _reader(type(thing)).dump_python(thing, mode="json")
    return plain


def part_of(row: PartRow, steps: list[StepRow]) -> Part:
    """A part with its steps."""
    return Part(
        tag=row.tag,
        name=row.name,
        count=row.count,
        job=row.job,
        owner=row.owner,
        substrate=row.substrate,
        shape=row.shape,
        stand=row.stand,
        last_stand=row.last_stand,
        steps=tuple(record_of(step) for step in steps),
        hold=row.hold,
        rework=row.rework,
    )


def record_of(row: StepRow) -> StepRecord:
    """One step of a part."""
    return StepRecord(
        number=row.number,
        step=_reader(Step).validate_python(row.plan),
        status=row.status,  # type: ignore[arg-type]
        first_at=row.first_at,
        last_at=row.last_at,
        painters=tuple(row.painters),
        marks=tuple(_reader(Mark).validate_python(mark) for mark in row.marks),
        passed_at=row.passed_at,
        passed_by=row.passed_by,
        not_before=row.not_before,
        reason=row.reason,
        flags=tuple(row.flags),
    )


def marks_json(marks: tuple[Mark, ...]) -> list[dict[str, Any]]:
    """Faces or zones as they are stored."""
    return [
        {k: v.isoformat() if hasattr(v, "isoformat") else v for k, v in asdict(mark).items()}
        for mark in marks
    ]


def products_of(session: Session) -> dict[str, Product]:
    """Every product by its key."""
    rows = finding.products(session)
    return {row.key: _reader(Product).validate_python(row.sheet) for row in rows}


def routes_of(session: Session) -> dict[str, Route]:
    """Every route by its key, in the order they are offered."""
    return _plans(finding.plans(session, RouteRow), Route)


def shapes_of(session: Session) -> dict[str, Shape]:
    """Every shape by its key, in the order they are offered."""
    return _plans(finding.plans(session, ShapeRow), Shape)


def tools_of(session: Session) -> dict[str, SprayTool]:
    """Every spray tool by its key, in the order they are offered."""
    return _plans(finding.plans(session, ToolRow), SprayTool)


def _plans(rows: Sequence[RouteRow | ShapeRow | ToolRow], kind: type[T]) -> dict[str, T]:
    return {row.key: _reader(kind).validate_python(row.plan) for row in rows}


def pots_of(session: Session, products: dict[str, Product]) -> tuple[Pot, ...]:
    """The pots not binned yet, oldest first."""
    rows = finding.open_pots(session)
    return tuple(
        Pot(
            letter=row.letter,
            product=row.product,
            name=products[row.product].name if row.product in products else row.product,
            mixed_at=row.mixed_at,
            use_from=row.use_from,
            bin_by=row.bin_by,
            total_ml=row.total_ml,
            basis=row.basis,
        )
        for row in rows
    )


def readings_of(session: Session, since: datetime) -> tuple[Reading, ...]:
    """The readings from ``since`` on and the last one before it, oldest first."""
    rows = finding.readings_since(session, since)
    return tuple(Reading(row.at, row.air_c, row.rh_pct, row.metal_c) for row in rows)
