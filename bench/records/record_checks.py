"""What an inspector looks for on a job record: the items, instruments, deviations, hold points.

The items are those of ISO 12944-7 (execution and supervision: climate, application, checking the
film, reference areas) and of the report form of ISO 12944-8. Of both only the headings were seen;
what each asks for is from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bench.process.parts.job import category_words, coats_words
from bench.process.parts.measurements import figures_words
from bench.process.sheets.measurement_kinds import KINDS, MeasurementKind
from bench.process.stock.instruments import instrument_words
from bench.records.blocks import Block, Facts, Heading, Say, Table
from bench.records.record_text import UNFILLED, hour, judgement_words
from bench.shop.records.deviations import deviations
from bench.shop.records.hold_points import hold_points
from bench.shop.records.job_record import Sheet, SheetReading

MEASURED_ITEMS = (
    ("Rust grade", "rust"),
    ("Preparation", "preparation"),
    ("Zinc", "zinc"),
    ("Profile", "profile"),
    ("Dust", "dust"),
    ("Salts", "salts"),
    ("WFT", "wft"),
    ("DFT", "dft"),
    ("Cross-cut", "crosscut"),
    ("Pull-off", "pull-off"),
    ("Nozzle", "nozzle"),
    ("Air at gun", "gun-pressure"),
)
"""Items that are measured: how each is called here, and its kind."""


def checks(sheet: Sheet) -> Iterator[Block]:
    """Write the items, each with what is recorded of it, then lists of what else is asked for."""
    yield Heading("Inspection, by the items of ISO 12944-7 and -8")
    yield Facts(tuple(items(sheet)))
    if used := sheet.instruments_used():
        yield Heading("Instruments")
        yield from (Say(instrument_words(instrument)) for instrument in used)
    yield Heading("Hold points")
    points = tuple(
        (
            point.step or "the part",
            point.held_for,
            _outcome(point.outcome, point.by),
            hour(point.at),
        )
        for point in hold_points(sheet)
    )
    if points:
        yield Table(("Step", "Held for", "Outcome", "When"), (20, 26, 15, 15), points)
    else:
        yield Say("None so far.")
    yield Heading("Deviations")
    found = tuple((each.step or "the part", each.words) for each in deviations(sheet))
    if found:
        yield Table(("Step", "What"), (24, 54), found)
    else:
        yield Say("None recorded.")


def _outcome(outcome: str, by: str) -> str:
    return f"{outcome}, {by}" if by else outcome


def items(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Give each item with what is recorded of it; what is missing is said to be missing."""
    yield from _order(sheet)
    for label, key in MEASURED_ITEMS:
        yield label, _measured(sheet, KINDS[key])
    preparing = [step for step in sheet.steps if step.plan.kind in ("work", "dwell")]
    yield "Air, prep.", _air([read for step in preparing for read in step.readings])
    during = [read for s in sheet.steps for read in s.readings if read.when == "spraying"]
    yield "Air, coats", _air(during, "while it was sprayed: ")
    yield "Reference", f"reference areas: {UNFILLED}"


def _order(sheet: Sheet) -> Iterator[tuple[str, str]]:
    order = sheet.order
    if order is None:
        yield "System", UNFILLED
        return
    if order.order_number:
        yield "Order", order.order_number
    received = order.received
    came = [str(received.on or ""), received.condition]
    if received.galvanised_on:
        came.append(f"galvanised {received.galvanised_on}")
    yield "Received", ", ".join(filter(None, came)) or UNFILLED
    yield "System", coats_words(order.system) or UNFILLED
    yield "Category", category_words(order.system) or UNFILLED


def _measured(sheet: Sheet, kind: MeasurementKind) -> str:
    """Say what all readings of a kind come to at each step, with the standard it is read by."""
    words = []
    for step in (None, *sheet.part.steps):
        where = "before any step" if step is None else step.step.name
        number = step.number if step is not None else None
        there = [m for m in sheet.measured_at(number) if m.kind == kind.key and not m.struck]
        if kind.words and there:
            words.append(f"{there[-1].grade} ({where})")
        elif kind.key in (found := sheet.judgements(step)):
            judgement, values = found[kind.key]
            words.append(f"{figures_words(kind, values)} ({where}): {judgement_words(judgement)}")
    by = f"{kind.method}: " if kind.method else ""
    return f"{by}{'; '.join(words)}" if words else UNFILLED


def _air(readings: Sequence[SheetReading], when: str = "") -> str:
    margins = [read.margin_c for read in readings if read.margin_c is not None]
    if not readings:
        return UNFILLED
    smallest = f", smallest margin {min(margins):g} C" if margins else ", humidity not read"
    count = len({read.reading.number for read in readings})
    return f"{when}{count} {'readings' if count > 1 else 'reading'}{smallest}"
