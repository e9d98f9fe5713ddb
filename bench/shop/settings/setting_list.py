"""Every setting of the shop, said once: its key, kind, unit, range, start, question and help.

``paintbench shop``, the settings screen, and a shop that is opened read this list.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Any, Literal

from bench.process.calendar.thermometers import COLDEST_READING_C, WARMEST_READING_C
from bench.process.calendar.week import break_words, read_week, week_words
from bench.process.refusals.refusal import Refusal

if TYPE_CHECKING:
    from bench.shop.settings.shop_settings import (
        ShopSettings,  # the command line needs only the words
    )

SettingKind = Literal[
    "quantity",
    "minutes",
    "number",
    "yes",
    "choice",
    "text",
    "name",
    "path",
    "folder",
    "week",
    "days",
    "day",
]
"""A quantity is typed with its unit; minutes and a number without; days once for each holiday."""


PLACEHOLDER_MIN = 30.0
"""How long masks stay on at least while nobody measured it: the least of a spray room or an open
workshop (sources seen: hse.gov.uk bodyshop myths 4 and 5, UK HSE text)."""

THEMES = ("dark", "light")
LONGEST_MIN = 24 * 60.0

WEEK: tuple[tuple[str, str] | None, ...] = (
    *(("07:30", "17:30"),) * 5,
    ("08:00", "12:30"),
    None,
)
"""Shop hours until the shop types its own: a placeholder."""


@dataclass(frozen=True, kw_only=True)
class Setting:
    """Describes one setting.

    key: its name in the data and for ``bench.shop.settings.settings_change.set_settings``; inside:
    the setting it is a part of. start: as it is stored until the shop sets it; None: it is not
    stored under its key. unit, least, most: of its number, both included; right: that range in
    words; read: how a number is said that is not in it. option, help: of ``paintbench shop``;
    without one it is set elsewhere or nowhere. asks, notes: the question of the screen and what
    there is to know; typed: what the line to type begins with; offered: Enter takes the present
    number.
    """

    key: str
    kind: SettingKind
    start: Any = None
    inside: str = ""
    unit: str = ""
    least: float = -inf
    most: float = inf
    right: str = ""
    read: str = "{:g}"
    choices: tuple[str, ...] = ()
    option: str = ""
    help: str = ""
    asks: str = ""
    notes: tuple[str, ...] = ()
    typed: Callable[[ShopSettings], str] = lambda _: ""
    offered: bool = True

    def fault(self, value: Any) -> Refusal | None:
        """Say why a value cannot be: out of its range, none of its choices."""
        if self.choices and value not in self.choices:
            return Refusal(f"{self.read} {value[:20]}", "", f"one of {self.range}")
        if self.unit and not self.least <= value <= self.most:
            return Refusal(self.read.format(value), "", self.range)
        return None

    @property
    def range(self) -> str:
        """Its range or its choices in words; empty where it is neither a number nor a choice."""
        if self.unit:
            return self.right or f"from {self.least:g} to {self.most:g} {self.unit}"
        return ", ".join(self.choices)

    def value(self, typed: str) -> Any:
        """Read what was typed on the screen. Raises ValueError saying what would be right."""
        return read_week(typed) if self.kind == "week" else typed


_WARMTH: dict[str, Any] = {
    "kind": "quantity",
    "unit": "C",
    "least": COLDEST_READING_C,
    "most": WARMEST_READING_C,
}

_OF_THE_PLAN: dict[str, Any] = {"kind": "quantity", "unit": "min", "least": 0.0}

PROBES = {
    "air": "a plain, hwmon, iio or 1-wire file with the air's temperature",
    "metal": "the same for the metal's",
    "humidity": "and for the humidity",
}
PROBE_FILE = (
    "A file that Linux writes a number into, such as /sys/class/hwmon/hwmon2/temp1_input.",
    "Empty: no probe.",
)


def _path(what: str) -> Callable[[ShopSettings], str]:
    return lambda settings: str((settings.stored["probe"] or {}).get(what, ""))


# A table: laid out by hand.
# fmt: off
SETTINGS: tuple[Setting, ...] = (
    Setting(
        key="zone", kind="text", start="", option="zone", asks="Time zone",
        help="the shop's time zone: Europe/Dublin; local: the computer's own",
        notes=("As Europe/Dublin, the name of a city where the hours are yours.",
              "Empty: the computer's own zone."),
        typed=lambda settings: settings.zone_name),
    Setting(
        key="week", kind="week", start=WEEK, option="hours", asks="Opening hours",
        help='"Mon-Fri 07:30-17:30, Sat 08:00-12:30"',
        notes=('As "Mon-Fri 07:30-17:30, Sat 08:00-12:30"; days not named are without hours.',),
        typed=lambda settings: week_words(settings.hours.days)),
    Setting(
        key="lunch", kind="text", start="", option="lunch", asks="Break",
        help='nobody is in on each day with hours: "12:00-12:30"; none: no break',
        notes=("As 12:00-12:30; none: no break. No window then opens or closes unseen.",),
        typed=lambda settings: break_words(settings.hours.lunch)),
    Setting(
        key="holidays", kind="days", start=(), option="holiday",
        help="2026-12-24, 2026-12-24..2027-01-01 or a rule of RFC 5545; again for more"),
    Setting(key="no_holidays", kind="days", option="no-holiday", help="take one away again"),
    Setting(
        key="always_in", kind="yes", start=False, option="always-in",
        asks="Is the shop open day and night?", help="the shop is open day and night",
        notes=("Open day and night, no window is missed for want of hands.",)),
    Setting(
        key="day_c", start=18.0, read="day {:g} C", option="day", asks="kept at by day",
        help="while the shop is open: 18C", **_WARMTH),
    Setting(
        key="night_c", start=11.0, read="night {:g} C", option="night", asks="coldest by night",
        help="coldest while it is closed: 9C", **_WARMTH),
    Setting(
        key="clearance_min", kind="quantity", start=PLACEHOLDER_MIN, unit="min", least=5.0,
        most=LONGEST_MIN, right="from 5 min to 24 h", read="clearance time {:g} min",
        option="clearance",
        help="how long masks stay on after the trigger: 25min",
        asks="masks stay on after the trigger", offered=False,
        notes=("How long the extraction needs until the mist is gone: measured with smoke, "
              "in this room.",
              "Not measured, or over a year ago: the hour wears a question mark.",
              "This clock is a reminder. It is never the only mask warning.")),
    Setting(
        key="measured_by", kind="name", option="measured-by",
        asks="who measured it with smoke",
        help="who measured that with smoke in this room; without it: not measured"),
    Setting(
        key="measured_on", kind="day", option="measured-on",
        help="when, as 2026-03-12; else today. It counts for a year"),
    Setting(
        key="air_changes_h", kind="number", start=0.0, unit="an hour", least=0.0, most=1000.0,
        read="{:g} air changes an hour", option="air-changes",
        asks="air changes of the extraction",
        help="air changes an hour of the extraction, for the estimate; 0: not known",
        notes=("Until somebody measures it, masks stay on for the longest of three times:",
              "the one typed, 30 min, and the estimate until 1 % of the mist is left.",
              "0: not known. The mixing factor is 1 only in theory, 3 to 10 in real rooms.")),
    Setting(
        key="mixing_factor", kind="number", start=0.0, unit="times", least=0.0, most=10.0,
        read="mixing factor {:g}", option="mixing-factor", asks="mixing factor",
        right="from 1 to 10; 0: not known",
        help="1 only in theory, 3 to 10 in real rooms; 0: not known"),
    Setting(
        key="cup_ml", kind="quantity", start=1000.0, unit="ml", least=50.0, most=20_000.0,
        read="a cup of {:g} ml", option="cup", asks="the cup holds", help="what the cup holds: 1l"),
    Setting(
        key="cup_step_ml", kind="quantity", start=10.0, unit="ml", least=0.0, most=10_000.0,
        read="marks every {:g} ml", option="cup-step", asks="from mark to mark",
        help="its marks: 10ml"),
    *(Setting(
        key=what, inside="probe", kind="path", option=f"{what}-probe", asks=f"The {what} probe",
        help=f'{help}; "" takes it away', notes=PROBE_FILE, typed=_path(what))
      for what, help in PROBES.items()),  # noqa: A001
    Setting(
        key="probe_every_min", kind="minutes", unit="min", least=1.0, most=LONGEST_MIN,
        right="from 1 min to a day", read="a reading every {:g} min", option="probe-every",
        help="minutes between two readings"),
    Setting(
        key="doubt_c", kind="number", start=8.0, unit="C apart", least=2.0, most=40.0,
        right="from 2 to 40 C", read="a reading {:g} C off is not believed at once",
        option="doubt", asks="C off, and it is not believed at once",
        help="C from the last reading, or between air and surface, past which one is not believed "
             "at once (common practice, no source)",
        notes=("A probe's waits for a second one minutes later; a typed one is asked about.",)),
    Setting(
        key="units", kind="text", start={}, option="units", asks="Units of the screens",
        help='the screens in "F, mil, US fl oz, ft2, in, psi, cfm, lb/US gal, oz/ft2", or metric',
        notes=('As "F, mil, US fl oz, ft2, in, psi, cfm, lb/US gal, oz/ft2", or metric.',
              "What is not named stays.")),
    Setting(
        key="backup_to", kind="folder", start={}, option="backup-to",
        help='a second place for backups, such as a USB stick; "" takes it away'),
    Setting(
        key="backup_mb", kind="number", start=2000.0, unit="MB", least=10.0, most=10_000_000.0,
        read="backups of {:g} MB in each place", option="backup-room",
        asks="MB for the backups in each place", right="from 10 MB",
        help="MB for the backups in each place (common practice, no source); past it the oldest go",
        notes=("Past it the oldest backups are let go first: never the newest, and none that was "
              "made before an update or a restore.",)),
    Setting(
        key="theme", kind="choice", start="dark", read="theme", choices=THEMES, option="theme",
        help="the screens' colours"),
    Setting(key="theme_here", kind="choice", read="theme", choices=THEMES),
    Setting(
        key="far_after_min", kind="minutes", start=0, unit="min", least=0.0, most=LONGEST_MIN,
        right="from 1 min to a day; 0: never", read="the far view after {:g} min",
        option="far-after", help="minutes without a key; 0: never by itself",
        asks="minutes without a key", notes=("0: never by itself.",)),
    Setting(
        key="urgent_first", kind="yes", start=False, option="urgent-first",
        asks="Most urgent stands on the first page?",
        help="pages of the bench in order of urgency, not as the stands stand",
        notes=("No: the stands stand on the screen as they do in the shop.",)),
    Setting(
        key="scan_prefix", kind="text", start="", option="scan-prefix",
        asks="What the scanner sends first", typed=lambda settings: settings.scan_prefix,
        help='what the tag scanner sends first, such as ~; "" for nothing',
        notes=("One to three signs that are on no key of the keypad, such as ~.",
              "Empty: whatever comes faster than a hand types and ends in Enter is a tag.")),
    Setting(
        key="spray_spaces", kind="number", start=0.0, unit="in all", least=0.0, most=6.0,
        right="from 1 to 6; 0: not typed", read="{:g} spray spaces", option="spray-spaces",
        asks="spray spaces", help="how many parts can be sprayed at once",
        notes=("For the plan. 0: not typed, the plan takes a placeholder, marked ?.",)),
    Setting(
        key="mixing_min", start=0.0, most=240.0, right="from 1 min to 4 h; 0: not typed",
        read="mixing {:g} min", option="mixing", asks="mixing takes",
        help="how long mixing a pot takes: 15min", **_OF_THE_PLAN),
    Setting(
        key="flush_min", start=0.0, most=240.0, right="from 1 min to 4 h; 0: not typed",
        read="flushing {:g} min", option="flush", asks="flushing a gun takes",
        help="how long flushing a gun takes: 10min", **_OF_THE_PLAN),
    Setting(
        key="handling_min", start=0.0, most=30 * LONGEST_MIN,
        right="from 1 min to 30 d; 0: not typed", read="handling after {:g} min",
        option="handling", asks="off its stand, after the last coat",
        help="how long after its last coat a part leaves its stand: 24h",
        **_OF_THE_PLAN),
    Setting(
        key="full_pct", kind="number", start=0.0, unit="%", least=0.0, most=100.0,
        right="from 50 to 100 %; 0: not typed", read="{:g} % of a day is planned",
        option="full-day", asks="of a day's hands are planned",
        help="how much of a day's hands is planned, in percent: 85",
        notes=("Under 100 %, a late step does not push the rest of the week.",)),
    Setting(
        key="closing_slack_min", start=0.0, most=240.0, right="from 1 min to 4 h; 0: not typed",
        read="{:g} min before a window closes", option="closing-slack",
        asks="next coat before its window closes",
        help="so long before a window closes the plan begins the next coat: 15min",
        **_OF_THE_PLAN),
    Setting(
        key="moving_min", start=0.0, most=240.0, right="from 1 min to 4 h; 0: not typed",
        read="moving a wet part {:g} min", option="moving", asks="moving a wet part takes",
        help="how long two take to move a wet part out of its spray space: 10min",
        notes=("For the plan. 0: not typed, parts are sprayed on their stands.",),
        **_OF_THE_PLAN),
    Setting(
        key="wet_min", start=0.0, most=LONGEST_MIN, right="from 1 min to a day; 0: not typed",
        read="moved {:g} min after it was sprayed", option="moved-after",
        asks="moved after it was sprayed",
        help="how long a sprayed part stays in its spray space before it is moved: 30min",
        notes=("For the plan, where it is typed how long moving takes.",), **_OF_THE_PLAN),
    Setting(
        key="paper", kind="choice", start="a4", read="paper", choices=("a4", "letter"),
        option="paper", help="what job records and other pages are printed on"),
    Setting(
        key="letterhead", kind="text", start="", option="letterhead", asks="The letterhead",
        typed=lambda settings: str(settings.stored["letterhead"]),
        help='"Name of the shop | Street 1 | Town": up to five lines on each page that is '
             'printed; "" for none',
        notes=("As Name of the shop | Street 1 | Town: the name, up to four lines more.",
              "It heads every page that is printed. Empty: none.")),
    Setting(key="bell", kind="yes", start=False),
    Setting(key="alarm_command", kind="text", start=()),
    Setting(key="alarm_command_s", kind="quantity", start=10.0),
    Setting(key="clock_far_days", kind="quantity", start=30),
)
# fmt: on
"""All of them. Their starts are placeholders: an ordinary week, a cool shop, an open room."""

BY_KEY: Mapping[str, Setting] = {setting.key: setting for setting in SETTINGS}

DEFAULTS: Mapping[str, Any] = {
    **{each.key: each.start for each in SETTINGS if each.start is not None},
    "probe": {},
    "clearance_on": "",
    "clearance_by": "",
    "themes": {},
    "typed": False,
    "before": (),
    "jump": {},
    "forecasts": (),
}
"""A new shop's settings as they are stored, with what is known of some besides their value.

clearance_on, clearance_by: when the clearance time was measured, and by whom; themes: of the
terminals that have one of their own, by their names; typed: whether the nights are
the shop's own; before: what was usual earlier (``UsualWeek``); forecasts: what was typed for
single dates (``Forecast``), the newest last; jump: a probe's that nobody answered yet
(``UnansweredJump``).
"""
