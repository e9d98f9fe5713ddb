"""Putting right what was written down wrong: who it was, what the part is called.

The old value stays in the journal, with who changed it and why; the sheet shows both. Clocks that
hang on it move, and the answer says which.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from bench.process.part import StepRecord
from bench.process.refusal import Refusal
from bench.process.typed import clean_name
from bench.shop.acting import Act, Done, Shop, Target
from bench.shop.job import Job, on_part
from bench.shop.moving import Change, clocks_now, corrected
from bench.shop.parts import MOST_IN_A_LOT, fit_tag
from bench.shop.rows import marks_json, routes_of
from bench.store import past
from bench.store.journal import CORRECT
from bench.store.tables import PartRow


def correct_who(
    shop: Shop, target: Target, by: str, reason: str, *, step: int, painters: Sequence[str]
) -> Done | Refusal:
    """A step was done by somebody else, or by others as well."""

    def work(job: Job) -> Change | Refusal:
        record = step_numbered(job, step)
        if isinstance(record, Refusal):
            return record
        names: list[str] = []
        for name in painters:
            known = job.act.painter(name)
            if isinstance(known, Refusal):
                return known
            names.append(known)
        names = list(dict.fromkeys(names))
        if not names:
            return Refusal("nobody is named", "", "name who it was")
        if not record.painters:
            return Refusal(f"{record.step.name} is not begun", "", "it has no painter yet")
        if names == list(record.painters):
            return Refusal("that is what is written down", _names(names), "nothing to put right")
        row = job.step_row(record)
        row.painters = names
        row.marks = marks_json(
            tuple(
                replace(mark, by=names[0]) if mark.by and mark.by not in names else mark
                for mark in record.marks
            )
        )
        what = f"{record.step.name}, done by"
        return Change(what, _names(record.painters), _names(names))

    return put_right(shop, target, by, reason, work)


@dataclass(frozen=True)
class Naming:
    """What a part is called, and how many it is. None: as it is."""

    tag: str | None = None
    name: str | None = None
    job: str | None = None
    owner: str | None = None
    count: int | None = None
    substrate: str | None = None


def correct_part(shop: Shop, target: Target, by: str, reason: str, right: Naming) -> Done | Refusal:
    """A part's tag, name, job, owner, count or substrate was written down wrong.

    Its route stays: what of it does not fit another substrate is left out or done again.
    """

    def work(job: Job) -> Change | Refusal:
        row, was = job.row, job.called()
        olds: list[str] = []
        news: list[str] = []
        for what, new in _named(right).items():
            old = getattr(row, what)
            fit = _fit(job.act, row, what, new)
            if isinstance(fit, Refusal):
                return fit
            if fit != old:
                olds.append(f"{what} {old or 'none'}")
                news.append(f"{what} {fit or 'none'}")
                if what == "tag":
                    past.tag_lots_beside(job.act.session, str(old), str(fit))
                setattr(row, what, fit)
        if not news:
            return Refusal("that is what is written down", was, "nothing to put right")
        return Change("", ", ".join(olds), ", ".join(news))

    return put_right(shop, target, by, reason, work)


def _named(right: Naming) -> dict[str, str | int]:
    given = {
        "tag": right.tag,
        "name": right.name,
        "job": right.job,
        "owner": right.owner,
        "count": right.count,
        "substrate": right.substrate,
    }
    return {what: new for what, new in given.items() if new is not None}


def _fit(act: Act, row: PartRow, what: str, new: str | int) -> str | int | Refusal:
    """The new value fit to be kept. A tag is nobody else's; job and owner may be empty."""
    if isinstance(new, int):
        if row.merged_into:
            return Refusal(f"tag {row.tag} was put with tag {row.merged_into}", "", "count that")
        if not 1 <= new <= MOST_IN_A_LOT:
            return Refusal(f"a lot of {new}", "", f"from 1 to {MOST_IN_A_LOT}")
        return new
    if what in ("job", "owner") and not new.strip():
        return ""
    if what == "substrate":
        known = sorted({route.substrate for route in routes_of(act.session).values()})
        one_of = f"one of {', '.join(known)}"
        return new if new in known else Refusal(f"no substrate {new[:40]!r}", "", one_of)
    if what == "tag":
        return new if new == row.tag else fit_tag(act, new, of=row)
    return clean_name(new, f"the {what}")


def put_right(
    shop: Shop, target: Target, by: str, reason: str, work: Callable[[Job], Change | Refusal]
) -> Done | Refusal:
    """As ``job.on_part``, with the reason first, signed where the painter has a PIN."""

    def signed(job: Job, _: str) -> Done | Refusal:
        why = job.act.reason(reason)
        if isinstance(why, Refusal):
            return why
        was, before = job.called(), clocks_now(job.act)
        change = work(job)
        if isinstance(change, Refusal):
            return change
        return corrected(job.act, job.row.tag, was, change, why, before)

    return on_part(shop, CORRECT, target, by, signed)


def step_numbered(job: Job, number: int) -> StepRecord | Refusal:
    """The step with a number on the part's sheet."""
    found = next((r for r in job.part.steps if r.number == number), None)
    most = len(job.part.steps)
    return found or Refusal(f"no step {number}", "", f"steps run from 1 to {most}")


def _names(names: Sequence[str]) -> str:
    return " and ".join(names)
