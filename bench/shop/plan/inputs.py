"""Reading everything that a plan is built from: the bench as it stands, and the shop's figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from bench.process.calendar.absence import Absence
from bench.process.parts.job import Job
from bench.process.parts.part import Part, StepRecord
from bench.process.plan.figures import (
    LabourTime,
    PainterFigures,
    PlanInputs,
    ShopFigures,
    StepFigures,
    usual_step_figures,
)
from bench.process.sheets.labour import labour_of
from bench.process.sheets.product import Product
from bench.process.sheets.route import Shape, SprayTool, tool_key
from bench.process.stock.paint_use import Uses
from bench.process.stock.shopping import need_of
from bench.shop.core.bench_view import BenchView, bench_in, jobs_by_tag
from bench.shop.core.transaction import Shop
from bench.shop.people.away import absences_from
from bench.shop.plan.shop_figures import shop_figures
from bench.shop.queries.durations import Durations, lot_area_m2, read_durations
from bench.shop.queries.paint_use import left_in_pots, uses_of


def plan_inputs(shop: Shop) -> PlanInputs:
    """Read at one moment what a plan of the whole bench is built from. Raises StoreFault."""
    with shop.store.reading() as session:
        view, now = bench_in(session, shop), shop.clock.now()
        hours = view.house.hours
        durations = read_durations(session, view.products, view.shapes, hours)
        uses = uses_of(session, view.products, view.shapes)
        left_ml = left_in_pots(session, view.products, view.shapes, uses)
        away = absences_from(session, view.local(now))
        jobs = jobs_by_tag(session, (placed.part for placed in view.everything()))
    return inputs_of(view, now, durations, uses, left_ml, away, jobs)


def inputs_of(
    view: BenchView,
    now: datetime,
    durations: Durations,
    uses: Uses,
    left_ml: Mapping[str, float],
    away: tuple[Absence, ...],
    jobs: Mapping[str, Job],
) -> PlanInputs:
    """Give what a plan is built from. left_ml: by a pot's letter; jobs: by a part's tag."""
    parts = tuple(placed.part for placed in view.everything())
    products, shapes, tools = view.products, view.shapes, view.tools
    shop = shop_figures(view.house, len(view.stands), now)
    own = _OwnFigures(products, shapes, tools, durations, uses, shop)
    room, zone = view.room(now), view.house.hours.zone
    return PlanInputs(
        now=now,
        parts=parts,
        around=view.around,
        painters=tuple(
            PainterFigures(
                name,
                # Nobody recorded it: taken as not trained, which is the safe side.
                trained=view.trained.get(name) is True,
                away=tuple(each.instants(zone) for each in away if each.painter == name),
            )
            for name in view.painters
        ),
        length_of=own.length_of,
        figures_of=own.figures_of,
        paint_of=own.paint_of,
        jobs=jobs,
        pots=view.pots,
        left_ml=left_ml,
        equipment=view.equipment,
        tools=tools,
        shapes=shapes,
        shop=shop,
        masks_until=room.until if room.on else None,
        plan=view.plan,
        line=view.line,
    )


@dataclass(frozen=True)
class _OwnFigures:
    """What the shop knows of a step of a part; it can be sent to another process."""

    products: Mapping[str, Product]
    shapes: Mapping[str, Shape]
    tools: Mapping[str, SprayTool]
    durations: Durations
    uses: Uses
    shop: ShopFigures

    def length_of(self, part: Part, record: StepRecord) -> LabourTime:
        length = self.durations.of_part(record.step, part)
        past = length.known_from if not length.doubt else 0
        return LabourTime(length.lasts.total_seconds() / 60, length.spread, past)

    def figures_of(self, part: Part, record: StepRecord) -> StepFigures:
        figures = step_figures(part, record, self.products, self.tools, self.shapes)
        is_moved = record.step.kind == "coat" and figures.takes_space and self.shop.moving_min
        if not is_moved:
            return figures
        return replace(figures, stays_min=self.shop.wet_min, moving_min=self.shop.moving_min)

    def paint_of(self, part: Part, record: StepRecord) -> float | None:
        need = need_of(part, record, self.products, self.shapes, self.uses)
        return sum(need.ml.values()) or None


def step_figures(
    part: Part,
    record: StepRecord,
    products: Mapping[str, Product],
    tools: Mapping[str, SprayTool],
    shapes: Mapping[str, Shape],
) -> StepFigures:
    """Give what a plan wants to know of a step: what was typed of it, else placeholders."""
    step, product = record.step, products.get(record.step.product)
    usual = usual_step_figures(record, product, tools.get(tool_key(step, product)))
    labour = labour_of(step, sprayed=usual.takes_space)
    area_m2 = lot_area_m2(part.area_m2, part.shape, part.count, shapes)
    return replace(
        usual,
        hands=labour.hands,
        may_be_two=labour.may_be_two,
        follow_min=None if labour.follow_s is None else labour.follow_s / 60,
        abrading_min=labour.abrading_s(area_m2) / 60,
        takes_space=labour.spray_space,
        place=labour.place or usual.place,
        typed="labour" not in labour.placeholder,
    )
