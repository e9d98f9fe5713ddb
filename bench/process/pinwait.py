"""How long a painter's PIN waits after wrong ones, by how long the computer has been on. Pure.

The shop's clock can be set by anybody, so it is not asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

WITHOUT_WAIT = 4
"""So many wrong PINs in a row are typing errors (house rule)."""

FIRST_WAIT = timedelta(minutes=1)
"""After the next one; each further wrong PIN doubles it (house rule)."""

LONGEST_WAIT = timedelta(minutes=10)
"""Somebody who guesses for a painter cannot lock the painter out for longer. All 10,000 PINs take
over two months of it without a pause (house rule)."""


@dataclass(frozen=True)
class WrongPins:
    """Wrong PINs of one painter since the last right one.

    boot: under which start of the computer the last one was typed; up_s: how many seconds that
    computer had been on.
    """

    count: int
    boot: str
    up_s: float


def another(before: WrongPins | None, boot: str, up: timedelta) -> WrongPins:
    """Count one more wrong PIN."""
    return WrongPins((before.count if before else 0) + 1, boot, up.total_seconds())


def wait_after(count: int) -> timedelta:
    """Give the whole wait after so many wrong PINs in a row."""
    if count <= WITHOUT_WAIT:
        return timedelta(0)
    doubled: int = 2 ** min(count - WITHOUT_WAIT - 1, 30)  # no timedelta holds it a hundred times
    return min(FIRST_WAIT * doubled, LONGEST_WAIT)


def wait_left(wrong: WrongPins, boot: str, up: timedelta) -> timedelta:
    """Give what is left of the wait. A fresh start of the computer begins it again."""
    since = up - timedelta(seconds=wrong.up_s) if wrong.boot == boot else up
    whole = wait_after(wrong.count)
    return min(max(whole - since, timedelta(0)), whole)
