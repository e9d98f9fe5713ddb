"""Equipment and notes by keypad: take, give back, ask for; write a note, strike one."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING, Any

from bench.process.equipment import COMPRESSOR, Equipment, air_caution, air_sum, now_words
from bench.process.notes import BENCH_PHRASES, MOST_ON_BENCH, PART_PHRASES, Note, note_words
from bench.process.part import Part
from bench.process.refusal import Refusal
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.line import TypedLine
from bench.screens.overriding import over_rules
from bench.shop import equipment as things
from bench.shop import notes, seeds
from bench.shop.acting import Done, Shop
from bench.shop.ahead import held_until

if TYPE_CHECKING:
    from bench.app import Paintbench

Road = Callable[[], Coroutine[Any, Any, None]]
Roads = list[tuple[str, Road]]

Deed = Callable[[Shop, str, str], Done | Refusal]

FIGURES = "type the air it needs or gives"


async def equipment_and_notes(bench: Paintbench) -> None:
    """The notes of the bench, then every thing with who has it."""
    view, now = bench.view, bench.now()
    air = view.air()
    told = [air_caution(air) or f"air: {air_sum(air)}"] if air.drawn else []
    there = f"{len(view.notes)} of {MOST_ON_BENCH}" if view.notes else "none"
    roads: Roads = [(f"notes on the bench: {there}", lambda: bench_notes(bench))]
    until = held_until(bench.shop, view)
    for thing in view.equipment:
        words = now_words(thing, now, until.get(thing.key))
        roads.append((f"{thing.name}: {words}", partial(_one, bench, thing)))
    if not view.equipment:
        roads.append(("write down what a shop usually has", lambda: _usual(bench)))
    roads.append(("write another thing down", lambda: _another(bench)))
    await _one_of(bench, "Equipment and notes", roads, told)


async def _one_of(bench: Paintbench, title: str, roads: Roads, told: list[str]) -> None:
    which = await bench.push_screen_wait(Choose(title, [text for text, _ in roads], told))
    if which is not None:
        await roads[which][1]()


# --- one thing -----------------------------------------------------------------------------------


async def _one(bench: Paintbench, thing: Equipment) -> None:
    """What may be done with it, the obvious first."""
    me, key = bench.at_the_keys, thing.key
    roads: Roads = []
    if not thing.holder:
        roads.append((f"{me} takes it", lambda: _take(bench, thing)))
    else:
        mine = thing.holder == me
        back = "give it back" if mine else f"{thing.holder} forgot: give it back"
        if not mine and me not in thing.queue:
            roads.append((f"{me} waits for it", lambda: _do(bench, things.ask_for, key)))
        roads.append((f"{back} now", lambda: _do(bench, things.give_back, key)))
        roads.append((f"{back}, it was earlier", lambda: _back_earlier(bench, thing)))
    if me in thing.queue:
        roads.append((f"{me} waits no more", lambda: _do(bench, things.ask_no_more, key)))
    elif not thing.holder and thing.queue:
        roads.append((f"{me} waits for it", lambda: _do(bench, things.ask_for, key)))
    roads.append((FIGURES, lambda: _figures(bench, thing)))
    told = [now_words(thing, bench.now())]
    await _one_of(bench, thing.name, roads, told)


async def _do(bench: Paintbench, deed: Deed, key: str) -> None:
    bench.do(lambda shop, by: deed(shop, key, by))


async def _take(bench: Paintbench, thing: Equipment) -> None:
    """Where a mask would be short of air it is taken only with another air supply."""
    answer = bench.do(lambda shop, by: things.take(shop, thing.key, by))
    await over_rules(
        bench,
        f"Take the {thing.called}",
        answer,
        lambda shop, by, override: things.take(shop, thing.key, by, override=override),
    )


async def _back_earlier(bench: Paintbench, thing: Equipment) -> None:
    asked = [Asked("how many minutes ago", "min", whole=True)]
    numbers = await bench.push_screen_wait(Numbers(f"{thing.name}: given back when?", asked))
    if numbers is not None:
        ago = timedelta(minutes=numbers[0] or 0)
        bench.do(lambda shop, by: things.give_back(shop, thing.key, by, at=shop.clock.now() - ago))


async def _figures(bench: Paintbench, thing: Equipment) -> None:
    gives = thing.kind == COMPRESSOR
    figure = thing.gives_l_min if gives else thing.needs_l_min
    told = ["The plate, or the tool's card, says it. What is shown with ? nobody typed yet."]
    asked = [Asked("it gives" if gives else "it needs", "l/min", such_as=figure or 300.0)]
    numbers = await bench.push_screen_wait(Numbers(f"{thing.name}: air", asked, told))
    if numbers is not None:
        needs, given = (None, numbers[0]) if gives else (numbers[0], None)
        bench.do(
            lambda shop, by: things.set_air(
                shop, thing.key, by, needs_l_min=needs, gives_l_min=given
            )
        )


async def _usual(bench: Paintbench) -> None:
    try:
        usual = seeds.load(seeds.folder()).equipment
    except seeds.BadSeed as fault:
        bench.tell(Refusal("the starting data is broken", "", str(fault)))
        return
    bench.do(lambda shop, by: things.write_down_usual(shop, by, usual.values()))


async def _another(bench: Paintbench) -> None:
    told = ["A thing of which there is one, and which one painter has at a time: hoist, heater."]
    name = await bench.push_screen_wait(TypedLine("Its name", "", told))
    if name is not None:
        bench.do(lambda shop, by: things.write_down(shop, by, name=name))


# --- notes ---------------------------------------------------------------------------------------


async def bench_notes(bench: Paintbench) -> None:
    """Write one, or strike one."""
    await _one_of(bench, "Notes on the bench", note_roads(bench, bench.view.notes, None), [])


def note_roads(bench: Paintbench, there: tuple[Note, ...], part: Part | None) -> Roads:
    """One more, and each that may be struck."""
    roads: Roads = [("write a note", lambda: _write(bench, part))]
    for note in there:
        words = note_words(note, bench.now())
        roads.append((f"strike: {words}", partial(_strike, bench, note.number)))
    return roads


async def _write(bench: Paintbench, part: Part | None) -> None:
    phrases = PART_PHRASES if part is not None else BENCH_PHRASES
    title = f"Tag {part.tag} {part.name}: note" if part is not None else "A note on the bench"
    which = await bench.push_screen_wait(Choose(title, [*phrases, "type it on a keyboard"]))
    if which is None:
        return
    text: str | None
    if which < len(phrases):
        text = phrases[which]
    else:
        text = await bench.push_screen_wait(TypedLine(title, "", ["Up to 60 letters."]))
    if text is not None:
        target = part.tag if part is not None else None
        bench.do(lambda shop, by: notes.write_note(shop, by, text, target=target))


async def _strike(bench: Paintbench, number: int) -> None:
    bench.do(lambda shop, by: notes.strike_note(shop, by, number))
