"""The main job by keypad alone: every stage shows what the shared table says."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from bench.commands.reports.bench_data import stand_data
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.queries.menu_numbers import route_numbers
from bench.shop.settings import settings_change
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.main_job import HEATED, ROUTE, SHAPE, STAGES, STAND, Action, Shown
from tests.simulation import LONG

from .driving import Hands, at_the_bench

PAINTERS = {"Kit": 1, "Mo": 2}
KEYPAD = set("0123456789+-*/.") | {"enter"}


def moment(at: tuple[int, int, int]) -> datetime:
    """An instant of the table, in UTC."""
    day, hour, minute = at
    return (MONDAY + timedelta(days=day)).replace(hour=hour, minute=minute).astimezone(UTC)


def keys(action: Action, hands: Hands) -> str:
    """The keys a painter presses for an action, the stand chosen first."""
    do, by = action["do"], PAINTERS[action["by"]]
    faces = hands.app.view.on(STAND)
    record = faces.part.current() if faces else None
    names = [mark.name for mark in record.marks] if record else []
    stand = f"0 {STAND}"
    if do == "place":
        route = " ".join(str(route_numbers(hands.app.shop)[ROUTE]))
        shape = list(hands.app.view.shapes).index(SHAPE) + 1
        return f"{stand} + {route} {shape} enter enter 0"
    if do == "begin":
        pressed = f"{stand} +"
    elif do == "finish" and "mark" in action:
        pressed = f"{stand} enter {names.index(action['mark']) + 1}"
    elif do == "finish" and action.get("all_faces"):
        pressed = f"{stand} enter + enter"
    elif do == "finish":
        pressed = f"{stand} +"
    elif do == "pass":
        pressed = f"{stand} enter 2 {by}"
    elif do == "not-yet":
        pressed = f"{stand} enter {1 if action['minutes'] == 120 else 3}"
    elif do == "join":
        pressed = f"{stand} / 6 2"
    elif do == "mix":
        pressed = f"{stand} * enter 1 {' '.join(str(action['need_ml']))} enter 1 enter"
    elif do == "reading":
        figures = (action["air_c"], action["rh_pct"], action["metal_c"])
        digits = [" ".join(str(figure)) for figure in figures]
        pressed = "0 / 2 + " + " ".join(f"{typed} enter" for typed in digits)
    elif do == "bin":
        pressed = "0 / 3 2 enter"
    else:
        assert do == "take-off"
        pressed = f"{stand} + enter"
    if "with" in action:
        pressed += " 0 / 6 2"  # the spray card first
    pressed += " -" * (action.get("ago_min", 0) // 5)
    pressed += " enter" if "ago_min" in action else ""
    return f"{pressed} 0"


async def at_the_keys(hands: Hands, painter: str) -> None:
    """Change who is at the keys, when it is not that painter already."""
    hands.clock.hold(5)
    if hands.app.painter != painter:
        await hands.press(f"0 / 1 {PAINTERS[painter]}")
        assert hands.app.painter == painter
        hands.clock.hold(5)


async def play(hands: Hands, told: str, action: Action, shown: Shown) -> None:
    """One stage of the table, and what is then seen."""
    if action["do"] != "wait":
        by = hands.app.painter if action["do"] in ("pass", "join") else action["by"]
        await at_the_keys(hands, by)
        await hands.answer_all()
        pressed = keys(action, hands)
        assert set(pressed.split()) <= KEYPAD
        await hands.press(pressed)
    now, view = hands.clock.now(), hands.app.view
    data = stand_data(STAND, view.on(STAND), view.state(STAND, now), now)
    want = {
        key: moment(value).isoformat(timespec="seconds") if isinstance(value, tuple) else value
        for key, value in shown.items()
    }
    assert {key: data[key] for key in want} == want, f"{told}: {hands.said()}"
    assert shown["state"].upper() in hands.picture(), told


A_START = 1 if LONG else 3
"""So many stages to a start; with --long the program is started before each."""


async def test_a_galvanised_frame_from_bare_zinc_to_cured_with_the_keypad_alone_and_many_starts(
    shop: Shop, clock: ManualClock, data: Path
) -> None:
    """Only the file is handed from one start to the next: what is not in it is lost.

    Without a new start it is played in ``tests/test_main_job_terminals.py``.
    """
    assert isinstance(settings_change.set_settings(shop, "Kit", **HEATED), Outcome)
    for first in range(0, len(STAGES), A_START):
        stages = STAGES[first : first + A_START]
        clock.set(moment(stages[0][1]["at"]))
        again = Shop(open_store(str(data)), clock, "test")
        async with at_the_bench(again, clock) as hands:
            for told, action, shown in stages:
                clock.set(moment(action["at"]))
                await hands.let_pass(seconds=0)
                await play(hands, told, action, shown)
        again.store.close()
