"""The page of a job: parts, promise, hours, paint, cost and deviations; and the same as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict
from datetime import timedelta

from pydantic_core import to_jsonable_python

from bench.process.parts.job import Photo, category_words, coats_words, promise_words
from bench.process.stock.costs import Expense, cost_words
from bench.records.blocks import (
    Block,
    Facts,
    Heading,
    Page,
    Say,
    SignatureLine,
    Table,
    Title,
)
from bench.records.record_text import CLOCK_WRONG, UNFILLED, hour
from bench.shop.records.job_page import JobPage

FORM, VERSION = "paintbench job", 1

HOURS_RULE = (
    "Summed from each step, first to last hour, by who ticked it; no hour of one person counts "
    "twice. Breaks are not taken off."
)


def job_blocks(page: JobPage) -> Page:
    """Write the whole page of a job."""
    return tuple(_blocks(page))


def _blocks(page: JobPage) -> Iterator[Block]:
    yield Title(f"JOB PAGE, job {page.job.name}", f"written {hour(page.written_at)}")
    if page.doubtful:
        yield Say(CLOCK_WRONG, True)
    if page.slack is not None and page.slack.is_late:
        yield Say(f"{page.slack.words}: promised {promise_words(page.job)}.", True)
    yield Facts(tuple(_facts(page)))
    yield from _parts(page)
    yield from _hours(page)
    yield from _paint(page)
    yield from _deviations(page)
    if page.job.photos:
        yield Heading("Photos, kept elsewhere")
        rows = tuple(map(_photo, page.job.photos))
        yield Table(("File", "Bytes", "SHA-256"), (24, 10, 43), rows)
    yield Heading("Signed")
    yield SignatureLine(("For the shop", "Date"))
    yield SignatureLine(("Received by", "Date"))


def _facts(page: JobPage) -> Iterator[tuple[str, str]]:
    job = page.job
    yield "Job", job.name
    yield "Owner", job.owner or UNFILLED
    yield "Order", job.order_number or UNFILLED
    received = job.received
    yield "Received", str(received.on or UNFILLED)
    if received.condition:
        yield "Condition", received.condition
    if received.galvanised_on:
        yield "Galvanised", str(received.galvanised_on)
    yield "Priority", str(job.priority)
    yield "Promised", promise_words(job) or "nothing"
    if page.slack is not None:
        yield "Slack", page.slack.words
    yield "System", coats_words(job.system) or UNFILLED
    if words := category_words(job.system):
        yield "Category", words
    yield "Progress", page.progress.words


def _parts(page: JobPage) -> Iterator[Block]:
    yield Heading("Parts")
    rows = tuple(
        (
            part.tag,
            part.name + (f" x{part.count}" if part.count > 1 else ""),
            part.place,
            part.state,
            f"{part.progress.steps} of {part.progress.of_steps}",
            part.ready.words if part.ready is not None else "not known yet",
        )
        for part in page.parts
    )
    heads = ("Tag", "Part", "Where", "State", "Steps", "Ready")
    yield Table(heads, (8, 20, 14, 9, 8, 13), rows)


def _hours(page: JobPage) -> Iterator[Block]:
    yield Heading("Hours")
    hours = page.hours
    rows = [(name, hours_words(time)) for name, time in hours.by_painter]
    if len(rows) > 1:
        rows.append(("all", hours_words(hours.total)))
    yield Table(("Who", "Hours"), (24, 12), tuple(rows))
    yield Say(HOURS_RULE)
    if hours.without:
        yield Say(f"Not counted, for want of a length: {_many(hours.without, 'step')}.")
    if hours.long:
        yield Say(f"Over 12 h from first to last hour, look at these: {', '.join(hours.long)}.")


def hours_words(time: timedelta) -> str:
    """Say a length in hours and minutes, however many days it is: "51 h 20 min"."""
    minutes = round(time.total_seconds() / 60)
    return f"{minutes // 60} h {minutes % 60:02d} min"


def _paint(page: JobPage) -> Iterator[Block]:
    yield Heading("Paint and its cost")
    lines = [line.spent for line in page.paint]
    lines += [page.in_all] if len(lines) > 1 else []
    rows = tuple(
        (each.name, _cost(each.used) or "not measured", _cost(each.binned)) for each in lines
    )
    yield Table(("Product", "Taken", "Of it binned"), (25, 28, 24), rows)
    yield Say("A pot that several parts share is split by their area.")
    if by_piece := [line.spent.name for line in page.paint if line.by_piece]:
        names = ", ".join(by_piece)
        yield Say(f"Split by piece where an area is not known: {names}.")
    if page.unrecorded:
        yield Say(f"Not counted: {_many(page.unrecorded, 'coat')} with no pot and no tin recorded.")
    if page.unmeasured:
        yield Say(f"Binned without measuring the leftover: {_many(page.unmeasured, 'pot')}.")


def _cost(amount: Expense) -> str:
    return " ".join(cost_words(amount).split()) if amount.ml else ""


def _deviations(page: JobPage) -> Iterator[Block]:
    yield Heading("Deviations")
    if not page.deviations:
        yield Say("None recorded.")
        return
    rows = tuple((each.tag, each.step, each.words) for each in page.deviations)
    yield Table(("Tag", "Step", "What"), (8, 20, 49), rows)


def _photo(photo: Photo) -> tuple[str, str, str]:
    return photo.name, str(photo.size_bytes), photo.sha256


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'s' * (count > 1)}"


def job_json(page: JobPage) -> str:
    """Write the page as JSON in ASCII; lengths in seconds, amounts in ml, films in um."""
    document = {"form": FORM, "version": VERSION, "job": to_jsonable_python(_data(page))}
    text = json.dumps(document, indent=2, ensure_ascii=True, allow_nan=False)
    return text.replace("\x7f", "\\u007f") + "\n"


def _data(page: JobPage) -> dict[str, object]:
    slack = page.slack
    return {
        "written_at": page.written_at,
        "doubtful": page.doubtful,
        **asdict(page.job),
        "days_left": slack.days if slack else None,
        "late": slack.is_late if slack else None,
        "progress": asdict(page.progress),
        "parts": [
            {
                "tag": part.tag,
                "name": part.name,
                "count": part.count,
                "place": part.place,
                "state": part.state,
                "steps_behind": part.progress.steps,
                "steps": part.progress.of_steps,
                "ready_at": part.ready.at if part.ready else None,
            }
            for part in page.parts
        ],
        "hours": {
            "by_painter_s": {name: t.total_seconds() for name, t in page.hours.by_painter},
            "steps_without_length": page.hours.without,
            "steps_over_12_h": page.hours.long,
        },
        "paint": [{**asdict(line.spent), "split_by_piece": line.by_piece} for line in page.paint],
        "coats_not_recorded": page.unrecorded,
        "pots_not_measured": page.unmeasured,
        "deviations": [asdict(each) for each in page.deviations],
    }
