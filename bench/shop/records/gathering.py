"""Gathering all that is known of one part, for its sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import datetime, timedelta, tzinfo
from typing import Any, TypeVar

from bench.process.actions.test_opinions import Opinion
from bench.process.clocks.cure import cure_of_last_coat
from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.reading_thinning import CURE_READ, dried_until, worked_until
from bench.process.clocks.stand_state import name_of_test, stand_state
from bench.process.clocks.temperature import READ_AGAIN, Reading
from bench.process.parts.job import Job
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.shop.clock import timekeeping
from bench.shop.core.mappers import (
    instruments_of,
    job_of,
    measurements_of,
    note_of,
    opinion_of,
    part_of,
    pot_of,
    product_of,
    products_of,
    reading_of,
    routes_of,
    settings_of,
    shapes_of,
    tin_ratios_of,
    tools_of,
)
from bench.shop.core.transaction import Shop, Target, part_at
from bench.shop.queries.log import History, history_of
from bench.shop.records.job_record import (
    Defect,
    Lot,
    Sheet,
    SheetPot,
    SheetReading,
    SheetStep,
    SheetTin,
    SheetVersion,
    When,
)
from bench.store.databases.database import Session
from bench.store.log import sheet_versions
from bench.store.queries import bench_rows, history_rows, job_rows, tin_rows
from bench.store.schema.tables import MixRow, PartRow, ReadingRow, StepRow

T = TypeVar("T")

DONE = ("done", "struck")
"""A step that was carried out to its end, whatever was said of it later."""

READINGS_ROUND = timedelta(days=7), CURE_READ
"""How far before the last coat and after it readings are asked for its cure: a humidity counts for
seven days."""


def sheet_of(shop: Shop, target: Target) -> Sheet | Refusal:
    """Gather the whole of one part, wherever it is, also long after it has left the bench."""
    with shop.store.reading() as session:
        clock = timekeeping.read_state(session, shop.clock)
        row = part_at(session, target, "look it up: paintbench find WORDS", "give the part's tag")
        if isinstance(row, Refusal):
            return row
        return gather(session, row, shop.clock.now(), doubtful=clock.doubtful)


def gather(session: Session, row: PartRow, now: datetime, *, doubtful: bool) -> Sheet:
    """Gather one part by its row. doubtful: ``now`` is only "at least"."""
    house, products = settings_of(session), products_of(session)
    rows = bench_rows.steps_of(session, [row])[row.id or 0]
    part, mixes = part_of(row, rows), tin_rows.pots_of_coats(session, rows)
    versions = _Versions(session, rows, mixes.values())
    if row.away:
        # What it was painted with does not change any more, whatever is typed.
        products |= versions.products_of_done()
    environment = Environment(_readings_round(session, part), house.hours, products)
    firsts = [step.first_at for step in rows if step.first_at is not None]
    history = history_of(session, row, min(firsts, default=now) - READINGS_ROUND[0])
    route, shape = routes_of(session).get(row.route), shapes_of(session).get(row.shape)
    # Of a part that left no sheet is shown that nothing was done by: it may be typed anew.
    shown = [r for r in part.steps if not row.away or r.status in DONE]
    product_keys = dict.fromkeys(record.step.product for record in shown)
    sheet = Sheet(
        written_at=now,
        doubtful=doubtful,
        part=part,
        shape=shape.name if shape else row.shape,
        route=route.name if route else row.route,
        tools={key: tool.name for key, tool in tools_of(session).items()},
        away=row.away,
        left_at=row.left_at,
        split_from=row.split_from,
        merged_into=row.merged_into,
        lots=_lots(session, row),
        state=stand_state(part, clocks_of(part, environment, doubtful=doubtful), now),
        steps=tuple(_Steps(session, rows, part, mixes, versions, environment, history, now)),
        products={key: products[key] for key in product_keys if key in products},
        tin_ratios=tin_ratios_of(session),
        defects=tuple(
            Defect(d.at, d.painter, d.defect, d.step_name)
            for d in history_rows.defects_of(session, row)
        ),
        notes=tuple(note_of(note, row.tag) for note in history_rows.notes_of(session, row)),
        cure=cure_of_last_coat(part, environment, now, doubtful=doubtful),
        measured=measurements_of(session, row),
        instruments=instruments_of(session),
        corrections=history.of_the_part(row, rows),
        journal=history.entries(),
        order=_order(session, row.job),
    )
    return in_zone(sheet, house.hours.zone)


def _order(session: Session, name: str) -> Job | None:
    row = job_rows.job_named(session, name) if name else None
    return job_of(row) if row is not None else None


def _lots(session: Session, row: PartRow) -> tuple[Lot, ...]:
    return tuple(
        Lot(lot.tag, lot.count, "split off" if lot.split_from == row.tag else "put with it")
        for lot in history_rows.lots_beside(session, row.tag)
    )


def _readings_round(session: Session, part: Part) -> tuple[Reading, ...]:
    """What the clocks of the part rest on: round its last coat and its last step, no more."""
    rows = [r for r in part.steps if r.status == "done" and r.first_at and r.last_at]
    coats = [r for r in part.done_coats() if r in rows]
    if not rows:
        return ()
    began = [part.coat_first_at(record) for record in (rows[-1], *coats[-1:])]
    before, after = READINGS_ROUND
    start = min(at for at in began if at is not None) - before
    end = max(r.last_at for r in rows if r.last_at is not None) + after
    return tuple(map(reading_of, bench_rows.readings_since(session, start, end)))


class _Versions:
    """The data sheets by which the steps of a part were done and their pots were mixed."""

    def __init__(self, session: Session, rows: list[StepRow], pots: Iterable[MixRow]) -> None:
        self.done = [(row, row.plan.get("product", "")) for row in rows if row.status in DONE]
        pots = list(pots)
        keys = {row.sheet_version for row in rows} | {pot.sheet_version for pot in pots}
        products = {product for _, product in self.done} | {pot.product for pot in pots}
        self.rows = sheet_versions.versions_of(session, keys, products)

    def of(self, key: str, product: str) -> tuple[SheetVersion, Product] | None:
        """Give a version by its key, without one that as of the upgrade; with the sheet itself."""
        for row in self.rows:
            if row.key == key or (not key and row.product == product and row.since is None):
                sheet = product_of(row.sheet)
                return SheetVersion(row.since, bool(key), bool(sheet.doubt)), sheet
        return None

    def of_step(self, row: StepRow) -> SheetVersion | None:
        """Give the version by which a step was done, None where it is not done."""
        versions = (
            self.of(row.sheet_version, row.plan.get("product", "")) if row.status in DONE else None
        )
        return versions[0] if versions else None

    def products_of_done(self) -> dict[str, Product]:
        """Give the products of the steps that were done, each by the sheet of the last of them."""
        versions = {product: self.of(row.sheet_version, product) for row, product in self.done}
        return {key: version[1] for key, version in versions.items() if version}


class _Steps:
    """The steps of one part with what belongs to each, in order."""

    def __init__(
        self,
        session: Session,
        rows: list[StepRow],
        part: Part,
        mixes: dict[int, MixRow],
        versions: _Versions,
        environment: Environment,
        history: History,
        now: datetime,
    ) -> None:
        self.session, self.rows, self.part, self.around = session, rows, part, environment
        self.history, self.now = history, now
        self.mixes, self.versions = mixes, versions
        pours = [mix.tins for mix in self.mixes.values()] + [row.tins for row in rows]
        self.tins = tin_rows.tins_numbered(
            session, {pour["id"] for of_row in pours for pour in of_row}
        )
        self.doubtful, self.typed = history.doubtful_steps(), history.steps_typed_late()
        self.tests: dict[int, list[Opinion]] = {}
        for test in bench_rows.tests_of(session, rows):
            self.tests.setdefault(test.step_id, []).append(opinion_of(test))

    def __iter__(self) -> Iterator[SheetStep]:
        for row, record in zip(self.rows, self.part.steps, strict=True):
            yield SheetStep(
                record=record,
                tests=tuple(self.tests.get(row.id or 0, ())),
                pots=tuple(self._pots(row, record)),
                tins=self._tins(row.tins),
                readings=self._readings(record),
                corrections=self.history.corrections_of("step", row.id),
                doubtful=row.id in self.doubtful,
                version=self.versions.of_step(row),
                typed_at=self.typed.get(row.id or 0),
                test=self._test(row, record),
            )

    def _test(self, row: StepRow, record: StepRecord) -> str:
        """Name the test of a step, by the sheet it was done by."""
        key = record.step.product
        version = self.versions.of(row.sheet_version, key) if row.status in DONE and key else None
        product = version[1] if version else self.around.products.get(key)
        if record.step.kind == "cure" or record.status == "skipped":
            return record.step.test
        return name_of_test(record, product)

    def _pots(self, row: StepRow, record: StepRecord) -> Iterator[SheetPot]:
        pots = [self.mixes[number] for number in row.pots() if number in self.mixes]
        for pot in pots:
            faces = [mark.name for mark in record.marks if mark.pot == pot.id]
            yield self._pot(pot, tuple(faces) if len(pots) > 1 else ())

    def _pot(self, row: MixRow, faces: tuple[str, ...]) -> SheetPot:
        rows = bench_rows.readings_since(self.session, row.mixed_at, row.binned_at or self.now)
        version = self.versions.of(row.sheet_version, row.product)
        products = self.around.products
        if version and row.binned_at is not None:
            products = {**products, row.product: version[1]}
        readings = tuple(map(reading_of, rows))
        environment = replace(self.around, readings=readings, products=products, drawn={})
        return SheetPot(
            number=row.id or 0,
            pot=pot_of(row, environment),
            pours=tuple((str(p["role"]), float(p["ml"])) for p in row.pours),
            by=row.painter,
            binned_at=row.binned_at,
            binned_ml=row.binned_ml,
            tins=self._tins(row.tins),
            corrections=self.history.corrections_of("mix", row.id),
            version=version[0] if version else None,
            faces=faces,
        )

    def _tins(self, pours: Iterable[dict[str, Any]]) -> tuple[SheetTin, ...]:
        """What was taken from which tins, each with its batch number as it is known by now."""
        tins = [(pour, self.tins[pour["id"]]) for pour in pours]
        return tuple(
            SheetTin(pour.get("role", tin.role), tin.batch, pour["ml"] or None)
            for pour, tin in tins
        )

    def _readings(self, record: StepRecord) -> tuple[SheetReading, ...]:
        """The last one before the first face, then all until it was tested or the next step.

        Of other work the last one that still counted, and those while it went on.
        """
        if record.first_at is None or record.step.kind == "cure":
            return ()
        if record.step.kind != "coat":
            until = worked_until(record.first_at, record.last_at or self.now)
            rows = bench_rows.readings_since(self.session, record.first_at, until)
            counted = [row for row in rows if row.at >= record.first_at - READ_AGAIN]
            return tuple(
                self._reading(row, "before" if row.at < record.first_at else "working")
                for row in counted
            )
        sprayed = record.last_at or self.now
        later = [r.first_at for r in self.part.steps if r.number > record.number]
        until = dried_until(sprayed, [record.passed_at, *later], self.now)
        rows = bench_rows.readings_since(self.session, record.first_at, until)
        return tuple(self._reading(row, _when(row, record.first_at, sprayed)) for row in rows)

    def _reading(self, row: ReadingRow, when: When) -> SheetReading:
        corrections = self.history.corrections_of("reading", row.id)
        return SheetReading(reading_of(row), when, row.painter, corrections)


def _when(row: ReadingRow, first_at: datetime, last_at: datetime) -> When:
    if row.at < first_at:
        return "before"
    return "spraying" if row.at <= last_at else "drying"


def in_zone(value: T, zone: tzinfo) -> T:
    """Give a value with every instant in it in a zone."""
    if isinstance(value, datetime):
        return value.astimezone(zone)
    if isinstance(value, tuple):
        return tuple(in_zone(item, zone) for item in value)  # type: ignore[return-value]
    if is_dataclass(value) and not isinstance(value, type):
        values = {f.name: in_zone(getattr(value, f.name), zone) for f in fields(value)}
        return replace(value, **values)
    return value
