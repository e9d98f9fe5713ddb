"""The shop's own settings: its week, its usual day and night, its probes, and its units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from bench.process.holidays import holiday_words, rule_of
from bench.process.probe import MEASURED
from bench.process.refusal import Refusal
from bench.process.shopunits import KINDS, read_units
from bench.process.temperature import COLDEST_C, WARMEST_C, Week
from bench.process.week import week_words
from bench.shop.acting import Act, Done, Shop
from bench.shop.allowed import Places, first_outside
from bench.shop.backup import set_second_place
from bench.shop.rows import STARTING_HOUSE
from bench.store.tables import Setting

KEEP_DAYS = 400
"""What was usual longer ago than this no clock asks for."""

LEAST_CLEARANCE_MIN, MOST_CLEARANCE_MIN = 5.0, 24 * 60.0
LEAST_CUP_ML, MOST_CUP_ML = 50.0, 20_000.0
MOST_HOLIDAYS = 60
THEMES = ("dark", "light")

MOST_PATH = 400
LEAST_EVERY_MIN, MOST_EVERY_MIN = 1.0, 24 * 60.0


def set_house(
    shop: Shop,
    by: str,
    *,
    night_c: float | None = None,
    day_c: float | None = None,
    week: Week | None = None,
    probe: Mapping[str, str] | None = None,
    probe_every_min: float | None = None,
    units: str | None = None,
    holidays: Sequence[str] = (),
    no_holidays: Sequence[str] = (),
    always_in: bool | None = None,
    clearance_min: float | None = None,
    cup_ml: float | None = None,
    cup_step_ml: float | None = None,
    backup_to: str | None = None,
    theme: str | None = None,
    theme_here: str | None = None,
    far_after_min: float | None = None,
) -> Done | Refusal:
    """Set what is given; it holds from now on, and what was usual before stays so for its time.

    night_c and day_c: the coldest the shop gets with nobody in, and what it is kept at. probe: the
    file of ``air``, ``metal`` and ``humidity``; an empty path takes that probe away.
    units: what figures are shown and typed in, such as "F, mil"; kinds not named stay.
    holidays, no_holidays: days off to add and to take away again, each "2026-12-24",
    "2026-12-24..2027-01-01" or a rule of RFC 5545. always_in: somebody is there day and night.
    clearance_min: how long masks stay on after the trigger, as measured with smoke in this room.
    cup_ml, cup_step_ml: what the mixing cup holds, and how far apart its marks are.
    backup_to: a second folder for backups; an empty path takes it away.
    theme: of every terminal that has none of its own; theme_here: of this one. One of THEMES.
    far_after_min: without a key for so long the far view comes by itself; 0: never.
    """
    for what, value in (("night", night_c), ("day", day_c)):
        if value is not None and not COLDEST_C <= value <= WARMEST_C:
            return Refusal(f"{what} {value:g} C", "", f"from {COLDEST_C:g} to {WARMEST_C:g} C")
    if week is not None and not any(week):
        return Refusal("a week without hours", "", "name at least one day with its hours")
    with shop.act("settings", by) as act:
        row = act.session.get(Setting, "house")
        if row is None:
            return Refusal("nobody has opened this shop yet")
        kept: dict[str, Any] = {**STARTING_HOUSE, **dict(row.value)}
        told: list[str] = []
        for changed in (
            _usual(act, kept, night_c, day_c, week),
            _holidays(act, kept, holidays, no_holidays),
            _always_in(kept, always_in),
            _probe(kept, probe or {}, probe_every_min, shop.allowed.probes),
            _units(kept, units),
            _clearance(kept, clearance_min),
            _cup(kept, cup_ml, cup_step_ml),
            set_second_place(kept, backup_to, shop.store.place, shop.allowed.backups),
            _theme(kept, theme, theme_here, shop.terminal),
            _far_after(kept, far_after_min),
        ):
            if isinstance(changed, Refusal):
                return changed
            told += changed
        if not told:
            hours = act.house.hours
            read = f"day {hours.day_c:g} C, night {hours.night_c:g} C, {week_words(hours.days)}"
            return Refusal("nothing to set", read, "say what is to be changed")
        row.value = kept
        return act.done("", f"from now on: {', '.join(told)}")


def _holidays(
    act: Act, kept: dict[str, Any], more: Sequence[str], less: Sequence[str]
) -> list[str] | Refusal:
    rules, told = [str(rule) for rule in kept["holidays"]], []
    try:
        wanted, unwanted = [rule_of(one) for one in more], [rule_of(one) for one in less]
    except ValueError as fault:
        return Refusal(str(fault), "", "a day as 2026-12-24, days as 2026-12-24..2027-01-01")
    for rule in unwanted:
        if rule not in rules:
            there = ", ".join(holiday_words(one) for one in rules) or "none"
            return Refusal(f"no holiday {holiday_words(rule)}", "", f"there are: {there}")
        rules.remove(rule)
        told.append(f"no holiday {holiday_words(rule)}")
    for rule in wanted:
        if rule not in rules:
            rules.append(rule)
            told.append(f"holiday {holiday_words(rule)}")
    if len(rules) > MOST_HOLIDAYS:
        return Refusal(f"{len(rules)} holidays", "", f"at most {MOST_HOLIDAYS}; take old ones away")
    if told:
        _keep_usual(act, kept)
        kept["holidays"] = rules
    return told


def _always_in(kept: dict[str, Any], always_in: bool | None) -> list[str]:
    if always_in is None:
        return []
    kept["always_in"] = always_in
    return ["somebody is in day and night" if always_in else "nobody is in out of hours"]


def _keep_usual(act: Act, kept: dict[str, Any]) -> None:
    """Past days and nights that nobody read keep what was usual then."""
    oldest = act.now - timedelta(days=KEEP_DAYS)
    earlier = [one for one in kept["before"] if datetime.fromisoformat(one["until"]) > oldest]
    was = {name: kept[name] for name in ("week", "day_c", "night_c", "holidays")}
    kept["before"] = [*earlier, {"until": act.now.isoformat(), **was}]


def _usual(
    act: Act, kept: dict[str, Any], night_c: float | None, day_c: float | None, week: Week | None
) -> list[str]:
    if night_c is None and day_c is None and week is None:
        return []
    _keep_usual(act, kept)
    told = []
    if night_c is not None:
        kept["night_c"] = night_c
        told.append(f"night {night_c:g} C")
    if day_c is not None:
        kept["day_c"] = day_c
        told.append(f"day {day_c:g} C")
    if week is not None:
        kept["week"] = [
            [hours[0].isoformat(), hours[1].isoformat()] if hours else None for hours in week
        ]
        told.append(week_words(week))
    kept["typed"] = kept["typed"] or night_c is not None
    return told


def _units(kept: dict[str, Any], text: str | None) -> list[str] | Refusal:
    """Only what is not metric is kept."""
    if text is None:
        return []
    try:
        found: dict[str, str] = {**kept["units"], **read_units(text)}
    except ValueError as fault:
        what, _, right = str(fault).rpartition(": ")
        return Refusal(what, "", right)
    kept["units"] = {kind: unit for kind, unit in found.items() if unit != KINDS[kind][0]}
    return [f"shown in {', '.join(kept['units'].values()) or 'metric'}"]


def _clearance(kept: dict[str, Any], clearance_min: float | None) -> list[str] | Refusal:
    if clearance_min is None:
        return []
    if not LEAST_CLEARANCE_MIN <= clearance_min <= MOST_CLEARANCE_MIN:
        right = f"from {LEAST_CLEARANCE_MIN:g} min to {MOST_CLEARANCE_MIN / 60:g} h, as measured"
        return Refusal(f"masks on for {clearance_min:g} min", "", right)
    kept["clearance_min"], kept["clearance_measured"] = clearance_min, True
    return [f"masks stay on {clearance_min:g} min after the trigger, as measured"]


def _cup(kept: dict[str, Any], cup_ml: float | None, step_ml: float | None) -> list[str] | Refusal:
    if cup_ml is None and step_ml is None:
        return []
    holds, step = cup_ml or kept["cup_ml"], step_ml or kept["cup_step_ml"]
    if not LEAST_CUP_ML <= holds <= MOST_CUP_ML:
        right = f"from {LEAST_CUP_ML:g} to {MOST_CUP_ML:g} ml"
        return Refusal(f"a cup of {holds:g} ml", "", right)
    if not 0 < step <= holds / 2:
        return Refusal(f"marks every {step:g} ml", f"a cup of {holds:g} ml", "two marks at least")
    kept["cup_ml"], kept["cup_step_ml"] = holds, step
    return [f"a cup of {holds:g} ml with marks every {step:g} ml"]


def _theme(
    kept: dict[str, Any], theme: str | None, here: str | None, terminal: str
) -> list[str] | Refusal:
    """A terminal that is as the shop has no theme of its own."""
    for wanted in (theme, here):
        if wanted is not None and wanted not in THEMES:
            return Refusal(f"theme {wanted[:20]}", "", f"one of {', '.join(THEMES)}")
    kept["theme"] = theme or kept["theme"]
    own = {**kept["themes"], **({terminal: here} if here else {})}
    kept["themes"] = {name: its for name, its in own.items() if its != kept["theme"]}
    return [f"{theme} screens"] * bool(theme) + [f"{here} on {terminal}"] * bool(here)


def _far_after(kept: dict[str, Any], minutes: float | None) -> list[str] | Refusal:
    if minutes is None:
        return []
    if not 0 <= minutes <= MOST_EVERY_MIN:
        return Refusal(f"the far view after {minutes:g} min", "", "from 1 min to a day; 0: never")
    kept["far_after_min"] = minutes
    told = f"after {minutes:g} min without a key" if minutes else "never by itself"
    return [f"the far view {told}"]


def _probe(
    kept: dict[str, Any],
    paths: Mapping[str, str],
    every_min: float | None,
    places: Places | None,
) -> list[str] | Refusal:
    if not paths and every_min is None:
        return []
    if refused := first_outside(places, paths.values()):
        return refused
    found: dict[str, Any] = dict(kept["probe"] or {})
    told = []
    for what, path in paths.items():
        if what not in MEASURED:
            return Refusal(f"no probe of {what[:20]}", "", f"one of {', '.join(MEASURED)}")
        if len(path) > MOST_PATH or not path.isprintable():
            return Refusal(f"the {what} probe's path", "", f"plain, up to {MOST_PATH} characters")
        found[what] = path
        told.append(f"{what} probe {path}" if path else f"no {what} probe")
    if every_min is not None:
        if not LEAST_EVERY_MIN <= every_min <= MOST_EVERY_MIN:
            return Refusal(f"a reading every {every_min:g} min", "", "from 1 min to a day")
        found["every_min"] = every_min
        told.append(f"probes read every {every_min:g} min")
    if not found.get("air") and any(found.get(what) for what in MEASURED):
        return Refusal("no air probe", "", "a reading needs the air: give its file too")
    kept["probe"] = found
    return told
