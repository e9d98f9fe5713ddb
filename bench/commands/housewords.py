"""The words for the shop itself: its sheets, settings, alarms, readings and its clock."""

from __future__ import annotations

from bench.commands import quantities
from bench.commands.options import (
    AGO,
    BY,
    JSON,
    METAL,
    MINUTES,
    NAME,
    RH,
    TEMPERATURE,
    VOLUME,
    Words,
    air,
    option,
)

KEY = option("key", metavar="KEY", help="its key, as the list shows it; a new one is new")
FILE = option("file", metavar="FILE", help="its text, as `paintbench product KEY`; - for input")
PROBES = {
    "air": "a plain, hwmon, iio or 1-wire file with the air's temperature",
    "metal": "the same for the metal's",
    "humidity": "and for the humidity",
}

HOUSE: Words = {
    "probe": ("show what each probe says now", (JSON,)),
    "product": ("show a product's sheet as text", (KEY, JSON)),
    "route": ("show a route as text", (KEY, JSON)),
    "set-product": ("type a product's sheet over", (KEY, FILE, BY)),
    "set-route": ("type a route over; parts on their way keep their steps", (KEY, FILE, BY)),
    "pin": ("give, change or take away a painter's PIN, which signs overrides", (BY,)),
    "shop": (
        "set the shop's usual night, day, hours and holidays, its probes and units, from now on",
        (
            option("--night", metavar="T", type=TEMPERATURE, help="coldest with nobody in: 9C"),
            option("--day", metavar="T", type=TEMPERATURE, help="while somebody is in: 18C"),
            option(
                "--hours",
                metavar="WEEK",
                type=quantities.week,
                help='"Mon-Fri 07:30-17:30, Sat 08:00-12:30"',
            ),
            option(
                "--holiday",
                metavar="DAYS",
                action="append",
                help="2026-12-24, 2026-12-24..2027-01-01 or a rule of RFC 5545; again for more",
            ),
            option("--no-holiday", metavar="DAYS", action="append", help="take one away again"),
            option(
                "--clearance",
                metavar="TIME",
                type=quantities.quantity("second"),
                help="how long masks stay on after the trigger, as measured with smoke: 25min",
            ),
            option("--cup", metavar="AMOUNT", type=VOLUME, help="what the cup holds: 1l"),
            option("--cup-step", metavar="AMOUNT", type=VOLUME, help="its marks: 10ml"),
            option("--always-in", choices=("yes", "no"), help="somebody is in day and night"),
            *(
                option(f"--{what}-probe", metavar="PATH", help=f'{told}; "" takes it away')
                for what, told in PROBES.items()
            ),
            option("--probe-every", **MINUTES, help="minutes between two readings"),
            option(
                "--units",
                metavar="UNITS",
                help='the screens in "F, mil, US fl oz, ft2, in", or metric',
            ),
            option(
                "--backup-to",
                metavar="FOLDER",
                help='a second place for backups, such as a stick; "" takes it away',
            ),
            option("--theme", choices=("dark", "light"), help="the screens' colours"),
            option("--far-after", **MINUTES, help="minutes without a key; 0: never by itself"),
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
