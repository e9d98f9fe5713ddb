"""The plan on the command line: the agreed one, a new one, agreeing, dropping."""

from __future__ import annotations

from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.reports.bench_data import iso
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.answers import (
    CanBeReady,
    RiskAnswer,
    WhenAnswer,
    WhyAnswer,
    risk_words,
    when_words,
    why_words,
)
from bench.process.plan.drafting import Draft
from bench.process.plan.late_steps import late_steps, late_words, move_words, moves
from bench.process.plan.plan_words import count_words, worth_words
from bench.process.refusals.refusal import Refusal
from bench.records.as_text import WIDTH, lines
from bench.records.plan_record import plan_blocks
from bench.shop.core.bench_view import BenchView, read_bench
from bench.shop.core.transaction import Outcome
from bench.shop.plan.agreeing import agree as agree_plan
from bench.shop.plan.asking import (
    NOTHING_AGREED,
    asked,
    risk_question,
    when_question,
    why_question,
)
from bench.shop.plan.planning import Effort, plan_now
from bench.shop.stock.quote import AskedItem


def show(call: Call) -> Report | Refusal:
    """Report the plan that is agreed, with what is late by it."""
    view, now = read_bench(call.shop), call.shop.clock.now()
    if view.plan is None:
        return NOTHING_AGREED
    local = view.local(now)
    late = late_steps(view.plan, view.in_hand(), local)
    words = tuple(late_words(view.plan, step, local) for step in late)
    return _report(view.plan, view, words, {"late": [step.tag for step in late]})


def make(call: Call) -> Report | Refusal:
    """Report a plan of the bench as it is now; nothing is agreed by it."""
    made = plan_now(call.shop, _effort(call))
    if isinstance(made, Refusal):
        return made
    draft, note = made
    view = read_bench(call.shop)
    now = view.local(call.shop.clock.now())
    moved = moves(view.plan, draft.plan)
    promised = (each.words for each in draft.promised)
    told = (move_words(each, now) for each in moved)
    words = (*_worth(draft), *filter(None, (note,)), *promised, *told)
    data = {
        "late_days": draft.cost.late_days,
        "mixes": draft.cost.mixes,
        "moved": [{"tag": each.step.tag, "step": each.step.number} for each in moved],
        "left_out": [{"tag": each.tag, "reason": each.reason} for each in draft.left_out],
        "no_room": list(draft.no_room),
        "promised": [
            {"tag": each.tag, "ready": str(each.ready), "promised": str(each.promised)}
            for each in draft.promised
        ],
        "not_proven": note or None,
    }
    return _report(draft.plan, view, words, data)


def agree(call: Call, by: str) -> Outcome | Refusal:
    """Plan the bench as it is now, and make that the agreed plan."""
    made = plan_now(call.shop, _effort(call))
    return made if isinstance(made, Refusal) else agree_plan(call.shop, by, made[0].plan)


def when(call: Call) -> Report | Refusal:
    """Report when a new lot could be ready."""
    args = call.args
    lot = AskedItem(args.route, args.shape, args.area_m2, args.count)
    question = when_question(call.shop, lot)
    found = question if isinstance(question, Refusal) else asked(question, WhenAnswer)
    if isinstance(found, Refusal):
        return found
    now = read_bench(call.shop).local(call.shop.clock.now())
    data = {
        "beside_the_plan": _can_be(found.beside),
        "with_moves": _can_be(found.with_moves),
        "reason": found.reason or None,
    }
    return Report(data, when_words(found, now))


def _can_be(found: CanBeReady | None) -> dict[str, Any] | None:
    if found is None:
        return None
    ends = iso(found.last_step_ends)
    return {"ready": str(found.ready), "last_step_ends": ends, "moved": found.moved}


def why(call: Call) -> Report | Refusal:
    """Report why a part cannot be ready by a day."""
    tag, day = call.args.tag, call.args.day
    question = why_question(call.shop, tag, day)
    found = question if isinstance(question, Refusal) else asked(question, WhyAnswer)
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
    question = risk_question(call.shop)
    found = question if isinstance(question, Refusal) else asked(question, RiskAnswer)
    if isinstance(found, Refusal):
        return found
    steps = [{"tag": each.tag, "name": each.name, "missed": each.missed} for each in found.steps]
    return Report({"missed": found.missed, "steps": steps}, risk_words(found))


def _effort(call: Call) -> Effort:
    rounds = call.args.rounds
    return Effort() if rounds is None else Effort(rounds, rounds, proof=None)


def _worth(draft: Draft) -> tuple[str, ...]:
    left = (f"Not planned: tag {each.tag}: {each.reason}" for each in draft.left_out)
    assumed = count_words(len(draft.assumed), "figure")
    return (*worth_words(draft), *left, f"{assumed} that nobody typed (?)".capitalize())


def _report(
    plan: WorkPlan, view: BenchView, words: tuple[str, ...], more: dict[str, Any]
) -> Report:
    page = plan_blocks(plan, plan.made_at.astimezone(view.house.hours.zone), words)
    data = {
        "made_at": iso(plan.made_at),
        "until": iso(plan.until),
        "planner": plan.planner,
        "seed": plan.seed,
        "price": plan.price,
        "bound": plan.bound,
        "proven": plan.is_proven,
        "windows_missed": plan.missed,
        "steps": [_step(step) for step in plan.steps],
        **more,
    }
    return Report(data, (row.rstrip() for row in lines(page, WIDTH)))


def _step(step: AgreedStep) -> dict[str, Any]:
    return {
        "tag": step.tag,
        "step": step.number,
        "name": step.name,
        "begins": iso(step.begins),
        "ends": iso(step.ends),
        "painters": list(step.painters),
        "share": list(step.share),
        "abrading_from": iso(step.abrading_from) if step.abrading_from else None,
        "mixes_at": iso(step.mixes_at) if step.mixes_at else None,
        "closes": iso(step.closes) if step.closes else None,
        "open_pot": step.open_pot or None,
        "placeholder": step.doubt,
    }
