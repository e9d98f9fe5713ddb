"""Turns of those who write to one SQLite file, in the order in which they came.

SQLite gives none: who asks again in the right moment has its lock, and of several that write
without a pause one can go without for seconds. Beside the data lies a file that holds nothing but
the last number drawn. Who has to wait draws the next one and holds the lock of that byte; the turn
comes when nobody holds the byte before. It is let go as soon as SQLite's own lock is had, which
alone keeps writers apart: a killed one lets go of its byte, and one that knows nothing of the file
only takes a turn out of order.
"""

from __future__ import annotations

import fcntl
import os
import select
import struct
import time
from collections.abc import Iterator
from contextlib import contextmanager

ENDING = "-turn"
"""Of the file's name, behind that of the data."""

WAIT_S = 15
"""How long anybody stands in the line, as on a server (``postgresql.WAIT_S``)."""

PAUSE_S = 0.001
"""When the one behind looks again whether the one before has gone."""

_SET = getattr(fcntl, "F_OFD_SETLK", None)
_GET = getattr(fcntl, "F_OFD_GETLK", None)
"""Locks of the open file, for threads of one process wait for each other too. Linux has them."""

_LOCK = struct.Struct("@hhqqi0q")
"""The kernel's struct flock: type, from where, start, length, process (fcntl(2))."""

_NUMBER = struct.Struct("<q")
MOST_NUMBER = 2**40

_COUNTER = 0
"""The byte whose lock is held while a number is drawn; that of number n is byte n + 1."""


class WriterQueue:
    """The queue of writers of one file, as one of them sees it. handle: of the open file."""

    def __init__(self, handle: int) -> None:
        self._handle = handle

    def is_empty(self) -> bool:
        """Say whether nobody waits."""
        question = _LOCK.pack(fcntl.F_WRLCK, os.SEEK_SET, 0, 0, 0)
        assert _GET is not None
        answer = fcntl.fcntl(self._handle, _GET, question)
        return bool(_LOCK.unpack(answer)[0] == fcntl.F_UNLCK)

    def wait(self) -> None:
        """Line up, and come back when it is one's turn, or after WAIT_S."""
        last = time.monotonic() + WAIT_S
        self._have(_COUNTER, last)
        number = self._draw_number()
        self._have(number + 1, last)
        self._lock(_COUNTER, fcntl.F_UNLCK)
        self._have(number, last)

    def _draw_number(self) -> int:
        """The next number, from 1 on."""
        content = os.pread(self._handle, _NUMBER.size, 0)
        before = _NUMBER.unpack(content)[0] if len(content) == _NUMBER.size else 0
        number: int = before % MOST_NUMBER + 1  # whatever somebody wrote into the file
        os.pwrite(self._handle, _NUMBER.pack(number), 0)
        return number

    def _have(self, place: int, last: float) -> None:
        while not self._lock(place, fcntl.F_WRLCK) and time.monotonic() < last:
            pause(PAUSE_S)

    def _lock(self, place: int, kind: int) -> bool:
        assert _SET is not None
        try:
            fcntl.fcntl(self._handle, _SET, _LOCK.pack(kind, os.SEEK_SET, place, 1, 0))
        except (BlockingIOError, PermissionError):
            return False
        return True


@contextmanager
def line_at(path: str) -> Iterator[WriterQueue | None]:
    """Open the queue before the file at a path; None where none can be made."""
    handle = _open_turns(path) if _SET is not None else None
    try:
        yield WriterQueue(handle) if handle is not None else None
    finally:
        if handle is not None:
            os.close(handle)


def _open_turns(path: str) -> int | None:
    try:
        return os.open(path + ENDING, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError:
        return None


def pause(span_s: float) -> None:
    """Sleep so long: time.sleep ends at an hour of a clock that may be set meanwhile."""
    select.select((), (), (), span_s)
