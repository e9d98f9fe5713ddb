"""PINs: how they are hashed, and how long one waits after wrong ones. Pure.

The shop's clock can be set by anybody, so it is not asked.
"""

from __future__ import annotations

import hashlib
import hmac
import re
from dataclasses import dataclass
from datetime import timedelta

PIN_LENGTH = 4

COST, BLOCK, LANES = 2**14, 8, 1
"""About 16 MiB and a tenth of a second on a cheap computer (RFC 7914's n, r and p)."""

_PIN = re.compile(r"[0-9]{4}")

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


def is_pin(text: str) -> bool:
    """Say whether a text is four figures.

    >>> is_pin("0042"), is_pin("42"), is_pin("12345")
    (True, False, False)
    """
    return _PIN.fullmatch(text) is not None


def hashed_pin(pin: str, salt: bytes) -> str:
    """Hash a PIN: scrypt's numbers (RFC 7914), the salt, and the hash, as it is stored.

    Raises ValueError for anything but four figures. Four figures keep honest people honest; who
    can read the file can try all ten thousand.
    """
    if not is_pin(pin):
        raise ValueError(f"a PIN of {len(pin)} signs; it is four figures")
    return f"scrypt {COST} {BLOCK} {LANES} {salt.hex()} {_scrypt(pin, salt, COST, BLOCK, LANES)}"


def matches_pin(pin: str, pin_hash: str) -> bool:
    """Say whether it is the PIN behind ``pin_hash``."""
    _, cost, block, lanes, salt, digest = pin_hash.split()
    mine = _scrypt(pin, bytes.fromhex(salt), int(cost), int(block), int(lanes))
    return hmac.compare_digest(mine, digest)


def _scrypt(pin: str, salt: bytes, cost: int, block: int, lanes: int) -> str:
    most = 2 * 128 * cost * block
    digest = hashlib.scrypt(
        pin.encode(), salt=salt, n=cost, r=block, p=lanes, maxmem=most, dklen=32
    )
    return digest.hex()
