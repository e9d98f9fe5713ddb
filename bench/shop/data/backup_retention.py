"""When a copy of the data is due, and which of the older copies are let go.

While somebody works a copy is made every hour; a day without work has one too. All of the last day
are kept, of the last month the last of each day, and of each month the last for good.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

EVERY = timedelta(hours=1)
AT_LEAST_EVERY = timedelta(days=1)

MEGABYTE = 1_000_000

ALL_FOR = timedelta(days=1)
DAILY_FOR = timedelta(days=31)


@dataclass(frozen=True)
class SecondPlace:
    """A folder for copies besides the one beside the data, such as a stick.

    other_disk: it was on another disk than the data when it was set; an empty folder where the
    stick ought to be is not it.
    """

    path: str
    other_disk: bool


def is_due(now: datetime, copies_at: Iterable[datetime], *, written_since: bool) -> bool:
    """Say whether it is time for another copy.

    copies_at: when there were copies; one from the future counts for nothing. written_since:
    whether a painter did anything since the newest of them.
    """
    newest = max((at for at in copies_at if at <= now), default=None)
    if newest is None:
        return True
    return now - newest >= (EVERY if written_since else AT_LEAST_EVERY)


def copies_to_delete(copies_at: Iterable[datetime], zone: tzinfo) -> list[datetime]:
    """List the copies to delete, oldest first: never the newest, never the last of a month.

    Ages count from the newest copy, not from the clock: a shop that was shut for a year finds all
    as it was. zone: whose days and months they are.
    """
    order = sorted(copies_at)
    if not order:
        return []
    newest = order[-1]
    last_of: dict[tuple[int, ...], datetime] = {}
    for at in order:
        local = at.astimezone(zone)
        last_of[(local.year, local.month)] = at
        if newest - at < DAILY_FOR:
            last_of[(local.year, local.month, local.day)] = at
    keep = set(last_of.values())
    return [at for at in order if at not in keep and newest - at >= ALL_FOR]


def copies_over_room(sizes: Mapping[datetime, int], others: int, most: int) -> list[datetime]:
    """List the copies to delete so that the others fit into ``most`` bytes, oldest first.

    The newest always stays.

    sizes: of the copies made by the hour, in bytes; others: bytes of those that always stay, made
    before an update or a restore.
    """
    total, to_delete = others + sum(sizes.values()), []
    for at in sorted(sizes)[:-1]:
        if total <= most:
            break
        total -= sizes[at]
        to_delete.append(at)
    return to_delete
