"""What the planner is asked: read at one moment, with the plan that is agreed then."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial

import pytest

from bench.process.plan.drafting import Draft
from bench.process.plan.figures import PainterFigures
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.plan.agreed_plan import agreed_plan
from bench.shop.plan.agreeing import agree
from bench.shop.plan.asking import NOTHING_AGREED, risk_question, when_question, why_question
from bench.shop.plan.inputs import plan_inputs
from bench.shop.plan.planning import Effort, NotProven, plan_question
from bench.shop.stock.quote import AskedItem
from tests.shop.doing import done
from tests.shop.plan.test_agreeing import placed, plan_of

__all__ = ["placed"]

TRAINED = (PainterFigures("Kit"), PainterFigures("Mo"))

LOT = AskedItem("zinc-new", "bracket")

QUESTIONS = {
    "plan": plan_question,
    "when": partial(when_question, asked=[LOT]),
    "why": partial(why_question, tag="1", by=date(2025, 6, 12)),
    "risk": risk_question,
}


@pytest.mark.sqlite
@pytest.mark.parametrize("ask", QUESTIONS.values(), ids=QUESTIONS)
def test_a_question_reads_the_bench_once(
    placed: Shop, ask: Callable[[Shop], object], monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = plan_of(placed)
    done(agree(placed, "Kit", plan))
    read: list[int] = []
    view_of = bench_view.view_of

    def counted(*given: object) -> bench_view.BenchView:
        view = view_of(*given)  # type: ignore[arg-type]
        read.append(view.line)
        return view

    monkeypatch.setattr(bench_view, "view_of", counted)
    question = ask(placed)
    assert len(read) == 1
    inputs = question.inputs  # type: ignore[attr-defined]
    assert (inputs.plan, inputs.line) == (plan, read[0])


@pytest.mark.sqlite
def test_what_is_agreed_while_it_is_read_is_no_part_of_the_question(
    placed: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between the bench and the plan nobody can come: both are of one moment."""
    plan, before = plan_of(placed), plan_inputs(placed).line
    view_of = bench_view.view_of

    def agreed_meanwhile(*given: object) -> bench_view.BenchView:
        view = view_of(*given)  # type: ignore[arg-type]
        monkeypatch.setattr(bench_view, "view_of", view_of)
        done(agree(placed, "Mo", plan))
        return view

    monkeypatch.setattr(bench_view, "view_of", agreed_meanwhile)
    inputs = plan_inputs(placed)
    assert (inputs.plan, inputs.line) == (None, before)
    assert agreed_plan(placed) == plan


@pytest.mark.sqlite
def test_without_a_plan_nothing_is_at_risk(placed: Shop) -> None:
    assert risk_question(placed) == NOTHING_AGREED


@pytest.mark.sqlite
def test_without_ortools_a_plan_is_made_and_says_how_to_have_it_proven(
    placed: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "ortools", None)
    answers: list[object] = []
    question = plan_question(placed, Effort(rounds=1))
    replace(question, inputs=replace(question.inputs, painters=TRAINED, days=9)).answer(
        lambda answer: not answers.append(answer)  # type: ignore[func-returns-value]
    )
    *drafts, last = answers
    assert {type(each) for each in drafts} == {Draft}
    assert last == NotProven(
        "not proven: ortools is not installed (pip install 'paintbench[plan]');"
        " this plan is the bench's own"
    )
