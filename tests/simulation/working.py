"""Two painters at work: in shop hours they do what the bench's list asks for, one thing at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random
from typing import Any

from bench.process.attention.todo_list import Task
from bench.process.parts.film_thickness import coat_to_judge
from bench.process.parts.part import Part
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.refusals.rules import NO_READING, NO_WINDOW, READING_OLD
from bench.process.stock.mixing import MixStart
from bench.shop.core.bench_view import BenchView, PlacedPart, read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.parts import placement, steps, testing
from bench.shop.parts.film_thickness import record_thickness
from bench.shop.seeds.seed_files import Seeds
from bench.shop.stock import pots
from bench.testing import ManualClock

COAT_MIN, WORK_MIN, SOAK_MIN = 25, 40, 11
"""How long a coat, a piece of work and a mordant wash take (common practice, no source)."""

HOW_THICK: tuple[dict[str, Any], ...] = (
    *({}, {}, {}, {"weight": "heavy"}, {"weight": "thin"}, {"dry_um": 70.0}, {"wet_um": 180.0}),
)
"""What is said of a coat that was just sprayed, mostly nothing."""


@dataclass
class Painter:
    """Somebody at work. busy: the part in hand and when it will be done."""

    name: str
    busy: tuple[str, datetime] | None = None


@dataclass(frozen=True)
class Arrival:
    """A part that somebody brings, and when."""

    at: datetime
    route: str
    shape: str
    count: int


@dataclass
class Crew:
    """Both of them, the parts still to come, and what they found may not be done just now.

    read_the_thermometer: what they do where the last reading is too old to wash or coat by.
    """

    shop: Shop
    clock: ManualClock
    seeds: Seeds
    random: Random
    to_come: list[Arrival]
    painters: tuple[Painter, ...] = (Painter("Kit"), Painter("Mo"))
    put_off: set[str] = field(default_factory=set)
    refused: list[Refusal] = field(default_factory=list)
    read_the_thermometer: Callable[[], None] = field(kw_only=True)

    def next_done(self) -> datetime | None:
        """When the first of them will be done with what is in hand."""
        return min((p.busy[1] for p in self.painters if p.busy), default=None)

    def work(self, view: BenchView) -> bool:
        """One thing that wants doing now; whether anything was done."""
        now = self.clock.now()
        for painter in self.painters:
            if painter.busy and painter.busy[1] <= now:
                return self._done_with(painter, painter.busy[0], now)
        hours = view.house.hours.spans(now, 1)
        if not any(opens <= now and now + timedelta(minutes=COAT_MIN) < s for opens, s in hours):
            return False
        return any(self._at_hand(painter, view, now) for painter in self.painters)

    def _done_with(self, painter: Painter, tag: str, now: datetime) -> bool:
        """All faces sprayed; of a wash one zone rinsed, and the next one is brushed on."""
        painter.busy = None
        done = self.told(steps.finish(self.shop, tag, painter.name, all_faces=True))
        self._say_how_thick(painter, tag)
        left = read_bench(self.shop).find(tag)
        record = left.part.current() if left else None
        if record is not None and record.status == "in hand" and record.step.kind == "dwell":
            assert self.told(steps.begin(self.shop, tag, painter.name))
            painter.busy = (tag, now + timedelta(minutes=SOAK_MIN))
        return done

    def _say_how_thick(self, painter: Painter, tag: str) -> None:
        """Some coats come out heavy or thin, and some are measured."""
        placed = read_bench(self.shop).find(tag)
        if placed is None or isinstance(coat_to_judge(placed.part), Refusal):
            return
        said: dict[str, Any] = self.random.choice(HOW_THICK)
        if said:
            self.told(record_thickness(self.shop, tag, painter.name, **said))

    def told(self, answer: Outcome | Refusal) -> bool:
        """Whether it was done; a refusal is kept."""
        if isinstance(answer, Refusal):
            self.refused.append(answer)
        return isinstance(answer, Outcome)

    def _at_hand(self, painter: Painter, view: BenchView, now: datetime) -> bool:
        if painter.busy:
            return False
        for want in view.wants(now):
            if want.tag not in self.put_off and self._do(painter, view, want, now):
                return True
            self.put_off.add(want.tag)
        free = [stand for stand, placed in view.stands if placed is None]
        if free and self.to_come and self.to_come[0].at <= now:
            part = self.to_come.pop(0)
            placed = placement.place(
                self.shop,
                free[0],
                painter.name,
                route=part.route,
                shape=part.shape,
                count=part.count,
            )
            return self.told(placed)
        return False

    def _do(self, painter: Painter, view: BenchView, want: Task, now: datetime) -> bool:
        if want.word == "GUN":
            return self.told(pots.flush(self.shop, want.tag, painter.name))
        placed = view.find(want.tag)
        if placed is None:
            return self.told(pots.bin_pot(self.shop, want.tag, painter.name))
        state = placed.state(now)
        if state.word == "CURED":
            return self.told(placement.take_off(self.shop, want.tag, painter.name))
        if state.test:
            return self._test(painter, want.tag)
        if state.word in ("RINSE NOW", "RINSE"):
            return self.told(steps.finish(self.shop, want.tag, painter.name))
        if state.word in ("OPEN", "CLOSING", "ABRADE"):
            return self._begin(painter, view, placed, now)
        return False

    def _test(self, painter: Painter, tag: str) -> bool:
        """Now and then it is not dry yet."""
        if self.random.random() < 0.1:
            return self.told(testing.put_test_off(self.shop, tag, painter.name, minutes=30))
        return self.told(testing.pass_test(self.shop, tag, painter.name))

    def _begin(self, painter: Painter, view: BenchView, placed: PlacedPart, now: datetime) -> bool:
        tag = placed.part.tag
        answer = steps.begin(self.shop, tag, painter.name)
        if isinstance(answer, Refusal) and answer.name in (NO_READING.name, READING_OLD.name):
            self.read_the_thermometer()
            answer = steps.begin(self.shop, tag, painter.name)
        if isinstance(answer, Refusal) and answer.name == NO_WINDOW.name:
            answer = self._warmed(painter, tag) or answer
        if isinstance(answer, Refusal) and "pot of" in answer.rule and self._mix(painter, placed):
            answer = steps.begin(self.shop, tag, painter.name)
        if self.told(answer):
            painter.busy = (tag, now + timedelta(minutes=_takes_min(placed.part)))
            return True
        return False

    def _warmed(self, painter: Painter, tag: str) -> Outcome | Refusal | None:
        """Now and then they do not wait for warmer weather, and say why; None where they wait."""
        if self.random.random() >= 0.02:
            return None
        warmed = Override({NO_WINDOW.name: NO_WINDOW.reasons[0]})
        return steps.begin(self.shop, tag, painter.name, override=warmed)

    def _mix(self, painter: Painter, placed: PlacedPart) -> bool:
        record = placed.part.current()
        assert record is not None
        sheet = self.seeds.products[record.step.product]
        known = MixStart(need_ml=400) if sheet.ratio else None
        return self.told(pots.mix(self.shop, sheet.key, painter.name, known=known))


def _takes_min(part: Part) -> int:
    record = part.current()
    kind = record.step.kind if record else "work"
    return {"coat": COAT_MIN, "dwell": SOAK_MIN}.get(kind, WORK_MIN)
