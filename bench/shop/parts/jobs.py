"""Jobs: opened and changed, promised, and photos named with their hash."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bench.process.parts.job import (
    Job,
    JobChanges,
    Promise,
    changed,
    check_job,
    job_words,
    no_photo,
)
from bench.process.plan.promises import JobDays
from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import clean_name
from bench.shop.core.bench_view import read_bench
from bench.shop.core.json_form import as_json
from bench.shop.core.mappers import job_of
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.store.databases.database import Session
from bench.store.queries import job_rows
from bench.store.schema.tables import JobRow

MOST_PHOTO_NAME = 120


def record_job(shop: Shop, by: str, name: str, changes: JobChanges) -> Outcome | Refusal:
    """Open a job, or change what is known of it. Parts belong to it by naming it."""
    with shop.act("job", by) as act:
        return _record(act, name, changes)


def promise_job(
    shop: Shop,
    by: str,
    *,
    job: str,
    day: date,
    cured: bool = False,
    priority: int | None = None,
) -> Outcome | Refusal:
    """Promise a job for a day: to collect, or cured. It is opened if only parts name it so far.

    A note says how the agreed plan stands to it.
    """
    promise: Promise = "cured" if cured else "collect"
    view = read_bench(shop)
    by_plan = view.job_days(
        Job(job.strip(), promised=day, promise=promise), view.local(shop.clock.now())
    )
    with shop.act("promise", by) as act:
        name = clean_name(job, "the job")
        if isinstance(name, Refusal):
            return name
        known = job_rows.job_named(act.session, name) or job_rows.parts_of_job(act.session, name)
        if not known:
            return no_job(act.session, name)
        changes = JobChanges(promised=day, promise=promise, priority=priority)
        answer = _record(act, name, changes)
        if by_plan is None or isinstance(answer, Refusal):
            return answer
        return replace(answer, notes=(*answer.notes, _plan_note(by_plan)))


def _plan_note(by_plan: JobDays) -> str:
    if by_plan.days is None or by_plan.days >= 0:
        return by_plan.words
    return f"{by_plan.words}: plan again, or promise a later day"


def rename_job(shop: Shop, by: str, name: str, new_name: str) -> Outcome | Refusal:
    """Give a job another name, and all its parts with it, those that left too."""
    with shop.act("rename job", by) as act:
        new = clean_name(new_name, "the job's new name")
        if isinstance(new, Refusal):
            return new
        row, parts = job_rows.job_named(act.session, name), job_rows.all_of_job(act.session, name)
        if row is None and not parts:
            return no_job(act.session, name)
        old = row.name if row is not None else parts[0].job
        if new == old:
            return Refusal(f"job {old} is called that already", "", "type another name")
        same = new.lower() == old.lower()
        if not same and (
            job_rows.job_named(act.session, new) or job_rows.all_of_job(act.session, new)
        ):
            return Refusal(f"there is a job {new} already", "", "type a name that is free")
        if row is not None and (conflict := act.unseen(row)):
            return conflict
        for part in parts:
            part.job = new
        if row is not None:
            act.session.delete(row)
            act.session.flush()
            act.session.add(JobRow(**{**row.model_dump(), "name": new}))
        return act.done("", f"job {old} is called {new} from now on")


def no_job(session: Session, name: str) -> Refusal:
    """Refuse a job that nobody opened and no part names."""
    names = [row.name for row in job_rows.every_job(session)]
    names += job_rows.names_on_parts(session, here=True)
    there = ", ".join(list({name.lower(): name for name in reversed(names)}.values())[:8])
    remedy = f"one of {there}" if there else "paintbench job --help"
    return Refusal(f"no job '{name[:40]}'", "", remedy)


def _record(act: Transaction, typed_name: str, changes: JobChanges) -> Outcome | Refusal:
    """Write what was typed of a job, in a transaction that is under way."""
    name, clean = clean_name(typed_name, "the job"), _clean(changes)
    if isinstance(name, Refusal):
        return name
    if isinstance(clean, Refusal):
        return clean
    row = job_rows.job_named(act.session, name)
    if row is not None and (conflict := act.unseen(row)):
        return conflict
    before = job_of(row) if row is not None else _new(act, name)
    if refused := no_photo(before, clean.without_photos):
        return refused
    job = changed(before, clean)
    if refused := check_job(job, act.local_now.date()):
        return refused
    words = job_words(job, before if row is not None else None)
    if row is not None and not words:
        return Refusal(f"nothing of job {job.name} is changed", "", "paintbench job --help")
    columns = as_json(job) | {"promised": str(job.promised or "")}
    if row is None:
        act.session.add(JobRow(**columns))
    else:
        for column, value in columns.items():
            setattr(row, column, value)
    verb = "opened" if row is None else "changed"
    return act.done("", f"job {job.name} {verb}{': ' * bool(words)}{'; '.join(words)}")


def _new(act: Transaction, name: str) -> Job:
    """Give a job that was not opened before: with name and owner as its parts have them."""
    parts = job_rows.parts_of_job(act.session, name)
    if not parts:
        return Job(name)
    return Job(parts[0].job, next((part.owner for part in parts if part.owner), ""))


def _clean(changes: JobChanges) -> JobChanges | Refusal:
    """Give what was typed with texts fit to be kept; empty ones take a fact out."""
    texts: dict[str, str] = {}
    for name in ("owner", "order_number", "condition"):
        text = getattr(changes, name)
        clean = clean_name(text, f"the {name.replace('_', ' ')}") if text else text
        if isinstance(clean, Refusal):
            return clean
        if clean is not None:
            texts[name] = clean
    names = [clean_name(coat.name, "the coat") for coat in changes.coats or ()]
    names += [clean_name(each.name, "the photo's name", MOST_PHOTO_NAME) for each in changes.photos]
    clean_names: list[str] = []
    for each in names:
        if isinstance(each, Refusal):
            return each
        clean_names.append(each)
    rest = iter(clean_names)
    coats = changes.coats and tuple(replace(coat, name=next(rest)) for coat in changes.coats)
    photos = tuple(replace(photo, name=next(rest)) for photo in changes.photos)
    return replace(changes, **texts, coats=coats, photos=photos)  # type: ignore[arg-type]
