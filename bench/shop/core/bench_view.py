"""What a screen or the command line draws: one unchanging view of the whole bench."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, tzinfo
from functools import cached_property
from typing import TYPE_CHECKING

from bench.process.actions.test_opinions import Opinion, tested_step
from bench.process.ahead.cold_nights import Cold, cold_of, dew_point_of
from bench.process.attention.alarms import Alarm, current_alarms
from bench.process.attention.forgotten_work import asked_from
from bench.process.attention.plan_tasks import late_tasks
from bench.process.attention.todo_list import Task, tasks
from bench.process.clocks.conditions import Conditions
from bench.process.clocks.part_clocks import Environment, clocks_of, readings_since
from bench.process.clocks.pots import Gun, Pot
from bench.process.clocks.stand_state import EMPTY, Clocks, StandState, stand_state
from bench.process.clocks.temperature import Hours, Reading
from bench.process.parts.job import Job
from bench.process.parts.measurements import Measurement
from bench.process.parts.notes import Note
from bench.process.parts.part import Part
from bench.process.plan.agreed import WorkPlan
from bench.process.plan.late_steps import late_steps, slipped
from bench.process.refusals.refusal import Refusal
from bench.process.safety.masks import AtWork, LastRelease, Room, room_of
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route, Shape, SprayTool
from bench.process.stock.equipment import AirUse, Equipment, air_of
from bench.process.stock.mixing import TinRatio
from bench.shop.clock import timekeeping
from bench.shop.clock.clock_fault import ClockState
from bench.shop.core.mappers import (
    equipment_of,
    guns_of,
    job_of,
    measurement_of,
    note_of,
    opinion_of,
    part_with,
    pots_of,
    products_of,
    record_read,
    routes_of,
    settings_of,
    shapes_of,
    tin_ratios_of,
    tools_of,
)
from bench.shop.core.temperature_cache import Air
from bench.shop.core.transaction import Shop, StoreFault, Target, no_stand, no_tag
from bench.shop.environment.masks import at_work, last_released
from bench.shop.people.wrong_pins import has_pin
from bench.shop.plan.agreed_plan import agreed_plan_of
from bench.shop.queries.durations import LATELY, read_durations
from bench.shop.settings.shop_settings import ShopSettings
from bench.store.databases.database import Session
from bench.store.queries import bench_rows, job_rows, measurement_rows, people_rows
from bench.zones import computers_zone

if TYPE_CHECKING:
    from bench.process.plan.promises import JobDays, Promised, Promises


@dataclass(frozen=True)
class PlacedPart:
    """A part with its clocks, what painters said of the test to be passed next, and their notes.

    cold: the stretches in which its coat is too cold before it is through its wait. measurements:
    those that nobody struck.
    """

    part: Part
    clocks: Clocks
    tests: tuple[Opinion, ...] = ()
    notes: tuple[Note, ...] = ()
    cold: tuple[Cold, ...] = ()
    measurements: tuple[Measurement, ...] = ()

    def state(self, now: datetime) -> StandState:
        """Give the state that its stand shows at ``now``."""
        return stand_state(self.part, self.clocks, now)


@dataclass(frozen=True)
class BenchView:
    """The bench as it was read at one moment; its methods take the time it is shown at.

    line: the number of the newest line of the journal then; recorded_since: when its first one was
    written. at_work, released: what is, and what was last put into the air. notes: those on the
    bench itself; left: who went home, and when; trained: who is trained for isocyanate, None where
    nobody recorded it; asked: when work in hand is asked about, by the part's tag; plan: the one
    that is agreed, with its steps that are not done.
    """

    stands: tuple[tuple[int, PlacedPart | None], ...]
    off_stand: tuple[PlacedPart, ...]
    pots: tuple[Pot, ...]
    guns: tuple[Gun, ...]
    at_work: tuple[AtWork, ...]
    released: LastRelease | None
    recorded_since: datetime
    around: Environment
    house: ShopSettings
    painters: tuple[str, ...]
    with_pin: frozenset[str]
    routes: dict[str, Route]
    shapes: dict[str, Shape]
    tools: dict[str, SprayTool]
    clock: ClockState
    line: int
    equipment: tuple[Equipment, ...]
    notes: tuple[Note, ...]
    left: dict[str, datetime]
    trained: dict[str, bool | None]
    tin_ratios: dict[str, TinRatio]
    asked: dict[str, datetime]
    plan: WorkPlan | None
    jobs: dict[str, Job]

    @property
    def doubtful(self) -> bool:
        """Whether the clock is wrong, so that every time is only "at least"."""
        return self.clock.doubtful

    @property
    def products(self) -> dict[str, Product]:
        """Every product by its key."""
        return dict(self.around.products)

    def on(self, stand: int) -> PlacedPart | None:
        """Give the part on a stand, None where it is empty."""
        return self._by_number.get(stand)

    @cached_property
    def _by_number(self) -> dict[int, PlacedPart | None]:
        return dict(self.stands)

    def everything(self) -> list[PlacedPart]:
        """List every part that has not left the bench, those on stands first."""
        return [part for _, part in self.stands if part] + list(self.off_stand)

    def find(self, tag: str) -> PlacedPart | None:
        """Find the part with a tag, wherever it is."""
        matches = (p for p in self.everything() if p.part.tag.casefold() == tag.casefold())
        return next(matches, None)

    def every_note(self) -> tuple[Note, ...]:
        """List the notes of the bench, then those of the parts."""
        return (*self.notes, *(note for part in self.everything() for note in part.notes))

    def local(self, at: datetime) -> datetime:
        """Give an instant in the shop's zone."""
        return at.astimezone(self.house.hours.zone)

    def state(self, stand: int, now: datetime) -> StandState:
        """Give the state that a stand shows."""
        part = self.on(stand)
        if part is None:
            return EMPTY
        states = self._moment.get(now)
        return states[part.part.tag] if states else part.state(now)

    def wants(self, now: datetime) -> tuple[Task, ...]:
        """List the tasks, the most urgent first."""
        states, local = self._states(now), self.local(now)
        return tasks(states, self.pots, local, self.guns, self._cold(), self.late(local))

    def in_hand(self) -> frozenset[str]:
        """Return the tags of the parts of which a step is begun."""
        currents = ((part.part.tag, part.part.current()) for part in self.everything())
        return frozenset(tag for tag, r in currents if r is not None and r.status == "in hand")

    def late(self, now: datetime) -> tuple[Task, ...]:
        """List what is late by the agreed plan, worked out once a minute. now: in its zone."""
        minute = now.replace(second=0, microsecond=0)
        if self.plan is None:
            return ()
        if minute not in self._late_at:
            stands = {part.part.tag: part.part.stand for part in self.everything()}
            self._late_at.clear()
            self._late_at[minute] = late_tasks(
                self.plan, stands, self.in_hand(), minute, self.promises(minute)
            )
        return self._late_at[minute]

    def as_it_stands(self, now: datetime) -> WorkPlan | None:
        """Give the agreed plan with what is late by it begun only now."""
        if self.plan is None:
            return None
        late = late_steps(self.plan, self.in_hand(), now)
        return slipped(self.plan, late, now, self.house.hours)

    def promised(self, now: datetime) -> tuple[Promised, ...]:
        """List how the promised parts stand by the plan, the one with the least to spare first.

        It is worked out once a minute.
        """
        if not any(job.promised for job in self.jobs.values()):
            return ()
        minute = now.replace(second=0, microsecond=0)
        plan = self.as_it_stands(minute) if minute not in self._promised_at else None
        if plan is not None:
            self._promised_at.clear()
            self._promised_at[minute] = self.promises(minute).of(plan)
        return self._promised_at.get(minute, ())

    def job_days(self, job: Job, now: datetime) -> JobDays | None:
        """Say when the parts of a job are ready by the plan; None without a plan or parts here."""
        plan = self.as_it_stands(now)
        return self.promises(now).of_job(plan, job) if plan is not None else None

    def promises(self, now: datetime) -> Promises:
        """Give what the parts are held against their promises by."""
        # Only a shop with a plan loads it.
        from bench.process.plan.figures import PLAN_DAYS
        from bench.process.plan.grid import Grid
        from bench.process.plan.promises import Promises
        from bench.shop.plan.shop_figures import shop_figures

        parts = {part.part.tag: part.part for part in self.everything()}
        handling_h = shop_figures(self.house, len(self.stands), now).handling_h
        grid = Grid.of(now, PLAN_DAYS, self.house.hours)
        return Promises(parts, self.jobs, self.around, handling_h, grid)

    @cached_property
    def _late_at(self) -> dict[datetime, tuple[Task, ...]]:
        """The late steps at the minute that was asked for last."""
        return {}

    @cached_property
    def _promised_at(self) -> dict[datetime, tuple[Promised, ...]]:
        """How promised parts stand at the minute that was asked for last."""
        return {}

    def alarming(self, now: datetime) -> tuple[Alarm, ...]:
        """List the tasks that alarm, answered or not, the most urgent first."""
        states, local, house = self._states(now), self.local(now), self.house
        of_house = (house.hours.unanswered, house.units)
        return current_alarms(
            states, self.pots, local, self.guns, self.asked, self._cold(), *of_house
        )

    def _cold(self) -> Iterator[tuple[Part, tuple[Cold, ...]]]:
        return ((part.part, part.cold) for part in self.everything())

    def _states(self, now: datetime) -> list[tuple[Part, StandState]]:
        """What every part shows, worked out once for whatever is asked of one moment."""
        if now not in self._moment:
            self._moment.clear()
            self._moment[now] = {p.part.tag: p.state(now) for p in self.everything()}
        return [(p.part, self._moment[now][p.part.tag]) for p in self.everything()]

    @cached_property
    def _moment(self) -> dict[datetime, dict[str, StandState]]:
        """The states at the moment that was asked for last."""
        return {}

    def room(self, now: datetime) -> Room:
        """Judge the air of the room: whether masks are on, why and until when."""
        house = self.house
        facts = (self.at_work, self.released, house.clearance, self.recorded_since)
        return room_of(*facts, self.local(now))

    def air(self) -> AirUse:
        """Sum up what draws on the compressor."""
        return air_of(self.equipment)

    def reading(self) -> Reading | None:
        """Give the newest reading."""
        return self.around.newest()

    def conditions(self, now: datetime) -> Conditions | None:
        """Give the air and the surface temperatures by which the rules judge a coat."""
        return self.around.conditions(now)


def read_bench(shop: Shop) -> BenchView:
    """Read the bench as it is now."""
    with shop.store.reading() as session:
        return bench_in(session, shop)


def bench_in(session: Session, shop: Shop) -> BenchView:
    """Give the bench as a session sees it: what else is read in that is of the same moment."""
    with bench_rows.settings_at_hand(session):
        clock = timekeeping.read_state(session, shop.clock)
        return view_of(session, shop.air, shop.clock.now(), clock)


def find_part(view: BenchView, target: Target) -> PlacedPart | Refusal:
    """Find the part on a stand, or with a tag, as long as it has not left the bench."""
    if isinstance(target, str):
        return view.find(target.strip()) or no_tag(target)
    stands = dict(view.stands)
    if target not in stands:
        return no_stand(target, stands)
    return stands[target] or Refusal(f"stand {target} is empty", "", "place a part on it first")


class ChangeWatch:
    """Notices changes of the data, so that a view need not be read each second.

    That is the data, written from somewhere, and the computer's own time zone.
    """

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._seen: tuple[int, tzinfo] | None = None
        with suppress(StoreFault):
            self._seen = self._mark()

    def _mark(self) -> tuple[int, tzinfo]:
        return self._shop.store.change_mark(), computers_zone()

    def changed(self) -> bool:
        """Say whether the data or the computer's zone has changed since this was last asked."""
        before, self._seen = self._seen, self._mark()
        return before != self._seen


def view_of(session: Session, air: Air, now: datetime, clock: ClockState) -> BenchView:
    """Give the bench as a session's rows have it."""
    products = products_of(session)
    house, shapes = settings_of(session), shapes_of(session)
    parts = list(_parts_and_tests(session))
    pots = bench_rows.pots_here(session)
    mixing_hours = (pot.mixed_at for pot in pots)
    since = readings_since(now, (part for part, _ in parts), mixing_hours)
    air.forget_before(since)
    environment = air.around(session, house.hours, products, since)
    notes, measured = _notes_by_tag(session), _measured_by_part(session)
    dew = dew_point_of(environment, now)
    placed_parts = []
    for part, tests in parts:
        clocks = clocks_of(part, environment, doubtful=clock.doubtful)
        cold = cold_of(part, clocks, environment, dew, now)
        own = tuple(notes.get(part.tag, ())), cold, tuple(measured.get(part.tag, ()))
        placed_parts.append(PlacedPart(part, clocks, tests, *own))
    painters = bench_rows.painters_here(session)
    plan = agreed_plan_of(session)
    by_stand = {p.part.stand: p for p in placed_parts if p.part.stand is not None}
    numbers = bench_rows.stand_numbers(session)
    return BenchView(
        stands=tuple((number, by_stand.get(number)) for number in numbers),
        off_stand=tuple(p for p in placed_parts if p.part.stand is None),
        pots=pots_of(pots, environment),
        guns=guns_of(session, pots, environment),
        at_work=at_work(session, products),
        released=last_released(session, products),
        recorded_since=bench_rows.first_line_at(session) or now,
        around=environment,
        house=house,
        painters=tuple(painter.name for painter in painters),
        with_pin=frozenset(painter.name for painter in painters if has_pin(painter.pin)),
        routes=routes_of(session),
        shapes=shapes,
        tools=tools_of(session),
        clock=clock,
        line=bench_rows.last_line_number(session),
        equipment=equipment_of(session),
        notes=tuple(notes.get("", ())),
        left={painter.name: painter.left_at for painter in painters if painter.left_at},
        trained={painter.name: painter.isocyanate_trained for painter in painters},
        tin_ratios=tin_ratios_of(session),
        plan=plan,
        jobs=jobs_by_tag(session, (part for part, _ in parts)) if plan is not None else {},
        asked=_questions_at(session, (part for part, _ in parts), products, shapes, house.hours),
    )


def jobs_by_tag(session: Session, parts: Iterable[Part]) -> dict[str, Job]:
    """Give the jobs that were opened, by the tags of their parts."""
    jobs = {job.name.lower(): job for job in map(job_of, job_rows.every_job(session))}
    return {part.tag: jobs[part.job.lower()] for part in parts if part.job.lower() in jobs}


def _questions_at(
    session: Session,
    parts: Iterable[Part],
    products: Mapping[str, Product],
    shapes: Mapping[str, Shape],
    hours: Hours,
) -> dict[str, datetime]:
    """When each piece of work in hand is asked about, by the part's tag."""
    at_work = [(part, part.current()) for part in parts]
    in_hand = [(part, r) for part, r in at_work if r is not None and r.status == "in hand"]
    if not in_hand:
        return {}
    names = {record.step.name for _, record in in_hand}
    durations = read_durations(session, products, shapes, hours, LATELY, names)
    questions = {
        part.tag: asked_from(record, durations.of_part(record.step, part), hours)
        for part, record in in_hand
    }
    return {tag: at for tag, at in questions.items() if at is not None}


def _notes_by_tag(session: Session) -> dict[str, list[Note]]:
    """The notes nobody struck: those of each part, and of the bench under no tag."""
    notes: dict[str, list[Note]] = {}
    for row, tag in people_rows.notes_here(session):
        notes.setdefault(tag, []).append(note_of(row, tag))
    return notes


def _measured_by_part(session: Session) -> dict[str, list[Measurement]]:
    """What was measured and not struck, by the part's tag."""
    measured: dict[str, list[Measurement]] = {}
    for row, step, tag in measurement_rows.here(session):
        measured.setdefault(tag, []).append(measurement_of(row, step))
    return measured


def _parts_and_tests(session: Session) -> Iterator[tuple[Part, tuple[Opinion, ...]]]:
    rows = bench_rows.parts_here(session)
    steps, tests = bench_rows.steps_here(session), bench_rows.tests_here(session)
    for row in rows:
        if row.id is not None:
            part = part_with(row, map(record_read, steps.get(row.id, ())))
            step = tested_step(part)
            opinions = tests.get((row.id, step.number), ()) if step else ()
            yield part, tuple(opinion_of(test) for test in opinions)
