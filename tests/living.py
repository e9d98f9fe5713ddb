"""What many tests do first in a shop is done once: after that a shop gets the file it came to."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import timedelta
from functools import wraps
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

from bench.shop.core.transaction import Shop
from bench.testing import ManualClock
from tests.conftest import open_copy

Live = TypeVar("Live", bound=Callable[..., Any])


def done_once(live: Live) -> Live:
    """Do it once from each state of a shop, and copy what it came to wherever it is asked for again.

    For what asks no clock but the shop's. On a server it is done each time.
    """
    came_to: dict[object, tuple[bytes, timedelta, Any]] = {}

    @wraps(live)
    def lived(shop: Shop, *given: Any, **more: Any) -> Any:
        if shop.store.place is None:
            answer = live(shop, *given, **more)
            return shop if answer is None else answer
        file, now = Path(shop.store.place), shop.clock.now()
        clock = shop.clock.computer
        words = [each for each in (*given, *more.items()) if each not in (clock, ("clock", clock))]
        with shop.store.reading() as session:
            raw = session.connection().connection.driver_connection
            assert isinstance(raw, sqlite3.Connection)
            whence = sha256(raw.serialize()).digest(), now, repr(words)
        if whence in came_to:
            shop.store.close()
            whole, took, answer = came_to[whence]
            file.write_bytes(whole)
            assert isinstance(clock, ManualClock)
            clock.advance(seconds=took.total_seconds())
        else:
            answer = live(shop, *given, **more)
            shop.store.close()
            answer = None if answer is shop else answer
            came_to[whence] = file.read_bytes(), clock.now() - now, answer
        Shop.__init__(shop, open_copy(file), clock, shop.terminal)
        return shop if answer is None else answer

    return lived  # type: ignore[return-value]
