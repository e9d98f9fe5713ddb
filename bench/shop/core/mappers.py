"""Turn rows into the plain values that the rules work on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from datetime import date, datetime, timedelta
from difflib import get_close_matches
from functools import cache, lru_cache
from operator import attrgetter
from typing import Any, TypeVar, cast

from bench.process.actions.test_opinions import Opinion
from bench.process.calendar.absence import Absence
from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.pots import Drop, Gun, Pot, flush_by, pot_clock, warmest_reading
from bench.process.clocks.temperature import FOR_GOOD, Reading
from bench.process.parts.job import Job
from bench.process.parts.measurements import Measurement
from bench.process.parts.notes import Note
from bench.process.parts.part import Mark, Part, StepRecord
from bench.process.parts.zinc_answers import Galvanised
from bench.process.refusals.refusal import Refusal
from bench.process.safety.masks import FLUSH_CAUTION
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route, Shape, SprayTool, Step
from bench.process.stock.equipment import Equipment
from bench.process.stock.instruments import Instrument
from bench.process.stock.mixing import TinRatio, off_ratio
from bench.shop.core.json_form import as_json, reader
from bench.shop.settings.setting_list import DEFAULTS
from bench.shop.settings.shop_settings import ShopSettings
from bench.store.databases.database import Session
from bench.store.log.journal import as_plain
from bench.store.queries import bench_rows, measurement_rows, people_rows
from bench.store.schema.tables import (
    AwayRow,
    EquipmentRow,
    InstrumentRow,
    JobRow,
    MeasurementRow,
    MixRow,
    NoteRow,
    PartRow,
    ReadingRow,
    RouteRow,
    ShapeRow,
    StepRow,
    TestRow,
    ToolRow,
)
from bench.trade.ageing import Basis
from bench.zones import zone_of

T = TypeVar("T")


def settings_of(session: Session) -> ShopSettings:
    """Give the shop's own settings."""
    typed: Any = bench_rows.setting(session, "house") or {}
    values = {**DEFAULTS, **typed}
    return ShopSettings(values, zone_of(values["zone"]))


def of_columns(kind: type[T], row: object, **others: Any) -> T:
    """Give a value whose fields are the columns of a row that bear their names.

    others: the fields that are not.
    """
    names = _names_of(cast("Any", kind))
    columns = {name: getattr(row, name) for name in names if name not in others}
    return kind(**columns, **others)


@cache
def _names_of(kind: Any) -> tuple[str, ...]:
    """The names of a dataclass's fields."""
    return tuple(field.name for field in fields(kind))


MOST_NAMED = 8
"""So many keys are named where the typed one is not there."""


def by_key(things: Mapping[str, T], key: str, what: str) -> T | Refusal:
    """Give the thing with a key, or name the keys most like it. what: they are, as in "product"."""
    if key in things:
        return things[key]
    names = get_close_matches(key, things, MOST_NAMED) or list(things)[:MOST_NAMED]
    in_all = f" ({len(things)} in all)" if len(names) < len(things) else ""
    return Refusal(f"no {what} '{key[:40]}'", "", f"one of {', '.join(names)}{in_all}")


@lru_cache(8192)
def _parse_once(kind: Any, text: str) -> Any:
    """What JSON in a row says. The same text is read once: most steps are like those of others."""
    return reader(kind).validate_json(text)


class PartReader:
    """Reads one part as often as it is asked; a step is mapped again only where its row differs.

    What was mapped is held against the row's own values each time, so nobody has to say that a row
    was changed, flushed or rolled back. A list in a row is replaced, never changed in place: that
    would not be written down either.
    """

    def __init__(self) -> None:
        self._by_row: dict[int, tuple[tuple[Any, ...], StepRecord]] = {}

    def part(self, row: PartRow, steps: Iterable[StepRow]) -> Part:
        """Give the part with its steps, as the rows are now."""
        return part_with(row, [self._record(step) for step in steps])

    def _record(self, row: StepRow) -> StepRecord:
        values, entry = _values(row), self._by_row.get(id(row))
        if entry is None or entry[0] != values:
            entry = self._by_row[id(row)] = values, _record(*values)
        return entry[1]


def part_of(row: PartRow, steps: Iterable[StepRow]) -> Part:
    """Give a part with its steps."""
    return part_with(row, map(record_of, steps))


def part_with(row: PartRow, records: Iterable[StepRecord]) -> Part:
    """Give a part of which the steps are read already."""
    return of_columns(
        Part,
        row,
        steps=tuple(records),
        bungs=(row.bungs_in, row.bungs_out),
        contacts=(row.contacts, row.contacts_done),
        taken_by=tuple(row.taken_by),
        zinc=zinc_of(row),
    )


def zinc_of(row: PartRow) -> Galvanised | None:
    """Say what was answered about a part's zinc, None where nobody was asked."""
    zinc: Galvanised | None = _parse(Galvanised, row.zinc) if row.zinc else None
    return zinc


_values = attrgetter(*bench_rows.STEP_READ)


def record_of(row: StepRow) -> StepRecord:
    """Give one step of a part."""
    return _record(*_values(row))


def record_read(row: bench_rows.StepRead) -> StepRecord:
    """Give one step of a part, of a row that ``bench_rows.steps_here`` gave; each is read once."""
    return _record_as_text(*row)


_STEP_JSON: dict[str, Any] = {
    "plan": Step,
    "painters": tuple[str, ...],
    "marks": tuple[Mark, ...],
    "flags": tuple[str, ...],
}
"""What of a step is kept as JSON, and what it is read as."""


def _record(*values: Any) -> StepRecord:
    """A step of what ``bench_rows.STEP_READ`` names; what is kept as JSON plain or still text."""
    fields = dict(zip(bench_rows.STEP_READ, values, strict=True))
    for name, kind in _STEP_JSON.items():
        fields[name] = _parse(kind, fields[name])
    return StepRecord(step=fields.pop("plan"), **fields)


_record_as_text = lru_cache(8192)(_record)


def _parse(kind: Any, json: Any) -> Any:
    return _parse_once(kind, json) if isinstance(json, str) else reader(kind).validate_python(json)


def step_of(row: StepRow) -> Step:
    """Give a step's plan."""
    step: Step = _parse(Step, row.plan)
    return step


def plan_read(plan: str) -> Step:
    """Give a step's plan of the JSON that a row holds; the same text is read once."""
    step: Step = _parse_once(Step, plan)
    return step


def opinion_of(row: TestRow) -> Opinion:
    """Give one painter's opinion of a test."""
    return Opinion(row.at, row.painter, row.passed, row.wait_s)


def note_of(row: NoteRow, tag: str) -> Note:
    """Give a note. tag: of its part, empty for the bench."""
    return Note(row.id or 0, row.at, row.painter, row.text, tag, row.struck)


def measurement_of(row: MeasurementRow, step: int | None) -> Measurement:
    """Give what was measured. step: the number of its step."""
    return of_columns(Measurement, row, number=row.id or 0, step=step, readings=tuple(row.readings))


def measurements_of(session: Session, part: PartRow) -> tuple[Measurement, ...]:
    """List what was measured on a part, struck or not, oldest first."""
    rows = measurement_rows.of_part(session, part.id)
    return tuple(measurement_of(row, step) for row, step in rows)


def instrument_of(row: InstrumentRow) -> Instrument:
    """Give an instrument."""
    days = {name: _day(getattr(row, name)) for name in ("calibrated", "check_by")}
    return of_columns(Instrument, row, **days)


def _day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def instruments_of(session: Session) -> dict[str, Instrument]:
    """List every instrument by its name, those that are gone too."""
    return {row.name: instrument_of(row) for row in measurement_rows.instruments(session)}


def absence_of(row: AwayRow) -> Absence:
    """Give when a painter is away."""
    ends = (datetime.fromisoformat(text) for text in (row.begins, row.ends))
    return Absence(row.painter, *ends)


def job_of(row: JobRow) -> Job:
    """Give a job as a plain value."""
    values = {name: getattr(row, name) for name in _names_of(Job)}
    job: Job = _parse(Job, {**values, "promised": row.promised or None})
    return job


def reading_of(row: ReadingRow) -> Reading:
    """Give what was read off a thermometer."""
    return Reading(row.at, row.air_c, row.rh_pct, row.metal_c, row.id or 0)


def new_step(part: PartRow, number: int, step: Step, names: Iterable[str]) -> StepRow:
    """Make the row of a step that is still to come. names: of its faces or zones."""
    assert part.id is not None
    marks = marks_json(tuple(Mark(name) for name in names))
    return StepRow(part_id=part.id, number=number, plan=as_json(step), marks=marks)


def marks_json(marks: tuple[Mark, ...]) -> list[dict[str, Any]]:
    """Write faces or zones as they are stored."""
    return [{name: as_plain(value) for name, value in vars(mark).items()} for mark in marks]


def products_of(session: Session) -> dict[str, Product]:
    """List every product by its key."""
    return {key: _parse_once(Product, sheet) for key, sheet in bench_rows.products(session)}


def product_of(sheet: dict[str, Any]) -> Product:
    """Give a product by its sheet as it is stored."""
    product: Product = _parse(Product, sheet)
    return product


def routes_of(session: Session) -> dict[str, Route]:
    """List every route by its key, in the order they are offered."""
    return _plans(bench_rows.plans(session, RouteRow), Route)


def shapes_of(session: Session) -> dict[str, Shape]:
    """List every shape by its key, in the order they are offered."""
    return _plans(bench_rows.plans(session, ShapeRow), Shape)


def tools_of(session: Session) -> dict[str, SprayTool]:
    """List every spray tool by its key, in the order they are offered."""
    return _plans(bench_rows.plans(session, ToolRow), SprayTool)


def _plans(rows: Sequence[tuple[str, str]], kind: Any) -> dict[str, Any]:
    return {key: _parse_once(kind, plan) for key, plan in rows}


def untrained_painters(training: Mapping[str, bool | None]) -> list[str]:
    """List the painters who are recorded as not trained."""
    return [name for name, trained in training.items() if trained is False]


def equipment_of(session: Session) -> tuple[Equipment, ...]:
    """List the equipment that one painter holds at a time, in the order it is offered."""
    return equipment_items(people_rows.equipment(session), typed_equipment(session))


def equipment_items(rows: Sequence[EquipmentRow], typed: frozenset[str]) -> tuple[Equipment, ...]:
    """Give rows of equipment as plain values. typed: the keys of those with figures of the shop."""
    return tuple(
        of_columns(Equipment, row, queue=tuple(row.queue), placeholder=row.key not in typed)
        for row in rows
    )


def typed_equipment(session: Session) -> frozenset[str]:
    """Give the keys of the equipment whose figures the shop typed itself."""
    setting: Any = bench_rows.setting(session, "equipment") or {}
    return frozenset(setting.get("typed", ()))


TIN_RATIOS = "tin ratios"
"""The setting they stand in: by product the ratio in words, who read it, when, the batches."""


def tin_ratios_of(session: Session) -> dict[str, TinRatio]:
    """List the ratios that painters read off the tins of placeholders, by the product's key."""
    setting: Any = bench_rows.setting(session, TIN_RATIOS) or {}
    return {
        key: TinRatio(ratio["ratio"], tuple(ratio["batches"])) for key, ratio in setting.items()
    }


def parts_here(session: Session) -> list[Part]:
    """Give the parts that have not left the bench, with their steps."""
    rows = bench_rows.parts_here(session)
    steps = bench_rows.steps_of(session, rows)
    return [part_of(row, steps[row.id]) for row in rows if row.id is not None]


def pots_of(rows: Iterable[MixRow], environment: Environment) -> tuple[Pot, ...]:
    """Give those of some pots that are not binned yet, as they are by what was read until now."""
    return tuple(pot_of(row, environment) for row in rows if row.binned_at is None)


def pot_of(row: MixRow, environment: Environment, *, in_gun: bool = False) -> Pot:
    """Give a pot as it is by now, or as it was when it was binned.

    environment: the readings since it was mixed and the last one before. in_gun: what of it is in
    a gun, which goes on ageing.
    """
    until = FOR_GOOD if in_gun else row.binned_at or FOR_GOOD
    ended_early = row.binned_at is not None and not row.in_gun and row.use_from is not None
    product = environment.products.get(row.product)
    use_from, bin_by, basis = row.use_from or row.mixed_at, row.bin_by, cast("Basis", row.basis)
    warmed = None
    if product is not None and not ended_early:
        use_from, bin_by, basis = pot_clock(product, drops_of(row), environment, until)
        if bin_by is not None:
            warmed = warmest_reading(product, drops_of(row), environment, bin_by)
        if bin_by is not None and row.most_s is not None:
            bin_by = min(bin_by, row.mixed_at + timedelta(seconds=row.most_s))
    ml_by_role: dict[str, float] = {}
    for pour in row.pours:
        ml_by_role[pour["role"]] = ml_by_role.get(pour["role"], 0.0) + pour["ml"]
    return of_columns(
        Pot,
        row,
        name=product.name if product else row.product,
        use_from=use_from,
        bin_by=bin_by,
        basis=basis,
        against=tuple(pour["against"] for pour in row.tins if "against" in pour),
        unconfirmed=bool(product and product.doubt_of("pot_life", "induction_s")),
        warmed=warmed,
        off=off_ratio(product, ml_by_role) if product else "",
    )


def drops_of(row: MixRow) -> list[Drop]:
    """Give what was mixed and each top-up; one of an earlier version, without an hour, counts from
    the mixing."""
    filled = {pour.get("at"): pour["fill_to_ml"] for pour in row.pours} or {None: row.total_ml}
    return [(datetime.fromisoformat(at) if at else row.mixed_at, ml) for at, ml in filled.items()]


def guns_of(session: Session, rows: Iterable[MixRow], environment: Environment) -> tuple[Gun, ...]:
    """Give the guns loaded with two-pack paint of some pots, the first to be flushed first."""
    loaded = [row for row in rows if row.in_gun]
    coats = bench_rows.sprayed_from(session, loaded) if loaded else []
    guns = []
    for row in loaded:
        triggers = [
            (coat.last_at, coat.status == "in hand") for coat in coats if row.id in coat.pots()
        ]
        product, pot = environment.products.get(row.product), pot_of(row, environment, in_gun=True)
        cautions = (FLUSH_CAUTION,) if product and product.isocyanate else ()
        due = flush_by(pot.bin_by, triggers)
        guns.append(Gun(row.letter, pot.name, due, cautions, pot.unconfirmed))
    return tuple(sorted(guns, key=lambda gun: gun.flush_by or FOR_GOOD))


def readings_of(session: Session, since: datetime) -> tuple[Reading, ...]:
    """List the readings from ``since`` on and the last one before it, oldest first."""
    return tuple(Reading(*figures) for figures in bench_rows.figures_since(session, since))
