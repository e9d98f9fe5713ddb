"""Putting a reading or a pot right by keypad, and what every putting right asks: when, and why."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from bench.process.clockfault import EARLIEST
from bench.process.correcting import CORRECT_REASONS
from bench.process.refusal import Refusal
from bench.process.spoken import day_words
from bench.records.words import hour
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.pin import sign
from bench.shop import correcting_figures, correcting_hours
from bench.shop.acting import Done, Shop
from bench.shop.clockset import local_instant
from bench.shop.correcting_figures import PotTold

if TYPE_CHECKING:
    from bench.app import Paintbench

Deed = Callable[[Shop, str, str], Done | Refusal]
Roads = list[tuple[str, Callable[[], Coroutine[Any, Any, str]]]]
"""Facts with their present value, each with the road that puts it right; a road answers the tag."""

STAYS = "The old value stays in the journal and on the sheet, with who changed it and why."


async def ask_why(bench: Paintbench, title: str, told: Sequence[str], deed: Deed) -> bool:
    """Ask for the reason, signed where the painter has a PIN, and do it."""
    asked = Choose(f"{title}: why was it wrong?", CORRECT_REASONS, [*told, STAYS])
    which = await bench.push_screen_wait(asked)
    pin = await sign(bench) if which is not None else None
    if which is None or pin is None:
        return False
    reason = CORRECT_REASONS[which]
    return isinstance(bench.do(lambda shop, by: deed(shop.with_pin(pin), by, reason)), Done)


async def ask_when(
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
    await ask_why(bench, what, told, deed_at(at))
    return tag


async def right_reading(bench: Paintbench, number: int, tag: str) -> str:
    """A reading's figures; answers the tag."""
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
        await ask_why(
            bench,
            f"Reading of {when}",
            [],
            lambda shop, by, why: correcting_figures.correct_reading(
                shop, number, by, why, figures
            ),
        )
    return tag


async def right_pot(bench: Paintbench, number: int, tag: str) -> str:
    """When a pot was mixed, or what was poured into it; answers the tag."""
    found = correcting_figures.pot_of(bench.shop, number)
    if isinstance(found, Refusal):
        bench.tell(found)
        return tag
    mixed_at = bench.view.local(found.mixed_at)
    roads: Roads = [(f"mixed: {hour(mixed_at)}", lambda: _mixed(bench, number, found, tag))]
    if found.pours:
        roads.append(("what was poured", lambda: _pours(bench, number, found, tag)))
    return await one_of(bench, f"Pot {found.letter}: what is wrong?", roads, tag)


async def _mixed(bench: Paintbench, number: int, pot: PotTold, tag: str) -> str:
    return await ask_when(
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
        await ask_why(
            bench,
            f"Pot {pot.letter}",
            [],
            lambda shop, by, why: correcting_figures.correct_pours(shop, number, by, why, right),
        )
    return tag


async def one_of(bench: Paintbench, title: str, roads: Roads, tag: str) -> str:
    """Choose one of the facts and put it right; answers the tag."""
    which = await bench.push_screen_wait(Choose(title, [text for text, _ in roads]))
    return tag if which is None else await roads[which][1]()
