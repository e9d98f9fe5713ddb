"""Type how cold and how warm the shop gets on the days to come, each for its own date."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from bench.process.calendar.forecast import DayAhead, fault_of
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.settings.settings_change import KEEP_DAYS, store_settings, stored_settings


def set_forecast(shop: Shop, by: str, days: Sequence[DayAhead]) -> Outcome | Refusal:
    """Set the forecast of some of the coming days; all of them, or none where one cannot be.

    It counts from now on and for its own dates only, where it is stricter than what is usual. What
    was typed for a day before stays so for the hours gone by.
    """
    if not days:
        return Refusal("no forecast", "", "say a date, its low and its high")
    with shop.act("forecast", by) as act:
        values = stored_settings(act)
        if isinstance(values, Refusal):
            return values
        today = act.local_now.date()
        if refused := next(filter(None, (fault_of(ahead, today) for ahead in days)), None):
            return refused
        oldest = act.now - timedelta(days=KEEP_DAYS)
        earlier = (each for each in values["forecasts"] if _since(each) > oldest)
        since = act.now.isoformat()
        values["forecasts"] = [
            *earlier,
            *(
                {
                    "day": ahead.day.isoformat(),
                    "low_c": ahead.low_c,
                    "high_c": ahead.high_c,
                    "since": since,
                }
                for ahead in days
            ),
        ]
        return store_settings(act, values, f"forecast: {', '.join(ahead.words for ahead in days)}")


def _since(typed: dict[str, str]) -> datetime:
    return datetime.fromisoformat(typed["since"])
