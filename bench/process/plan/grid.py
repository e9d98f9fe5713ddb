"""The grid of a plan: slots and instants, the hours with somebody in, and the days of the shop."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from math import ceil

from bench.process.ahead.attendance import open_hours, stays
from bench.process.calendar.holidays import days_off
from bench.process.clocks.temperature import Hours
from bench.process.plan import slot_sets
from bench.process.plan.problem import SLOT_MIN
from bench.process.wording.time_text import round_up

SLOT_S = SLOT_MIN * 60.0

QUARTER_S = 900

DAYS_BEYOND = 400
"""So many days after the plan a coat may still cure, or a promise be for."""

Range = tuple[int, int]
"""From one slot to before another."""


def slots_of(minutes: float) -> int:
    """Return the slots that so many minutes fill, begun ones counted whole.

    >>> slots_of(0), slots_of(5), slots_of(6)
    (0, 1, 2)
    """
    return ceil(round(minutes / SLOT_MIN, 6))


@dataclass(frozen=True)
class Grid:
    """Slots from ``start`` (UTC, a full five minutes) to before ``horizon``."""

    start: datetime
    horizon: int
    hours: Hours

    @classmethod
    def of(cls, now: datetime, days: int, hours: Hours) -> Grid:
        """Make the grid of so many days from ``now`` on."""
        start = round_up(now.astimezone(UTC), SLOT_MIN)
        return cls(start, days * 24 * 60 // SLOT_MIN, hours)

    @cached_property
    def start_s(self) -> float:
        """Return the beginning of slot 0 in seconds since 1970."""
        return self.start.timestamp()

    @property
    def never(self) -> int:
        """Return the slot that means never."""
        return self.horizon + 1

    def at(self, slot: int) -> datetime:
        """Return when a slot begins."""
        return self.start + timedelta(minutes=SLOT_MIN * slot)

    def second(self, slot: int) -> float:
        """Return when a slot begins, in seconds since 1970."""
        return self.start_s + SLOT_S * slot

    def up(self, at_s: float | None) -> int:
        """Return the first slot that begins at or after an instant; None is never."""
        return self.ups([at_s])[0]

    def down(self, at_s: float | None) -> int:
        """Return the slot in which an instant lies, below 0 before the first; None is never."""
        return self.downs([at_s])[0]

    def ups(self, ends_s: Sequence[float | None]) -> list[int]:
        """Return ``up`` of many instants."""
        start_s, never = self.start_s, self.never
        return [
            never
            if end_s is None or (slot := -int((start_s - end_s) // SLOT_S)) > never
            else slot
            if slot > 0
            else 0
            for end_s in ends_s
        ]

    def downs(self, ends_s: Sequence[float | None]) -> list[int]:
        """Return ``down`` of many instants."""
        start_s, never = self.start_s, self.never
        return [
            never if end_s is None or (slot := int((end_s - start_s) // SLOT_S)) > never else slot
            for end_s in ends_s
        ]

    # --- who is in -------------------------------------------------------------------------------

    @property
    def _days(self) -> int:
        return self.horizon * SLOT_MIN // (24 * 60) + 2

    def _ranges(self, spans: Iterable[tuple[datetime, datetime]]) -> tuple[Range, ...]:
        """Return the whole slots of some hours, those that are over left out."""
        whole = (
            (self.up(opens.timestamp()), min(self.down(closes.timestamp()), self.horizon))
            for opens, closes in spans
        )
        return tuple(each for each in whole if each[0] < each[1])

    @cached_property
    def stays(self) -> tuple[Range, ...]:
        """Return when somebody is in without a break."""
        if self.hours.always_in:
            return ((0, self.horizon),)
        return self._ranges(stays(self.hours, self.start, self._days))

    @cached_property
    def open(self) -> tuple[Range, ...]:
        """Return the shop's hours, a break counted as open."""
        if self.hours.always_in:
            return ((0, self.horizon),)
        return self._ranges(open_hours(self.hours, self.start, self._days))

    @cached_property
    def attended(self) -> int:
        """Return the slots with somebody in."""
        return sum(slot_sets.between(*stay) for stay in self.stays)

    def within(self, before: int, length: int) -> int:
        """Return the starts from which work stays inside one stay.

        The work takes from ``before`` slots before its start to ``length`` slots after it.
        """
        whole = slot_sets.between(0, self.horizon)
        return whole & ~slot_sets.starts_meeting(self._closed, before, length)

    @cached_property
    def _closed(self) -> int:
        """Return the slots with nobody there, those behind the horizon for a week among them."""
        return slot_sets.between(0, self.horizon + 2016) & ~self.attended

    # --- days ------------------------------------------------------------------------------------

    def day_of(self, slot: int) -> date:
        """Return the shop's date of a slot."""
        return self.at(slot).astimezone(self.hours.zone).date()

    @cached_property
    def days(self) -> tuple[tuple[date, Range], ...]:
        """Return each date with hours, and the slots from its first to its last hour."""
        if not self.hours.always_in:
            return tuple((self.day_of(since), (since, until)) for since, until in self.open)
        ends = [n for n in range(1, self.horizon) if self.day_of(n) != self.day_of(n - 1)]
        both = zip([0, *ends], [*ends, self.horizon], strict=True)
        return tuple((self.day_of(since), (since, until)) for since, until in both)

    @cached_property
    def _shop_days(self) -> Sequence[date]:
        """Return the dates with hours, from today on."""
        first = self.start.astimezone(self.hours.zone).date()
        last = first + timedelta(days=self._days + DAYS_BEYOND)
        off = days_off(self.hours.holidays, first, last)
        dates = (first + timedelta(days=n) for n in range(self._days + DAYS_BEYOND))
        always = self.hours.always_in or not any(self.hours.days)
        return [d for d in dates if always or (self.hours.days[d.weekday()] and d not in off)]

    def shop_day(self, day: date) -> int:
        """Return how many shop days lie before a date, today the first of them: 0."""
        return bisect_left(self._shop_days, day)

    def shop_date(self, number: int) -> date:
        """Return the date of a shop day by its number; of those beyond all, the last."""
        return self._shop_days[min(number, len(self._shop_days) - 1)]

    @cached_property
    def shop_day_of(self) -> Sequence[int]:
        """Return for each slot the number of its shop day."""
        return [self.shop_day_at(self.second(slot)) for slot in range(self.horizon + 1)]

    def shop_day_at(self, at_s: float | None) -> int:
        """Return the number of the shop day of an instant; None comes after all of them."""
        if at_s is None:
            return len(self._shop_days)
        quarter = int(at_s // QUARTER_S)
        if quarter not in self._by_quarter:
            at = datetime.fromtimestamp(quarter * QUARTER_S, self.hours.zone)
            self._by_quarter[quarter] = self.shop_day(at.date())
        return self._by_quarter[quarter]

    @cached_property
    def _by_quarter(self) -> dict[int, int]:
        """Keep the shop days that were asked for: of a quarter of an hour, which has one date."""
        return {}

    def last_shop_day(self, day: date) -> int:
        """Return the number of the last shop day up to a date, below 0 where it is over."""
        today = self.start.astimezone(self.hours.zone).date()
        if day < today:
            return (day - today).days
        return bisect_right(self._shop_days, day) - 1
