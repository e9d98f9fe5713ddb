"""Equipment and notes by keypad: take, give back, ask for; write a note, strike one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING

from bench.process.parts.notes import BENCH_PHRASES, MOST_ON_BENCH, PART_PHRASES, Note, note_words
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.stock.equipment import COMPRESSOR, Equipment, air_caution, air_sum, now_words
from bench.screens.core.menu_action import Action, doing, menu
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.overrides import over_rules
from bench.screens.dialogs.questions import (
    ask_numbers,
    ask_text,
    ask_whole,
    choose,
    choose_text,
)
from bench.shop.parts import equipment as things
from bench.shop.parts import notes
from bench.shop.queries.lookahead import held_until
from bench.shop.seeds import seed_files

if TYPE_CHECKING:
    from bench.app import Paintbench

FIGURES = "type the air it needs or gives"
TYPED = "type it on a keyboard"

TAKE, RETURN, EARLIER, WAIT, LEAVE_QUEUE, TYPE_AIR = 1, 2, 3, 4, 5, 6
"""Each action's number with a thing, whoever has it."""


async def equipment_and_notes(bench: Paintbench) -> None:
    """The notes of the bench, then every thing with who has it."""
    view, now = bench.view, bench.now()
    air = view.air()
    units = view.house.units
    text = [air_caution(air, units) or f"air: {air_sum(air, units)}"] if air.drawn else []
    there = f"{len(view.notes)} of {MOST_ON_BENCH}" if view.notes else "none"
    actions = [Action(f"notes on the bench: {there}", bench_notes)]
    until = held_until(bench.shop, view)
    for item in view.equipment:
        words = now_words(item, now, until.get(item.key), units)
        actions.append(Action(f"{item.name}: {words}", partial(_of_one, item=item)))
    if not view.equipment:
        actions.append(Action("write down what a shop usually has", _usual))
    actions.append(Action("write another thing down", _another))
    await menu(bench, "Equipment and notes", actions, text)


# --- one thing -----------------------------------------------------------------------------------


async def _of_one(bench: Paintbench, item: Equipment) -> None:
    """What may be done with it, each by its own number."""
    me, key = bench.painter, item.key
    mine = item.holder == me
    actions = []
    if not item.holder:
        actions.append(Action(f"{me} takes it", partial(_take, item=item), number=TAKE))
    else:
        back = "return it" if mine else f"{item.holder} forgot: return it"
        now, earlier = doing(things.give_back, key, me), partial(_back_earlier, item=item)
        actions.append(Action(f"{back} now", now, number=RETURN))
        actions.append(Action(f"{back}, it was earlier", earlier, number=EARLIER))
    if me in item.queue:
        leaves = doing(things.ask_no_more, key, me)
        actions.append(Action(f"{me} leaves the queue", leaves, number=LEAVE_QUEUE))
    elif not mine and (item.holder or item.queue):
        waits = doing(things.ask_for, key, me)
        actions.append(Action(f"{me} waits for it", waits, number=WAIT))
    actions.append(Action(FIGURES, partial(_figures, item=item), number=TYPE_AIR))
    words = now_words(item, bench.now(), units=bench.view.house.units)
    await menu(bench, item.name, actions, [words])


async def _take(bench: Paintbench, item: Equipment) -> None:
    """Where a mask would be short of air it is taken only with another air supply."""
    await over_rules(
        bench,
        f"Take the {item.called}",
        lambda shop, by, override: things.take(shop, item.key, by, override=override),
    )


async def _back_earlier(bench: Paintbench, item: Equipment) -> None:
    questions = [NumberQuestion("how many minutes ago", "min", whole=True)]
    numbers = await ask_whole(bench, f"{item.name}: returned when?", questions)
    if numbers is not None:
        at = bench.shop.clock.now() - timedelta(minutes=numbers[0])
        bench.do(things.give_back, item.key, bench.painter, at=at)


async def _figures(bench: Paintbench, item: Equipment) -> None:
    gives = item.kind == COMPRESSOR
    figure = item.gives_l_min if gives else item.needs_l_min
    rows = ["The plate, or the tool's card, says it. ? = not entered yet."]
    questions = [
        NumberQuestion("it gives" if gives else "it needs", "l/min", such_as=figure or 300.0)
    ]
    numbers = await ask_numbers(bench, f"{item.name}: air", questions, rows)
    if numbers is not None:
        needs, given = (None, numbers[0]) if gives else (numbers[0], None)
        bench.do(things.set_air, item.key, bench.painter, needs_l_min=needs, gives_l_min=given)


async def _usual(bench: Paintbench) -> None:
    try:
        usual = seed_files.load(seed_files.folder()).equipment
    except seed_files.BadSeed as fault:
        bench.tell(Refusal("the starting data is broken", "", str(fault)))
        return
    bench.do(things.write_down_usual, bench.painter, usual.values())


async def _another(bench: Paintbench) -> None:
    rows = ["A shared item of which there is one: hoist, heater."]
    name = await ask_text(bench, "Its name", "", rows)
    if name is not None:
        bench.do(things.write_down, bench.painter, name=name)


# --- notes ---------------------------------------------------------------------------------------


async def bench_notes(bench: Paintbench) -> None:
    """Write one, or strike one."""
    there = bench.view.notes
    rows = [note_words(note, bench.now()) for note in there]
    await menu(bench, "Notes on the bench", note_actions(there, None, 1), rows)


def note_actions(there: Sequence[Note], part: Part | None, first: int) -> list[Action]:
    """One more, and to strike one that is there. first: the number of the first in its menu."""
    write = Action("write a note", partial(_write, part=part), number=first)
    strike = Action("strike a note", partial(_strike, there=there), number=first + 1)
    return [write, strike] if there else [write]


async def _strike(bench: Paintbench, there: Sequence[Note]) -> None:
    """Ask which of them; with one there is no question."""
    now = bench.now()
    pairs = [(note_words(note, now), note.number) for note in there]
    number = pairs[0][1] if len(pairs) == 1 else await choose(bench, "Strike which?", pairs)
    if number is not None:
        bench.do(notes.strike_note, bench.painter, number)


async def _write(bench: Paintbench, part: Part | None) -> None:
    phrases = PART_PHRASES if part is not None else BENCH_PHRASES
    title = f"Tag {part.tag} {part.name}: note" if part is not None else "A note on the bench"
    text = await choose_text(bench, title, [*phrases, TYPED])
    if text == TYPED:
        text = await ask_text(bench, title, "", ["Up to 60 letters."])
    if text is not None:
        target = part.tag if part is not None else None
        bench.do(notes.write_note, bench.painter, text, target=target)
