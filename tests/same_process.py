"""The planner without a process of its own: it answers in this one, with little effort."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from bench.shop.plan.asking import RiskQuestion, WhenQuestion, WhyQuestion
from bench.shop.plan.planner_process import Ended, Question
from bench.shop.plan.planning import Effort, NotProven, PlanQuestion

DAYS = 9
"""So far ahead is planned: what takes a few days fits in, and it takes half the time."""


class SameProcess:
    """Answers in this process and little by little: one answer each time it is asked for more.

    running: how many were begun and not ended; stays: it never comes to an end by itself.
    """

    running = 0
    stays = False

    def __init__(self, question: Question) -> None:
        SameProcess.running += 1
        self.answers: list[Any] = []
        if isinstance(question, PlanQuestion):
            question = replace(question, effort=Effort(rounds=2, proof=None))
        if isinstance(question, PlanQuestion | WhenQuestion | WhyQuestion | RiskQuestion):
            question = replace(question, inputs=replace(question.inputs, days=DAYS))
        question.answer(self._tell)
        if isinstance(question, PlanQuestion):
            self.answers.append(NotProven("not proven: nobody there"))
        self.is_over = False

    def _tell(self, answer: object) -> bool:
        self.answers.append(answer)
        return True

    def come(self) -> list[object]:
        first, self.answers = self.answers[:1], self.answers[1:]
        if not first and not self.is_over and not self.stays:
            self.end()
            return [Ended()]
        return first

    def wait(self) -> Iterator[object]:
        self.end()
        yield from self.answers
        yield Ended()

    def end(self) -> None:
        SameProcess.running -= not self.is_over
        self.is_over = True
