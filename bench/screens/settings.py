"""What is so in this shop, each with its present value; a digit changes it."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Coroutine
from typing import TYPE_CHECKING, Any

from bench.process.probe import MEASURED
from bench.process.refusal import Refusal
from bench.process.week import read_week, week_words
from bench.screens.ask import Asked, Choose, Numbers
from bench.screens.line import TypedLine
from bench.shop.allowed import Allowed, alarm_command
from bench.shop.house import set_house
from bench.shop.rows import House
from bench.shop.sounding import ON_A_KIOSK, set_alarm

if TYPE_CHECKING:
    from bench.app import Paintbench

Road = Callable[["Paintbench"], Coroutine[Any, Any, None]]


def _said(house: House, allowed: Allowed, terminal: str) -> list[tuple[str, Road]]:
    """Every setting in words, and the road that changes it."""
    hours, probes = house.hours, house.probes
    every = f", every {probes.every.total_seconds() / 60:g} min" if probes else ""
    measured = "" if house.clearance_measured else "? (not measured)"
    units = ", ".join(str(unit) for unit in vars(house.units).values())
    return [
        (f"hours: {week_words(hours.days)}", _hours),
        (f"usual day {hours.day_c:g} C, night {hours.night_c:g} C", _day_and_night),
        (f"always somebody in: {'yes' if hours.always_in else 'no'}", _always_in),
        (f"masks on {house.clearance.total_seconds() / 60:g} min{measured}", _clearance),
        (f"cup of {house.cup_ml:g} ml, marks every {house.cup_step_ml:g} ml", _cup),
        (f"screens: {units}; {house.theme_on(terminal)} on this terminal", _screens),
        (f"probes: {', '.join(probes.paths) if probes else 'none'}{every}", _probes),
        (f"at an alarm: {'; '.join(_alarm(house, allowed))}", _at_an_alarm),
    ]


def _alarm(house: House, allowed: Allowed) -> list[str]:
    bell = "the bell rings" if house.bell else "the bell is quiet"
    command = alarm_command(allowed, house.alarm_command)
    stored = shlex.join(house.alarm_command)
    not_run = f"; does not run {stored}" if command.not_run else ""
    return [bell, f"runs {shlex.join(command.words) or 'nothing'}{not_run}"]


async def settings(bench: Paintbench) -> None:
    """The list, again after every change, until it is left."""
    while True:
        found = _said(bench.view.house, bench.shop.allowed, bench.shop.terminal)
        which = await bench.push_screen_wait(Choose("Settings", [text for text, _ in found]))
        if which is None:
            return
        await found[which][1](bench)


async def _hours(bench: Paintbench) -> None:
    told = ['As "Mon-Fri 07:30-17:30, Sat 08:00-12:30"; days not named are without hours.']
    old = week_words(bench.view.house.hours.days)
    typed = await bench.push_screen_wait(TypedLine("Hours with somebody in", old, told))
    if typed is None:
        return
    try:
        week = read_week(typed)
    except ValueError as fault:
        bench.tell(Refusal(str(fault)))
        return
    bench.do(lambda shop, by: set_house(shop, by, week=week))


async def _day_and_night(bench: Paintbench) -> None:
    hours = bench.view.house.hours
    asked = [
        Asked("kept at by day", "C", start=hours.day_c),
        Asked("coldest by night", "C", start=hours.night_c),
    ]
    numbers = await bench.push_screen_wait(Numbers("Usual day and night", asked))
    if numbers is not None:
        day_c, night_c = numbers
        bench.do(lambda shop, by: set_house(shop, by, day_c=day_c, night_c=night_c))


async def _always_in(bench: Paintbench) -> None:
    told = ["With somebody in day and night no window is missed for want of hands."]
    which = await bench.push_screen_wait(Choose("Is always somebody in?", ["no", "yes"], told))
    if which is not None:
        bench.do(lambda shop, by: set_house(shop, by, always_in=which == 1))


async def _clearance(bench: Paintbench) -> None:
    told = [
        "How long the fan needs to clear the room, measured with smoke, not guessed.",
        "This clock is a reminder. It is never the only mask warning.",
    ]
    minutes = bench.view.house.clearance.total_seconds() / 60
    asked = [Asked("masks stay on after the trigger", "min", such_as=minutes)]
    numbers = await bench.push_screen_wait(Numbers("Clearance", asked, told))
    if numbers is not None:
        bench.do(lambda shop, by: set_house(shop, by, clearance_min=numbers[0]))


async def _cup(bench: Paintbench) -> None:
    house = bench.view.house
    asked = [
        Asked("the cup holds", "ml", start=house.cup_ml),
        Asked("from mark to mark", "ml", start=house.cup_step_ml),
    ]
    numbers = await bench.push_screen_wait(Numbers("The mixing cup", asked))
    if numbers is not None:
        cup_ml, step_ml = numbers
        bench.do(lambda shop, by: set_house(shop, by, cup_ml=cup_ml, cup_step_ml=step_ml))


async def _screens(bench: Paintbench) -> None:
    other = "dark" if bench.view.house.theme_on(bench.shop.terminal) == "light" else "light"
    choices = [
        "the units they are shown and typed in",
        f"{other} on this terminal",
        "the far view by itself, without a key for so long",
    ]
    which = await bench.push_screen_wait(Choose("The screens", choices))
    if which == 0:
        await _units(bench)
    elif which == 1:
        bench.do(lambda shop, by: set_house(shop, by, theme_here=other))
    elif which == 2:
        await _far_after(bench)


async def _far_after(bench: Paintbench) -> None:
    after = bench.view.house.far_after
    minutes = after.total_seconds() / 60 if after else 0.0
    asked = [Asked("minutes without a key", "min", start=minutes)]
    numbers = await bench.push_screen_wait(Numbers("The far view", asked, ["0: never by itself."]))
    if numbers is not None:
        bench.do(lambda shop, by: set_house(shop, by, far_after_min=numbers[0]))


async def _units(bench: Paintbench) -> None:
    told = ['As "F, mil, US fl oz, ft2, in", or metric. What is not named stays.']
    typed = await bench.push_screen_wait(TypedLine("Units of the screens", "", told))
    if typed:
        bench.do(lambda shop, by: set_house(shop, by, units=typed))


async def _probes(bench: Paintbench) -> None:
    probes = bench.view.house.probes
    paths = dict(probes.paths) if probes else {}
    names = [f"{what}: {paths.get(what, 'none')}" for what in MEASURED]
    which = await bench.push_screen_wait(Choose("Which probe?", names))
    if which is None:
        return
    what = MEASURED[which]
    told = ["A file that Linux writes a number into, such as /sys/class/hwmon/hwmon2/temp1_input."]
    told.append("Empty: no probe.")
    typed = await bench.push_screen_wait(TypedLine(f"The {what} probe", paths.get(what, ""), told))
    if typed is not None:
        bench.do(lambda shop, by: set_house(shop, by, probe={what: typed}))


async def _at_an_alarm(bench: Paintbench) -> None:
    house, allowed = bench.view.house, bench.shop.allowed
    not_run = alarm_command(allowed, house.alarm_command).not_run
    told = [str(fault) for fault in (*allowed.faults, not_run) if fault]
    which = await bench.push_screen_wait(Choose("At an alarm", _alarm(house, allowed), told))
    if which is not None:
        await (_bell, _command)[which](bench)


async def _bell(bench: Paintbench) -> None:
    which = await bench.push_screen_wait(Choose("At an alarm the bell", ["is quiet", "rings"]))
    if which is not None:
        bench.do(lambda shop, by: set_alarm(shop, by, bell=which == 1))


async def _command(bench: Paintbench) -> None:
    if bench.kiosk:
        bench.tell(ON_A_KIOSK)
        return
    told = ["A program's whole path and its arguments; no shell runs it. Empty: none."]
    old = shlex.join(bench.view.house.alarm_command)
    typed = await bench.push_screen_wait(TypedLine("At an alarm run", old, told))
    if typed is None:
        return
    try:
        words = shlex.split(typed)
    except ValueError as fault:
        bench.tell(Refusal(f"the command cannot be read: {fault}", "", "close its quotes"))
        return
    bench.do(lambda shop, by: set_alarm(shop, by, command=words))
