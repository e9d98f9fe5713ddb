"""The plan on the command line: the agreed one, a new one, agreeing, dropping."""

from __future__ import annotations

from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.reports.bench_data import iso
from bench.commands.reports.printing import is_for_terminal, no_paper_for, print_out
from bench.process.plan.answers import (
    CanBeReady,
    RiskAnswer,
    WhenAnswer,
    WhyAnswer,
    risk_words,
    when_words,
    why_words,
)
from bench.process.refusals.refusal import Refusal
from bench.records.as_html import html
from bench.records.as_text import WIDTH, lines, text
from bench.records.blocks import headed
from bench.records.plan_json import plan_data, plan_json
from bench.records.plan_record import WrittenPlan, plan_blocks
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome
from bench.shop.plan.agreeing import agree as agree_plan
from bench.shop.plan.asking import (
    NOTHING_AGREED,
    asked,
    risk_question,
    when_ready,
    why_question,
)
from bench.shop.plan.planning import Effort, plan_now
from bench.shop.settings.paper import Paper
from bench.shop.stock.quote import AskedItem


def show(call: Call) -> Report | Refusal | None:
    """Report the plan that is agreed, with what is late by it and what is promised."""
    if refused := no_paper_for(call):
        return refused
    view = read_bench(call.shop)
    if view.plan is None:
        return NOTHING_AGREED
    return _written(call, WrittenPlan(view.plan, view, view.local(call.shop.clock.now())))


def make(call: Call) -> Report | Refusal | None:
    """Report a plan of the bench as it is now; nothing is agreed by it."""
    if refused := no_paper_for(call):
        return refused
    made = plan_now(call.shop, _effort(call))
    if isinstance(made, Refusal):
        return made
    draft, note = made
    view = read_bench(call.shop)
    now = view.local(call.shop.clock.now())
    return _written(call, WrittenPlan(draft.plan, view, now, draft, note))


def agree(call: Call, by: str) -> Outcome | Refusal:
    """Plan the bench as it is now, and make that the agreed plan."""
    made = plan_now(call.shop, _effort(call))
    return made if isinstance(made, Refusal) else agree_plan(call.shop, by, made[0].plan)


def when(call: Call) -> Report | Refusal:
    """Report when a new lot could be ready."""
    args = call.args
    lot = AskedItem(args.route, args.shape, args.area_m2, args.count)
    found = when_ready(call.shop, [lot])
    if isinstance(found, Refusal):
        return found
    now = read_bench(call.shop).local(call.shop.clock.now())
    return Report(when_data(found), when_words(found, now))


def when_data(found: WhenAnswer) -> dict[str, Any]:
    """Give the days of new parts for programs."""
    return {
        "beside_the_plan": _can_be(found.beside),
        "with_moves": _can_be(found.with_moves),
        "reason": found.reason or None,
    }


def _can_be(found: CanBeReady | None) -> dict[str, Any] | None:
    if found is None:
        return None
    ends = iso(found.last_step_ends)
    return {"ready": str(found.ready), "last_step_ends": ends, "moved": found.moved}


def why(call: Call) -> Report | Refusal:
    """Report why a part cannot be ready by a day."""
    tag, day = call.args.tag, call.args.day
    found = asked(why_question(call.shop, tag, day), WhyAnswer)
    if isinstance(found, Refusal):
        return found
    data = {
        "possible": not found.reasons,
        "reasons": list(found.reasons),
        "would_do": list(found.reliefs),
        "proven": found.is_proven,
    }
    return Report(data, why_words(found, tag, day))


def risk(call: Call) -> Report | Refusal:
    """Report how likely windows are missed by the agreed plan."""
    found = asked(risk_question(call.shop), RiskAnswer)
    if isinstance(found, Refusal):
        return found
    steps = [{"tag": each.tag, "name": each.name, "missed": each.missed} for each in found.steps]
    return Report({"missed": found.missed, "steps": steps}, risk_words(found))


def _effort(call: Call) -> Effort:
    rounds = call.args.rounds
    return Effort() if rounds is None else Effort(rounds, rounds, proof=None)


def _written(call: Call, written: WrittenPlan) -> Report | Refusal | None:
    """Report a plan on the terminal, or write it in the form that was asked for."""
    page = plan_blocks(written)
    if is_for_terminal(call):
        return Report(plan_data(written), (row.rstrip() for row in lines(page, WIDTH)))

    def form_of(form: str, paper: Paper) -> str:
        if form == "json":
            return plan_json(written)
        if form == "html":
            return html(page, written.title, paper)
        return text(headed(page, paper.letterhead))

    return print_out(call, form_of)
