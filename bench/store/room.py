"""Whether the disk takes what an action would write. Only tried while it did not."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path

from bench.store.faults import Kind, StoreFault

ROOM = 1 << 20
"""Bytes: a good deal more than any one action writes."""

_KINDS: dict[int, Kind] = {
    errno.ENOSPC: "full",
    errno.EDQUOT: "full",
    errno.EFBIG: "full",
    errno.EROFS: "read-only",
    errno.EACCES: "read-only",
    errno.EPERM: "read-only",
    errno.ENOENT: "gone",
}


def has_room(place: str) -> None:
    """Write so much beside the shop's file, bring it to the disk and take it away again.

    Raises StoreFault.
    """
    path = Path(place).absolute()
    trial = path.with_name(f".{path.name}.{os.getpid()}.trial")
    try:
        with open(trial, "wb", buffering=0) as file:
            left = ROOM
            while left:
                left -= file.write(bytes(left))
            os.fsync(file.fileno())
    except OSError as fault:
        raise StoreFault(str(fault.strerror), _KINDS.get(fault.errno or 0, "failed")) from fault
    finally:
        with suppress(OSError):
            trial.unlink()
