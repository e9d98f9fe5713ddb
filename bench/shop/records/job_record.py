"""One part whole, for its sheet: the bench's own values of it, and what is known beside them.

``shop/records/gathering.py`` fills it in, with every hour in the shop's zone; ``records`` writes it
down.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from bench.process.actions.test_opinions import Opinion
from bench.process.clocks.conditions import judge_reading
from bench.process.clocks.cure import Cure
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import StandState
from bench.process.clocks.temperature import Reading
from bench.process.parts.job import Job
from bench.process.parts.log_entry import LogEntry
from bench.process.parts.measurements import (
    Judgement,
    Measurement,
    judged,
    values_of,
)
from bench.process.parts.notes import Note
from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.measurement_kinds import KINDS
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step, tool_key
from bench.process.stock.instruments import Instrument
from bench.process.stock.mixing import TinRatio

When = Literal["before", "working", "spraying", "drying"]
"""Where a reading lies beside a step: the last one before it began; while other work went on; of a
coat between first and last face, or after that."""


@dataclass(frozen=True)
class SheetReading:
    """Air and metal as they were read beside a coat, by whom, and what was corrected of it."""

    reading: Reading
    when: When
    by: str
    corrections: tuple[LogEntry, ...] = ()

    @property
    def dew_point_c(self) -> float | None:
        """The dew point in C, None where the humidity was not read."""
        air = judge_reading(self.reading)
        return round(air.dew_point_c, 1) if air else None

    @property
    def margin_c(self) -> float | None:
        """The metal over the dew point, or over the frost point where that is higher, in C.

        From the air where the metal was not read; None where the humidity was not.
        """
        air = judge_reading(self.reading)
        return round(air.margin_c, 1) if air else None


@dataclass(frozen=True)
class SheetVersion:
    """The version of a data sheet by which a step was done or a pot was mixed.

    since: when it was typed, None where that was before the upgrade to versions; is_own: False for
    what was done before the upgrade, of which only the sheet as of then is known; placeholder:
    nobody had typed a sheet.
    """

    since: datetime | None
    is_own: bool
    placeholder: bool


@dataclass(frozen=True)
class SheetTin:
    """What was taken from one tin. ml None: nobody measured."""

    role: str
    batch: str
    ml: float | None = None


@dataclass(frozen=True)
class SheetPot:
    """A pot a coat was sprayed from. pours: role and ml of each part in order.

    number: among all pots, for the letters come again. faces: those sprayed from it, empty where
    the whole coat was.
    """

    number: int
    pot: Pot
    pours: tuple[tuple[str, float], ...]
    by: str
    binned_at: datetime | None
    binned_ml: float | None
    tins: tuple[SheetTin, ...]
    corrections: tuple[LogEntry, ...] = ()
    version: SheetVersion | None = None
    faces: tuple[str, ...] = ()


@dataclass(frozen=True)
class SheetStep:
    """One step as it went. pots: those it was sprayed from; tins: what it took itself.

    doubtful: some of it was written down while the clock was wrong: "at least" that hour. version:
    None where it is not done or has no product. typed_at: when an hour of it was typed, where that
    was more than an hour after it. test: how the test is named that it has to pass.
    """

    record: StepRecord
    tests: tuple[Opinion, ...]
    pots: tuple[SheetPot, ...]
    tins: tuple[SheetTin, ...]
    readings: tuple[SheetReading, ...]
    corrections: tuple[LogEntry, ...]
    doubtful: bool
    version: SheetVersion | None = None
    typed_at: datetime | None = None
    test: str = ""

    @property
    def plan(self) -> Step:
        """The step as the route has it."""
        return self.record.step


@dataclass(frozen=True)
class Defect:
    """What was seen to be wrong, and on which step."""

    at: datetime
    by: str
    defect: str
    step: str


@dataclass(frozen=True)
class Lot:
    """Pieces that were split off, or another lot that was put with this one."""

    tag: str
    count: int
    how: Literal["split off", "put with it"]


@dataclass(frozen=True)
class Sheet:
    """One part with all that is known of it.

    shape, route, tools: names, of the tools by their keys; products: those of its steps by key, as
    their sheets stand now, of a part that is away as they were when it was done; tin_ratios: what
    was read off their tins; state: of its stand; doubtful: the clock is wrong at the time of
    writing; cure: None while coats are still to come, or none was put on; measured: struck readings
    too; instruments: by their names; corrections: of the part itself; order: its job, None where
    nobody recorded more of it than its name.
    """

    written_at: datetime
    doubtful: bool
    part: Part
    shape: str
    route: str
    tools: Mapping[str, str]
    away: bool
    left_at: datetime | None
    split_from: str
    merged_into: str
    lots: tuple[Lot, ...]
    state: StandState
    steps: tuple[SheetStep, ...]
    products: Mapping[str, Product]
    tin_ratios: Mapping[str, TinRatio]
    defects: tuple[Defect, ...]
    notes: tuple[Note, ...]
    cure: Cure | None
    measured: tuple[Measurement, ...]
    instruments: Mapping[str, Instrument]
    corrections: tuple[LogEntry, ...]
    journal: tuple[LogEntry, ...]
    order: Job | None = None

    @property
    def can_come_back(self) -> bool:
        """Whether it left the bench as itself: it was not put with another lot."""
        return self.away and not self.merged_into

    @property
    def left_to_do(self) -> int:
        """How many steps are in hand or still to come."""
        return sum(record.status in ("todo", "in hand") for record in self.part.steps)

    def done_coats(self) -> tuple[SheetStep, ...]:
        """List the coats that are on it, the first one first."""
        coats = self.part.done_coats()
        return tuple(step for step in self.steps if step.record in coats)

    def measured_at(self, number: int | None) -> tuple[Measurement, ...]:
        """List what was measured at a step, or with None before any, struck readings too."""
        return tuple(each for each in self.measured if each.step == number)

    def judgements(self, record: StepRecord | None) -> dict[str, tuple[Judgement, list[float]]]:
        """Say of each kind that was measured at a step what its readings come to, with them all."""
        there = self.measured_at(record.number if record is not None else None)
        measured = {m.kind for m in there}
        found = {}
        for kind in (kind for kind in KINDS if kind in measured):
            values = values_of([m for m in there if m.kind == kind and not m.struck])
            if values:
                judgement = judged(self.part, record, kind, values, self.products)
                found[kind] = judgement, list(values)
        return found

    def instruments_used(self) -> list[Instrument]:
        """List the instruments it was measured with, in the order they were used."""
        names = dict.fromkeys(each.instrument for each in self.measured)
        return [self.instruments[name] for name in names if name in self.instruments]

    def tool_of(self, step: SheetStep) -> str:
        """Give the name of the tool a coat is put on with; empty for another step."""
        if step.plan.kind != "coat":
            return ""
        return self.tools.get(tool_key(step.plan, self.products.get(step.plan.product)), "")
