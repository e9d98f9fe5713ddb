"""What is so in this shop, each with its present value; a digit changes it."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Coroutine
from datetime import date
from typing import TYPE_CHECKING, Any

from bench.process.probe import MEASURED
from bench.process.refusal import Refusal
from bench.process.week import read_week, week_words
from bench.screens.ask import Asked, AskedSoFar, Choose, Numbers
from bench.screens.line import TypedLine
from bench.shop.house import set_house
from bench.shop.rows import House
from bench.shop.sounding import set_alarm

if TYPE_CHECKING:
    from bench.app import Paintbench

Road = Callable[["Paintbench"], Coroutine[Any, Any, None]]


def _said(house: House, terminal: str) -> list[tuple[str, Road]]:
    """Every setting in words, and the road that changes it."""
    hours, probes = house.hours, house.probes
    every = f", every {probes.every.total_seconds() / 60:g} min" if probes else ""
    by = house.measured
    measured = f", measured {by.on:%d %b %Y} by {by.by}" if by else "? (not measured)"
    units = ", ".join(str(unit) for unit in vars(house.units).values())
    return [
        (f"hours: {week_words(hours.days)}", _hours),
        (f"usual day {hours.day_c:g} C, night {hours.night_c:g} C", _day_and_night),
        (f"always somebody in: {'yes' if hours.always_in else 'no'}", _always_in),
        (f"masks on {house.clearance.total_seconds() / 60:g} min{measured}", _clearance),
        (f"cup of {house.cup_ml:g} ml, marks every {house.cup_step_ml:g} ml", _cup),
        (f"screens: {units}; {house.theme_on(terminal)} on this terminal", _screens),
        (f"probes: {', '.join(probes.paths) if probes else 'none'}{every}", _probes),
        (f"at an alarm: {'; '.join(_alarm(house))}", _at_an_alarm),
    ]


def _alarm(house: House) -> list[str]:
    bell = "the bell rings" if house.bell else "the bell is quiet"
    return [bell, f"runs {shlex.join(house.alarm_command) or 'nothing'}"]


async def settings(bench: Paintbench) -> None:
    """The list, again after every change, until it is left."""
    while True:
        found = _said(bench.view.house, bench.shop.terminal)
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
        "How long the extraction needs until the mist is gone: measured with smoke, in this room.",
        "Not measured, or over a year ago: the hour wears a question mark.",
        "This clock is a reminder. It is never the only mask warning.",
    ]
    numbers = await bench.push_screen_wait(Numbers("Clearance time", _of_clearance(bench), told))
    if numbers is None:
        return
    minutes, who, *typed = (number or 0.0 for number in numbers)
    by, on = await _who_measured(bench, int(who)), None
    if typed:
        day, month, year = map(int, typed)
        try:
            on = date(year, month, day)
        except ValueError as fault:
            bench.tell(Refusal(f"no such day: {day}.{month}.{year}", str(fault), "type it again"))
            return
    bench.do(
        lambda shop, name: set_house(
            shop, name, clearance_min=minutes, measured_by=by, measured_on=on
        )
    )


NOBODY, SOMEBODY_ELSE = "nobody: not measured", "somebody else"


def _of_clearance(bench: Paintbench) -> AskedSoFar:
    """The time, who measured it, and on what day."""
    minutes, today = bench.view.house.clearance.total_seconds() / 60, bench.now().date()
    who = (NOBODY, *bench.view.painters, SOMEBODY_ELSE)
    first = [
        Asked("masks stay on after the trigger", "min", such_as=minutes),
        Asked("who measured it with smoke", start=1.0, choices=who),
    ]
    dated = [
        Asked(f"on what {what}", start=float(getattr(today, what)), whole=True)
        for what in ("day", "month", "year")
    ]
    return lambda so_far: first if len(so_far) < 2 or so_far[1] == 1 else [*first, *dated]


async def _who_measured(bench: Paintbench, which: int) -> str | None:
    """The name behind a choice; None where nobody measured it."""
    if which == 1:
        return None
    names = bench.view.painters
    if which - 2 < len(names):
        return names[which - 2]
    return await bench.push_screen_wait(TypedLine("Who measured it?")) or ""


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
    which = await bench.push_screen_wait(Choose("At an alarm", _alarm(bench.view.house)))
    if which is not None:
        await (_bell, _command)[which](bench)


async def _bell(bench: Paintbench) -> None:
    which = await bench.push_screen_wait(Choose("At an alarm the bell", ["is quiet", "rings"]))
    if which is not None:
        bench.do(lambda shop, by: set_alarm(shop, by, bell=which == 1))


async def _command(bench: Paintbench) -> None:
    told = ["A program and its arguments, run without a shell. Empty: none."]
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
