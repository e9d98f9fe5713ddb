"""What is known of a part's zinc: answered when it is placed, or later."""

from __future__ import annotations

from bench.process.parts.zinc_age import zinc_advice, zinc_misfits
from bench.process.parts.zinc_answers import (
    CHANGES,
    NOT_KNOWN,
    QUESTIONS,
    ZincAnswer,
    answer_words,
    answers_words,
    with_answers,
)
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.route import ZINC
from bench.shop.core.json_form import as_json
from bench.shop.core.part_action import PartAction, act_on_part
from bench.shop.core.transaction import Outcome, Shop, Target


def answer_zinc(
    shop: Shop,
    target: Target,
    by: str,
    *,
    galvanised: ZincAnswer | None = None,
    quenched: ZincAnswer | None = None,
    passivated: ZincAnswer | None = None,
    white_rust: ZincAnswer | None = None,
) -> Outcome | Refusal:
    """Write down what is known of a part's zinc, and say which preparation fits it.

    galvanised: a day; the others yes or no. None is not asked, NOT_KNOWN an answer too. What was
    answered otherwise before is corrected, not answered again; white rust comes and goes.
    """
    new_answers = {"galvanised": galvanised, "quenched": quenched}
    new_answers |= {"passivated": passivated, "white_rust": white_rust}
    answers = {what: answer for what, answer in new_answers.items() if answer is not None}

    def work(job: PartAction, painter: str) -> Outcome | Refusal:
        refused = _answered_before(job, answers) if answers else _nothing()
        refused = refused or set_zinc(job, answers)
        if isinstance(refused, Refusal):
            return refused
        return job.done(f": {answers_words(answers)}, says {painter}")

    return act_on_part(shop, "zinc", target, by, work)


def set_zinc(job: PartAction, answers: dict[str, ZincAnswer]) -> Refusal | None:
    """Write some answers over what is known, with notes of what fits, or say why not."""
    if job.row.substrate not in ZINC:
        substrate = job.row.substrate or "nothing that was named"
        return Refusal(f"tag {job.row.tag} has no zinc to be asked about", substrate, "")
    today = job.act.local_now.date()
    zinc = with_answers(job.part.zinc, answers, today)
    if isinstance(zinc, Refusal):
        return zinc
    job.row.zinc = as_json(zinc)
    advice, misfits = zinc_advice(job.part, today), zinc_misfits(job.part, job.products, today)
    job.act.notes += dict.fromkeys([*misfits, *advice])
    return None


def _nothing() -> Refusal:
    right = ", ".join(QUESTIONS.values())
    return Refusal("nothing is answered", "", f"say what is known: {right}")


def _answered_before(job: PartAction, answers: dict[str, ZincAnswer]) -> Refusal | None:
    """Say which answer is another than what was written down already."""
    before = job.part.zinc.answers if job.part.zinc is not None else {}
    for what, answer in answers.items():
        old = before.get(what, NOT_KNOWN)
        if what not in CHANGES and old not in (NOT_KNOWN, answer):
            answer_text = f"{QUESTIONS[what]} {answer_words(old)}"
            return Refusal("that was answered already", answer_text, "correct it, with a reason")
    return None
