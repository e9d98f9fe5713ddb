"""What is so in this shop, each with its present value; a digit changes it."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from bench.process.calendar.week import break_words, week_words
from bench.process.refusals.refusal import Refusal
from bench.screens.core.menu_action import Action, BenchFlow, doing, menu
from bench.screens.dialogs.choices import NextQuestions, NumberQuestion
from bench.screens.dialogs.questions import ask_numbers, ask_text, choose
from bench.shop.environment.probe_text import MEASURED
from bench.shop.settings.kiosk_limits import KioskLimits, alarm_command_to_run
from bench.shop.settings.paper import PAPER_NAMES, PAPER_SIZES, Paper
from bench.shop.settings.setting_list import BY_KEY, Setting
from bench.shop.settings.settings_change import ON_A_KIOSK, set_alarm, set_settings
from bench.shop.settings.shop_settings import PLAN_KEYS, ShopSettings
from bench.zones import zone_words

if TYPE_CHECKING:
    from bench.app import Paintbench

Answers = Sequence[Any] | Refusal | None

EXTRACTION = ("air_changes_h", "mixing_factor")


def _every_setting(house: ShopSettings, allowed: KioskLimits, terminal: str) -> list[Action]:
    """Every setting in words, with what changes it."""
    hours, probes = house.hours, house.probes
    every = f", every {probes.every.total_seconds() / 60:g} min" if probes else ""
    clearance, stored = house.clearance, house.stored
    by = clearance.measured
    measured = f", measured {by.on:%d %b %Y} by {by.by}" if by else "? (not measured)"
    changes, mixing = (f"{stored[key]:g}" if stored[key] else "?" for key in EXTRACTION)
    typed = sum(house.of_plan(key) is not None for key in PLAN_KEYS)
    units = ", ".join(str(unit) for unit in vars(house.units).values())
    return [
        Action(f"hours: {week_words(hours.days)}", _asks("week")),
        Action(f"usual day {hours.day_c:g} C, night {hours.night_c:g} C", _day_and_night),
        Action(f"always somebody in: {'yes' if hours.always_in else 'no'}", _asks("always_in")),
        Action(f"masks on {clearance.typed.total_seconds() / 60:g} min{measured}", _clearance),
        Action(f"cup of {house.cup_ml:g} ml, marks every {house.cup_step_ml:g} ml", _cup),
        Action(f"screens: {units}; {house.theme_on(terminal)} on this terminal", _screens),
        Action(f"probes: {', '.join(probes.paths) if probes else 'none'}{every}", _probes),
        Action(f"at an alarm: {'; '.join(_alarm(house, allowed))}", _at_an_alarm),
        Action(f"time zone: {zone_words(house.zone_name)}", _asks("zone")),
        Action(f"extraction: {changes} air changes an hour, mixing factor {mixing}", _extraction),
        Action(f"break: {break_words(hours.lunch)}", _asks("lunch")),
        Action(f"figures for the plan: {typed} of {len(PLAN_KEYS)} typed", _for_the_plan),
        Action(f"paper: {_paper_words(house.paper)}", _printing),
    ]


def _paper_words(paper: Paper) -> str:
    return f"{PAPER_NAMES[paper.size]}, letterhead: {paper.shop or 'none'}"


def _alarm(house: ShopSettings, allowed: KioskLimits) -> tuple[str, str]:
    bell = "the bell rings" if house.bell else "the bell is quiet"
    command = alarm_command_to_run(allowed, house.alarm_command)
    stored = shlex.join(house.alarm_command)
    not_run = f"; does not run {stored}" if command.not_run else ""
    return bell, f"runs {shlex.join(command.words) or 'nothing'}{not_run}"


async def settings(bench: Paintbench) -> None:
    """The list, again after every change, until it is left."""
    while True:
        actions = _every_setting(bench.view.house, bench.shop.allowed, bench.shop.terminal)
        if not await menu(bench, "Settings", actions):
            return


def _asks(*keys: str, title: str = "") -> BenchFlow:
    """The flow that asks for settings of one kind and sets what is answered."""
    asked = [BY_KEY[key] for key in keys]

    async def flow(bench: Paintbench) -> None:
        answers = await ASKED.get(asked[0].kind, _typed)(bench, asked, title or asked[0].asks)
        if isinstance(answers, Refusal):
            bench.tell(answers)
        elif answers is not None:
            bench.do(set_settings, bench.painter, **_given(asked, answers))

    return flow


def _given(asked: Sequence[Setting], answers: Sequence[Any]) -> dict[str, Any]:
    """As ``set_settings`` takes it: a part of a setting within that."""
    given = {each.key: answer for each, answer in zip(asked, answers, strict=True)}
    return {asked[0].inside: given} if asked[0].inside else given


async def _numbers(bench: Paintbench, asked: Sequence[Setting], title: str) -> Answers:
    stored = bench.view.house.stored
    questions = [
        NumberQuestion(
            each.asks, each.unit, **{"start" if each.offered else "such_as": stored[each.key]}
        )
        for each in asked
    ]
    return await ask_numbers(bench, title, questions, asked[0].notes)


async def _yes(bench: Paintbench, asked: Sequence[Setting], title: str) -> Answers:
    return await choose(bench, title, {"no": [False], "yes": [True]}, asked[0].notes)


async def _typed(bench: Paintbench, asked: Sequence[Setting], title: str) -> Answers:
    """A line of text; left as it was, nothing is set."""
    (setting,) = asked
    was = setting.typed(bench.view.house)
    typed = await ask_text(bench, title, was, setting.notes)
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
_for_the_plan = _asks(*PLAN_KEYS, title="Figures for the plan")
_extraction = _asks(*EXTRACTION, title="Extraction")


async def _clearance(bench: Paintbench) -> None:
    notes = BY_KEY["clearance_min"].notes
    numbers = await ask_numbers(bench, "Clearance time", _of_clearance(bench), notes)
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
    bench.do(set_settings, bench.painter, clearance_min=minutes, measured_by=by, measured_on=on)


NOBODY, SOMEBODY_ELSE = "nobody: not measured", "somebody else"


def _of_clearance(bench: Paintbench) -> NextQuestions:
    """The time, who measured it, and on what day."""
    minutes, today = bench.view.house.clearance.typed.total_seconds() / 60, bench.now().date()
    who = (NOBODY, *bench.view.painters, SOMEBODY_ELSE)
    first = [
        NumberQuestion(BY_KEY["clearance_min"].asks, "min", such_as=minutes),
        NumberQuestion(BY_KEY["measured_by"].asks, start=1.0, choices=who),
    ]
    dated = [
        NumberQuestion(f"on what {what}", start=float(getattr(today, what)), whole=True)
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
    return await ask_text(bench, "Who measured it?") or ""


async def _screens(bench: Paintbench) -> None:
    other = "dark" if bench.view.house.theme_on(bench.shop.terminal) == "light" else "light"
    theme = doing(set_settings, bench.painter, theme_here=other)
    far = _asks("far_after_min", title="The far view")
    actions = [
        Action("the units they are shown and typed in", _asks("units")),
        Action(f"{other} on this terminal", theme),
        Action("automatic far view after idle time", far),
        Action("order of the bench's pages", _asks("urgent_first")),
        Action("prefix of the tag scanner", _asks("scan_prefix")),
    ]
    await menu(bench, "The screens", actions)


async def _printing(bench: Paintbench) -> None:
    size = bench.view.house.paper.size
    other = next(each for each in PAPER_SIZES if each != size)
    actions = [
        Action(f"print on {PAPER_NAMES[other]}", doing(set_settings, bench.painter, paper=other)),
        Action("the letterhead", _asks("letterhead")),
    ]
    await menu(bench, "What is printed", actions)


async def _probes(bench: Paintbench) -> None:
    probes = bench.view.house.probes
    paths = dict(probes.paths) if probes else {}
    actions = [Action(f"{what}: {paths.get(what, 'none')}", _asks(what)) for what in MEASURED]
    doubt_c = bench.view.house.doubt_c
    actions.append(Action(f"not believed at once: {doubt_c:g} C off", _asks("doubt_c")))
    await menu(bench, "Which probe?", actions)


async def _at_an_alarm(bench: Paintbench) -> None:
    house, allowed = bench.view.house, bench.shop.allowed
    not_run = alarm_command_to_run(allowed, house.alarm_command).not_run
    notes = [str(fault) for fault in (*allowed.faults, not_run) if fault]
    bell, command = _alarm(house, allowed)
    await menu(bench, "At an alarm", [Action(bell, _bell), Action(command, _command)], notes)


async def _bell(bench: Paintbench) -> None:
    rings = await choose(bench, "At an alarm the bell", {"is quiet": False, "rings": True})
    if rings is not None:
        bench.do(set_alarm, bench.painter, bell=rings)


async def _command(bench: Paintbench) -> None:
    if bench.kiosk:
        bench.tell(ON_A_KIOSK)
        return
    notes = ["A program's whole path and its arguments; no shell runs it. Empty: none."]
    old = shlex.join(bench.view.house.alarm_command)
    typed = await ask_text(bench, "At an alarm run", old, notes)
    if typed is None:
        return
    try:
        words = shlex.split(typed)
    except ValueError as fault:
        bench.tell(Refusal(f"the command cannot be read: {fault}", "", "close its quotes"))
        return
    bench.do(set_alarm, bench.painter, command=words)
