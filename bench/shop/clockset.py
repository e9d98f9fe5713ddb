"""A painter says what time it is: yes, or another time. The computer's own clock is not touched."""

from __future__ import annotations

from datetime import UTC, datetime, tzinfo

from bench.process.clockfault import EARLIEST, MINUTE, answered, moved
from bench.process.refusal import Refusal
from bench.process.spoken import day_words
from bench.shop import timekeeping
from bench.shop.acting import Done, Shop

LATEST_YEAR = 2200


def set_clock(shop: Shop, by: str, at: datetime) -> Done | Refusal:
    """From now on it is ``at``, to the minute; what was written down at a wrong time moves along.

    by: may be empty, when the computer starts and nobody has said yet who is at the keys.
    """
    if at < EARLIEST or at.year > LATEST_YEAR:
        return Refusal(
            f"it cannot be {at:%d %b %Y}", "", f"a day from {EARLIEST.year} on; type it again"
        )
    with shop.act("clock set", by) as act:
        painter = act.painter() if by else ""
        if isinstance(painter, Refusal):
            return painter
        before = timekeeping.kept(act.session) or timekeeping.see(act.session, shop.clock)
        after = answered(before, timekeeping.told(shop.clock), at)
        by_how_much = moved(before, after)
        released = timekeeping.released_then(act.session, before, after)
        after = timekeeping.move(act.session, before, after, act.now)
        timekeeping.keep(act.session, after)
        act.now, act.doubtful = after.started + shop.clock.up(), False
        local = act.now.astimezone(act.house.hours.zone)
        told = f"it is {day_words(local)}, says {painter or 'a painter'}"
        if by_how_much:
            told += f"; running clocks moved {timekeeping.way_words(by_how_much)}"
        done = act.write(painter, "", told, released=released)
    shop.clock.believe(after.started, after.by_computer)
    return done


def local_instant(
    day: int, month: int, year: int, hour: int, minute: int, zone: tzinfo, least: datetime
) -> datetime | Refusal:
    """What was typed, as an instant. Of an hour that comes twice, the first still to come."""
    try:
        typed = datetime(year, month, day, hour, minute, tzinfo=zone)
    except ValueError:
        return Refusal(
            f"there is no {day}.{month}.{year} {hour}:{minute:02d}", "", "type the day again"
        )
    first, again = typed.astimezone(UTC), typed.replace(fold=1).astimezone(UTC)
    return again if first + MINUTE <= least < again + MINUTE else first
