"""An eighth of a processor core: a control group with a quota, where the machine allows one."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PERIOD_US = 100_000
EIGHTH_US = PERIOD_US // 8

GROUPS = Path("/sys/fs/cgroup")
NAME = f"paintbench-benchmark-{os.getpid()}"


@contextmanager
def eighth_of_a_core() -> Iterator[Path | None]:
    """Give the file into which a process writes its number to join; None where none can be made.

    Both versions of control groups are known: cpu.cfs_quota_us of the first, cpu.max of the second.
    """
    first = GROUPS / "cpu"
    group = (first if first.is_dir() else GROUPS) / NAME
    try:
        group.mkdir()
        if first.is_dir():
            (group / "cpu.cfs_period_us").write_text(f"{PERIOD_US}")
            (group / "cpu.cfs_quota_us").write_text(f"{EIGHTH_US}")
        else:
            (group / "cpu.max").write_text(f"{EIGHTH_US} {PERIOD_US}")
    except OSError:
        _remove(group)
        yield None
        return
    try:
        yield group / "cgroup.procs"
    finally:
        _remove(group)


def _remove(group: Path) -> None:
    if group.is_dir():
        group.rmdir()
