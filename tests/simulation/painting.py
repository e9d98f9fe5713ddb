"""A shop under random hands: every deed is watched, and can be taken back."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import ClassVar

from hypothesis import HealthCheck, note, seed, settings
from hypothesis.stateful import RuleBasedStateMachine, invariant, run_state_machine_as_test

from bench.process.actions.next_action import next_action
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core.bench_view import BenchView, PlacedPart, read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.testing import ManualClock

from .choices import ODD_PARTS, SEEDS
from .holding import check_view, clocks, everything
from .shops import State, folder_in_memory, journal_length, state_of, told_by_journal

MONDAY = datetime(2026, 3, 23, 8, 0, tzinfo=UTC)
"""The week in which London's clocks are put forward."""


class Painting(RuleBasedStateMachine):
    """A shop, and what must hold after everything that is done in it."""

    template: ClassVar[Path]

    def __init__(self) -> None:
        super().__init__()
        self.held = ExitStack()
        self.file = self.held.enter_context(folder_in_memory()) / "shop.db"
        shutil.copy(self.template, self.file)
        self.clock = ManualClock(MONDAY)
        self.shop = Shop(open_store(str(self.file)), self.clock, "test")
        self.held.callback(lambda: self.shop.store.close())
        self.first = self.state = state_of(self.shop)
        self.lines = journal_length(self.shop)
        self.placed: dict[str, int] = {}
        self.undoable: list[tuple[State, dict[str, int]]] = []
        self.view = read_bench(self.shop)

    def teardown(self) -> None:
        """At the end the program's own check finds nothing wrong."""
        try:
            assert check(self.shop).faults == ()
        finally:
            self.held.close()

    # --- doing things ----------------------------------------------------------------------------

    def do(
        self, deed: Callable[[], Outcome | Refusal], *, moves_clocks: bool = True
    ) -> Outcome | None:
        """Refused, a deed leaves no trace; done, it leaves one line that tells all of it.

        Where it changes one part, every other part keeps its clock.
        """
        before, was, placed = self.state, self.view, dict(self.placed)
        answer = deed()
        note(f"    {self.clock.now():%a %d %b %H:%M} {answer}")
        self.state = state_of(self.shop)
        if isinstance(answer, Refusal):
            assert self.state == before, "refused, yet something changed"
            assert journal_length(self.shop) == self.lines, "refused, yet it is in the log"
            return None
        self._one_line_more()
        self.undoable.append((before, placed))
        if before["reading"] == self.state["reading"]:
            self._only(self._changed() if moves_clocks else set(), was)
        return answer

    def undone(self, answer: Outcome | Refusal, *, nobody: bool) -> None:
        """What an undo must have done: exactly what was before, or nothing."""
        note(f"    {self.clock.now():%a %d %b %H:%M} {answer}")
        before, self.state = self.state, state_of(self.shop)
        if isinstance(answer, Refusal):
            assert self.state == before
            assert journal_length(self.shop) == self.lines
            assert nobody or not self.undoable, answer
            return
        self._one_line_more()
        state, self.placed = self.undoable.pop()
        assert self.state == state, "undo did not restore exactly"

    def wait(self, minutes: int) -> None:
        """Time goes by and nobody does anything: every clock stays where it was."""
        before = clocks(self.view)
        self.clock.advance(minutes=minutes)
        self.view = read_bench(self.shop)
        assert clocks(self.view) == before, "a clock changed though nothing was done or read"

    def start_again(self) -> None:
        """The program is stopped and started."""
        self.shop.store.close()
        self.shop = Shop(open_store(str(self.file)), self.clock, "test")
        assert read_bench(self.shop) == self.view

    def obvious(self, stand: int, by: str) -> None:
        """What the bench asks for, as a good painter does it."""
        placed, now = self.view.on(stand), self.clock.now()
        if placed is None:
            return
        state = placed.state(now)
        match next_action(placed.part, state):
            case "begin" | "wait" | "closed" if state.opens is not None and state.opens.at > now:
                self.wait((state.opens.at - now) // timedelta(minutes=1) + 1)
            case "begin":
                self._begin_with_a_pot(stand, placed.part, by)
            case "finish" | "faces":
                self.wait(11)
                self.do(lambda: steps.finish(self.shop, stand, by, all_faces=True))
            case "test":
                self.do(lambda: testing.pass_test(self.shop, stand, by))
            case "release":
                self.do(lambda: holds_and_rework.release(self.shop, stand, by))
            case "take off":
                self.do(lambda: placement.take_off(self.shop, stand, by))

    def _begin_with_a_pot(self, stand: int, part: Part, by: str) -> None:
        record = part.current()
        product = SEEDS.products.get(record.step.product) if record is not None else None
        if record is not None and record.step.kind == "coat":
            self.do(lambda: readings.take_reading(self.shop, by, air_c=18, rh_pct=55, metal_c=18))
        done = self.do(lambda: steps.begin(self.shop, stand, by))
        if done is None and product is not None and product.keeps_a_pot_clock:
            known = MixStart(need_ml=300) if product.ratio else None
            self.do(lambda: pots.mix(self.shop, product.key, by, known=known))
            self.do(lambda: steps.begin(self.shop, stand, by))

    def _one_line_more(self) -> None:
        self.view = read_bench(self.shop)
        before, self.lines = self.lines, journal_length(self.shop)
        assert self.lines == before + 1

    def _only(self, changed: set[str], was: BenchView) -> None:
        """No part but these looks otherwise."""
        for placed in everything(was):
            tag = placed.part.tag
            now = self.view.find(tag)
            if now is not None:
                assert now.clocks == placed.clocks or tag in changed, f"tag {tag}: its clock moved"

    def _changed(self) -> set[str]:
        """The tags of the parts whose steps the last deed changed."""
        before = self.undoable[-1][0]
        rows = {**before["part"], **self.state["part"]}
        steps_before, steps_now = before["step"], self.state["step"]
        keys = steps_before.keys() | steps_now.keys()
        owners = {
            str((steps_before.get(key) or steps_now[key])["part_id"])
            for key in keys
            if steps_before.get(key) != steps_now.get(key)
        }
        return {rows[owner]["tag"] for owner in owners}

    # --- choosing --------------------------------------------------------------------------------

    def whom(
        self, part: tuple[int, bool], fit: Callable[[PlacedPart], bool] = lambda placed: True
    ) -> int | str:
        """A part by its stand or tag, mostly one that is fit for it; now and then none there is."""
        number, by_tag = part
        if number < len(ODD_PARTS):
            return ODD_PARTS[number]
        rows = sorted(self.state["part"].values(), key=lambda row: str(row["tag"]))
        fitting = {placed.part.tag for placed in everything(self.view) if fit(placed)}
        if number % 5:
            rows = [row for row in rows if row["tag"] in fitting] or rows
        if not rows:
            return 1
        row = rows[number % len(rows)]
        found: int | str = row["tag"] if by_tag or row["stand"] is None else row["stand"]
        return found

    def mark_of(self, whom: int | str, number: int) -> str:
        """A face or zone of the part's step."""
        placed = self.view.on(whom) if isinstance(whom, int) else self.view.find(whom)
        record = placed.part.current() if placed is not None else None
        if number < 0 or record is None:
            return ""
        marks = [mark.name for mark in record.marks]
        return marks[number % len(marks)] if marks else "nonsense"

    def pot(self, letter: str) -> str:
        """A pot there is, where A, B or C is asked for."""
        letters = [pot.letter for pot in self.view.pots]
        if letter not in ("A", "B", "C") or not letters:
            return letter
        return letters["ABC".index(letter) % len(letters)]

    def at(self, ago: int | None) -> datetime | None:
        """The instant so many minutes ago; None for just now."""
        return None if ago is None else self.clock.now() - timedelta(minutes=ago)

    # --- what must hold --------------------------------------------------------------------------

    @invariant()
    def the_journal_tells_the_state(self) -> None:
        """Replayed, the journal gives every row."""
        assert told_by_journal(self.shop, self.first) == self.state

    @invariant()
    def the_bench_shows_nothing_impossible(self) -> None:
        """Words, numbers, spans and steps."""
        check_view(self.view, self.clock.now())

    @invariant()
    def pieces_of_a_lot_always_sum(self) -> None:
        """To what was placed, undo and rework included."""
        sums = dict.fromkeys(self.placed, 0)
        for row in self.state["part"].values():
            assert row["count"] > 0
            lot = max((tag for tag in sums if row["tag"].startswith(tag)), key=len)
            sums[lot] += row["count"]
        assert sums == self.placed

    @invariant()
    def a_tin_never_holds_more_than_it_can_or_less_than_nothing(self) -> None:
        """And whatever was poured came out of a tin that there is."""
        tins = self.state["tin"]
        assert all(0 <= tin["left_ml"] <= tin["size_ml"] for tin in tins.values())
        rows = [*self.state["mix"].values(), *self.state["step"].values()]
        assert {str(taken["id"]) for row in rows for taken in row["tins"]} <= tins.keys()

    @invariant()
    def no_part_is_lost(self) -> None:
        """It is on the bench as long as there is something to do to it."""
        shown = {placed.part.tag for placed in everything(self.view)}
        for row in self.state["part"].values():
            rows = [s for s in self.state["step"].values() if s["part_id"] == row["id"]]
            left = any(step["status"] in ("todo", "in hand") for step in rows)
            assert row["tag"] in shown or (row["away"] and not left), f"{row['tag']} is nowhere"


def sequences(
    kind: type[Painting], template: Path, batch: int, *, examples: int, steps: int
) -> None:
    """So many sequences of so many steps, the same ones for a batch every time."""
    run_state_machine_as_test(
        seed(batch)(type(kind.__name__, (kind,), {"template": template})),
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            database=None,
            derandomize=False,
            suppress_health_check=list(HealthCheck),
        ),
    )
