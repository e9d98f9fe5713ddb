"""The record sheet of one part: what is on it, what was done, by whom, with what, in what air."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import groupby

from bench.process.parts.film_thickness import thickness_words
from bench.process.parts.log_entry import LogEntry
from bench.process.parts.measurements import figures_words
from bench.process.parts.part import StepRecord, soak_words
from bench.process.parts.zinc_answers import answers_words
from bench.process.sheets.measurement_kinds import KINDS
from bench.process.sheets.product import Product
from bench.process.sheets.sheet_facts import sheet_facts
from bench.process.sheets.system_film import MIST_WORDS
from bench.process.stock.mixing import ratio_doubt, ratio_words
from bench.process.wording.time_text import format_number, join_names
from bench.records.blocks import (
    Block,
    Entry,
    Facts,
    Heading,
    Page,
    Say,
    SignatureLine,
    Table,
    Title,
)
from bench.records.record_air import air_over_time, step_air
from bench.records.record_checks import checks
from bench.records.record_text import (
    CLOCK_WRONG,
    UNFILLED,
    correction_words,
    edge_hour,
    hour,
    judgement_words,
    measured_words,
    mix_words,
    offset,
    pieces,
    test_words,
    thinner_words,
    tins_words,
    version_words,
)
from bench.shop.records.job_record import Sheet, SheetStep

MARKS = {"done": "x", "todo": "", "in hand": ">", "skipped": "-", "struck": "/"}
MARKS_LEGEND = "x done, > in progress, - skipped, / struck out, nothing: still to do"

ON_IT_NOW = 3
"""So many of the last coats stand at the top: what is on it now."""

PLACEHOLDER = "placeholder: common practice, no sheet was typed"


def sheet_page(sheet: Sheet) -> Page:
    """Write the whole record: the newest coats first, then every step in order."""
    return tuple(_blocks(sheet))


def _blocks(sheet: Sheet) -> Iterator[Block]:
    yield Title(f"JOB RECORD, tag {sheet.part.tag}", f"written {hour(sheet.written_at)}")
    if sheet.doubtful:
        yield Say(CLOCK_WRONG, True)
    yield Facts(tuple(_header(sheet)))
    yield from _on_it_now(sheet)
    yield Heading("Steps")
    yield Table(
        ("No.", "", "Step", "First or begun", "Last or ended", "Who"),
        (3, 1, 24, 16, 16, 13),
        tuple(map(_row, sheet.part.steps)),
    )
    yield Say(MARKS_LEGEND)
    yield from air_over_time(sheet)
    yield from _details(sheet)
    yield from checks(sheet)
    yield from _troubles(sheet)
    yield from _products(sheet)
    yield from _touch_up(sheet)
    yield from _photos(sheet)
    yield from _journal(sheet)
    yield Heading("Signed")
    yield SignatureLine(("Painted and checked by", "Date"))
    yield SignatureLine(("Inspector", "Date"))
    yield SignatureLine(("Received by", "Date"))


def _header(sheet: Sheet) -> Iterator[tuple[str, str]]:
    part = sheet.part
    yield "Part", f"{part.name}, {pieces(part.count)}"
    yield "Job", part.job or UNFILLED
    yield "Owner", part.owner or UNFILLED
    yield "Substrate", part.substrate
    if part.zinc is not None:
        yield "Zinc", answers_words(part.zinc.answers)
    area = f", {format_number(part.area_m2)} m2 a piece" if part.area_m2 is not None else ""
    yield "Shape", f"{sheet.shape}{area}"
    yield "Route", sheet.route
    yield "Place", _place(sheet)
    yield "State", state_words(sheet)
    if sheet.cure is not None:
        yield "Full cure", cure_words(sheet)
    if sheet.split_from:
        yield "Split from", f"tag {sheet.split_from}"
    if sheet.merged_into:
        yield "Put with", f"tag {sheet.merged_into}"
    for lot in sheet.lots:
        yield lot.how.capitalize(), f"tag {lot.tag}, {pieces(lot.count)}"
    if part.hold:
        yield "On hold", part.hold
    if part.rework:
        yield "Rework", part.rework
    if part.bungs[0]:
        yield "Bungs", f"{part.bungs[0]} in, {part.bungs[1]} out"
    if part.contacts[0]:
        yield "Contacts", f"{part.contacts[0]} contact points, {part.contacts[1]} touched up"
    yield "Times", f"shop local time ({offset(sheet.written_at)})"
    for entry in sheet.corrections:
        yield "Corrected", correction_words(entry)


def _place(sheet: Sheet) -> str:
    part = sheet.part
    if part.stand is not None:
        return f"stand {part.stand}"
    last = f"last on stand {part.last_stand}" if part.last_stand else "never on a stand"
    if sheet.away:
        return f"left the bench {hour(sheet.left_at) or UNFILLED}, {last}"
    return f"on no stand, {last}"


def state_words(sheet: Sheet) -> str:
    """Say the word of its stand and its window."""
    state = sheet.state
    words = [state.word]
    if sheet.left_to_do:
        words.append(to_go(sheet.left_to_do))
    if state.opens is not None and sheet.cure is None:
        over = state.opens.is_over(sheet.written_at)
        words.append(f"{'opened' if over else 'opens'} {edge_hour(state.opens)}")
    if state.closes is not None:
        over = state.closes.is_over(sheet.written_at)
        words.append(f"{'closed' if over else 'closes'} {edge_hour(state.closes)}")
    return ", ".join(words)


def to_go(steps: int) -> str:
    """Say how much is left of the route."""
    return "one step to go" if steps == 1 else f"{steps} steps to go"


def cure_words(sheet: Sheet) -> str:
    """Say when it is cured: tested, or estimated, or not known."""
    cure = sheet.cure
    if cure is None:
        return "coats are still to come"
    if cure.passed_at is not None:
        return f"tested and passed by {cure.passed_by}, {hour(cure.passed_at)}"
    if cure.full_cure is None:
        return f"not known: {cure.rests_on}"
    return f"{edge_hour(cure.full_cure)}, not tested yet; rests on {cure.rests_on}"


def _on_it_now(sheet: Sheet) -> Iterator[Block]:
    yield Heading("On it now, newest first")
    coats = sheet.done_coats()
    if not coats:
        yield Say("No coat is finished.")
        return
    rows = (
        (
            s.plan.name,
            product_name(sheet, s.plan.product),
            hour(s.record.last_at),
            join_names(s.record.painters),
        )
        for s in reversed(coats[-ON_IT_NOW:])
    )
    yield Table(("Coat", "Product", "Last face", "Who"), (22, 24, 16, 14), tuple(rows))


def product_name(sheet: Sheet, key: str) -> str:
    """Return a product's name, or its key where the shop no longer has it."""
    return sheet.products[key].name if key in sheet.products else key


def _row(record: StepRecord) -> tuple[str, ...]:
    return (
        str(record.number),
        MARKS[record.status],
        record.step.name,
        hour(record.first_at),
        hour(record.last_at),
        join_names(record.painters),
    )


def _details(sheet: Sheet) -> Iterator[Block]:
    yield Heading("Each step")
    entries = [
        Entry(f"{step.record.number} {step.plan.name}", tuple(_detail(sheet, step)))
        for step in sheet.steps
    ]
    if before := tuple(_measured(sheet, None)):
        entries.insert(0, Entry("Before any step", before))
    with_rows = [entry for entry in entries if entry.rows]
    yield from _skipped_together(with_rows)
    if not with_rows:
        yield Say("Nothing was done to it yet.")


def _skipped_together(entries: list[Entry]) -> Iterator[Entry]:
    """Put steps in a row that were skipped with the same words under one head."""
    for rows, together in groupby(entries, key=lambda entry: entry.rows):
        same = list(together)
        if [label for label, _ in rows] == ["Skipped"]:
            yield Entry(", ".join(entry.head for entry in same), rows)
        else:
            yield from same


def _detail(sheet: Sheet, step: SheetStep) -> Iterator[tuple[str, str]]:
    if step.doubtful:
        yield "Clock", "was wrong when some of this was written down: at least that hour"
    if step.typed_at is not None:
        yield "Typed later", f"{hour(step.typed_at)}, more than an hour after it was done"
    if step.record.status not in ("todo", "skipped"):
        yield from _work(sheet, step)
    yield from _paint(step)
    if step.record.first_at is not None:
        yield from step_air(step)
    yield from _measured(sheet, step.record)
    yield from _outcome(step)
    for entry in step.corrections:
        yield "Corrected", correction_words(entry)


def _measured(sheet: Sheet, record: StepRecord | None) -> Iterator[tuple[str, str]]:
    """Write what was read at a step, what each kind comes to, and what is said of it."""
    for measurement in sheet.measured_at(record.number if record is not None else None):
        yield "Measured", measured_words(measurement, sheet.instruments)
    for key, (judgement, values) in sheet.judgements(record).items():
        kind = KINDS[key]
        method = f" ({kind.method})" if kind.method else ""
        figures = figures_words(kind, values)
        yield "Readings", f"{kind.name}{method}: {figures}; {judgement_words(judgement)}"


def _work(sheet: Sheet, step: SheetStep) -> Iterator[tuple[str, str]]:
    """Say with what a step was done, and where, once it was begun."""
    if step.plan.product:
        yield "Product", _product_words(sheet, step.plan.product)
    if step.version is not None:
        yield "Figures", version_words(step.version)
    if tool := sheet.tool_of(step):
        yield "Tool", tool
    mist = sheet.part.is_mist(step.record)
    thick = thickness_words(step.record, sheet.products.get(step.plan.product), mist=mist)
    if words := ". ".join(filter(None, (MIST_WORDS if mist else "", thick))):
        yield "Thickness", words
    if step.record.marks:
        yield ("Zones" if step.plan.kind == "dwell" else "Faces"), _faces(step.record)


def _paint(step: SheetStep) -> Iterator[tuple[str, str]]:
    """Name the pot it came from, or its tins."""
    for pot in step.pots:
        faces = f"faces {' '.join(pot.faces)}: " if pot.faces else ""
        yield "Pot", faces + mix_words(pot)
        if pot.version is not None and pot.version != step.version:
            yield "Pot figures", version_words(pot.version)
        if pot.tins:
            yield "Tins", tins_words(pot.tins)
        for entry in pot.corrections:
            yield "Corrected", correction_words(entry)
    if step.pots:
        return
    if step.tins:
        yield "Tins", tins_words(step.tins)
    elif step.plan.kind == "coat" and step.record.status not in ("todo", "skipped"):
        yield "Pot", UNFILLED


def _outcome(step: SheetStep) -> Iterator[tuple[str, str]]:
    """Say what painters said of it, why it was skipped, its flags."""
    record = step.record
    named = f'"{step.test}": ' if step.test else ""
    for test in step.tests:
        yield "Test", named + test_words(test)
    if record.passed_at is not None and not step.tests:
        yield "Test", f"{named}passed, says {record.passed_by}, {hour(record.passed_at)}"
    if record.status == "skipped":
        yield "Skipped", f"{record.reason}, says {join_names(record.painters)}"
    for flag in record.flags:
        yield "Flag", flag


def _product_words(sheet: Sheet, key: str) -> str:
    product = sheet.products.get(key)
    if product is None:
        return f"{key} (the shop no longer keeps its figures)"
    return f"{product.name} ({PLACEHOLDER})" if product.doubt else product.name


def _faces(record: StepRecord) -> str:
    words = []
    for face in record.marks:
        if face.done_at is None:
            words.append(f"{face.name} open" if face.begun_at is None else f"{face.name} begun")
        elif record.step.kind == "dwell" and face.begun_at is not None:
            soaked = soak_words(record.step, (face.done_at - face.begun_at).total_seconds())
            words.append(f"{face.name} {_on_the_day(face.begun_at, record)}, {soaked}")
        else:
            words.append(f"{face.name} {_on_the_day(face.done_at, record)} {face.by}".rstrip())
    return "; ".join(words)


def _on_the_day(at: datetime, record: StepRecord) -> str:
    """Write the time alone on the day of the step's last face, else with its date."""
    same = record.last_at is not None and record.last_at.date() == at.date()
    return hour(at)[-5:] if same else hour(at)


def _troubles(sheet: Sheet) -> Iterator[Block]:
    yield Heading("Defects and rework")
    if sheet.defects:
        rows = tuple((hour(d.at), d.by, d.step, d.defect) for d in sheet.defects)
        yield Table(("When", "Who", "Step", "What was wrong"), (16, 12, 24, 24), rows)
    else:
        yield Say("None recorded.")
    if sheet.notes:
        yield Heading("Notes")
        notes = tuple(
            (hour(n.at), n.painter, n.text + (" (struck out)" if n.struck else ""))
            for n in sheet.notes
        )
        yield Table(("When", "Who", "What"), (16, 12, 49), notes)


def _products(sheet: Sheet) -> Iterator[Block]:
    if sheet.products:
        when = "stood when it was done" if sheet.away else "stand now"
        yield Heading(f"Products, as their sheets {when}")
        rows = (
            (
                product.name,
                _mixed_words(sheet, product),
                _film_words(product),
                product.source_of(),
            )
            for product in sheet.products.values()
        )
        heads = ("Product", "Mixed", "Film min / target / max", "Figures from")
        yield Table(heads, (24, 20, 19, 13), tuple(rows))
        for product in sheet.products.values():
            if facts := sheet_facts(product):
                yield Say(f"{product.name}: {', '.join(facts)}.")


def _mixed_words(sheet: Sheet, product: Product) -> str:
    doubt = ratio_doubt(product, sheet.tin_ratios.get(product.key))
    ratio = f"{ratio_words(product.ratio)}{doubt}" if product.ratio else "not mixed"
    return f"{ratio}, thinner {thinner_words(product)}" if product.thinner else ratio


def _film_words(product: Product) -> str:
    film = product.film
    if film is None:
        return ""
    doubt = product.doubt_of("film")
    in_all = f", in all {film.in_all_um:g}{doubt}" if film.in_all_um else ""
    return f"{film.least_um:g} / {film.target_um:g} / {film.most_um:g}{doubt} um{in_all}"


def _touch_up(sheet: Sheet) -> Iterator[Block]:
    """Say what a repair is made with: the last coat's product."""
    coats = sheet.done_coats()
    yield Heading("Touch-up")
    if not coats:
        yield Say("No coat is finished.")
        return
    product = sheet.products.get(coats[-1].plan.product)
    if product is None:
        yield Say(f"With {coats[-1].plan.product}.")
        return
    sentence = f"With {product.name}, {_mixed_words(sheet, product)}."
    tins = coats[-1].pots[-1].tins if coats[-1].pots else coats[-1].tins
    sentence += f" From {tins_words(tins)}." if tins else ""
    sentence += f" Colour {product.colour}." if product.colour else ""
    sentence += " Isocyanate: air-fed mask." if product.isocyanate else ""
    yield Say(sentence)


def _photos(sheet: Sheet) -> Iterator[Block]:
    coats = [step.plan.name for step in sheet.steps if step.plan.kind == "coat"]
    yield Heading("Photos")
    name = coats[-1].lower().replace(" ", "-") if coats else "part"
    yield Say(
        f"None is kept here. Name them by tag, coat and side: {sheet.part.tag}-{name}-A-1.jpg"
    )


def _journal(sheet: Sheet) -> Iterator[Block]:
    yield Heading("Journal")
    rows = (
        (str(line.number), hour(line.at), line.painter, line.text + line_marks(line))
        for line in sheet.journal
    )
    yield Table(("Line", "When", "Who", "What"), (6, 16, 10, 44), tuple(rows))


def line_marks(line: LogEntry) -> str:
    """Return the marks of an entry: undone, or written with a wrong clock."""
    undone = " (undone)" if line.undone else ""
    return f"{undone} (clock wrong: at least that hour)" if line.doubtful else undone
