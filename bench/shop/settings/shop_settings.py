"""The settings of one shop, read from the values that are stored."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from functools import cached_property
from math import ceil
from typing import Any

from bench.process.calendar.holidays import fault_of
from bench.process.calendar.week import Week, read_break
from bench.process.clocks.temperature import Forecast, Hours, UnansweredJump, UsualWeek
from bench.process.safety.masks import Clearance, ClearanceMeasurement
from bench.process.wording.display_units import ShopUnits
from bench.shop.data.backup_retention import MEGABYTE, SecondPlace
from bench.shop.environment.probe_text import EVERY_MIN, MEASURED, Probes
from bench.shop.settings.paper import Paper, paper_of
from bench.shop.settings.setting_list import PLACEHOLDER_MIN
from bench.trade.solvent import clearance_min

PLAN_KEYS = (
    *("spray_spaces", "mixing_min", "flush_min", "handling_min", "full_pct", "closing_slack_min"),
    *("moving_min", "wet_min"),
)
"""Settings that only the plan reads; 0 is stored until somebody types one."""


@dataclass(frozen=True)
class ShopSettings:
    """The settings of this shop, each as the program uses it.

    zone: the time zone that ``stored["zone"]`` means on this computer.
    """

    stored: Mapping[str, Any]
    zone: tzinfo

    @cached_property
    def hours(self) -> Hours:
        """When somebody is in, and how warm the shop then is. Rules with a fault are left out."""
        values = self.stored
        return Hours(
            days=read_stored_week(values["week"]),
            day_c=values["day_c"],
            night_c=values["night_c"],
            zone=self.zone,
            holidays=_usable(values["holidays"]),
            always_in=bool(values["always_in"]),
            before=tuple(_usual(earlier) for earlier in values["before"]),
            typed=bool(values["typed"]),
            forecasts=tuple(_forecast(each) for each in values["forecasts"]),
            unanswered=_unanswered(values["jump"]),
            lunch=read_break(values["lunch"]),
        )

    @property
    def bad_holidays(self) -> tuple[str, ...]:
        """What is wrong with rules that cannot be used; those days count as any other."""
        return tuple(filter(None, (fault_of(str(rule)) for rule in self.stored["holidays"])))

    @property
    def zone_name(self) -> str:
        """The name of the zone as it was set; empty: the computer's own."""
        return str(self.stored["zone"])

    @property
    def clearance(self) -> Clearance:
        """How long masks stay on after the trigger: a placeholder until the room was measured."""
        on, by = self.stored["clearance_on"], self.stored["clearance_by"]
        measurement = ClearanceMeasurement(date.fromisoformat(on), by) if on and by else None
        least = max(PLACEHOLDER_MIN, self._estimated_min())
        return Clearance(
            timedelta(minutes=self.stored["clearance_min"]), measurement, timedelta(minutes=least)
        )

    def _estimated_min(self) -> float:
        """Minutes until 1 % of the mist is left; 0 where the extraction is not known."""
        changes_h, mixing = self.stored["air_changes_h"], self.stored["mixing_factor"]
        known = changes_h and mixing
        return ceil(clearance_min(changes_h, mixing_factor=mixing)) if known else 0

    @property
    def cup_ml(self) -> float:
        """What the mixing cup holds."""
        return float(self.stored["cup_ml"])

    @property
    def cup_step_ml(self) -> float:
        """How far apart its marks are."""
        return float(self.stored["cup_step_ml"])

    def of_plan(self, key: str) -> float | None:
        """Give a figure of ``PLAN_KEYS`` as the shop typed it, None until then."""
        return float(self.stored[key]) or None

    @property
    def bell(self) -> bool:
        """Whether each terminal's bell rings at an alarm."""
        return bool(self.stored["bell"])

    @property
    def alarm_command(self) -> tuple[str, ...]:
        """A command of the shop's own for a relay or sounder, run without a shell."""
        return tuple(self.stored["alarm_command"])

    @property
    def alarm_command_s(self) -> float:
        """How long that may run."""
        return float(self.stored["alarm_command_s"])

    @property
    def probes(self) -> Probes | None:
        """Files to read air, metal and humidity from."""
        probe = self.stored["probe"] or {}
        paths = {what: str(probe[what]) for what in MEASURED if probe.get(what)}
        every = timedelta(minutes=probe.get("every_min") or EVERY_MIN)
        return Probes(paths, every, self.doubt_c) if paths else None

    @property
    def doubt_c(self) -> float:
        """How far from the last one, in C, a reading is doubted."""
        return float(self.stored["doubt_c"])

    @cached_property
    def units(self) -> ShopUnits:
        """The units that figures are shown and typed in."""
        return ShopUnits(**self.stored["units"])

    @property
    def second_place(self) -> SecondPlace | None:
        """Where backups go besides the folder beside the data."""
        return second_place(self.stored)

    @property
    def backup_bytes(self) -> int:
        """How many bytes the backups in each place may take."""
        return int(self.stored["backup_mb"] * MEGABYTE)

    @property
    def far_after(self) -> timedelta | None:
        """How long without a key until the far view comes by itself; None: never."""
        minutes = self.stored["far_after_min"]
        return timedelta(minutes=minutes) if minutes else None

    @property
    def urgent_first(self) -> bool:
        """Whether the bench's pages are in order of urgency, not of the stands."""
        return bool(self.stored["urgent_first"])

    @property
    def scan_prefix(self) -> str:
        """What the shop's scanner sends before a tag; empty for nothing."""
        return str(self.stored["scan_prefix"])

    @property
    def paper(self) -> Paper:
        """What the shop prints on."""
        return paper_of(self.stored)

    def theme_on(self, terminal: str) -> str:
        """Choose dark or light: as it was set on this terminal, else as in the shop."""
        return str(self.stored["themes"].get(terminal, self.stored["theme"]))


def second_place(values: Mapping[str, Any]) -> SecondPlace | None:
    """Give the second place for backups as the settings have it."""
    place = values.get("backup_to") or {}
    return SecondPlace(place["path"], place["other_disk"]) if place else None


def _usable(rules: Iterable[Any]) -> tuple[str, ...]:
    return tuple(str(rule) for rule in rules if not fault_of(str(rule)))


def stored_week(week: Week) -> list[list[str] | None]:
    """Return a week as it is stored: what ``read_stored_week`` reads."""
    return [[each.isoformat() for each in hours] if hours else None for hours in week]


def read_stored_week(days: Any) -> Week:
    """Return a week out of the settings: what ``stored_week`` wrote."""
    return tuple(
        (time.fromisoformat(day[0]), time.fromisoformat(day[1])) if day else None for day in days
    )


def _forecast(typed: Mapping[str, Any]) -> Forecast:
    day, since = date.fromisoformat(typed["day"]), datetime.fromisoformat(typed["since"])
    return Forecast(day, typed["low_c"], typed["high_c"], since)


def _unanswered(jump: Mapping[str, Any]) -> UnansweredJump | None:
    if not jump:
        return None
    return UnansweredJump(**{**jump, "since": datetime.fromisoformat(jump["since"])})


def _usual(earlier: Mapping[str, Any]) -> UsualWeek:
    until, holidays = datetime.fromisoformat(earlier["until"]), earlier.get("holidays", ())
    return UsualWeek(
        until,
        read_stored_week(earlier["week"]),
        earlier["day_c"],
        earlier["night_c"],
        _usable(holidays),
    )
