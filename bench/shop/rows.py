"""Turning rows into the plain values the rules work on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime, time, timedelta
from functools import lru_cache
from typing import Any, TypeVar, cast

from dateutil import tz
from pydantic import TypeAdapter

from bench.process.backups import SecondPlace
from bench.process.equipment import Equipment
from bench.process.holidays import fault_of
from bench.process.opinions import Opinion
from bench.process.part import Mark, Part, StepRecord
from bench.process.pots import Gun, Pot, flush_by
from bench.process.probe import EVERY_MIN, MEASURED, Probes
from bench.process.product import Product
from bench.process.route import Route, Shape, SprayTool, Step
from bench.process.shopunits import METRIC, ShopUnits
from bench.process.temperature import FOR_GOOD, Hours, Reading, Usual, Week
from bench.store import finding, shared
from bench.store.database import Session
from bench.store.tables import (
    EquipmentRow,
    MixRow,
    PartRow,
    RouteRow,
    ShapeRow,
    StepRow,
    TestRow,
    ToolRow,
)
from bench.trade.ageing import Basis

T = TypeVar("T")

WEEK: tuple[tuple[str, str] | None, ...] = (
    *(("07:30", "17:30"),) * 5,
    ("08:00", "12:30"),
    None,
)
"""Shop hours until the shop types its own: a placeholder."""


@dataclass(frozen=True)
class House:
    """What is so in this shop. clearance is a placeholder until the room was measured.

    bad_holidays: what is wrong with rules that cannot be used; those days count as any other.
    alarm_command: a command of the shop's own for a relay or sounder, run without a shell.
    probes: files to read air, metal and humidity from. second_place: where backups go besides.
    themes: of the terminals that have one of their own, by their names.
    far_after: so long without a key the far view comes by itself; None: never.
    """

    hours: Hours
    clearance: timedelta
    clearance_measured: bool
    cup_ml: float
    cup_step_ml: float
    bad_holidays: tuple[str, ...] = ()
    bell: bool = False
    alarm_command: tuple[str, ...] = ()
    alarm_command_s: float = 10.0
    probes: Probes | None = None
    units: ShopUnits = METRIC
    second_place: SecondPlace | None = None
    theme: str = "dark"
    themes: Mapping[str, str] = field(default_factory=dict)
    far_after: timedelta | None = None

    def theme_on(self, terminal: str) -> str:
        """Dark or light: as it was set on this terminal, else as in the shop."""
        return self.themes.get(terminal, self.theme)


STARTING_HOUSE: dict[str, Any] = {
    "zone": "",
    "week": WEEK,
    "holidays": (),
    "always_in": False,
    "day_c": 18.0,
    "night_c": 11.0,
    "clock_far_days": 30,
    "clearance_min": 30,
    "clearance_measured": False,
    "cup_ml": 1000.0,
    "cup_step_ml": 10.0,
    "bell": False,
    "alarm_command": (),
    "alarm_command_s": 10.0,
    "typed": False,
    "before": (),
    "probe": {},
    "units": {},
    "backup_to": {},
    "theme": "dark",
    "themes": {},
    "far_after_min": 0,
}
"""Placeholders: an ordinary working week, a cool shop, 30 min clearance for an open room."""


def house_of(session: Session) -> House:
    """The shop's own settings."""
    typed: Any = finding.setting(session, "house") or {}
    kept = {**STARTING_HOUSE, **typed}
    zone = (tz.gettz(kept["zone"]) if kept["zone"] else None) or tz.tzlocal()
    rules = {str(rule): fault_of(str(rule)) for rule in kept["holidays"]}
    return House(
        hours=Hours(
            days=_week(kept["week"]),
            day_c=kept["day_c"],
            night_c=kept["night_c"],
            zone=zone,
            holidays=tuple(rule for rule, fault in rules.items() if not fault),
            always_in=bool(kept["always_in"]),
            before=tuple(_usual(earlier) for earlier in kept["before"]),
            typed=bool(kept["typed"]),
        ),
        clearance=timedelta(minutes=kept["clearance_min"]),
        clearance_measured=kept["clearance_measured"],
        cup_ml=kept["cup_ml"],
        cup_step_ml=kept["cup_step_ml"],
        bad_holidays=tuple(fault for fault in rules.values() if fault),
        bell=kept["bell"],
        alarm_command=tuple(kept["alarm_command"]),
        alarm_command_s=kept["alarm_command_s"],
        probes=_probes(kept["probe"] or {}),
        units=ShopUnits(**kept["units"]),
        second_place=second_place(kept),
        theme=kept["theme"],
        themes=dict(kept["themes"]),
        far_after=timedelta(minutes=kept["far_after_min"]) if kept["far_after_min"] else None,
    )


def second_place(kept: dict[str, Any]) -> SecondPlace | None:
    """The second place for backups as the settings have it."""
    found = kept.get("backup_to") or {}
    return SecondPlace(found["path"], found["other_disk"]) if found else None


def _week(days: Any) -> Week:
    return tuple(
        (time.fromisoformat(day[0]), time.fromisoformat(day[1])) if day else None for day in days
    )


def _usual(earlier: dict[str, Any]) -> Usual:
    until = datetime.fromisoformat(earlier["until"])
    holidays = tuple(rule for rule in earlier.get("holidays", ()) if not fault_of(rule))
    return Usual(until, _week(earlier["week"]), earlier["day_c"], earlier["night_c"], holidays)


def _probes(kept: dict[str, Any]) -> Probes | None:
    paths = {what: str(kept[what]) for what in MEASURED if kept.get(what)}
    every = timedelta(minutes=kept.get("every_min") or EVERY_MIN)
    return Probes(paths, every) if paths else None


_readers: dict[type[Any], TypeAdapter[Any]] = {}


def _reader(kind: type[T]) -> TypeAdapter[T]:
    """The reader of a kind, made once: making one costs far more than using it."""
    if kind not in _readers:
        _readers[kind] = TypeAdapter(kind)
    return _readers[kind]


@lru_cache(8192)
def _told(kind: Any, text: str) -> Any:
    """What JSON in a row says. The same text is read once: most steps are like those of others."""
    return _reader(kind).validate_json(text)


def as_json(thing: Any) -> dict[str, Any]:
    """A product, route, step or shape as it is stored."""
    plain: dict[str, Any] = _reader(type(thing)).dump_python(thing, mode="json")
    return plain


def part_of(row: PartRow, steps: Iterable[StepRow]) -> Part:
    """A part with its steps."""
    return part_with(row, [record_of(step) for step in steps])


def part_with(row: PartRow, records: Iterable[StepRecord]) -> Part:
    """A part of which the steps are read already."""
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
        steps=tuple(records),
        hold=row.hold,
        rework=row.rework,
        bungs=(row.bungs_in, row.bungs_out),
        contacts=(row.contacts, row.contacts_done),
        taken_by=tuple(row.taken_by),
    )


def record_of(row: StepRow) -> StepRecord:
    """One step of a part."""
    return StepRecord(
        number=row.number,
        step=step_of(row),
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


def record_read(row: finding.StepRead) -> StepRecord:
    """One step of a part, of a row that ``finding.steps_here`` gave."""
    return StepRecord(
        number=row.number,
        step=_told(Step, row.plan),
        status=row.status,
        first_at=row.first_at,
        last_at=row.last_at,
        painters=_told(tuple[str, ...], row.painters),
        marks=_told(tuple[Mark, ...], row.marks),
        passed_at=row.passed_at,
        passed_by=row.passed_by,
        not_before=row.not_before,
        reason=row.reason,
        flags=_told(tuple[str, ...], row.flags),
    )


def step_of(row: StepRow) -> Step:
    """A step's plan."""
    step: Step = _reader(Step).validate_python(row.plan)
    return step


def opinion_of(row: TestRow) -> Opinion:
    """What one painter said of a test."""
    return Opinion(row.at, row.painter, row.passed, row.wait_s)


def marks_json(marks: tuple[Mark, ...]) -> list[dict[str, Any]]:
    """Faces or zones as they are stored."""
    return [
        {k: v.isoformat() if hasattr(v, "isoformat") else v for k, v in asdict(mark).items()}
        for mark in marks
    ]


def products_of(session: Session) -> dict[str, Product]:
    """Every product by its key."""
    return {key: _told(Product, sheet) for key, sheet in finding.products(session)}


def routes_of(session: Session) -> dict[str, Route]:
    """Every route by its key, in the order they are offered."""
    return _plans(finding.plans(session, RouteRow), Route)


def shapes_of(session: Session) -> dict[str, Shape]:
    """Every shape by its key, in the order they are offered."""
    return _plans(finding.plans(session, ShapeRow), Shape)


def tools_of(session: Session) -> dict[str, SprayTool]:
    """Every spray tool by its key, in the order they are offered."""
    return _plans(finding.plans(session, ToolRow), SprayTool)


def _plans(rows: Sequence[tuple[str, str]], kind: Any) -> dict[str, Any]:
    return {key: _told(kind, plan) for key, plan in rows}


def equipment_of(session: Session) -> tuple[Equipment, ...]:
    """What one painter holds at a time, in the order it is offered."""
    return things_of(shared.equipment(session), typed_equipment(session))


def things_of(rows: Sequence[EquipmentRow], typed: frozenset[str]) -> tuple[Equipment, ...]:
    """Rows of equipment. typed: the keys of those whose figures the shop typed itself."""
    return tuple(
        Equipment(
            key=row.key,
            name=row.name,
            kind=row.kind,
            needs_l_min=row.needs_l_min,
            gives_l_min=row.gives_l_min,
            holder=row.holder,
            held_at=row.held_at,
            held_for=row.held_for,
            queue=tuple(row.queue),
            placeholder=row.key not in typed,
        )
        for row in rows
    )


def typed_equipment(session: Session) -> frozenset[str]:
    """The keys of the equipment whose figures the shop typed itself."""
    kept: Any = finding.setting(session, "equipment") or {}
    return frozenset(kept.get("typed", ()))


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
            basis=basis_of(row),
            against=tuple(taken["against"] for taken in row.tins if "against" in taken),
        )
        for row in rows
    )


def basis_of(row: MixRow) -> Basis:
    """What a pot's end rests on, as it was written down."""
    return cast("Basis", row.basis)


def guns_of(session: Session, products: dict[str, Product]) -> tuple[Gun, ...]:
    """The guns that are loaded with two-pack paint, the first to be flushed first."""
    rows = finding.pots_in_guns(session)
    coats = finding.sprayed_from(session, rows) if rows else []
    guns = []
    for row in rows:
        triggers = [
            (coat.last_at, coat.status == "in hand") for coat in coats if coat.mix_id == row.id
        ]
        name = products[row.product].name if row.product in products else row.product
        guns.append(Gun(row.letter, name, flush_by(row.bin_by, triggers)))
    return tuple(sorted(guns, key=lambda gun: gun.flush_by or FOR_GOOD))


def readings_of(session: Session, since: datetime) -> tuple[Reading, ...]:
    """The readings from ``since`` on and the last one before it, oldest first."""
    return tuple(Reading(*figures) for figures in finding.figures_since(session, since))
