"""Who does what: random benches, each held to what the names may not be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from random import Random

from bench.process.parts.part import Part, StepRecord
from bench.process.plan import checking, embedded
from bench.process.plan.building import build
from bench.process.plan.crew import Turn, crew, turns_of
from bench.process.plan.figures import PainterFigures, PlanInputs, StepFigures
from bench.process.plan.problem import Placed, Schedule

from .asking import random_inputs
from .random_plans import BENCHES, planned
from .test_building import coat, inputs, part, work

UNA, BO = PainterFigures("Una"), PainterFigures("Bo", trained=False)


class Crewed:
    """A bench that is planned, and who was given what.

    Every third task wants two. Of three painters one is untrained and one is away for two days.
    """

    def __init__(self, seed: int) -> None:
        inputs, built, schedule = planned(seed)
        gone = inputs.now + timedelta(days=1)
        painters = (
            PainterFigures("Una"),
            PainterFigures("Bo", trained=False),
            PainterFigures("Cy", away=((gone, gone + timedelta(days=2)),)),
        )
        tasks = tuple(
            replace(task, holds=(replace(task.holds[0], amount=2 - bool(n % 3)), *task.holds[1:]))
            for n, task in enumerate(built.problem.tasks)
        )
        self.inputs = replace(inputs, painters=painters)
        self.built = replace(built, problem=replace(built.problem, tasks=tasks))
        self.names = crew(self.built, schedule, self.inputs)
        self.turns: Sequence[Turn] = turns_of(self.built, schedule)
        self.on_it = {part.tag: part.on_it() for part in self.inputs.parts}

    def in_hand(self, turn: Turn) -> bool:
        return turn.begins == 0 and bool(self.on_it[turn.tag])

    def is_away(self, name: str, turn: Turn) -> bool:
        (painter,) = [each for each in self.inputs.painters if each.name == name]
        since, until = self.built.grid.at(turn.begins), self.built.grid.at(turn.until)
        return any(since < back and gone < until for gone, back in painter.away)


def test_nobody_has_two_things_at_once_nor_what_only_others_may_do() -> None:
    masked = two = kept = unfilled = 0
    for seed in BENCHES:
        found = Crewed(seed)
        given: list[tuple[str, Turn]] = []
        last: dict[str, tuple[str, ...]] = {}
        for turn in found.turns:
            if turn.is_after:
                continue
            names, before = found.names[turn.task], last.get(turn.tag, ())
            last[turn.tag] = names
            where = f"bench {seed}: {turn} {names}"
            if found.in_hand(turn):
                assert {*names} <= {*found.on_it[turn.tag]}, where
                continue
            assert len({*names}) == len(names) <= turn.hands, where
            for name in names:
                assert name != "Bo" or not turn.masked, where
                assert not found.is_away(name, turn), where
                others = [each for who, each in given if who == name]
                assert all(each.until <= turn.begins for each in others), where
                given.append((name, turn))
            masked += turn.masked
            two += len(names) == 2
            kept += bool({*before} & {*names})
            unfilled += len(names) < turn.hands
    assert min(masked, two, kept) > 5, (masked, two, kept)
    assert unfilled < 60, unfilled


def test_who_was_given_less_than_it_could_be_is_given_out_again() -> None:
    """Una alone sprays, from 6 on; it was she who took the part that is filed from 1 to 9."""
    mine = part(coat("gloss", "iso"), tag="1"), part(work("file"), tag="2")
    asked = inputs(*mine, minutes={"file": 40.0}, painters=(UNA, BO))
    built = build(asked)
    schedule = Schedule((Placed(6), Placed(1)))
    had_it = {"2": ("Una",)}
    assert crew(built, schedule, asked) == (("Una",), ("Bo",))
    taken = replace(asked, parts=(mine[0], replace(mine[1], taken_by=had_it["2"])))
    assert crew(built, schedule, taken) == (("Una",), ("Bo",))


def test_all_that_takes_hands_in_a_sound_plan_has_its_painters() -> None:
    """Una is trained; Bo is not; Cy, trained, is away for a day and a half. Coats take two."""
    filled = two = masked = 0
    for seed in range(7):
        drawn = random_inputs(Random(seed), parts=4, days=9)
        gone = drawn.now + timedelta(hours=20)
        cy = PainterFigures("Cy", away=((gone, gone + timedelta(hours=36)),))

        def figures(of: Part, record: StepRecord, drawn: PlanInputs = drawn) -> StepFigures:
            hands = 2 if record.step.kind == "coat" else 1
            return replace(drawn.figures_of(of, record), hands=hands)

        asked = replace(drawn, painters=(UNA, BO, cy), figures_of=figures)
        built = build(asked)
        if not built.problem.pieces:
            continue
        schedule = embedded.plan(built.problem, Random(1), 1)
        assert checking.faults(built.problem, schedule) == ()
        names = crew(built, schedule, asked)
        going_on = built.problem.crew.going_on if built.problem.crew is not None else ()
        for turn in turns_of(built, schedule):
            if turn.is_after or turn.task in going_on:
                continue
            assert len(names[turn.task]) == turn.hands, f"bench {seed}: {turn}"
            assert not turn.masked or "Bo" not in names[turn.task]
            filled += 1
            two += turn.hands == 2
            masked += turn.masked
    assert min(filled, two, masked) > 5, (filled, two, masked)
