"""How long this shop's steps took, out of its log: what every estimate of a length rests on."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.process.ahead.attendance import Stay, stays
from bench.process.clocks.temperature import Hours
from bench.process.parts.durations import (
    Length,
    PastStep,
    by_one_s,
    expected_s,
    usual_length,
    was_interrupted,
)
from bench.process.parts.part import Part
from bench.process.sheets.product import Product
from bench.process.sheets.route import Shape, Step, tool_key
from bench.shop.core.mappers import plan_read, products_of, settings_of, shapes_of
from bench.store.databases.database import Session
from bench.store.queries import bench_rows

PAST_STEPS = 2000
"""So many of the newest steps that were done say how long a step takes."""

LATELY = 200
"""The same for what is asked at every picture."""


@dataclass(frozen=True)
class Durations:
    """Says how long a step of this shop usually takes. past: its finished steps, newest first."""

    past: tuple[PastStep, ...]
    products: Mapping[str, Product]
    shapes: Mapping[str, Shape]

    def of(self, step: Step, area_m2: float | None) -> Length:
        """Give how long a step takes. area_m2: of the whole lot, None where nobody knows it."""
        return usual_length(step, self.tool_of(step), area_m2, self.past)

    def tool_of(self, step: Step) -> str:
        """Give the key of a step's tool, empty without one."""
        return tool_key(step, self.products.get(step.product))

    def of_part(self, step: Step, part: Part) -> Length:
        """Give how long a step takes on a part."""
        return self.of(step, lot_area_m2(part.area_m2, part.shape, part.count, self.shapes))


def lot_area_m2(
    area_m2: float | None, shape: str, count: int, shapes: Mapping[str, Shape]
) -> float | None:
    """Give the area of all pieces of a lot: its own, else its shape's; None where unknown."""
    if area_m2 is None and shape in shapes:
        area_m2 = shapes[shape].area_m2
    return None if area_m2 is None else area_m2 * count


def durations_of(session: Session) -> Durations:
    """Read how long the newest steps took."""
    hours = settings_of(session).hours
    return read_durations(session, products_of(session), shapes_of(session), hours)


def usual_length_of(
    session: Session, step: Step, part: Part, products: Mapping[str, Product]
) -> Length:
    """Read how long a step takes on a part, without reading more of the log than it wants."""
    shapes, hours = shapes_of(session), settings_of(session).hours
    doubtful = bench_rows.doubtful_steps(session)
    length = Length(timedelta(0))
    for names in ((step.name,), ()):
        read = read_durations(session, products, shapes, hours, names=names, doubtful=doubtful)
        length = read.of_part(step, part)
        if length.known_from:
            break
    return length


def read_durations(
    session: Session,
    products: Mapping[str, Product],
    shapes: Mapping[str, Shape],
    hours: Hours,
    newest: int = PAST_STEPS,
    names: Collection[str] = (),
    doubtful: Collection[int] | None = None,
) -> Durations:
    """Read how long the newest steps took, with what was read already.

    names: only steps that are called so; doubtful: ids of those a doubted clock wrote down.

    Left out are those across closing time or the break, and those of a doubted clock. An undone
    one is no longer done.
    """
    doubtful = bench_rows.doubtful_steps(session) if doubtful is None else doubtful
    opened = _Opened(hours)
    past = []
    rows = bench_rows.done_lately(session, newest, names)
    for number, plan, _, first_at, last_at, painters, shape, area_m2, count in rows:
        step = plan_read(plan)
        if step.kind == "cure" or number in doubtful or opened.closed_between(first_at, last_at):
            continue
        area = lot_area_m2(area_m2, shape, count, shapes)
        past.append(
            PastStep(
                step.name,
                step.kind,
                tool_key(step, products.get(step.product)),
                by_one_s((last_at - first_at).total_seconds(), step, len(json.loads(painters))),
                expected_s(step, area),
            )
        )
    return Durations(tuple(past), products, shapes)


class _Opened:
    """When somebody is in, worked out once a day."""

    def __init__(self, hours: Hours) -> None:
        self._hours = hours
        self._stays: dict[object, list[Stay]] = {}

    def closed_between(self, first_at: datetime, last_at: datetime) -> bool:
        """Say whether somebody went home or had the break between two hours."""
        if self._hours.always_in:
            return False
        day = first_at.astimezone(self._hours.zone).date()
        if day not in self._stays:
            self._stays[day] = stays(self._hours, first_at, 2)
        return was_interrupted(first_at, last_at, self._stays[day])
