"""Gathering all that is known of one part, for its sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, is_dataclass, replace
from datetime import datetime, timedelta, tzinfo
from typing import Any, TypeVar

from bench.process.calendar import Surroundings, clocks_of
from bench.process.conditions import judged
from bench.process.cured import cure_told
from bench.process.mixing import ratio_words
from bench.process.part import Part, StepRecord
from bench.process.partsheet import (
    DefectTold,
    FaceTold,
    LotTold,
    MixTold,
    NoteTold,
    PourTold,
    ProductTold,
    ReadingTold,
    Sheet,
    StepTold,
    TestTold,
    TinTold,
    When,
)
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.route import SprayTool, tool_key
from bench.process.state import stand_state
from bench.process.temperature import Reading
from bench.shop import timekeeping
from bench.shop.acting import Shop, Target
from bench.shop.history import History, history_of
from bench.shop.rows import (
    part_of,
    pot_of,
    products_of,
    routes_of,
    settings_of,
    shapes_of,
    tools_of,
)
from bench.store import finding, past, stock
from bench.store.database import Session
from bench.store.tables import MixRow, PartRow, ReadingRow, StepRow

T = TypeVar("T")

DRYING_TOLD = timedelta(days=14)
"""How long after its last face the readings of a coat are told: the longest full cure that the
shipped products know (house rule)."""

OF_WORDS = {"base": "the base", "mixed": "all but the thinner", "total": "the whole"}

READINGS_ROUND = timedelta(days=7), timedelta(days=60)
"""How far before the last coat and after it readings are asked for its cure: a humidity counts for
seven days, and no cure that the bench counts is longer than sixty."""


def sheet_of(shop: Shop, target: Target) -> Sheet | Refusal:
    """The whole of one part, wherever it is, also long after it has left the bench."""
    with shop.store.reading() as session:
        clock = timekeeping.see(session, shop.clock)
        row = _row(session, target)
        if isinstance(row, Refusal):
            return row
        return _gathered(session, row, shop.clock.now(), doubtful=clock.doubtful)


def _row(session: Session, target: Target) -> PartRow | Refusal:
    if isinstance(target, str):
        tagged = finding.part_tagged(session, target)
        told = f"no tag {target.strip()[:40]}"
        return tagged or Refusal(told, "", "look it up: paintbench find WORDS")
    found = finding.part_on(session, target)
    if found is None and finding.stand(session, target) is None:
        most = max(finding.stand_numbers(session), default=0)
        return Refusal(f"no stand {target}", "", f"stands run from 1 to {most}")
    return found or Refusal(f"stand {target} is empty", "", "give the part's tag")


def _gathered(session: Session, row: PartRow, now: datetime, *, doubtful: bool) -> Sheet:
    house, products = settings_of(session), products_of(session)
    rows = finding.steps_of(session, [row])[row.id or 0]
    part = part_of(row, rows)
    around = Surroundings(_readings_round(session, part), house.hours, products)
    state = stand_state(part, clocks_of(part, around, doubtful=doubtful), now)
    firsts = [step.first_at for step in rows if step.first_at is not None]
    history = history_of(session, row, min(firsts, default=now) - READINGS_ROUND[0])
    route, shape = routes_of(session).get(row.route), shapes_of(session).get(row.shape)
    tools = tools_of(session)
    steps = _Steps(session, rows, part, around, tools, history, now).told()
    used = dict.fromkeys(record.step.product for record in part.steps if record.step.product)
    sheet = Sheet(
        written_at=now,
        doubtful=doubtful,
        tag=row.tag,
        name=row.name,
        count=row.count,
        job=row.job,
        owner=row.owner,
        substrate=row.substrate,
        shape=shape.name if shape else row.shape,
        route=route.name if route else row.route,
        stand=row.stand,
        last_stand=row.last_stand,
        away=row.away,
        left_at=row.left_at,
        split_from=row.split_from,
        merged_into=row.merged_into,
        lots=_lots(session, row),
        hold=row.hold,
        rework=row.rework,
        bungs_in=row.bungs_in,
        bungs_out=row.bungs_out,
        contacts=row.contacts,
        contacts_done=row.contacts_done,
        state=state.word,
        opens=state.opens,
        closes=state.closes,
        left_to_do=sum(record.status in ("todo", "in hand") for record in part.steps),
        steps=steps,
        products=tuple(_product(products[key], tools) for key in used if key in products),
        defects=tuple(
            DefectTold(d.at, d.painter, d.defect, d.step_name)
            for d in past.defects_of(session, row)
        ),
        notes=tuple(
            NoteTold(n.at, n.painter, n.text, n.struck) for n in past.notes_of(session, row)
        ),
        cure=cure_told(part, around, now, doubtful=doubtful),
        corrections=history.of_the_part(row, rows),
        journal=history.told(),
    )
    return localized(sheet, house.hours.zone)


def _lots(session: Session, row: PartRow) -> tuple[LotTold, ...]:
    return tuple(
        LotTold(lot.tag, lot.count, "split off" if lot.split_from == row.tag else "put with it")
        for lot in past.lots_beside(session, row.tag)
    )


def _readings_round(session: Session, part: Part) -> tuple[Reading, ...]:
    """What the clocks of the part rest on: round its last coat and its last step, no more."""
    done = [r for r in part.steps if r.status == "done" and r.first_at and r.last_at]
    coats = [r for r in part.done_coats() if r in done]
    if not done:
        return ()
    began = [part.coat_first_at(record) for record in (done[-1], *coats[-1:])]
    before, after = READINGS_ROUND
    start = min(at for at in began if at is not None) - before
    end = max(r.last_at for r in done if r.last_at is not None) + after
    return _read_within(session, start, end)


def _read_within(session: Session, start: datetime, end: datetime) -> tuple[Reading, ...]:
    rows = finding.readings_since(session, start, end)
    return tuple(Reading(row.at, row.air_c, row.rh_pct, row.metal_c, row.id or 0) for row in rows)


class _Steps:
    """The steps of one part with what belongs to each."""

    def __init__(
        self,
        session: Session,
        rows: list[StepRow],
        part: Part,
        around: Surroundings,
        tools: dict[str, SprayTool],
        history: History,
        now: datetime,
    ) -> None:
        self.session, self.rows, self.part = session, rows, part
        self.around, self.products, self.tools = around, around.products, tools
        self.history, self.now = history, now
        self.mixes = past.mixes(session, {row.mix_id for row in rows if row.mix_id is not None})
        poured = [mix.tins for mix in self.mixes.values()] + [row.tins for row in rows]
        self.tins = stock.tins_numbered(session, {one["id"] for taken in poured for one in taken})
        self.doubtful = history.doubtful_steps()
        self.tests: dict[int, list[TestTold]] = {}
        for test in finding.tests_of(session, rows):
            said = TestTold(test.at, test.painter, test.passed, test.wait_s)
            self.tests.setdefault(test.step_id, []).append(said)

    def told(self) -> tuple[StepTold, ...]:
        """Every step in order."""
        return tuple(
            self._step(row, record) for row, record in zip(self.rows, self.part.steps, strict=True)
        )

    def _step(self, row: StepRow, record: StepRecord) -> StepTold:
        product = self.products.get(record.step.product)
        mix = self.mixes.get(row.mix_id) if row.mix_id is not None else None
        return StepTold(
            number=record.number,
            name=record.step.name,
            kind=record.step.kind,
            product=record.step.product,
            status=record.status,
            first_at=record.first_at,
            last_at=record.last_at,
            painters=record.painters,
            faces=tuple(FaceTold(m.name, m.begun_at, m.done_at, m.by) for m in record.marks),
            tests=tuple(self.tests.get(row.id or 0, ())),
            passed_at=record.passed_at,
            passed_by=record.passed_by,
            reason=record.reason,
            flags=record.flags,
            tool=self._tool(record, product),
            mix=self._mix(mix) if mix is not None else None,
            tins=self._tins(row.tins),
            readings=self._readings(record) if record.step.kind == "coat" else (),
            corrections=self.history.corrections_of("step", row.id),
            doubtful=row.id in self.doubtful,
        )

    def _tool(self, record: StepRecord, product: Product | None) -> str:
        if record.step.kind != "coat":
            return ""
        tool = self.tools.get(tool_key(record.step, product))
        return tool.name if tool else ""

    def _mix(self, row: MixRow) -> MixTold:
        read = _read_within(self.session, row.mixed_at, row.binned_at or self.now)
        pot = pot_of(row, replace(self.around, readings=read, drawn={}))
        return MixTold(
            number=row.id or 0,
            letter=pot.letter,
            product=pot.name,
            mixed_at=pot.mixed_at,
            use_from=pot.use_from,
            bin_by=pot.bin_by,
            basis=pot.basis,
            total_ml=pot.total_ml,
            pours=tuple(PourTold(str(p["role"]), float(p["ml"])) for p in row.pours),
            by=row.painter,
            binned_at=row.binned_at,
            binned_ml=row.binned_ml,
            tins=self._tins(row.tins),
            corrections=self.history.corrections_of("mix", row.id),
        )

    def _tins(self, taken: Iterable[dict[str, Any]]) -> tuple[TinTold, ...]:
        """What was taken from which tins, each with its batch number as it is known by now."""
        tins = [(one, self.tins[one["id"]]) for one in taken]
        return tuple(
            TinTold(one.get("role", tin.role), tin.batch, one["ml"] or None) for one, tin in tins
        )

    def _readings(self, record: StepRecord) -> tuple[ReadingTold, ...]:
        """The last one before the first face, then all until it was tested or the next step."""
        if record.first_at is None:
            return ()
        sprayed = record.last_at or self.now
        later = [r.first_at for r in self.part.steps if r.number > record.number and r.first_at]
        ended = [at for at in (record.passed_at, *later) if at is not None and at >= sprayed]
        until = min([*ended, sprayed + DRYING_TOLD, self.now])
        rows = finding.readings_since(self.session, record.first_at, max(until, sprayed))
        return tuple(self._reading(row, _when(row, record.first_at, sprayed)) for row in rows)

    def _reading(self, row: ReadingRow, when: When) -> ReadingTold:
        air = judged(Reading(row.at, row.air_c, row.rh_pct, row.metal_c))
        return ReadingTold(
            number=row.id or 0,
            at=row.at,
            when=when,
            air_c=row.air_c,
            rh_pct=row.rh_pct,
            metal_c=row.metal_c,
            dew_point_c=round(air.dew_point_c, 1) if air else None,
            margin_c=round(air.margin_c, 1) if air else None,
            by=row.painter,
            corrections=self.history.corrections_of("reading", row.id),
        )


def _when(row: ReadingRow, first_at: datetime, last_at: datetime) -> When:
    if row.at < first_at:
        return "before"
    return "spraying" if row.at <= last_at else "drying"


def _product(product: Product, tools: dict[str, SprayTool]) -> ProductTold:
    film, thinner = product.film, product.thinner
    tool = tools.get(product.tool)
    return ProductTold(
        key=product.key,
        name=product.name,
        kind=product.kind,
        source=product.source,
        ratio=ratio_words(product.ratio) if product.ratio else "",
        thinner=f"{thinner.least_pct:g} to {thinner.most_pct:g} % of {OF_WORDS[thinner.of]}"
        if thinner
        else "",
        volume_solids_pct=product.volume_solids_pct,
        film_least_um=film.least_um if film else None,
        film_target_um=film.target_um if film else None,
        film_most_um=film.most_um if film else None,
        isocyanate=product.isocyanate,
        tool=tool.name if tool else product.tool,
        test=product.test,
    )


def localized(thing: T, zone: tzinfo) -> T:
    """A value of ``process.partsheet`` with every instant in the shop's zone."""
    if isinstance(thing, datetime):
        return thing.astimezone(zone)
    if isinstance(thing, tuple):
        return tuple(localized(one, zone) for one in thing)  # type: ignore[return-value]
    if is_dataclass(thing) and not isinstance(thing, type):
        changed = {f.name: localized(getattr(thing, f.name), zone) for f in fields(thing)}
        return replace(thing, **changed)
    return thing
