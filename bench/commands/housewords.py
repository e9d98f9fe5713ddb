"""The words for the shop itself: its sheets, settings, alarms, readings and its clock."""

from __future__ import annotations

from typing import Any

from bench.commands import quantities
from bench.commands.options import (
    AGO,
    BY,
    JSON,
    METAL,
    MINUTES,
    NAME,
    RH,
    Adder,
    Words,
    air,
    option,
)
from bench.process.setting_list import SETTINGS, Setting

KEY = option("key", metavar="KEY", help="its key, as the list shows it; a new one is new")
FILE = option("file", metavar="FILE", help="its text, as `paintbench product KEY`; - for input")
PINT_UNITS = {"C": "degC", "ml": "millilitre", "min": "minute"}
METAVARS = {
    **{"C": "T", "ml": "AMOUNT", "min": "TIME"},
    **{"path": "PATH", "folder": "FOLDER", "week": "WEEK", "days": "DAYS"},
    **{"name": "NAME", "day": "DAY"},
}


def _of(setting: Setting) -> Adder:
    """A setting's option."""
    how: dict[str, Any] = {"metavar": METAVARS.get(setting.kind, setting.option.upper())}
    if setting.kind == "quantity":
        reader = quantities.quantity(PINT_UNITS[setting.unit])
        how = {"metavar": METAVARS[setting.unit], "type": reader}
    elif setting.kind == "number":
        how = {"metavar": "N", "type": float}
    elif setting.kind == "minutes":
        how = MINUTES
    elif setting.kind in ("yes", "choice"):
        how = {"choices": setting.choices or ("yes", "no")}
    elif setting.kind == "week":
        how["type"] = quantities.week
    elif setting.kind == "day":
        how["type"] = quantities.day
    elif setting.kind == "days":
        how["action"] = "append"
    return option(f"--{setting.option}", help=setting.help, **how)


HOUSE: Words = {
    "probe": ("show what each probe says now", (JSON,)),
    "product": ("show a product's sheet as text", (KEY, JSON)),
    "route": ("show a route as text", (KEY, JSON)),
    "set-product": ("type a product's sheet over", (KEY, FILE, BY)),
    "set-route": ("type a route over; parts on their way keep their steps", (KEY, FILE, BY)),
    "painter": (
        "record whether a painter is trained for isocyanate",
        (
            option("painter", metavar="NAME", help="who it is about"),
            option(
                "--trained", required=True, choices=("yes", "no", "unknown"), help="for isocyanate"
            ),
            BY,
        ),
    ),
    "pin": ("give, change or take away a painter's PIN, which signs overrides", (BY,)),
    "shop": (
        "set the shop's usual night, day, hours and holidays, its probes and units, from now on",
        (
            *(_of(setting) for setting in SETTINGS if setting.option),
            BY,
        ),
    ),
    "alarm": (
        "ring the bell, or run a command of the shop's own, when an alarm is raised",
        (
            option("--bell", choices=("on", "off"), help="the bell of each terminal"),
            option(
                "--command",
                metavar="COMMAND",
                dest="command_words",
                type=quantities.words,
                help="a program's whole path and arguments, run without a shell; the word and the "
                'stand are put behind them; "": none',
            ),
            BY,
        ),
    ),
    "reading": (
        "write down what a thermometer says",
        (
            air(required=True),
            RH,
            METAL,
            AGO,
            BY,
        ),
    ),
    "clock": ("say whether the computer's clock is believed", (JSON,)),
    "set-clock": (
        "say what time it is; the computer's own clock is left as it is",
        (
            option(
                "time",
                metavar="TIME",
                type=quantities.day_and_hour,
                help='in the shop\'s zone: "2026-03-12 14:30"',
            ),
            NAME,
        ),
    ),
}
"""Every command word about the shop itself: what it does, and what it takes."""
