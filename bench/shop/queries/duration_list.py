"""How long this shop's steps take and how much paint its coats took, as a list; of one part too."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bench.process.parts.durations import Learned, Length, learned_of
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.labour import Labour, labour_of
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step
from bench.process.stock.paint_use import OwnUse
from bench.shop.core.mappers import part_of, routes_of
from bench.shop.core.transaction import Shop, Target, part_at
from bench.shop.queries.durations import durations_of
from bench.shop.queries.paint_use import uses_of
from bench.store.queries import bench_rows


@dataclass(frozen=True)
class StepDuration:
    """What the log says of the steps of one name. like: see ``Length``."""

    step: Step
    labour: Labour
    learned: Learned
    like: str


@dataclass(frozen=True)
class ShopDurations:
    """How long the steps of the shop's routes take, and what its pots say lands."""

    steps: tuple[StepDuration, ...]
    uses: tuple[OwnUse, ...]
    products: Mapping[str, Product]


def shop_durations(shop: Shop) -> ShopDurations:
    """Read how long each step of the shop's routes takes, and how much paint its coats took."""
    with shop.store.reading() as session:
        durations, routes = durations_of(session), routes_of(session)
        uses = uses_of(session, durations.products, durations.shapes)
    by_key: dict[tuple[str, str, Labour], StepDuration] = {}
    for step in (step for route in routes.values() for step in route.steps):
        if step.kind != "cure":
            labour = labour_of(step, sprayed=False)
            found = learned_of(step, durations.tool_of(step), durations.past)
            by_key.setdefault((step.name, step.kind, labour), StepDuration(step, labour, *found))
    steps = sorted(by_key.values(), key=lambda each: each.step.name)
    return ShopDurations(tuple(steps), tuple(uses.values()), durations.products)


@dataclass(frozen=True)
class PartDurations:
    """How long each step that is still to come on a part takes."""

    part: Part
    lengths: tuple[tuple[StepRecord, Length], ...]


def part_durations(shop: Shop, target: Target) -> PartDurations | Refusal:
    """Read how long each step that is still to come on a part takes."""
    with shop.store.reading() as session:
        row = part_at(session, target)
        if isinstance(row, Refusal):
            return row
        part = part_of(row, bench_rows.steps_of(session, [row])[row.id or 0])
        durations = durations_of(session)
    to_come = (
        record for record in part.steps if record.status == "todo" and record.step.kind != "cure"
    )
    return PartDurations(
        part, tuple((record, durations.of_part(record.step, part)) for record in to_come)
    )
