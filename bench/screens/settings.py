"""What is so in this shop, each with its present value; a digit changes it."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Coroutine, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from bench.process.probe import MEASURED
from bench.process.refusal import Refusal
from bench.process.setting_list import BY_KEY, Setting
from bench.process.settings import ShopSettings
from bench.process.week import week_words
from bench.screens.ask import Asked, AskedSoFar, Choose, Numbers
from bench.screens.line import TypedLine
from bench.shop.allowed import Allowed, alarm_command
from bench.shop.house import ON_A_KIOSK, set_alarm, set_house
from bench.zones import zone_words

if TYPE_CHECKING:
    from bench.app import Paintbench

Road = Callable[["Paintbench"], Coroutine[Any, Any, None]]
Answers = Sequence[Any] | Refusal | None

EXTRACTION = ("air_changes_h", "mixing_factor")


def _said(house: ShopSettings, allowed: Allowed, terminal: str) -> list[tuple[str, Road]]:
    """Every setting in words, and the road that changes it."""
    hours, probes = house.hours, house.probes
    every = f", every {probes.every.total_seconds() / 60:g} min" if probes else ""
    clearance, stored = house.clearance, house.stored
    by = clearance.measured
    measured = f", measured {by.on:%d %b %Y} by {by.by}" if by else "? (not measured)"
    changes, mixing = (f"{stored[key]:g}" if stored[key] else "?" for key in EXTRACTION)
    units = ", ".join(str(unit) for unit in vars(house.units).values())
    return [
        (f"hours: {week_words(hours.days)}", _asks("week")),
        (f"usual day {hours.day_c:g} C, night {hours.night_c:g} C", _day_and_night),
        (f"always somebody in: {'yes' if hours.always_in else 'no'}", _asks("always_in")),
        (f"masks on {clearance.typed.total_seconds() / 60:g} min{measured}", _clearance),
        (f"cup of {house.cup_ml:g} ml, marks every {house.cup_step_ml:g} ml", _cup),
        (f"screens: {units}; {house.theme_on(terminal)} on this terminal", _screens),
        (f"probes: {', '.join(probes.paths) if probes else 'none'}{every}", _probes),
        (f"at an alarm: {'; '.join(_alarm(house, allowed))}", _at_an_alarm),
        (f"time zone: {zone_words(house.zone_name)}", _asks("zone")),
        (f"extraction: {changes} air changes an hour, mixing factor {mixing}", _extraction),
    ]


def _alarm(house: ShopSettings, allowed: Allowed) -> list[str]:
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


def _asks(*keys: str, title: str = "") -> Road:
    """The road that asks for settings of one kind and sets what is answered."""
    asked = [BY_KEY[key] for key in keys]

    async def road(bench: Paintbench) -> None:
        answers = await ASKED.get(asked[0].kind, _typed)(bench, asked, title or asked[0].asks)
        if isinstance(answers, Refusal):
            bench.tell(answers)
        elif answers is not None:
            given = _given(asked, answers)
            bench.do(lambda shop, by: set_house(shop, by, **given))

    return road


def _given(asked: Sequence[Setting], answers: Sequence[Any]) -> dict[str, Any]:
    """As ``set_house`` takes it: a part of a setting within that."""
    given = {each.key: answer for each, answer in zip(asked, answers, strict=True)}
    return {asked[0].inside: given} if asked[0].inside else given


async def _numbers(bench: Paintbench, asked: Sequence[Setting], title: str) -> Answers:
    stored = bench.view.house.stored
    questions = [
        Asked(each.asks, each.unit, **{"start" if each.offered else "such_as": stored[each.key]})
        for each in asked
    ]
    return await bench.push_screen_wait(Numbers(title, questions, asked[0].told))


async def _yes(bench: Paintbench, asked: Sequence[Setting], title: str) -> Answers:
    which = await bench.push_screen_wait(Choose(title, ["no", "yes"], asked[0].told))
    return None if which is None else [which == 1]


async def _typed(bench: Paintbench, asked: Sequence[Setting], title: str) -> Answers:
    """A line of text; left as it was, nothing is set."""
    (setting,) = asked
    was = setting.typed(bench.view.house)
    typed = await bench.push_screen_wait(TypedLine(title, was, setting.told))
    if typed is None or typed == was:
        return None
    try:
        return [setting.value(typed)]
    except ValueError as fault:
        return Refusal(str(fault))


ASKED = {"quantity": _numbers, "minutes": _numbers, "number": _numbers, "yes": _yes}
"""How each kind is asked for; any other is typed."""

_day_and_night = _asks("day_c", "night_c", title="Usual day and night")
_cup = _asks("cup_ml", "cup_step_ml", title="The mixing cup")
_extraction = _asks(*EXTRACTION, title="Extraction")


async def _clearance(bench: Paintbench) -> None:
    told = BY_KEY["clearance_min"].told
    asked = _of_clearance(bench)
    numbers = await bench.push_screen_wait(Numbers("Clearance time", asked, told))
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
    minutes, today = bench.view.house.clearance.typed.total_seconds() / 60, bench.now().date()
    who = (NOBODY, *bench.view.painters, SOMEBODY_ELSE)
    first = [
        Asked(BY_KEY["clearance_min"].asks, "min", such_as=minutes),
        Asked(BY_KEY["measured_by"].asks, start=1.0, choices=who),
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


async def _screens(bench: Paintbench) -> None:
    other = "dark" if bench.view.house.theme_on(bench.shop.terminal) == "light" else "light"
    choices = [
        "the units they are shown and typed in",
        f"{other} on this terminal",
        "the far view by itself, without a key for so long",
    ]
    which = await bench.push_screen_wait(Choose("The screens", choices))
    if which == 0:
        await _asks("units")(bench)
    elif which == 1:
        bench.do(lambda shop, by: set_house(shop, by, theme_here=other))
    elif which == 2:
        await _asks("far_after_min", title="The far view")(bench)


async def _probes(bench: Paintbench) -> None:
    probes = bench.view.house.probes
    paths = dict(probes.paths) if probes else {}
    names = [f"{what}: {paths.get(what, 'none')}" for what in MEASURED]
    which = await bench.push_screen_wait(Choose("Which probe?", names))
    if which is not None:
        await _asks(MEASURED[which])(bench)


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
