"""Benches at random, and each planned begin asked of the bench's own rules when its hour has come.

Routes and products are the shipped ones; hours, temperatures, readings and what happened so far are
drawn. Nothing here knows how a plan is built: a begin is asked as ``shop`` asks it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from functools import cache, partial
from random import Random
from typing import get_args
from zoneinfo import ZoneInfo

from bench.process.actions.begin_rules import objections_to_begin
from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.pots import Pot, pot_if_mixed
from bench.process.clocks.stand_state import StandState, stand_state
from bench.process.clocks.temperature import Hours, Reading
from bench.process.parts.job import Job, Promise
from bench.process.parts.part import Part, StepRecord, step_as_finished
from bench.process.plan.built import BuiltPlan, PlannedStep
from bench.process.plan.figures import (
    LabourTime,
    PainterFigures,
    PlanInputs,
    StepFigures,
    usual_step_figures,
)
from bench.process.plan.problem import Schedule
from bench.process.refusals import rules
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.equipment import Equipment
from bench.process.wording.time_text import round_down
from bench.shop.seeds.seed_files import Seeds, folder, load

LONDON = ZoneInfo("Europe/London")

WHEN_ASKED = {
    rule.name for rule in (rules.READING_OLD, rules.NO_READING, rules.NO_HUMIDITY, rules.NO_SURFACE)
}
"""What a painter sees to just before a coat: the air is read."""

NOT_YET = {"WET", "FLASH", "DRYING", "WAIT", "KEEP OFF", "HOLD", "WORKING", "CURED", "EMPTY"}


@cache
def seeds() -> Seeds:
    """Read what a new shop starts with."""
    return load(folder())


def random_inputs(random: Random, parts: int = 2, days: int = 9) -> PlanInputs:
    """Draw a bench: its week, its weather, its parts somewhere on their routes."""
    now = datetime(2026, 3, 16, tzinfo=UTC) + timedelta(minutes=random.randrange(20 * 1440))
    open_at = time(random.choice((6, 7, 8)), random.choice((0, 30)))
    hours = Hours(
        days=(*((open_at, time(random.choice((15, 17, 20)), 30)),) * 5, (time(8), time(12)), None),
        day_c=float(random.choice((13, 18, 22, 27))),
        night_c=float(random.choice((6, 11, 16, 20))),
        zone=LONDON,
        lunch=random.choice((None, (time(12), time(12, 30)))),
    )
    products = seeds().products
    apart = Random(now.timestamp())
    if apart.random() < 0.5:
        products = {key: _short_lived(product) for key, product in products.items()}
    moving_min = apart.choice((0.0, 10.0))
    shared = apart.random() < 0.7
    around = Environment(_readings(random, now, hours), hours, products)
    drawn = tuple(random_part(random, str(n + 1), now) for n in range(parts))
    return PlanInputs(
        now=now.astimezone(LONDON),
        parts=drawn,
        around=around,
        painters=(PainterFigures("Una"), PainterFigures("Bo", trained=random.random() < 0.7)),
        length_of=lambda part, record: LabourTime(
            5.0 * (2 + len(record.step.name + part.tag) % 9), 0.35
        ),
        figures_of=partial(figures_of, moving_min=moving_min, shared=shared),
        paint_of=lambda part, _: None if part.tag == "2" else 350.0,
        jobs={"1": _job(now)},
        equipment=tuple(
            Equipment(e.key, e.name, e.kind, e.needs_l_min, e.gives_l_min)
            for e in seeds().equipment.values()
        ),
        tools=seeds().tools,
        shapes=seeds().shapes,
        days=days,
    )


def _job(now: datetime) -> Job:
    """A promise for twelve days later, every other one of a cured part."""
    promised = (now + timedelta(days=12)).date()
    return Job("trolley", promised=promised, promise=get_args(Promise)[now.minute % 2], priority=1)


def _short_lived(product: Product) -> Product:
    """Give a paint whose pot lives 80 min whatever the air, one that does at all."""
    return replace(product, pot_life=((20.0, 4800.0),)) if product.pot_life else product


def figures_of(
    _: Part, record: StepRecord, *, moving_min: float = 0.0, shared: bool = False
) -> StepFigures:
    """Give the placeholders of a step, and how long two take to move what is sprayed.

    shared: one or two may do it.
    """
    product = seeds().products.get(record.step.product)
    tool = seeds().tools.get(record.step.tool or (product.tool if product else ""))
    usual = replace(usual_step_figures(record, product, tool), may_be_two=shared)
    if record.step.kind != "coat" or not usual.takes_space or not moving_min:
        return usual
    return replace(usual, stays_min=45.0, moving_min=moving_min)


def _readings(random: Random, now: datetime, hours: Hours) -> tuple[Reading, ...]:
    """Draw what was read up to now, some of it humid; nothing once in four."""
    if random.random() < 0.25:
        return ()
    ago_h = sorted((random.uniform(0.1, 60) for _ in range(random.randrange(1, 6))), reverse=True)
    return tuple(
        Reading(
            now - timedelta(hours=h),
            air_c := hours.day_c + random.choice((-3.0, 0.0, 2.0)),
            random.choice((None, 50.0, 60.0, 78.0)),
            random.choice((None, air_c)),
        )
        for h in ago_h
    )


def random_part(random: Random, tag: str, now: datetime) -> Part:
    """Draw a part: its route, how far it is, when its last steps were done, and how thick."""
    route = random.choice(sorted(seeds().routes.values(), key=lambda each: each.key))
    records = [StepRecord(n, step) for n, step in enumerate(route.steps, start=1)]
    behind = random.randrange(len(records))
    at = now - timedelta(minutes=random.randrange(1, 4 * 1440))
    for n in range(behind - 1, -1, -1):
        last = at
        first = last - timedelta(minutes=random.randrange(5, 60))
        done = step_as_finished(records[n], first, last)
        weight = random.choice(("as meant", "as meant", "heavy"))
        records[n] = replace(done, passed_at=last, weight=weight)
        short = records[n].step.continues or random.random() < 0.2
        at = first - timedelta(minutes=random.randrange(15, 90 if short else 3 * 1440))
    if behind < len(records) - 1 and random.random() < 0.2:
        record = records[behind]
        began = now - timedelta(minutes=random.randrange(0, 40))
        if not behind or (last_at := records[behind - 1].last_at) is None or last_at <= began:
            records[behind] = replace(record, status="in hand", first_at=began)
    return Part(
        *(tag, route.name, 1, "trolley", "club", route.substrate, "bracket"),
        *(int(tag), int(tag), tuple(records)),
        hold="weather" if random.random() < 0.05 else "",
    )


# --- asking --------------------------------------------------------------------------------------


def contradictions(inputs: PlanInputs, built: BuiltPlan, schedule: Schedule) -> Iterator[str]:
    """Yield every planned begin that the bench's rules refuse at its hour, in words."""
    parts = {part.tag: part for part in inputs.parts}
    for step in built.steps(schedule):
        part = parts[step.tag]
        record = next(r for r in part.steps if r.number == step.number)
        if step.share[0] > 1:
            parts[step.tag] = _with(part, replace(record, last_at=step.ends))
            continue
        if record.status == "in hand":
            assert record.first_at is not None
            parts[step.tag] = _with(part, step_as_finished(record, record.first_at, step.ends))
            continue
        part = _tested(part, step.begins)
        state = stand_state(part, clocks_of(part, inputs.around), step.begins)
        for words in _against(inputs, built, part, record, state, step):
            yield f"tag {step.tag} {step.name} {step.begins:%a %d %H:%M} {state.word}: {words}"
        parts[step.tag] = _with(part, step_as_finished(record, step.begins, step.ends))


def _tested(part: Part, at: datetime) -> Part:
    """Give the part with its last step tested just then."""
    below = part.clock_step()
    return part if below is None else _with(part, replace(below, passed_at=at))


def _with(part: Part, record: StepRecord) -> Part:
    steps = tuple(record if r.number == record.number else r for r in part.steps)
    return replace(part, steps=steps)


def _against(
    inputs: PlanInputs,
    built: BuiltPlan,
    part: Part,
    record: StepRecord,
    state: StandState,
    step: PlannedStep,
) -> Iterator[str]:
    current = part.current()
    if current is None or current.number != record.number:
        yield f"the next step is {current.step.name if current else 'none'}"
        return
    if state.word in NOT_YET and not record.step.wet_on_wet:
        yield "the stand says no"
    if (state.word == "ABRADE") and step.abrading_from is None:
        yield "abraded, and not planned so"
    allowed = {*WHEN_ASKED}
    if step.abrading_from is not None:
        allowed.add(rules.WINDOW_MISSED.name)
    if (step.tag, step.number) in built.no_window:
        allowed.add(rules.NO_WINDOW.name)
    yield from (
        str(r) for r in _objections(inputs, part, record, state, step) if r.name not in allowed
    )


def _objections(
    inputs: PlanInputs, part: Part, record: StepRecord, state: StandState, step: PlannedStep
) -> Iterator[Refusal]:
    at = step.begins
    around, pots = _read(inputs, at), _pots(inputs, record, step)
    return objections_to_begin(
        *(part, state, around, pots, at, at.astimezone(LONDON)),
        equipment=inputs.equipment,
        lasts=step.ends - step.begins,
    )


def _read(inputs: PlanInputs, at: datetime) -> Environment:
    """Give the shop's air as it is read just before, if it is as it was expected."""
    log = inputs.around.weather().temperatures(inputs.now, "opening")
    temp_c = next(log.stretches_from(at.timestamp())).temp_c
    newest = inputs.around.newest()
    if newest is not None and at - newest.at < timedelta(hours=4):
        return inputs.around
    return inputs.around.with_more([Reading(at, temp_c, 50.0, temp_c)])


def _pots(inputs: PlanInputs, record: StepRecord, step: PlannedStep) -> tuple[Pot, ...]:
    """Give the pot that was mixed for a coat, which has to last to its end."""
    product = inputs.around.products.get(record.step.product)
    if product is None or step.pot is None:
        return ()
    mixed_at = round_down(step.begins - timedelta(minutes=inputs.shop.mixed_before_min), 1)
    pot = replace(pot_if_mixed(product, 600.0, inputs.around, mixed_at), letter="A")
    assert pot.bin_by is None or step.ends <= pot.bin_by
    return (pot,)
