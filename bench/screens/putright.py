"""Putting an older fact right by keypad: what, the right value, why."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from datetime import datetime
from functools import partial
from itertools import combinations
from typing import TYPE_CHECKING, Any

from bench.process.clockfault import EARLIEST
from bench.process.correcting import CORRECT_REASONS, Edge
from bench.process.partsheet import Sheet, StepTold, TestTold
from bench.process.refusal import Refusal
from bench.process.spoken import day_words
from bench.records.words import hour, listed
from bench.screens import flows
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.line import TypedLine
from bench.shop import correcting, correcting_figures, correcting_hours
from bench.shop.acting import Done, Shop
from bench.shop.clockset import local_instant
from bench.shop.correcting import Naming
from bench.shop.correcting_figures import PotTold
from bench.shop.journal import Line as JournalLine
from bench.shop.partsheet import sheet_of

if TYPE_CHECKING:
    from bench.app import Paintbench

Deed = Callable[[Shop, str, str], Done | Refusal]
Roads = list[tuple[str, Callable[[], Coroutine[Any, Any, str]]]]
"""Facts with their present value, each with the road that puts it right; a road answers the tag."""

STAYS = "The old value stays in the journal and on the sheet, with who changed it and why."


async def put_right(bench: Paintbench, sheet: Sheet) -> str:
    """Choose a fact of a part and put it right. Answers its tag, which may be another by then."""
    roads: Roads = [
        ("the part: tag, name, job, owner, count", lambda: _the_part(bench, sheet)),
        *(
            (_step_words(step), partial(_step, bench, sheet, step))
            for step in sheet.steps
            if step.first_at is not None and step.kind != "cure"
        ),
    ]
    return await _one_of(bench, f"Tag {sheet.tag} {sheet.name}: what is wrong?", roads, sheet.tag)


def _step_words(step: StepTold) -> str:
    when = f"{hour(step.first_at)} to {hour(step.last_at)[-5:]}" if step.last_at else "in hand"
    return f"{step.number} {step.name}: {when}, {listed(step.painters)}"


async def _one_of(bench: Paintbench, title: str, roads: Roads, tag: str) -> str:
    which = await bench.push_screen_wait(Choose(title, [text for text, _ in roads]))
    return tag if which is None else await roads[which][1]()


async def _why(bench: Paintbench, title: str, told: Sequence[str], deed: Deed) -> bool:
    """Ask for the reason, signed where the painter has a PIN, and do it."""
    answer = await flows.against_rule(
        bench, f"{title}: why was it wrong?", CORRECT_REASONS, [*told, STAYS], deed
    )
    return isinstance(answer, Done)


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
    ]
    return await _one_of(bench, f"Tag {sheet.tag}: what is wrong?", roads, sheet.tag)


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


async def _naming(bench: Paintbench, sheet: Sheet, right: Naming, told: str) -> bool:
    return await _why(
        bench,
        f"Tag {sheet.tag}",
        [f"was {told}"],
        lambda shop, by, why: correcting.correct_part(shop, sheet.tag, by, why, right),
    )


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
    if step.mix is not None:
        number = step.mix.number
        roads.append((f"pot {step.mix.letter}", lambda: _pot(bench, number, sheet.tag)))
    roads += [
        (
            f"reading {hour(read.at)}: air {read.air_c:g} C",
            partial(_reading, bench, read.number, sheet.tag),
        )
        for read in step.readings
    ]
    return await _one_of(bench, f"{step.number} {step.name}: what is wrong?", roads, sheet.tag)


async def _marks(bench: Paintbench, sheet: Sheet, step: StepTold) -> str:
    edges: tuple[Edge, ...] = ("first", "last") if step.kind == "dwell" else ("last",)
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
    return await _one_of(bench, f"{step.number} {step.name}: which is wrong?", roads, sheet.tag)


def _mark_word(step: StepTold, edge: Edge) -> str:
    if step.kind != "dwell":
        return "ticked"
    return "wet" if edge == "first" else "rinsed"


def _test_words(test: TestTold) -> str:
    return f"{test.by}'s {'passed' if test.passed else 'not yet'}"


async def _hour(bench: Paintbench, sheet: Sheet, step: StepTold, edge: Edge) -> str:
    old = step.first_at if edge == "first" else step.last_at
    assert old is not None
    return await _when(
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
    bench: Paintbench, sheet: Sheet, step: StepTold, name: str, edge: Edge, old: datetime
) -> str:
    return await _when(
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
    return await _when(
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


async def _when(
    bench: Paintbench, what: str, old: datetime, tag: str, deed_at: Callable[[datetime], Deed]
) -> str:
    """Ask for the hour it really was, then why; answers the tag."""
    asked = [
        Asked("hour", start=float(old.hour), whole=True),
        Asked("minute", start=float(old.minute), whole=True),
        Asked("day", start=float(old.day), whole=True),
        Asked("month", start=float(old.month), whole=True),
        Asked("year", start=float(old.year), whole=True),
    ]
    title = f"{what}: when was it really?"
    numbers = await bench.push_screen_wait(Numbers(title, asked, [f"written down: {hour(old)}"]))
    if numbers is None:
        return tag
    h, minute, day, month, year = (int(number or 0) for number in numbers)
    at = local_instant(day, month, year, h, minute, bench.view.house.hours.zone, EARLIEST)
    if isinstance(at, Refusal):
        bench.tell(at)
        return tag
    told = [f"was {day_words(old)}, now {day_words(bench.view.local(at))}"]
    await _why(bench, what, told, deed_at(at))
    return tag


async def _who(bench: Paintbench, sheet: Sheet, step: StepTold) -> str:
    names = bench.view.painters
    teams = [team for size in (1, 2) for team in combinations(names, size)]
    title = f"{step.name}: who was it really?"
    which = await bench.push_screen_wait(Choose(title, [listed(team) for team in teams]))
    if which is not None:
        team = teams[which]
        await _why(
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
        await _reading(bench, reading, told.tag)
        return
    pot = correcting_figures.pot_of_line(bench.shop, told.number)
    if isinstance(pot, int) and not told.tag:
        await _pot(bench, pot, told.tag)
        return
    sheet = sheet_of(bench.shop, told.tag) if told.tag else None
    if isinstance(sheet, Sheet):
        await put_right(bench, sheet)
    else:
        bench.tell(Refusal("nothing of that line can be put right", told.text, "undo it"))


async def _reading(bench: Paintbench, number: int, tag: str) -> str:
    found = correcting_figures.figures_of(bench.shop, number)
    if isinstance(found, Refusal):
        bench.tell(found)
        return tag
    at, old = found
    when = hour(bench.view.local(at))
    asked = [
        Asked("air", "C", start=old["air"]),
        Asked("humidity", "%", start=old["humidity"], must=False, empty="not read"),
        Asked("metal", "C", start=old["metal"], must=False, empty="not read"),
    ]
    numbers = await bench.push_screen_wait(Numbers(f"Reading of {when}: what was it?", asked))
    if numbers is not None:
        figures = dict(zip(old, numbers, strict=True))
        await _why(
            bench,
            f"Reading of {when}",
            [],
            lambda shop, by, why: correcting_figures.correct_reading(
                shop, number, by, why, figures
            ),
        )
    return tag


async def _pot(bench: Paintbench, number: int, tag: str) -> str:
    found = correcting_figures.pot_of(bench.shop, number)
    if isinstance(found, Refusal):
        bench.tell(found)
        return tag
    mixed_at = bench.view.local(found.mixed_at)
    roads: Roads = [(f"mixed: {hour(mixed_at)}", lambda: _mixed(bench, number, found, tag))]
    if found.pours:
        roads.append(("what was poured", lambda: _pours(bench, number, found, tag)))
    return await _one_of(bench, f"Pot {found.letter}: what is wrong?", roads, tag)


async def _mixed(bench: Paintbench, number: int, pot: PotTold, tag: str) -> str:
    return await _when(
        bench,
        f"Pot {pot.letter} mixed",
        bench.view.local(pot.mixed_at),
        tag,
        lambda at: lambda shop, by, why: correcting_hours.correct_mixed(shop, number, by, why, at),
    )


async def _pours(bench: Paintbench, number: int, pot: PotTold, tag: str) -> str:
    asked = [Asked(role, "ml", start=ml) for role, ml in pot.pours]
    title = f"Pot {pot.letter}: what was really poured?"
    numbers = await bench.push_screen_wait(Numbers(title, asked))
    if numbers is not None:
        right = {place: ml or 0.0 for place, ml in enumerate(numbers, start=1)}
        await _why(
            bench,
            f"Pot {pot.letter}",
            [],
            lambda shop, by, why: correcting_figures.correct_pours(shop, number, by, why, right),
        )
    return tag
