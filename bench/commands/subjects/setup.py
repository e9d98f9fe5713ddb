"""Set-up: the shop's settings, its alarms, its products and routes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.input_files import text_of
from bench.commands.core.options import MINUTES, Adder, option
from bench.process.refusals.refusal import Refusal
from bench.shop.settings.setting_list import SETTINGS, Setting, SettingKind

if TYPE_CHECKING:
    from bench.commands.core.call import Call
    from bench.shop.core.transaction import Outcome

KEY = option("key", metavar="KEY", help="its key, as the list shows it; a new key makes a new one")
FILE = option("file", metavar="FILE", help="its text, as `paintbench product KEY`; - for input")
SURE = option(
    "--sure", action="store_true", help="its sheet says so, though a figure is hardly ever so"
)
PINT_UNITS = {"C": "degC", "ml": "millilitre", "min": "minute"}
METAVARS = {
    **{"C": "T", "ml": "AMOUNT", "min": "TIME"},
    **{"path": "PATH", "folder": "FOLDER", "week": "WEEK", "days": "DAYS"},
    **{"name": "NAME", "day": "DAY"},
}


def _of(setting: Setting) -> Adder:
    """Return a setting's option."""
    how: dict[str, Any] = {"metavar": METAVARS.get(setting.kind, setting.option.upper())}
    if setting.kind == "quantity":
        reader = quantities.quantity(PINT_UNITS[setting.unit])
        how = {"metavar": METAVARS[setting.unit], "type": reader}
    elif setting.kind == "number":
        how = {"metavar": "N", "type": quantities.Number(float)}
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
    return option(f"--{setting.option}", help=_help(setting), **how)


def _help(setting: Setting) -> str:
    """Return what a setting is, its range, and what a shop starts with."""
    starts = ""
    if setting.kind in ("quantity", "minutes") and setting.start:
        starts = f"a new shop: {setting.start:g} {setting.unit}"
    limits = "; ".join(filter(None, (setting.range if setting.unit else "", starts)))
    help_words = f"{setting.help} ({limits})" if limits else setting.help
    return help_words.replace("%", "%%")  # argparse fills in what stands behind one


def shop(call: Call, by: str) -> Outcome | Refusal:
    """Set what is given of the shop's settings."""
    from bench.shop.settings.settings_change import set_settings

    changes: dict[str, Any] = {"probe": {}}
    for each in SETTINGS:
        typed = getattr(call.args, each.option.replace("-", "_"), None) if each.option else None
        if typed is not None:
            into = changes[each.inside] if each.inside else changes
            into[each.key] = _value(each.kind, typed)
    return set_settings(call.shop, by, **changes)


def _value(kind: SettingKind, typed: Any) -> Any:
    """Turn what an option says into the setting as it is handed in."""
    if kind == "yes":
        return typed == "yes"
    if kind == "folder":
        return typed and str(Path(typed).expanduser().absolute())
    return float(typed) if kind == "minutes" else typed


def alarm(call: Call, by: str) -> Outcome | Refusal:
    """Set the bell and the shop's own command."""
    from bench.shop.settings.settings_change import set_alarm

    args = call.args
    bell = None if args.bell is None else args.bell == "on"
    return set_alarm(call.shop, by, bell=bell, command=args.command)


def forecast(call: Call, by: str) -> Outcome | Refusal:
    """Set the forecast of the days of a file, or of one date."""
    from bench.process.calendar.forecast import MOST_TEXT, DayAhead, read_forecast
    from bench.shop.core.bench_view import read_bench
    from bench.shop.environment.forecast import set_forecast

    args = call.args
    single_day = (args.date, args.low_c, args.high_c)
    if args.file is None:
        if None in single_day:
            return Refusal("half a forecast", "", "give a FILE, or --date, --low and --high")
        return set_forecast(call.shop, by, [DayAhead(*single_day)])
    if single_day != (None, None, None):
        return Refusal("a file and a date", "", "give a FILE, or --date, --low and --high")
    text = text_of(args.file, MOST_TEXT)
    if isinstance(text, Refusal):
        return text
    days = read_forecast(
        args.file[:80], text, read_bench(call.shop).local(call.shop.clock.now()).date()
    )
    return days if isinstance(days, Refusal) else set_forecast(call.shop, by, days)


def holidays(call: Call, by: str) -> Outcome | Refusal:
    """Add the whole days of a calendar file as holidays."""
    from bench.shop.settings.holiday_file import MOST_TEXT, add_holidays_of

    text = text_of(call.args.file, MOST_TEXT)
    return text if isinstance(text, Refusal) else add_holidays_of(call.shop, by, text)


def set_product(call: Call, by: str) -> Outcome | Refusal:
    """Write a product's data sheet from a file over the shop's."""
    from bench.shop.seeds import sheet_editing

    text = text_of(call.args.file, sheet_editing.MOST_TEXT)
    if isinstance(text, Refusal):
        return text
    return sheet_editing.set_product(call.shop, by, call.args.key, text, sure=call.args.sure)


def set_route(call: Call, by: str) -> Outcome | Refusal:
    """Write a route from a file over the shop's."""
    from bench.shop.seeds import sheet_editing

    text = text_of(call.args.file, sheet_editing.MOST_TEXT)
    return (
        text
        if isinstance(text, Refusal)
        else sheet_editing.set_route(call.shop, by, call.args.key, text)
    )


# A table: laid out by hand.
# fmt: off
SETUP = Group("set-up", (
    Command(
        "shop", "set hours, nights, holidays, probes, units .. from now on",
        tuple(_of(setting) for setting in SETTINGS if setting.option),
        "bench.commands.subjects.setup:shop",
        examples=('shop --night 9C --day 18C --hours "Mon-Fri 07:30-17:30, Sat 08:00-12:30" '
                  "--by Una",
                  "shop --clearance 25min --measured-by Una --by Una")),
    Command(
        "holidays", "add the whole days of a calendar file as holidays",
        (option("file", metavar="FILE", help="an .ics file of this or next year; - for input"),),
        "bench.commands.subjects.setup:holidays",
        examples=("holidays feasts.ics --by Una",)),
    Command(
        "alarm", "ring a bell or run a command of your own at an alarm",
        (option("--bell", choices=("on", "off"), help="the bell of each terminal"),
         option("--command", metavar="COMMAND", type=quantities.words,
                help="a program's whole path and arguments, run without a shell; the word and the "
                'stand are put behind them; "": none')),
        "bench.commands.subjects.setup:alarm",
        examples=("alarm --bell on --by Una",
                  'alarm --command "/usr/bin/aplay bell.wav" --by Una')),
    Command(
        "forecast", "set the low and high of coming days, each for its date",
        (option("file", metavar="FILE", nargs="?",
                help="CSV with the columns date,low,high in C, or date,low F,high F; - for input"),
         option("--date", metavar="DAY", type=quantities.day,
                help="one of the coming seven days, as 2026-03-12; its night begins on it"),
         option("--low", metavar="T", dest="low_c", type=quantities.quantity("degC"),
                help="coldest in its night: 2C"),
         option("--high", metavar="T", dest="high_c", type=quantities.quantity("degC"),
                help="warmest by day: 14C")),
        "bench.commands.subjects.setup:forecast",
        examples=("forecast week.csv --by Una",
                  "forecast --date 2026-12-02 --low -2C --high 9C --by Una")),
    Command(
        "products", "list the products with their keys",
        target="bench.commands.reports.lists:products", kind="reads", examples=("products",)),
    Command(
        "routes", "list the routes with their keys",
        target="bench.commands.reports.lists:routes", kind="reads", examples=("routes",)),
    Command(
        "shapes", "list the shapes with their keys",
        target="bench.commands.reports.lists:shapes", kind="reads", examples=("shapes",)),
    Command(
        "product", "show a product's data sheet as text", (KEY,),
        "bench.commands.reports.lists:product", "reads", ("product epoxy-primer",)),
    Command(
        "route", "show a route as text", (KEY,),
        "bench.commands.reports.lists:route", "reads", ("route zinc-new",)),
    Command(
        "set-product", "replace a product's data sheet by a text", (KEY, FILE, SURE),
        "bench.commands.subjects.setup:set_product",
        examples=("set-product epoxy-primer epoxy.toml --by Una",)),
    Command(
        "set-route", "replace a route by a text; parts on their way keep their steps",
        (KEY, FILE),
        "bench.commands.subjects.setup:set_route",
        examples=("set-route zinc-new zinc.toml --by Una",)),
))
# fmt: on
