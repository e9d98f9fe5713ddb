"""The instruments of the shop by keypad: calibrated, checked, added, no longer used."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from bench.process.stock.instruments import (
    INSTRUMENT_KINDS,
    Instrument,
    due_words,
    instrument_words,
)
from bench.screens.core.menu_action import Action, doing, menu
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.days import ask_day, ask_known_day
from bench.screens.dialogs.questions import ask_numbers, ask_text, choose_text
from bench.shop.stock import instruments as shop_instruments

if TYPE_CHECKING:
    from bench.app import Paintbench

NEXT_CHECK = "its next check is due on"

CALIBRATED, CHECK, GONE = 1, 2, 3
"""Each action's number with an instrument."""


async def instruments(bench: Paintbench) -> None:
    """List the instruments in use, and one to add."""
    today = bench.now().date()
    here = [each for each in shop_instruments.instruments(bench.shop) if not each.gone]
    actions = []
    for each in here:
        check = f"check due {each.check_by}" if each.check_by else "no day for its next check"
        check = "CHECK IT NOW" if due_words(each, today) else check
        words = f"{each.name}, {each.kind}: {check}"
        actions.append(Action(words, partial(_of_one, item=each)))
    actions.append(Action("add an instrument", _add))
    notes = [words for each in here if (words := due_words(each, today))]
    await menu(bench, "Instruments: calibration and checks", actions, notes)


async def _of_one(bench: Paintbench, item: Instrument) -> None:
    gone = doing(shop_instruments.retire, bench.painter, item.name)
    actions = (
        Action("it was calibrated", partial(_calibrated, item=item), number=CALIBRATED),
        Action("its next check is due", partial(_check, item=item), number=CHECK),
        Action("it is no longer used", gone, number=GONE),
    )
    await menu(bench, item.name, actions, [instrument_words(item)])


async def _calibrated(bench: Paintbench, item: Instrument) -> None:
    """The day, and when the next check is due."""
    day = await ask_day(bench, f"{item.name}: calibrated on")
    check = await ask_known_day(bench, f"{item.name}: {NEXT_CHECK}") if day else None
    if day is not None and check is not None:
        calibrate = partial(shop_instruments.calibrate, calibrated=day, check_by=check[0])
        bench.do(calibrate, bench.painter, item.name)


async def _check(bench: Paintbench, item: Instrument) -> None:
    day = await ask_day(bench, f"{item.name}: {NEXT_CHECK}", item.check_by)
    if day is not None:
        bench.do(shop_instruments.set_check, bench.painter, item.name, check_by=day)


async def _add(bench: Paintbench) -> None:
    """Its kind, what it is called, its maker's number, its error and its days."""
    kind = await choose_text(bench, "An instrument: of what kind?", INSTRUMENT_KINDS)
    if kind is None:
        return
    name = await ask_text(bench, f"The {kind}: what it is called", "", ["Short, such as G1."])
    if not name:
        return
    number = await ask_text(bench, f"{name}: its maker's number", "", ["Empty: none."])
    if number is None:
        return
    unit = INSTRUMENT_KINDS[kind]
    questions = [NumberQuestion("error of one reading", unit, must=False)] if unit else []
    errors = await ask_numbers(bench, f"{name}, {kind}", questions) if unit else (None,)
    calibrated = errors and await ask_known_day(bench, f"{name}: calibrated on")
    check = calibrated and await ask_known_day(bench, f"{name}: {NEXT_CHECK}")
    if errors and calibrated and check:
        bench.do(
            shop_instruments.add_instrument,
            bench.painter,
            name,
            kind=kind,
            number=number,
            error=errors[0],
            calibrated=calibrated[0],
            check_by=check[0],
        )
