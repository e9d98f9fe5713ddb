"""A job that is killed, or met by a fault, at the n-th thing it does with files of a folder.

It runs in a process of its own, forked for each n. A look at a file does not count. What Python does with files is told by its audit
events (https://docs.python.org/3/library/audit_events.html), which come before the thing is done;
what SQLite does with its own files in between is its own affair.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from typing import Any

EVENTS = ("open", "os.rename", "os.link", "os.remove", "os.mkdir", "os.chmod", "sqlite3.connect")
KILLED, ENDED = 77, 78


def cut_at_each(job: Callable[[], object], folder: Path, *, fail: bool) -> Iterator[int]:
    """Do the job again and again, until it comes to its end; yields after each time it did not.

    fail: it meets EIO instead of being killed, and may put things in order.
    """
    for number in count(1):
        child = os.fork()
        if child == 0:
            _cut(job, folder, number, fail=fail)
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert code in (KILLED, ENDED), f"at {number} it ended with {code}"
        if code == ENDED:
            return
        yield number


def _cut(job: Callable[[], object], folder: Path, number: int, *, fail: bool) -> None:
    left, sync = number, os.fsync

    def struck() -> None:
        nonlocal left
        left -= 1
        if left == 0:
            if not fail:
                os._exit(KILLED)
            raise OSError(errno.EIO, os.strerror(errno.EIO))

    def heard(event: str, args: tuple[Any, ...]) -> None:
        if event in EVENTS and isinstance(args[0], (str, os.PathLike)):
            name = str(args[0]).removeprefix("file://")
            only_read = event == "open" and not args[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)
            if name.startswith(str(folder)) and not only_read:
                struck()

    def synced(handle: int) -> None:
        struck()
        sync(handle)

    code = 1
    try:
        os.fsync = synced
        sys.addaudithook(heard)
        job()
        code = ENDED if left > 0 else KILLED
    except OSError:
        code = KILLED
    finally:
        os._exit(code)
