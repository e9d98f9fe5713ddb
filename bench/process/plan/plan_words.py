"""What a plan is worth, in words: what it misses, what is late, how much could still be saved."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from bench.process.plan.agreed import WorkPlan
from bench.process.plan.checking import LEFT_OUT_PRICE
from bench.process.plan.drafting import Draft
from bench.process.plan.messages import BEYOND_HORIZON


def count_words(count: int, singular: str) -> str:
    """Return a count with its noun.

    >>> count_words(1, "window"), count_words(0, "window"), count_words(3, "mix")
    ('1 window', 'no window', '3 mixes')
    """
    plural = f"{singular}es" if singular.endswith("x") else f"{singular}s"
    return f"{count or 'no'} {singular if count in (0, 1) else plural}"


def worth_words(draft: Draft) -> tuple[str, ...]:
    """Say what a draft misses and what is late, then how much of the rest could be saved."""
    return tuple(_worth(draft))


def _worth(draft: Draft) -> Iterator[str]:
    counts, plan = draft.cost, draft.plan
    if draft.no_room:
        days = (plan.until - plan.made_at).days
        yield BEYOND_HORIZON.format(tags=f"tag {', '.join(draft.no_room)}", days=days)
    if not plan.steps:
        return
    late = count_words(counts.late_days, "late day") if counts.late_days else "nothing late"
    best = not (counts.missed or counts.late_days)
    mixes = count_words(counts.mixes, "mix")
    worth = f"{count_words(counts.missed, 'window')} missed, {late}, {mixes}"
    if draft.no_room:
        yield f"The rest: {worth}"
    else:
        yield _capital(worth) + (": no plan misses less" if best else "")
    yield proof_words(plan)
    yield from draft.let_go


def proof_words(plan: WorkPlan) -> str:
    """Say how much could still be saved, at most; nothing that nobody worked out."""
    if plan.is_proven:
        return "Proven: no plan is better"
    if plan.bound is None or plan.price >= LEFT_OUT_PRICE:
        return "How much could still be saved is not known"
    saved = ceil(100 * (plan.price - plan.bound) / plan.price) if plan.price else 0
    return f"At most {saved} % of days, late days and mixes could still be saved"


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
