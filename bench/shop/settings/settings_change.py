"""The shop's own settings: its week, its usual day and night, its probes, its units, its alarm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from bench.disk import why_no_path
from bench.process.calendar.holidays import holiday_words, rule_of
from bench.process.calendar.week import Week, break_words, read_break, week_words
from bench.process.refusals.refusal import Refusal
from bench.process.safety.masks import ClearanceMeasurement
from bench.process.wording.display_units import KINDS, read_units
from bench.process.wording.text_rules import clean_name, command_fault
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.data.backups import MOST_PATH, set_second_place
from bench.shop.environment.probe_text import MEASURED
from bench.shop.settings.kiosk_limits import COMMAND, WHERE, AllowedFolders, first_outside
from bench.shop.settings.paper import change_paper
from bench.shop.settings.setting_list import BY_KEY, DEFAULTS
from bench.shop.settings.shop_settings import PLAN_KEYS, stored_week
from bench.store.schema.tables import SettingRow
from bench.trade.solvent import AIR_CHANGES_H, MIXING_FACTOR
from bench.zones import near, setting_of, zone_words

KEEP_DAYS = 400
"""What was usual longer ago than this no clock asks for."""

MOST_HOLIDAYS = 60

MOST_PREFIX = 3
ON_THE_KEYPAD = frozenset("+-*/.,?")
"""Signs that painters press, so that no scanner begins with them; ``?`` is the help."""


def set_settings(shop: Shop, /, by: str, **changes: Any) -> Outcome | Refusal:
    """Set what is given, each by its key in ``SETTINGS``; None stays as it is.

    It holds from now on. What was usual before stays so for its time; a time zone holds for the
    hours gone by too. probe: by ``air``, ``metal`` and ``humidity`` the file of each. no_holidays:
    days off to take away again. theme_here: of this terminal alone.
    """
    new_values = {key: value for key, value in changes.items() if value is not None}
    faults = (BY_KEY[key].fault(value) for key, value in new_values.items() if key != "probe")
    if refused := next(filter(None, faults), None):
        return refused
    week = new_values.get("week")
    if week is not None and not any(week):
        return Refusal("a week without hours", "", "name at least one day with its hours")
    with shop.act("settings", by) as act:
        values = stored_settings(act)
        if isinstance(values, Refusal):
            return values
        words: list[str] = []
        of = new_values.get
        for part in (
            _usual(act, values, of("night_c"), of("day_c"), week),
            _lunch(values, of("lunch")),
            _holidays(act, values, of("holidays", ()), of("no_holidays", ())),
            _always_in(values, of("always_in")),
            _probe(values, of("probe", {}), of("probe_every_min"), shop.allowed.probes),
            _doubt(values, of("doubt_c")),
            _units(values, of("units")),
            _clearance(act, values, of("clearance_min"), of("measured_by"), of("measured_on")),
            _extraction(values, of("air_changes_h"), of("mixing_factor")),
            _cup(values, of("cup_ml"), of("cup_step_ml")),
            _of_plan(values, new_values),
            set_second_place(values, of("backup_to"), shop.store.place, shop.allowed.backups),
            _backup_room(values, of("backup_mb")),
            _theme(values, of("theme"), of("theme_here"), shop.terminal),
            _far_after(values, of("far_after_min")),
            _urgent_first(values, of("urgent_first")),
            _scan_prefix(values, of("scan_prefix")),
            _zone(values, of("zone")),
            change_paper(values, of("paper"), of("letterhead")),
        ):
            if isinstance(part, Refusal):
                return part
            words += part
        if not words:
            hours = act.house.hours
            words_now = (
                f"day {hours.day_c:g} C, night {hours.night_c:g} C, {week_words(hours.days)}"
            )
            words_now += f", time zone {zone_words(act.house.zone_name)}"
            return Refusal("nothing to set", words_now, "say what to change")
        return store_settings(act, values, f"from now on: {', '.join(words)}")


def stored_settings(act: Transaction) -> dict[str, Any] | Refusal:
    """List every setting by its key, as it is stored or by default."""
    row = act.session.get(SettingRow, "house")
    return {**DEFAULTS, **row.value} if row else Refusal("nobody has opened this shop yet")


def store_settings(act: Transaction, values: dict[str, Any], text: str) -> Outcome | Refusal:
    """Keep every setting as it is handed in. text: the line of the journal."""
    act.session.get_one(SettingRow, "house").value = values
    return act.done("", text)


def _lunch(values: dict[str, Any], typed: str | None) -> list[str] | Refusal:
    if typed is None:
        return []
    try:
        lunch = read_break(typed)
    except ValueError as fault:
        return Refusal("the break", "", str(fault))
    values["lunch"] = break_words(lunch) if lunch else ""
    return [f"break {break_words(lunch)}"]


def _holidays(
    act: Transaction, values: dict[str, Any], more: Sequence[str], less: Sequence[str]
) -> list[str] | Refusal:
    rules, words = [str(rule) for rule in values["holidays"]], []
    try:
        new_rules, old_rules = [rule_of(text) for text in more], [rule_of(text) for text in less]
    except ValueError as fault:
        return Refusal(str(fault), "", "a day as 2026-12-24, days as 2026-12-24..2027-01-01")
    for rule in old_rules:
        if rule not in rules:
            there = ", ".join(holiday_words(text) for text in rules) or "none"
            return Refusal(f"no holiday {holiday_words(rule)}", "", f"there are: {there}")
        rules.remove(rule)
        words.append(f"no holiday {holiday_words(rule)}")
    for rule in new_rules:
        if rule not in rules:
            rules.append(rule)
            words.append(f"holiday {holiday_words(rule)}")
    if len(rules) > MOST_HOLIDAYS:
        return Refusal(f"{len(rules)} holidays", "", f"at most {MOST_HOLIDAYS}; take old ones away")
    if words:
        _keep_usual(act, values)
        values["holidays"] = rules
    return words


def _always_in(values: dict[str, Any], always_in: bool | None) -> list[str]:
    if always_in is None:
        return []
    values["always_in"] = always_in
    return ["open day and night" if always_in else "closed out of hours"]


def _keep_usual(act: Transaction, values: dict[str, Any]) -> None:
    """Past days and nights that nobody read keep what was usual then."""
    oldest = act.now - timedelta(days=KEEP_DAYS)
    earlier = [week for week in values["before"] if datetime.fromisoformat(week["until"]) > oldest]
    was = {name: values[name] for name in ("week", "day_c", "night_c", "holidays")}
    values["before"] = [*earlier, {"until": act.now.isoformat(), **was}]


def _usual(
    act: Transaction,
    values: dict[str, Any],
    night_c: float | None,
    day_c: float | None,
    week: Week | None,
) -> list[str]:
    if night_c is None and day_c is None and week is None:
        return []
    _keep_usual(act, values)
    words = []
    if night_c is not None:
        values["night_c"] = night_c
        words.append(f"night {night_c:g} C")
    if day_c is not None:
        values["day_c"] = day_c
        words.append(f"day {day_c:g} C")
    if week is not None:
        values["week"] = stored_week(week)
        words.append(week_words(week))
    values["typed"] = values["typed"] or night_c is not None
    return words


def _units(values: dict[str, Any], text: str | None) -> list[str] | Refusal:
    """Only what is not metric is kept."""
    if text is None:
        return []
    try:
        units: dict[str, str] = {**values["units"], **read_units(text)}
    except ValueError as fault:
        what, _, right = str(fault).rpartition(": ")
        return Refusal(what, "", right)
    values["units"] = {kind: unit for kind, unit in units.items() if unit != KINDS[kind][0]}
    return [f"shown in {', '.join(values['units'].values()) or 'metric'}"]


def _clearance(
    act: Transaction,
    values: dict[str, Any],
    clearance_min: float | None,
    by: str | None,
    on: date | None,
) -> list[str] | Refusal:
    """A time that is typed again was not measured before somebody says so."""
    if clearance_min is None:
        value = by if by is not None else on
        right = "give the time with it: --clearance 25min"
        return [] if value is None else Refusal(f"measured, {value}, but no time", "", right)
    measurement = _measured(act, by, on)
    if isinstance(measurement, Refusal):
        return measurement
    values["clearance_min"] = clearance_min
    values["clearance_on"] = measurement.on.isoformat() if measurement else ""
    values["clearance_by"] = measurement.by if measurement else ""
    source = (
        f"measured {measurement.on:%d %b %Y} by {measurement.by}" if measurement else "not measured"
    )
    return [f"masks stay on {clearance_min:g} min after the trigger ({source})"]


def _measured(
    act: Transaction, by: str | None, on: date | None
) -> ClearanceMeasurement | Refusal | None:
    """Who measured it and when; a day without a name is nobody's word for it."""
    if by is None and on is None:
        return None
    name = clean_name(by or "", "who measured it")
    if isinstance(name, Refusal):
        return name
    today = act.local_now.date()
    if on is not None and on > today:
        right = f"today is {today:%d %b %Y}: give the day it was measured"
        return Refusal("that is in the future", f"measured {on:%d %b %Y}", right)
    return ClearanceMeasurement(on or today, name)


def _extraction(
    values: dict[str, Any], changes_h: float | None, mixing: float | None
) -> list[str] | Refusal:
    """What the clearance time is estimated from until somebody measures it; 0: not known."""
    words = []
    for key, value, (least, _) in (
        ("air_changes_h", changes_h, AIR_CHANGES_H),
        ("mixing_factor", mixing, MIXING_FACTOR),
    ):
        if value is None:
            continue
        setting = BY_KEY[key]
        if 0 < value < least:
            return Refusal(setting.read.format(value), "", f"from {least:g}; 0: not known")
        values[key] = value
        words.append(setting.read.format(value) if value else f"{setting.asks} not known")
    return words


def _cup(
    values: dict[str, Any], cup_ml: float | None, step_ml: float | None
) -> list[str] | Refusal:
    if cup_ml is None and step_ml is None:
        return []
    holds, step = cup_ml or values["cup_ml"], step_ml or values["cup_step_ml"]
    if not 0 < step <= holds / 2:
        return Refusal(f"marks every {step:g} ml", f"a cup of {holds:g} ml", "two marks at least")
    values["cup_ml"], values["cup_step_ml"] = holds, step
    return [f"a cup of {holds:g} ml with marks every {step:g} ml"]


def _doubt(values: dict[str, Any], doubt_c: float | None) -> list[str]:
    if doubt_c is None:
        return []
    values["doubt_c"] = doubt_c
    return [BY_KEY["doubt_c"].read.format(doubt_c)]


def _backup_room(values: dict[str, Any], room_mb: float | None) -> list[str]:
    if room_mb is None:
        return []
    values["backup_mb"] = room_mb
    return [BY_KEY["backup_mb"].read.format(room_mb)]


def _theme(values: dict[str, Any], theme: str | None, here: str | None, terminal: str) -> list[str]:
    """A terminal that is as the shop has no theme of its own."""
    values["theme"] = theme or values["theme"]
    themes = {**values["themes"], **({terminal: here} if here else {})}
    values["themes"] = {name: its for name, its in themes.items() if its != values["theme"]}
    return [f"{theme} screens"] * bool(theme) + [f"{here} on {terminal}"] * bool(here)


LEAST_FULL_PCT = 50.0


def _of_plan(values: dict[str, Any], typed: Mapping[str, Any]) -> list[str] | Refusal:
    """Set what only the plan reads; 0 takes a figure back to the placeholder."""
    words = []
    for key in PLAN_KEYS:
        figure = typed.get(key)
        if figure is None:
            continue
        setting = BY_KEY[key]
        least = LEAST_FULL_PCT if key == "full_pct" else 1.0
        whole = key != "spray_spaces" or figure == int(figure)
        if figure and (figure < least or not whole):
            return Refusal(setting.read.format(figure), "", setting.range)
        values[key] = figure
        words.append(setting.read.format(figure) if figure else f"{setting.asks}: not typed")
    return words


def _urgent_first(values: dict[str, Any], urgent_first: bool | None) -> list[str]:
    if urgent_first is None:
        return []
    values["urgent_first"] = urgent_first
    return [f"pages of the bench in order of {'urgency' if urgent_first else 'their stands'}"]


def _far_after(values: dict[str, Any], minutes: float | None) -> list[str]:
    if minutes is None:
        return []
    values["far_after_min"] = minutes
    when = f"after {minutes:g} min without a key" if minutes else "never by itself"
    return [f"the far view {when}"]


def _scan_prefix(values: dict[str, Any], prefix: str | None) -> list[str] | Refusal:
    if prefix is None:
        return []
    signs = all("!" <= sign <= "~" and not sign.isalnum() for sign in prefix)
    if len(prefix) > MOST_PREFIX or not signs or ON_THE_KEYPAD & set(prefix):
        right = f"one to {MOST_PREFIX} signs that are on no key of the keypad, such as ~"
        return Refusal("that cannot be a scanner's prefix", ascii(prefix[:20]), right)
    values["scan_prefix"] = prefix
    return [f"a scanned tag begins with {prefix}" if prefix else "a scanned tag has no prefix"]


def _zone(values: dict[str, Any], typed: str | None) -> list[str] | Refusal:
    if typed is None:
        return []
    name = setting_of(typed)
    if name is None:
        names = ", ".join(near(typed)) or "a name such as Europe/Dublin"
        return Refusal(
            "no such time zone", ascii(typed[:40]), f'type {names}; or "local", the computer\'s own'
        )
    values["zone"] = name
    return [f"time zone {zone_words(name)}"]


def _probe(
    values: dict[str, Any],
    paths: Mapping[str, str],
    every_min: float | None,
    places: AllowedFolders | None,
) -> list[str] | Refusal:
    if not paths and every_min is None:
        return []
    if refused := first_outside(places, paths.values()):
        return refused
    probes: dict[str, Any] = dict(values["probe"] or {})
    words = []
    for what, path in paths.items():
        if what not in MEASURED:
            return Refusal(f"no probe of {what[:20]}", "", f"one of {', '.join(MEASURED)}")
        if len(path) > MOST_PATH or not path.isprintable():
            return Refusal(f"the {what} probe's path", "", f"plain, up to {MOST_PATH} characters")
        if path and (why := why_no_path(path)):
            return Refusal(f"the {what} probe's path: {why}", f"{path[:40]}..", "type another")
        probes[what] = path
        words.append(f"{what} probe {path}" if path else f"no {what} probe")
    if every_min is not None:
        probes["every_min"] = every_min
        words.append(f"probes read every {every_min:g} min")
    if not probes.get("air") and any(probes.get(what) for what in MEASURED):
        return Refusal("no air probe", "", "a reading needs the air: give its file too")
    values["probe"] = probes
    return words


ON_A_KIOSK = Refusal(
    "on a kiosk no alarm command is typed", "", f"root writes it into {WHERE}, as {COMMAND}=/PATH"
)


def set_alarm(
    shop: Shop, by: str, *, bell: bool | None = None, command: Sequence[str] | None = None
) -> Outcome | Refusal:
    """Set what is given. command: a program's path and its arguments; empty: none is run.

    No shell runs it (``process.wording.text_rules``). The alarm's word and stand are put behind the
    arguments.
    """
    if bell is None and command is None:
        return Refusal("nothing to set", "", "say whether the bell rings, or which command is run")
    words = list(command or ())
    if command is not None and shop.allowed.kiosk:
        return ON_A_KIOSK
    if words and (refused := command_fault(words)):
        return refused
    with shop.act("settings", by) as act:
        values = stored_settings(act)
        if isinstance(values, Refusal):
            return values
        parts = []
        if bell is not None:
            values["bell"] = bell
            parts.append(f"the bell {'rings' if bell else 'is quiet'}")
        if command is not None:
            values["alarm_command"] = words
            parts.append(f"it runs {' '.join(words)}" if words else "no command is run")
        return store_settings(act, values, f"at an alarm: {', '.join(parts)}")
