"""The line that says what is wrong with the data, or with its backups, for as long as it is so."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from bench.widgets.lines import Line, ends, line, plain


def data_line(words: str, width: int, *, tried: bool) -> Line:
    """Nothing is written down, and why. tried: it is tried again by itself."""
    left, right = f" NOTHING IS WRITTEN DOWN: {words}", "  tried again by itself "
    fits = tried and cell_len(plain(left)) + len(right) <= width
    return line(ends(left, right, width) if fits else left, width, "ruined")


def backup_line(faults: Sequence[str], width: int) -> Line:
    """What is wrong with the first place for backups that has something wrong."""
    left, more = f" BACKUP {faults[0]}", len(faults) - 1
    return line(ends(left, f"  +{more} ", width) if more else left, width, "urgent")
