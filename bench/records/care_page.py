"""The owner's page, with when it is cured and how to live with it until then and after."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from bench.process.clocks.cure import Cure
from bench.records.blocks import Block, Facts, Heading, Page, Say, SignatureLine, Title
from bench.records.job_record import product_name, to_go
from bench.records.record_text import edge_hour, hour, pieces
from bench.shop.records.job_record import Sheet

WASH_AFTER = timedelta(weeks=4)
"""No pressure washer, harsh cleaner or wax before (common practice, no source: 2 to 4 weeks, the
longer taken)."""


def care_page(sheet: Sheet) -> Page:
    """Write what the owner should know. Without a cure to report it says why."""
    return tuple(_blocks(sheet))


def _blocks(sheet: Sheet) -> Iterator[Block]:
    part = sheet.part
    yield Title("CARE OF YOUR PAINT", f"written {hour(sheet.written_at)}")
    yield Facts(
        (
            ("Part", f"{part.name}, {pieces(part.count)}, tag {part.tag}"),
            ("Job", part.job or "-"),
            ("Owner", part.owner or "-"),
            ("Coats", coats_words(sheet)),
        )
    )
    cure = sheet.cure
    if cure is None:
        yield Say(_not_yet(sheet), True)
        return
    if sheet.doubtful:
        yield Say("The shop's clock was wrong when this was written: dates are the earliest.", True)
    yield Heading("Full cure")
    yield Say(f"{_headline(cure)}.", weighty=cure.passed_at is None)
    if cure.passed_at is None:
        yield Say(
            "Earliest, estimated: nobody has tested it yet. It "
            f"rests on {cure.rests_on}. Colder than that, it takes longer."
        )
    yield Heading("Until then, and after")
    yield Facts(tuple(_when(cure)))
    yield Heading("Later")
    yield Facts(tuple(_later(cure)))
    yield Say(
        "These are the shop's usual care notes, not the paint maker's promise: the product's "
        "data sheet overrides them."
    )
    yield SignatureLine(("Handed over by", "Date"))
    yield SignatureLine(("Received by", "Date"))


def _not_yet(sheet: Sheet) -> str:
    if sheet.left_to_do:
        return f"It is not finished: {to_go(sheet.left_to_do)}. There is no date yet."
    return "No coat was put on here. There is no date to give."


def coats_words(sheet: Sheet) -> str:
    """Name every finished coat in order."""
    plans = [step.plan for step in sheet.done_coats()]
    return ", ".join(f"{p.name} ({product_name(sheet, p.product)})" for p in plans) or "-"


def _headline(cure: Cure) -> str:
    if cure.passed_at is not None:
        return f"Tested by {cure.passed_by} and passed, {hour(cure.passed_at)}"
    if cure.full_cure is None:
        return f"The date is not known: {cure.rests_on}. Ask the shop before you use it"
    return f"About {day(cure.full_cure.shown)}{cure.full_cure.doubt}"


def day(at: datetime) -> str:
    """Return the first whole day after an instant: what is about that time is sure by then.

    >>> from datetime import UTC
    >>> day(datetime(2025, 6, 18, 10, 45, tzinfo=UTC))
    '2025-06-19'
    """
    whole = at.hour == at.minute == at.second == 0
    return (at if whole else at + timedelta(days=1)).strftime("%Y-%m-%d")


def cured_at(cure: Cure) -> datetime | None:
    """Return when it was tested and passed, else the time that is shown for its full cure."""
    return cure.passed_at or (cure.full_cure.shown if cure.full_cure else None)


def _when(cure: Cure) -> Iterator[tuple[str, str]]:
    if cure.passed_at is not None:
        yield "Touch", f"as usual from {hour(cure.passed_at)}, when its cure was tested"
    elif cure.contact is not None:
        yield "Touch", f"with care from {edge_hour(cure.contact)}: still soft underneath"
    else:
        yield "Touch", "as little as can be before full cure"
    full = cured_at(cure)
    on = day(full) if full is not None else "full cure"
    yield "Load", f"not before {on}: bolts, straps and clamps bite into paint that is not cured"
    yield "Contact", f"until {on} rest nothing against it: no tape, no cover that keeps the air off"
    yield "Wash", f"by hand only from {on}, with water and mild soap, no harsh cleaner"
    wash = "full cure, and four weeks after the last coat"
    if full is not None:
        wash = day(max(full, cure.last_face_at + WASH_AFTER))
    yield "Pressure", f"no pressure washer and no wax before {wash}"


def _later(cure: Cure) -> Iterator[tuple[str, str]]:
    """List what to look after later (common practice, no source)."""
    yield "Bolts", "check that they are still tight after the first use"
    for months in (6, 12):
        yield f"{months} months", "look for stone chips and touch them up while they are small"
    yield "Wax", "cavity wax again after 12 to 24 months"
