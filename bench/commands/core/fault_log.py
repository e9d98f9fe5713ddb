"""The file that says what failed, for whoever mends the program."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from bench.disk import OWNERS_FILE, sync_folder
from bench.settings import on_a_server

FAULT_LOG, EARLIER_LOG = "paintbench-faults.log", "paintbench-faults.1.log"

MOST_BYTES = 1_000_000
"""A log so long is put aside, and the one before it is let go."""


def write_fault(report: str, place: str) -> Path | None:
    """Add a report to the log beside the data, or where that cannot be to the temporary folder.

    Gives the file, None where it could not be written.
    """
    folders = [Path(tempfile.gettempdir())]
    if not on_a_server(place):
        folders.insert(0, Path(place).parent)
    for folder in folders:
        log = folder / FAULT_LOG
        try:
            if log.is_file() and log.stat().st_size >= MOST_BYTES:
                os.replace(log, folder / EARLIER_LOG)
            new = os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_NOFOLLOW
            handle = os.open(log, new, OWNERS_FILE)
            with open(handle, "w", encoding="utf-8", errors="backslashreplace") as out:
                out.write(report)
            sync_folder(folder)
        except (OSError, ValueError):
            continue
        return log
    return None
