"""The table of facts that can be corrected, and the menus in which a screen offers them."""

from __future__ import annotations

from collections.abc import Iterator

from bench.process.parts.log_entry import LogEntry
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import date_words, join_names
from bench.shop.core.bench_view import BenchView
from bench.shop.core.transaction import Shop
from bench.shop.corrections.correction import Correction
from bench.shop.corrections.part_facts import DefectOfPart, Naming, ZincOfPart
from bench.shop.corrections.pot_facts import (
    FiguresOfReading,
    HourOfMix,
    PoursOfPot,
    pot_menu,
    pot_of_line,
    reading_fact,
    reading_of_line,
)
from bench.shop.corrections.questions import CorrectableFact, Menu
from bench.shop.corrections.step_facts import (
    HourOfMark,
    HourOfStep,
    HourOfTest,
    PaintersOfStep,
    PotOfCoat,
    ReasonOfSkip,
)
from bench.shop.corrections.thickness_facts import FilmOfCoat, WeightOfCoat
from bench.shop.records.gathering import sheet_of
from bench.shop.records.job_record import Sheet, SheetStep

FACTS: dict[str, type[Correction]] = {
    fact.word: fact
    for fact in (
        *(HourOfStep, HourOfMark, HourOfTest, PaintersOfStep, Naming, FiguresOfReading),
        *(PoursOfPot, HourOfMix, ReasonOfSkip, DefectOfPart, PotOfCoat, ZincOfPart),
        *(WeightOfCoat, FilmOfCoat),
    )
}
"""Every fact that can be corrected, by its word on the command line."""


def part_menu(shop: Shop, view: BenchView, sheet: Sheet) -> Menu:
    """Return every fact of a part: its own, its steps', its defects', its readings' and pots'."""
    name = f"Tag {sheet.part.tag}"
    naming = tuple(Naming.offered(view, sheet))
    zinc = Menu(
        "its zinc: the day, quenched, passivated, white rust",
        f"{name}: what is wrong?",
        tuple(ZincOfPart.offered(sheet.part)),
    )
    facts: tuple[CorrectableFact | Menu, ...] = (
        Menu("the part: tag, name, job, owner, count", f"{name}: what is wrong?", naming),
        *((zinc,) if zinc.facts else ()),
        *(_step_menu(shop, view, step) for step in sheet.steps if _has_hours(step)),
        *(fact for record in sheet.part.steps for fact in ReasonOfSkip.offered(record)),
        *DefectOfPart.offered(sheet),
    )
    return Menu("", f"{name} {sheet.part.name}: what is wrong?", facts)


def _has_hours(step: SheetStep) -> bool:
    return step.record.first_at is not None and step.plan.kind != "cure"


def _step_menu(shop: Shop, view: BenchView, step: SheetStep) -> Menu:
    record = step.record
    assert record.first_at is not None
    since = date_words(record.first_at)
    until = f"{since} to {record.last_at:%H:%M}" if record.last_at else "in hand"
    name = f"{record.number} {step.plan.name}"
    label, title = f"{name}: {until}, {join_names(record.painters)}", f"{name}: what is wrong?"
    return Menu(label, title, tuple(_step_facts(shop, view, step)))


def _step_facts(shop: Shop, view: BenchView, step: SheetStep) -> Iterator[CorrectableFact | Menu]:
    record = step.record
    yield from HourOfStep.offered(record)
    yield from PaintersOfStep.offered(view, record)
    yield from HourOfMark.offered_marks(record)
    yield from HourOfTest.offered(record, step.tests)
    yield from PotOfCoat.offered(shop, step)
    yield from PotOfCoat.offered_faces(shop, step)
    for used in step.pots:
        pot = pot_menu(shop, used.number)
        if isinstance(pot, Menu):
            yield pot
    for reading in step.readings:
        yield FiguresOfReading.offered(reading.reading)
    if thickness := (*WeightOfCoat.offered(record), *FilmOfCoat.offered(record)):
        title = f"{record.number} {step.plan.name}: what is wrong?"
        yield Menu("how thick it came out", title, thickness)


def line_menu(shop: Shop, view: BenchView, line: LogEntry) -> Menu | CorrectableFact | Refusal:
    """Return what a line of the journal wrote down: a reading, a pot, or the facts of its part."""
    number = reading_of_line(shop, line.number)
    if isinstance(number, int):
        return reading_fact(shop, number)
    number = pot_of_line(shop, line.number)
    if isinstance(number, int) and not line.tag:
        return pot_menu(shop, number)
    sheet = sheet_of(shop, line.tag) if line.tag else None
    if isinstance(sheet, Sheet):
        return part_menu(shop, view, sheet)
    return Refusal("nothing of that line can be corrected", line.text, "undo it")
