"""Correct a fact that was written down wrong.

The old value stays in the journal, with who changed it and why; the sheet shows both. Clocks that
hang on it move, and the answer says which.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import ClassVar, TypeVar

from bench.process.parts.part import StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import day_words
from bench.shop.core.part_action import PartAction
from bench.shop.core.transaction import Outcome, Shop, Target, Transaction
from bench.shop.corrections.correction_effects import Change, clocks_now, corrected
from bench.store.log.journal import CORRECT

FactRow = TypeVar("FactRow")


@dataclass(frozen=True)
class Correction(ABC):
    """One fact and what it really was; a subclass is an entry of the table of facts.

    word, help: how the command line calls it. Its fields say which fact and the right value; those
    without a default have to be given. ``apply`` checks and changes; a ``Change`` whose old and new
    words are the same is refused. ``offered``, which each entry has beside it, yields what a screen
    asks a painter about the facts of its kind.
    """

    word: ClassVar[str]
    help: ClassVar[str]
    of_part: ClassVar[bool] = False

    @abstractmethod
    def apply(self, act: Transaction, target: Target) -> Change | Refusal:
        """Check the new value and write it into the rows; answer with the old and the new one."""


@dataclass(frozen=True)
class PartCorrection(Correction):
    """A fact of the part that is the target."""

    of_part = True

    def apply(self, act: Transaction, target: Target) -> Change | Refusal:
        """Find the part and change it."""
        row = act.row(target)
        if isinstance(row, Refusal):
            return row
        job = PartAction(act, row)
        name = job.called()
        change = self.change(job)
        if isinstance(change, Refusal):
            return change
        return replace(change, called=name, tag=row.tag)

    @abstractmethod
    def change(self, job: PartAction) -> Change | Refusal:
        """Check the new value and change the part's rows."""


@dataclass(frozen=True)
class StepCorrection(PartCorrection):
    """A fact of one step of the part. step: its number on the part's sheet."""

    step: int

    def change(self, job: PartAction) -> Change | Refusal:
        """Find the step and change it."""
        steps = job.part.steps
        record = next((r for r in steps if r.number == self.step), None)
        if record is None:
            return Refusal(f"no step {self.step}", "", f"steps run from 1 to {len(steps)}")
        return self.change_step(job, record)

    @abstractmethod
    def change_step(self, job: PartAction, record: StepRecord) -> Change | Refusal:
        """Check the new value and change the step's rows."""


def correct(
    shop: Shop, target: Target, by: str, reason: str, correction: Correction
) -> Outcome | Refusal:
    """Correct one fact, signed where the painter has a PIN; tell which clocks moved with it.

    target: the part; a reading or a pot is named by its own number, whatever the target.
    """
    with shop.act(CORRECT, by) as act:
        answer = _correct(act, target, reason, correction)
        if isinstance(answer, Refusal):
            act.session.rollback()
        return answer


def _correct(
    act: Transaction, target: Target, reason: str, correction: Correction
) -> Outcome | Refusal:
    why = act.reason(reason)
    if isinstance(why, Refusal):
        return why
    before = clocks_now(act)
    change = correction.apply(act, target)
    if isinstance(change, Refusal):
        return change
    if change.old == change.new:
        value = change.old or change.called
        return Refusal("that is what is recorded", value, "nothing to correct")
    return corrected(act, change.tag, change.called, change, why, before)


def with_day(act: Transaction) -> Callable[[datetime], str]:
    """Give an instant's words with the whole day: they are read in years to come."""
    return lambda at: day_words(at.astimezone(act.local_now.tzinfo))


def nth(rows: Sequence[FactRow], number: int | None) -> FactRow | None:
    """Return the row with a number, from 1, or the last for None; None where there is none."""
    place = len(rows) if number is None else number
    return rows[place - 1] if 1 <= place <= len(rows) else None
