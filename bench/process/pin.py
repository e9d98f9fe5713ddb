"""A painter's four-digit PIN, kept only as a salted hash (scrypt, RFC 7914)."""

from __future__ import annotations

import hashlib
import hmac
import re

FIGURES = 4
COST, BLOCK, LANES = 2**14, 8, 1
"""About 16 MiB and a tenth of a second on a cheap computer (RFC 7914's n, r and p)."""

_PIN = re.compile(r"[0-9]{4}")


def is_pin(text: str) -> bool:
    """Whether it is four figures.

    >>> is_pin("0042"), is_pin("42"), is_pin("12345")
    (True, False, False)
    """
    return _PIN.fullmatch(text) is not None


def hashed(pin: str, salt: bytes) -> str:
    """The PIN as it is kept: the numbers it was made with, the salt, and the hash.

    Raises ValueError for anything but four figures. Four figures keep honest people honest; who
    can read the file can try all ten thousand.
    """
    if not is_pin(pin):
        raise ValueError(f"a PIN of {len(pin)} signs; it is four figures")
    return f"scrypt {COST} {BLOCK} {LANES} {salt.hex()} {_scrypt(pin, salt, COST, BLOCK, LANES)}"


def matches(pin: str, kept: str) -> bool:
    """Whether it is the PIN behind a kept hash."""
    _, cost, block, lanes, salt, told = kept.split()
    mine = _scrypt(pin, bytes.fromhex(salt), int(cost), int(block), int(lanes))
    return hmac.compare_digest(mine, told)


def _scrypt(pin: str, salt: bytes, cost: int, block: int, lanes: int) -> str:
    most = 2 * 128 * cost * block
    made = hashlib.scrypt(pin.encode(), salt=salt, n=cost, r=block, p=lanes, maxmem=most, dklen=32)
    return made.hex()
