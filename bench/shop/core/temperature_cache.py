"""The shop's readings on this terminal: read once, and later only what is new."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.reading_log import Readings
from bench.process.clocks.temperature import Hours, Reading
from bench.process.sheets.product import Product
from bench.shop.core.mappers import readings_of
from bench.store.databases.database import Session
from bench.store.queries import bench_rows
from bench.store.schema.tables import ReadingRow

SPARE = timedelta(days=2)
"""So much earlier readings are kept: a step that is finished makes its beginning count."""


class Air:
    """The readings as they were last seen, with the temperatures drawn of them.

    The journal tells what was done to readings since, here or on another terminal: new ones are
    added to what is drawn already; where one was changed or taken back, all are read again.
    """

    def __init__(self) -> None:
        self._environment: Environment | None = None
        self._since: datetime | None = None
        self._line = 0

    def around(
        self, session: Session, hours: Hours, products: Mapping[str, Product], since: datetime
    ) -> Environment:
        """Give the readings from ``since`` on and the last one before it, with hours and sheets.

        Only what is committed may be seen by ``session``: nothing that might be rolled back.
        """
        readings = self._brought_up_to_date(session, hours, since)
        if readings is None:
            self._line, self._since = bench_rows.last_line_number(session), since - SPARE
            readings = Environment(readings_of(session, self._since), hours, {})
        self._environment = readings
        return replace(readings.only_since(since), products=products)

    def forget_before(self, since: datetime) -> None:
        """Drop the readings before an instant: no clock needs them any more."""
        since -= SPARE
        if self._environment is None or self._since is None or self._since > since - SPARE:
            return
        readings, self._since = self._environment.only_since(since), since
        if readings is not self._environment:
            # In a list of their own, so that the older ones really go.
            self._environment = replace(readings, readings=Readings(readings.readings))

    def _brought_up_to_date(
        self, session: Session, hours: Hours, since: datetime
    ) -> Environment | None:
        """With what came since; None where all has to be read again."""
        if self._environment is None or self._since is None or since < self._since:
            return None
        if self._environment.hours != hours:
            return None
        more: list[Reading] = []
        for number, changes in bench_rows.changes_after(session, self._line):
            self._line = number
            for change in changes:
                if change["table"] == ReadingRow.__tablename__:
                    if change["before"] is not None:
                        return None
                    more.append(_reading(change["after"]))
        return self._environment.with_more(more)


def _reading(image: Mapping[str, Any]) -> Reading:
    at = datetime.fromisoformat(image["at"])
    return Reading(at, image["air_c"], image["rh_pct"], image["metal_c"], image["id"])
