"""Holidays out of a calendar file (.ics), as plain days of the shop's settings."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from bench.process.refusals.refusal import Refusal
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.settings.settings_change import set_settings

MOST_TEXT = 1_000_000
AHEAD = timedelta(days=400)
"""Holidays further ahead are in next year's file."""


def add_holidays_of(shop: Shop, by: str, text: str) -> Outcome | Refusal:
    """Add the whole days of a calendar file from today on, up to AHEAD, as days off.

    What repeats by a rule or has an hour of the day is left out. Needs the extra ``holidays``.
    """
    days = days_in(text, read_bench(shop).local(shop.clock.now()).date())
    return days if isinstance(days, Refusal) else set_settings(shop, by, holidays=days)


def days_in(text: str, today: date) -> tuple[str, ...] | Refusal:
    """Return the whole days to come of a calendar file, as a holiday is typed."""
    try:
        from icalendar import Calendar
    except ImportError:
        right = "install it: pip install 'paintbench[holidays]'"
        return Refusal("nothing here reads calendar files", "icalendar is missing", right)
    try:
        events = Calendar.from_ical(text).walk("VEVENT")
        found = [_days_of(event) for event in events if "RRULE" not in event]
    except (ValueError, KeyError, IndexError) as fault:
        return Refusal("no calendar file", str(fault)[:80], "give a file that ends in .ics")
    runs = sorted({run for run in found if run is not None})
    to_come = [
        f"{first}..{last}" for first, last in runs if last >= today and first <= today + AHEAD
    ]
    if not to_come:
        return Refusal("no whole day to come in this file", "", "give this year's or the next")
    return tuple(to_come)


def _days_of(event: Any) -> tuple[date, date] | None:
    """Return the first and the last day of an event; None where it has an hour of the day."""
    first = event.decoded("DTSTART")
    if isinstance(first, datetime):
        return None
    if "DTEND" in event:
        return first, max(event.decoded("DTEND") - timedelta(days=1), first)
    length = event.decoded("DURATION") if "DURATION" in event else timedelta(days=1)
    return first, first + max(length - timedelta(days=1), timedelta(0))
