"""What is said of a part's step besides what could hurt: the gun, the finish, the reminders."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bench.process.actions.test_opinions import tested_step
from bench.process.ahead.cold_nights import next_cold
from bench.process.clocks.estimate_basis import basis_words
from bench.process.clocks.stand_state import StandState
from bench.process.parts.film_thickness import film_ahead, too_much_ahead
from bench.process.parts.part import Part, StepRecord, points_left
from bench.process.parts.spray_guidance import fix_after, set_up_line, spray_line
from bench.process.parts.zinc_age import zinc_misfits
from bench.process.safety.hazards import finish_words
from bench.process.sheets.product import Product
from bench.process.sheets.route import SprayTool, tool_key
from bench.process.sheets.washes import wash_words
from bench.process.wording.display_units import convert_units
from bench.screens.bench.cautions import own_cautions, step_rows
from bench.screens.core.pages import PageRow, Pages
from bench.screens.dialogs.questions import show
from bench.shop.core.bench_view import PlacedPart
from bench.widgets.stand import part_words

if TYPE_CHECKING:
    from bench.app import Paintbench

WHOLE = 10_000
"""A width at which nothing is broken: the pages break it themselves."""

StepNote = tuple[str, str]
"""What kind of thing it is, and the thing: a bullet and its text."""


def step_notes(bench: Paintbench, placed: PlacedPart, record: StepRecord) -> list[StepNote]:
    """What is good to know besides what could hurt; while it flashes or cures its hours first."""
    part, state = placed.part, placed.state(bench.now())
    cold = (("! ", stretch.words(bench.now())) for stretch in next_cold(placed.cold, bench.now()))
    rests_on = [*cold, *_rests_on(bench, state)]
    minded = [*_failed_test(part, state), *_minded(bench, part, record)]
    first = [*rests_on, *minded] if state.word in ("FLASH", "CURE") else [*minded, *rests_on]
    return [*first, *_done(bench, record)]


def _failed_test(part: Part, state: StandState) -> Iterator[StepNote]:
    """What to do where a test is not passed; a coat's remedy is for a window that was missed."""
    tested = tested_step(part)
    if state.word != "TEST" or tested is None or tested.step.kind not in ("dwell", "work"):
        return
    if tested.step.remedy:
        yield "not passed: ", tested.step.remedy


def _gun(bench: Paintbench, record: StepRecord) -> tuple[Product, SprayTool] | None:
    """What a coat is sprayed, or brushed, with."""
    product = bench.view.products.get(record.step.product)
    tool = bench.view.tools.get(tool_key(record.step, product))
    if record.step.kind != "coat" or product is None or tool is None:
        return None
    return product, tool


def _minded(bench: Paintbench, part: Part, record: StepRecord) -> Iterator[StepNote]:
    product = bench.view.products.get(record.step.product)
    flags = [flag for step in part.steps for flag in step.flags]
    yield from (("* ", flag) for flag in flags[-2:])
    misfits = zinc_misfits(part, bench.view.products, bench.now().date())
    yield from (("zinc: ", misfit) for misfit in misfits)
    if left := points_left(part):
        yield "* ", left
    if fix := fix_after(part, record):
        yield f"after the {part.rework}: ", fix
    units = bench.view.house.units
    if gun := _gun(bench, record):
        film = film_ahead(part, record, gun[0], units)
        yield "spray: ", spray_line(*gun, units, film.words)
    if too_much := too_much_ahead(part, record, product, units):
        yield "! ", too_much
    own = finish_words(own_cautions(record.step, product))
    yield from (("! ", convert_units(caution, units)) for caution in own)


def _rests_on(bench: Paintbench, state: StandState) -> Iterator[StepNote]:
    """What the hours it shows were worked out from."""
    view = bench.view
    if text := basis_words(state, view.reading(), view.house.hours, bench.now()):
        yield "~ ", text


def _done(bench: Paintbench, record: StepRecord) -> Iterator[StepNote]:
    """How it is done; the set-up last, for it is in the spray helper too."""
    units = bench.view.house.units
    used = bench.view.products.get(record.step.product)
    if used is not None and (words := wash_words(used, units)):
        yield "wash: ", words
    yield from (("- ", convert_units(reminder, units)) for reminder in record.step.reminders)
    gun = _gun(bench, record)
    if gun and record.status == "todo" and (set_up := set_up_line(gun[1], units)):
        yield "set-up: ", set_up
    product = bench.view.products.get(record.step.product)
    if product is not None and product.doubt:
        yield "? ", "figures with ? are placeholders: type your tin's sheet"


async def all_of_it(bench: Paintbench, part: Part) -> None:
    """The same on as many pages as it takes."""

    def found() -> tuple[str, list[PageRow]]:
        placed = bench.view.find(part.tag)
        record = placed.part.current() if placed else None
        if placed is None or record is None:
            return f"Tag {part.tag}", [("Nothing is left to do on it.", "")]
        hurts = step_rows(bench, placed.part, record, WHOLE)
        notes = step_notes(bench, placed, record)
        rows = [*hurts, *((f"{bullet}{text}", "") for bullet, text in notes)]
        title = f"Tag {part.tag} {part_words(part)}: {record.step.name}"
        return title, rows or [("Nothing more is said of it now.", "")]

    await show(bench, Pages(found))
