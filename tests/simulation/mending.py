"""What random painters mend: lots split and put together, older facts put right, earlier lines undone."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from hypothesis import note
from hypothesis import strategies as st
from hypothesis.stateful import invariant, rule

from bench.process.actions.correction_rules import StepEdge
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import PlacedPart
from bench.shop.core.transaction import Outcome
from bench.shop.corrections import undo
from bench.shop.corrections.correction import correct
from bench.shop.corrections.part_facts import Naming
from bench.shop.corrections.pot_facts import FiguresOfReading, HourOfMix
from bench.shop.corrections.step_facts import HourOfMark, HourOfStep, HourOfTest, PaintersOfStep
from bench.shop.corrections.thickness_facts import FilmOfCoat, WeightOfCoat
from bench.shop.parts import lots

from . import choices as c
from .holding import everything
from .shops import journal_length, state_of
from .test_random_actions import Presses, Whom

STEPS_OF = st.integers(0, 12)
OFF_BY = c.mostly([-60, -15, -5, -1, 1, 5, 15], -3 * 1440, 3 * 1440, 0)
"""How many minutes later it really was."""
POINTS = c.mostly([None, 0, 1, 2, 11], -1, 10_000)


def of_many(placed: PlacedPart) -> bool:
    """More than one piece, on which nobody is."""
    record = placed.part.current()
    return placed.part.count > 1 and (record is None or record.status != "in hand")


class Mending(Presses):
    """Everything that ``Presses`` does, and what is done about it afterwards."""

    mended = False
    """Whether a line in the middle was undone: the one before last is not what was before it then."""

    @rule(part=c.PARTS, by=c.PAINTERS, count=c.PIECES, stand=c.FREE_STANDS)
    def split(self, part: Whom, by: str, count: int | None, stand: int | None) -> None:
        whom = self.whom(part, of_many)
        self.do(lambda: lots.split(self.shop, whom, by, count or 1, stand=stand))

    @rule(part=c.PARTS, by=c.PAINTERS, other=st.integers(0, 299))
    def merge(self, part: Whom, by: str, other: int) -> None:
        whom = self.whom(part)
        second = str(self._tag(self.whom((other, True))))
        self.do(lambda: lots.merge(self.shop, whom, by, second))

    @rule(part=c.PARTS, by=c.PAINTERS)
    def merge_what_was_split(self, part: Whom, by: str) -> None:
        whom = self.whom(part, of_many)
        self.do(lambda: lots.split(self.shop, whom, by, 1))
        tag = self._tag(whom)
        self.do(lambda: lots.merge(self.shop, whom, by, f"{tag}b"))

    def _tag(self, whom: int | str) -> int | str:
        placed = self.view.on(whom) if isinstance(whom, int) else None
        return placed.part.tag if placed is not None else whom

    @rule(part=c.PARTS, by=c.PAINTERS, bungs_in=POINTS, bungs_out=POINTS, contacts=POINTS)
    def count_points(
        self,
        part: Whom,
        by: str,
        bungs_in: int | None,
        bungs_out: int | None,
        contacts: int | None,
    ) -> None:
        whom = self.whom(part)
        self.do(
            lambda: lots.count_points(
                self.shop, whom, by, bungs_in=bungs_in, bungs_out=bungs_out, contacts=contacts
            ),
            moves_clocks=False,
        )

    def _part(self, whom: int | str) -> Part | None:
        placed = self.view.on(whom) if isinstance(whom, int) else self.view.find(whom.strip())
        return placed.part if placed is not None else None

    @rule(
        part=c.PARTS,
        by=c.PAINTERS,
        step=STEPS_OF,
        first=st.booleans(),
        mark=c.MARKS,
        off_by=OFF_BY,
        reason=c.REASONS,
    )
    def an_hour_was_another(
        self,
        part: Whom,
        by: str,
        step: int,
        first: bool,
        mark: int,
        off_by: int,
        reason: str,
    ) -> None:
        """Of a step, or of one of its faces or zones."""
        whom = self.whom(part)
        found = self._part(whom)
        begun = [r for r in found.steps if r.first_at is not None] if found else []
        record = begun[step % len(begun)] if begun else None
        number = record.number if record else step
        was = (record.first_at if first else record.last_at) if record else None
        at = (was or self.clock.now()) + timedelta(minutes=off_by)
        edge: StepEdge = "first" if first else "last"
        if record is not None and record.marks and mark >= 0:
            one = record.marks[mark % len(record.marks)]
            at = ((one.begun_at if first else one.done_at) or at) + timedelta(minutes=off_by)
            self.do(
                lambda: correct(
                    self.shop,
                    whom,
                    by,
                    reason,
                    HourOfMark(step=number, mark=one.name, edge=edge, at=at),
                )
            )
            return
        self.do(
            lambda: correct(self.shop, whom, by, reason, HourOfStep(step=number, edge=edge, at=at))
        )

    and_once_more = an_hour_was_another
    and_again = an_hour_was_another

    @rule(part=c.PARTS, by=c.PAINTERS, step=STEPS_OF, off_by=OFF_BY, reason=c.REASONS)
    def a_test_was_at_another_hour(
        self, part: Whom, by: str, step: int, off_by: int, reason: str
    ) -> None:
        whom = self.whom(part)
        found = self._part(whom)
        tested = [r for r in found.steps if r.passed_at is not None] if found else []
        record = tested[step % len(tested)] if tested else None
        number = record.number if record else step
        was = record.passed_at if record and record.passed_at else self.clock.now()
        at = was + timedelta(minutes=off_by)
        self.do(lambda: correct(self.shop, whom, by, reason, HourOfTest(step=number, at=at)))

    @rule(part=c.PARTS, by=c.PAINTERS, step=STEPS_OF, who=c.PAINTERS, reason=c.REASONS)
    def it_was_somebody_else(self, part: Whom, by: str, step: int, who: str, reason: str) -> None:
        whom = self.whom(part)
        self.do(
            lambda: correct(self.shop, whom, by, reason, PaintersOfStep(step=step, painters=[who])),
            moves_clocks=False,
        )

    @rule(
        part=c.PARTS, by=c.PAINTERS, step=STEPS_OF, weight=c.WEIGHTS, um=c.FILM_UM, reason=c.REASONS
    )
    def it_came_out_otherwise(
        self, part: Whom, by: str, step: int, weight: Any, um: float | None, reason: str
    ) -> None:
        """A coat was heavy after all, or its film was another."""
        whom = self.whom(part)
        found = self._part(whom)
        coats = found.done_coats() if found else ()
        number = coats[step % len(coats)].number if coats else step
        right = FilmOfCoat(number, {"dry": um}) if weight is None else WeightOfCoat(number, weight)
        self.do(lambda: correct(self.shop, whom, by, reason, right))

    @rule(part=c.PARTS, by=c.PAINTERS, name=c.NAMES, job=c.NAMES, reason=c.REASONS)
    def it_is_called_otherwise(self, part: Whom, by: str, name: str, job: str, reason: str) -> None:
        whom = self.whom(part)
        right = Naming(name=name, job=job)
        self.do(
            lambda: correct(self.shop, whom, by, reason, right),
            moves_clocks=False,
        )

    @rule(back=st.integers(0, 20), by=c.PAINTERS, off_by=OFF_BY, reason=c.REASONS)
    def a_pot_was_mixed_at_another_hour(self, back: int, by: str, off_by: int, reason: str) -> None:
        number, at = self.lines - back, self.clock.now() + timedelta(minutes=off_by)
        self.do(
            lambda: correct(self.shop, "", by, reason, HourOfMix(number, at)),
            moves_clocks=False,
        )

    @rule(back=st.integers(0, 20), by=c.PAINTERS, air_c=c.AIR_C, rh_pct=c.RH_PCT, reason=c.REASONS)
    def a_reading_was_another(
        self, back: int, by: str, air_c: float, rh_pct: float | None, reason: str
    ) -> None:
        number, figures = self.lines - back, {"air": air_c, "humidity": rh_pct}
        self.do(lambda: correct(self.shop, "", by, reason, FiguresOfReading(number, figures)))

    @rule(back=st.integers(0, 12), by=c.PAINTERS)
    def undo_line(self, back: int, by: str) -> None:
        """A chosen line, which is the last one now and then."""
        number = self.lines - back
        self._taken_back(undo.undo_line(self.shop, by, number))

    @rule(by=c.PAINTERS)
    def undo(self, by: str) -> None:
        if self.mended:
            self._taken_back(undo.undo(self.shop, by))
        else:
            super().undone(undo.undo(self.shop, by), nobody=by in ("nobody", ""))

    def _taken_back(self, answer: Outcome | Refusal) -> None:
        note(f"    {self.clock.now():%a %d %b %H:%M} {answer}")
        before, self.state = self.state, state_of(self.shop)
        if isinstance(answer, Refusal):
            assert self.state == before
            assert journal_length(self.shop) == self.lines
            return
        self._one_line_more()
        self.mended = True

    @invariant()
    def pieces_of_a_lot_always_sum(self) -> None:
        """Nothing is ever lost or made by splitting and putting together."""
        rows = self.state["part"].values()
        assert all((row["count"] == 0) == bool(row["merged_into"]) for row in rows)
        if not self.mended:
            assert sum(row["count"] for row in rows) == sum(self.placed.values())

    @invariant()
    def no_part_is_lost(self) -> None:
        """What was put with another is away; all else as ever."""
        shown = {placed.part.tag for placed in everything(self.view)}
        for row in self.state["part"].values():
            rows = [s for s in self.state["step"].values() if s["part_id"] == row["id"]]
            left = any(step["status"] in ("todo", "in hand") for step in rows)
            gone = row["away"] and (row["merged_into"] or not left)
            assert row["tag"] in shown or gone, f"{row['tag']} is nowhere"
