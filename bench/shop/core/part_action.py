"""One part inside an action, and what every action on a part has in common."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from datetime import datetime
from functools import cached_property

from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.pots import Pot
from bench.process.clocks.stand_state import Clocks, StandState, stand_state
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.route import SprayTool, Step
from bench.shop.core.mappers import PartReader, new_step, pots_of, tools_of
from bench.shop.core.transaction import Outcome, Shop, Target, Transaction
from bench.shop.corrections.correction_effects import air_since
from bench.store.databases.database import Session
from bench.store.queries import bench_rows
from bench.store.schema.tables import (
    MixRow,
    PartRow,
    ProductRow,
    ReadingRow,
    StepRow,
    ToolRow,
)


class PartAction:
    """One part inside an action: its row, its steps and its plain values."""

    def __init__(self, act: Transaction, row: PartRow) -> None:
        self.act, self.row = act, row
        self._reader = PartReader()
        self._clocks: tuple[Part, Clocks] | None = None

    @cached_property
    def steps(self) -> list[StepRow]:
        """Its steps in order."""
        return self.act.steps(self.row)

    @property
    def products(self) -> dict[str, Product]:
        """Every product by its key."""
        return self.act.products

    @property
    def tools(self) -> dict[str, SprayTool]:
        """Every spray tool by its key."""
        return self.act.once(tools_of, ToolRow)

    @property
    def training(self) -> dict[str, bool | None]:
        """Whether each painter is trained for isocyanate; None where nobody recorded it."""
        return {painter.name: painter.isocyanate_trained for painter in self.act.painters_here()}

    @property
    def pots(self) -> tuple[Pot, ...]:
        """The pots not binned yet, oldest first."""
        return self.act.once(self._pots, MixRow, ProductRow, ReadingRow)

    def _pots(self, session: Session) -> tuple[Pot, ...]:
        """Work them out by what is committed, or by what this action did to them or the air."""
        rows, environment = self.pot_rows, replace(self.around, products=self.products)
        if rows and self.act.ledger.touched(session, (MixRow, ReadingRow)):
            environment = air_since(self.act, self.products, rows[0].mixed_at)
        return pots_of(rows, environment)

    @property
    def pot_rows(self) -> list[MixRow]:
        """The rows of the pots not binned yet, oldest first."""
        return self.act.once(bench_rows.open_pots, MixRow)

    @cached_property
    def around(self) -> Environment:
        """The readings, hours and sheets for the clocks of the part and of its pots."""
        mixing_hours = [pot.mixed_at for pot in self.pot_rows]
        return self.act.around(self.products, min([self.act.now, *mixing_hours]), [self.part])

    @property
    def part(self) -> Part:
        """The part as plain values, as the rows are now."""
        return self._reader.part(self.row, self.steps)

    def clocks(self, part: Part | None = None) -> Clocks:
        """Work out the clocks of the part as the rows are now, or as if it were otherwise."""
        part = part or self.part
        if self._clocks is None or self._clocks[0] != part:
            self._clocks = part, clocks_of(part, self.around, doubtful=self.act.doubtful)
        return self._clocks[1]

    def state(self, at: datetime) -> StandState:
        """Give the state that the part's stand shows at an instant."""
        return stand_state(self.part, self.clocks(), at)

    def step_row(self, record: StepRecord) -> StepRow:
        """Give the row behind a record."""
        return next(step for step in self.steps if step.number == record.number)

    def called(self) -> str:
        """Name the part as messages do."""
        return f"tag {self.row.tag} {self.row.name}"

    def done(self, text: str) -> Outcome | Refusal:
        """Write the journal line of the part. text: what goes on after its tag and name."""
        return self.act.done(self.row.tag, f"{self.called()}{text}")


def act_on_part(
    shop: Shop,
    action: str,
    target: Target,
    by: str,
    work: Callable[[PartAction, str], Outcome | Refusal],
    beside: Collection[str] = (),
) -> Outcome | Refusal:
    """Run ``work`` on one part in one transaction, with the painter's name checked first.

    beside: the actions of others that may have gone on unseen meanwhile.
    """
    with shop.act(action, by) as act:
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        row = act.row(target, beside)
        if isinstance(row, Refusal):
            return row
        return work(PartAction(act, row), painter)


def insert_steps(job: PartAction, number: int, steps: list[tuple[Step, tuple[str, ...]]]) -> None:
    """Put steps, each with its marks' names, before step ``number``; those after it move back."""
    for later in sorted(job.steps, key=lambda step: -step.number):
        if later.number >= number:
            later.number += len(steps)
            job.act.session.flush()
    for place, (step, names) in enumerate(steps):
        row = new_step(job.row, number + place, step, names)
        job.act.session.add(row)
        job.steps.append(row)
    job.steps.sort(key=lambda step: step.number)
    job.act.session.flush()
