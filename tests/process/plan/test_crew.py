"""Who does what: random benches, each held to what the names may not be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from bench.process.plan.crew import Turn, crew, turns_of
from bench.process.plan.figures import PainterFigures

from .random_plans import BENCHES, planned


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
        tasks = tuple(replace(of, hands=2 - bool(n % 3)) for n, of in enumerate(built.tasks))
        self.inputs = replace(inputs, painters=painters)
        self.built = replace(built, tasks=tasks)
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
            if turn.is_flush:
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
