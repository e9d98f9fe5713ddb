"""Putting an older fact right by keypad: what, the right value, why."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from itertools import combinations
from typing import TYPE_CHECKING

from bench.process.correcting import StepEdge
from bench.process.partsheet import Sheet, StepTold, TestTold
from bench.process.refusal import Refusal
from bench.process.reminders import DEFECTS
from bench.records.words import hour, listed
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.line import TypedLine
from bench.screens.putright_figures import (
    Roads,
    ask_when,
    ask_why,
    one_of,
    right_pot,
    right_reading,
)
from bench.shop import correcting, correcting_figures, correcting_hours, correcting_words
from bench.shop.correcting import Naming
from bench.shop.journal import Line as JournalLine
from bench.shop.partsheet import sheet_of
from bench.shop.steps import SKIP_REASONS

if TYPE_CHECKING:
    from bench.app import Paintbench


async def put_right(bench: Paintbench, sheet: Sheet) -> str:
    """Choose a fact of a part and put it right. Answers its tag, which may be another by then."""
    roads: Roads = [
        ("the part: tag, name, job, owner, count", lambda: _the_part(bench, sheet)),
        *(
            (_step_words(step), partial(_step, bench, sheet, step))
            for step in sheet.steps
            if step.first_at is not None and step.kind != "cure"
        ),
        *(
            (
                f"{step.number} {step.name}, left out: {step.reason}",
                partial(_skip, bench, sheet, step),
            )
            for step in sheet.steps
            if step.status == "skipped"
        ),
        *(
            (f"what was wrong, {told.step}: {told.defect}", partial(_defect, bench, sheet, n))
            for n, told in enumerate(sheet.defects, start=1)
        ),
    ]
    return await one_of(bench, f"Tag {sheet.tag} {sheet.name}: what is wrong?", roads, sheet.tag)


def _step_words(step: StepTold) -> str:
    when = f"{hour(step.first_at)} to {hour(step.last_at)[-5:]}" if step.last_at else "in hand"
    return f"{step.number} {step.name}: {when}, {listed(step.painters)}"


# --- the part ------------------------------------------------------------------------------------


async def _the_part(bench: Paintbench, sheet: Sheet) -> str:
    roads: Roads = [
        (f"tag: {sheet.tag}", lambda: _tag(bench, sheet)),
        *(
            (f"{what}: {old or 'none'}", partial(_called, bench, sheet, what, old, right))
            for what, old, right in (
                ("name", sheet.name, lambda typed: Naming(name=typed)),
                ("job", sheet.job, lambda typed: Naming(job=typed)),
                ("owner", sheet.owner, lambda typed: Naming(owner=typed)),
            )
        ),
        (f"count: {sheet.count}", lambda: _count(bench, sheet)),
        (f"made of: {sheet.substrate}", lambda: _substrate(bench, sheet)),
    ]
    return await one_of(bench, f"Tag {sheet.tag}: what is wrong?", roads, sheet.tag)


async def _tag(bench: Paintbench, sheet: Sheet) -> str:
    told = ["What the steel disc really says. Its story goes with it."]
    typed = await bench.push_screen_wait(TypedLine("The right tag", sheet.tag, told))
    if typed is None:
        return sheet.tag
    done = await _naming(bench, sheet, Naming(tag=typed), f"tag {sheet.tag}, now {typed}")
    return typed.strip() if done else sheet.tag


async def _called(
    bench: Paintbench, sheet: Sheet, what: str, old: str, right: Callable[[str], Naming]
) -> str:
    typed = await bench.push_screen_wait(TypedLine(f"The right {what}", old))
    if typed is not None:
        told = f"{what} {old or 'none'}, now {typed or 'none'}"
        await _naming(bench, sheet, right(typed), told)
    return sheet.tag


async def _count(bench: Paintbench, sheet: Sheet) -> str:
    asked = [Asked("how many pieces", start=float(sheet.count), whole=True)]
    numbers = await bench.push_screen_wait(Numbers("The right count", asked))
    if numbers is not None:
        count = int(numbers[0] or 0)
        await _naming(bench, sheet, Naming(count=count), f"count {sheet.count}, now {count}")
    return sheet.tag


async def _substrate(bench: Paintbench, sheet: Sheet) -> str:
    known = sorted({route.substrate for route in bench.view.routes.values()} - {sheet.substrate})
    which = await bench.push_screen_wait(Choose("What is it really made of?", known))
    if which is not None:
        right = Naming(substrate=known[which])
        await _naming(bench, sheet, right, f"{sheet.substrate}, now {known[which]}")
    return sheet.tag


async def _naming(bench: Paintbench, sheet: Sheet, right: Naming, told: str) -> bool:
    return await ask_why(
        bench,
        f"Tag {sheet.tag}",
        [f"was {told}"],
        lambda shop, by, why: correcting.correct_part(shop, sheet.tag, by, why, right),
    )


async def _defect(bench: Paintbench, sheet: Sheet, number: int) -> str:
    old = sheet.defects[number - 1].defect
    known = [defect for defect in DEFECTS if defect != old]
    which = await bench.push_screen_wait(Choose("What was really wrong?", known))
    if which is not None:
        await ask_why(
            bench,
            f"Tag {sheet.tag}",
            [f"was {old}, now {known[which]}"],
            lambda shop, by, why: correcting_words.correct_defect(
                shop, sheet.tag, by, why, text=known[which], defect=number
            ),
        )
    return sheet.tag


# --- a step --------------------------------------------------------------------------------------


async def _step(bench: Paintbench, sheet: Sheet, step: StepTold) -> str:
    first, last = ("first face", "last face") if step.kind == "coat" else ("begun", "ended")
    roads: Roads = [
        (f"{first}: {hour(step.first_at)}", lambda: _hour(bench, sheet, step, "first")),
        (f"done by: {listed(step.painters)}", lambda: _who(bench, sheet, step)),
    ]
    if step.last_at is not None:
        ended = (f"{last}: {hour(step.last_at)}", lambda: _hour(bench, sheet, step, "last"))
        roads.insert(1, ended)
    if any(face.done_at or face.begun_at for face in step.faces):
        one = "one zone" if step.kind == "dwell" else "one face"
        roads.append((f"{one}, when", lambda: _marks(bench, sheet, step)))
    roads += [
        (f"{_test_words(test)}: {hour(test.at)}", partial(_test, bench, sheet, step, number, test))
        for number, test in enumerate(step.tests, start=1)
    ]
    if step.kind == "coat":
        letter = f"pot {step.mix.letter}" if step.mix is not None else "no pot"
        roads.append((f"sprayed from {letter}", lambda: _from(bench, sheet, step)))
    if step.mix is not None:
        number = step.mix.number
        roads.append(
            (f"pot {step.mix.letter}: mixed, poured", lambda: right_pot(bench, number, sheet.tag))
        )
    roads += [
        (
            f"reading {hour(read.at)}: air {read.air_c:g} C",
            partial(right_reading, bench, read.number, sheet.tag),
        )
        for read in step.readings
    ]
    return await one_of(bench, f"{step.number} {step.name}: what is wrong?", roads, sheet.tag)


async def _skip(bench: Paintbench, sheet: Sheet, step: StepTold) -> str:
    known = [reason for reason in SKIP_REASONS if reason != step.reason]
    title = f"{step.name}: why was it really left out?"
    which = await bench.push_screen_wait(Choose(title, known))
    if which is not None:
        await ask_why(
            bench,
            step.name,
            [f"was {step.reason}, now {known[which]}"],
            lambda shop, by, why: correcting_words.correct_skip(
                shop, sheet.tag, by, why, step=step.number, text=known[which]
            ),
        )
    return sheet.tag


async def _from(bench: Paintbench, sheet: Sheet, step: StepTold) -> str:
    began, own = step.first_at, step.mix.number if step.mix else None
    assert began is not None
    found = correcting_words.pots_it_may_be(bench.shop, step.product, began)
    pots = [(number, pot) for number, pot in found if number != own]
    told = [f"pot {pot.letter} mixed {hour(bench.view.local(pot.mixed_at))}" for _, pot in pots]
    title = f"{step.name}: which pot was it really?"
    none = [] if pots else ["No other pot of this product was mixed before it."]
    which = await bench.push_screen_wait(Choose(title, told, none))
    if which is not None:
        number = pots[which][0]
        await ask_why(
            bench,
            step.name,
            [f"now {told[which]}"],
            lambda shop, by, why: correcting_words.correct_pot(
                shop, sheet.tag, by, why, step=step.number, pot=number
            ),
        )
    return sheet.tag


async def _marks(bench: Paintbench, sheet: Sheet, step: StepTold) -> str:
    edges: tuple[StepEdge, ...] = ("first", "last") if step.kind == "dwell" else ("last",)
    times = [
        (face.name, edge, face.begun_at if edge == "first" else face.done_at)
        for face in step.faces
        for edge in edges
    ]
    roads: Roads = [
        (
            f"{name} {_mark_word(step, edge)}: {hour(at)}",
            partial(_mark, bench, sheet, step, name, edge, at),
        )
        for name, edge, at in times
        if at is not None
    ]
    return await one_of(bench, f"{step.number} {step.name}: which is wrong?", roads, sheet.tag)


def _mark_word(step: StepTold, edge: StepEdge) -> str:
    if step.kind != "dwell":
        return "ticked"
    return "wet" if edge == "first" else "rinsed"


def _test_words(test: TestTold) -> str:
    return f"{test.by}'s {'passed' if test.passed else 'not yet'}"


async def _hour(bench: Paintbench, sheet: Sheet, step: StepTold, edge: StepEdge) -> str:
    old = step.first_at if edge == "first" else step.last_at
    assert old is not None
    return await ask_when(
        bench,
        step.name,
        old,
        sheet.tag,
        lambda at: (
            lambda shop, by, why: correcting_hours.correct_hour(
                shop, sheet.tag, by, why, step=step.number, edge=edge, at=at
            )
        ),
    )


async def _mark(
    bench: Paintbench, sheet: Sheet, step: StepTold, name: str, edge: StepEdge, old: datetime
) -> str:
    return await ask_when(
        bench,
        f"{step.name}, {name} {_mark_word(step, edge)}",
        old,
        sheet.tag,
        lambda at: (
            lambda shop, by, why: correcting_hours.correct_mark(
                shop, sheet.tag, by, why, step=step.number, mark=name, edge=edge, at=at
            )
        ),
    )


async def _test(
    bench: Paintbench, sheet: Sheet, step: StepTold, number: int, test: TestTold
) -> str:
    return await ask_when(
        bench,
        f"{step.name}, {_test_words(test)}",
        test.at,
        sheet.tag,
        lambda at: (
            lambda shop, by, why: correcting_hours.correct_test(
                shop, sheet.tag, by, why, step=step.number, at=at, test=number
            )
        ),
    )


async def _who(bench: Paintbench, sheet: Sheet, step: StepTold) -> str:
    names = bench.view.painters
    teams = [team for size in (1, 2) for team in combinations(names, size)]
    title = f"{step.name}: who was it really?"
    which = await bench.push_screen_wait(Choose(title, [listed(team) for team in teams]))
    if which is not None:
        team = teams[which]
        await ask_why(
            bench,
            step.name,
            [f"was {listed(step.painters)}, now {listed(team)}"],
            lambda shop, by, why: correcting.correct_who(
                shop, sheet.tag, by, why, step=step.number, painters=team
            ),
        )
    return sheet.tag


# --- a line of the journal, a reading, a pot -----------------------------------------------------


async def put_right_line(bench: Paintbench, told: JournalLine) -> None:
    """What a line of the journal wrote down: a reading, a pot, or something of its part."""
    reading = correcting_figures.reading_of_line(bench.shop, told.number)
    if isinstance(reading, int):
        await right_reading(bench, reading, told.tag)
        return
    pot = correcting_figures.pot_of_line(bench.shop, told.number)
    if isinstance(pot, int) and not told.tag:
        await right_pot(bench, pot, told.tag)
        return
    sheet = sheet_of(bench.shop, told.tag) if told.tag else None
    if isinstance(sheet, Sheet):
        await put_right(bench, sheet)
    else:
        bench.tell(Refusal("nothing of that line can be put right", told.text, "undo it"))
