"""Putting an hour right: of a step, of one face or zone, of a test, of a mix.

The old hour stays in the journal, with who changed it and why; the sheet shows both. Clocks that
hang on it move, and the answer says which.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from bench.process.calendar import readings_since
from bench.process.correcting import (
    Edge,
    between,
    edge_words,
    fitted_hour,
    mark_word,
    window_flags,
    with_hour,
    with_mark,
)
from bench.process.opinions import Opinion, holding
from bench.process.part import Mark, StepRecord, soak_flag
from bench.process.refusal import Refusal
from bench.process.spoken import day_words
from bench.shop.acting import Act, Done, Shop, Target
from bench.shop.correcting import put_right, step_numbered
from bench.shop.correcting_figures import pot_to_put_right
from bench.shop.job import Job
from bench.shop.moving import (
    Change,
    air_since,
    clocks_now,
    corrected,
    keep_clock,
    keep_topped_up,
    pot_now,
)
from bench.shop.rows import marks_json, opinion_of
from bench.store import finding, stock
from bench.store.journal import CORRECT
from bench.store.tables import MixRow, StepRow, TestRow


def correct_hour(
    shop: Shop, target: Target, by: str, reason: str, *, step: int, edge: Edge, at: datetime
) -> Done | Refusal:
    """A step's first or last face was at another hour.

    step: its number on the part's sheet. Refused ahead of now, before what came before it, and
    after what came after it.
    """

    def work(job: Job) -> Change | Refusal:
        record = step_numbered(job, step)
        if isinstance(record, Refusal):
            return record
        when = job.act.when(at)
        if isinstance(when, Refusal):
            return when
        tests = finding.tests_of(job.act.session, [job.step_row(record)])
        said = with_day(job.act)
        when = fitted_hour(job.part, record, edge, when, [test.at for test in tests], said)
        if isinstance(when, Refusal):
            return when
        old = record.first_at if edge == "first" else record.last_at
        assert old is not None
        row, right = job.step_row(record), with_hour(record, edge, when)
        row.first_at, row.last_at = right.first_at, right.last_at
        row.marks = marks_json(right.marks)
        _flag(job, record.number)
        what = f"{record.step.name}, {edge_words(record, edge)}"
        return Change(what, said(old), said(when))

    return put_right(shop, target, by, reason, work)


def correct_mark(
    shop: Shop,
    target: Target,
    by: str,
    reason: str,
    *,
    step: int,
    mark: str,
    edge: Edge,
    at: datetime,
) -> Done | Refusal:
    """One face was ticked, or one zone wetted (first) or rinsed (last), at another hour.

    What the sheet says of too short or too long a soak follows.
    """

    def work(job: Job) -> Change | Refusal:
        record = step_numbered(job, step)
        if isinstance(record, Refusal):
            return record
        when = job.act.when(at)
        if isinstance(when, Refusal):
            return when
        row, said = job.step_row(record), with_day(job.act)
        tests = [test.at for test in finding.tests_of(job.act.session, [row])]
        right = with_mark(job.part, record, mark, edge, when, tests, said)
        if isinstance(right, Refusal):
            return right
        (old, new) = next((a, b) for a, b in zip(record.marks, right.marks, strict=True) if a != b)
        row.marks = marks_json(right.marks)
        row.first_at, row.last_at = right.first_at, right.last_at
        _flag_soak(job, row, record, old, new)
        _flag(job, record.number)
        what = f"{record.step.name}, {new.name} {mark_word(record, edge)}"
        return Change(what, said(_edge(old, edge)), said(_edge(new, edge)))

    return put_right(shop, target, by, reason, work)


def _edge(mark: Mark, edge: Edge) -> datetime:
    at = mark.begun_at if edge == "first" else mark.done_at
    assert at is not None
    return at


def _flag_soak(job: Job, row: StepRow, record: StepRecord, old: Mark, new: Mark) -> None:
    was, now = soak_flag(record, old), soak_flag(record, new)
    if was != now:
        row.flags = [flag for flag in row.flags if flag != was] + ([now] if now else [])
        job.act.notes += [now] if now else []


def correct_test(
    shop: Shop,
    target: Target,
    by: str,
    reason: str,
    *,
    step: int,
    at: datetime,
    test: int | None = None,
) -> Done | Refusal:
    """A test was made at another hour, and a "not yet" asks again so much sooner or later.

    test: which of the step's tests, from 1 in the order they were written down; None: the last.
    """

    def work(job: Job) -> Change | Refusal:
        record = step_numbered(job, step)
        if isinstance(record, Refusal):
            return record
        row = job.step_row(record)
        tests = finding.tests_of(job.act.session, [row])
        place = len(tests) - 1 if test is None else test - 1
        if not 0 <= place < len(tests):
            told = f"there are {len(tests)}" if tests else "nobody tested it yet"
            return Refusal(f"{record.step.name} has no test {test or ''}".rstrip(), told)
        when = job.act.when(at)
        if isinstance(when, Refusal):
            return when
        tried, said = tests[place], with_day(job.act)
        later = [r.first_at for r in job.part.steps if r.number > step and not _is_cure(r)]
        before = [t.at for t in tests[:place]] + [at for at in (record.last_at,) if at]
        after = [t.at for t in tests[place + 1 :]] + [at for at in later if at]
        fit = between(when, tried.at, before, after, said)
        if isinstance(fit, Refusal):
            return fit
        old, tried.at = opinion_of(tried), fit
        _move_test(job, row, tests, old, fit)
        what = f"{record.step.name}, {'passed' if tried.passed else 'not yet'} by {tried.painter}"
        return Change(what, said(old.at), said(fit))

    return put_right(shop, target, by, reason, work)


def _move_test(job: Job, row: StepRow, tests: list[TestRow], old: Opinion, at: datetime) -> None:
    """What was written down of the test elsewhere: that it passed, what it holds back, the cure."""
    cure = next((r for r in job.steps if r.plan["kind"] == "cure" and r.last_at == old.at), None)
    for held in (row, cure):
        if held is not None and held.passed_at == old.at:
            held.passed_at = at
    if cure is not None:
        cure.last_at = at
        cure.first_at = min(cure.first_at or at, at)
    for waiting in job.steps:
        if not old.passed and waiting.not_before == old.until:
            still = holding((opinion_of(test) for test in tests), at)
            waiting.not_before = max((o.until for o in still), default=at + (old.until - old.at))


def _is_cure(record: StepRecord) -> bool:
    return record.step.kind == "cure"


def correct_mixed(shop: Shop, number: int, by: str, reason: str, at: datetime) -> Done | Refusal:
    """Hardener met base at another hour: the pot's rest and its end follow.

    Refused ahead of now, after its first coat was begun, and after it was binned.
    """
    with shop.act(CORRECT, by) as act:
        why = act.reason(reason)
        if isinstance(why, Refusal):
            return why
        row = pot_to_put_right(act, number)
        if isinstance(row, Refusal):
            return row
        when = act.when(at)
        if isinstance(when, Refusal):
            return when
        coats, said = stock.coats_from_pots(act.session, [row]), with_day(act)
        after = [coat.first_at for coat in coats if coat.first_at]
        after += [datetime.fromisoformat(pour["at"]) for pour in row.pours if "at" in pour]
        after += [row.binned_at] if row.binned_at else []
        fit = between(when, row.mixed_at, (), after, said)
        if isinstance(fit, Refusal):
            return fit
        before, old = clocks_now(act), row.mixed_at
        _mixed_at(act, row, fit)
        keep_topped_up(act, before)
        for coat in coats:
            past_its_life(act, row, coat)
        return corrected(
            act, "", f"pot {row.letter}", Change("mixed", said(old), said(fit)), why, before
        )


def past_its_life(act: Act, pot: MixRow, coat: StepRow) -> None:
    """Say on a coat, and to the painter, that its pot was over before its last face."""
    bin_by = pot_now(act, pot).bin_by
    if bin_by and (coat.last_at or act.now) > bin_by:
        ended = with_day(act)(bin_by)
        flag = f"as corrected its pot {pot.letter} was past its life, {ended}"
        coat.flags = [*coat.flags, flag]
        act.notes.append(flag)


def _mixed_at(act: Act, row: MixRow, at: datetime) -> None:
    """The pot and the lids that were lifted for it."""
    old, row.mixed_at = row.mixed_at, at
    for taken in row.tins:
        tin = stock.tin(act.session, int(taken["id"]))
        if tin is not None and tin.opened_at == old:
            tin.opened_at = at
    keep_clock(act, row)


def with_day(act: Act) -> Callable[[datetime], str]:
    """With the whole day: it is read in years to come."""
    return lambda at: day_words(at.astimezone(act.local_now.tzinfo))


def _flag(job: Job, number: int) -> None:
    """What the window of the coat below says of this coat by now, and this one's of the next."""
    job.act.session.flush()
    part = job.part
    firsts = [r.first_at for r in part.steps if r.first_at is not None]
    since = min(firsts, default=job.act.now)
    around = air_since(job.act, job.products, readings_since(since, ()))
    following = [r for r in part.steps if r.number > number and r.status in ("done", "in hand")]
    here = [r for r in part.steps if r.number == number]
    for record in (*here, *following[:1]):
        flags = window_flags(part, record, around, with_day(job.act))
        row: StepRow = job.step_row(record)
        fresh = [flag for flag in flags if flag not in row.flags]
        if fresh:
            row.flags = [*row.flags, *fresh]
            job.act.notes += fresh
