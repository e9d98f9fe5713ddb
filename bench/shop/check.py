"""Whether the shop's data is whole and the bench shows what the journal says."""

from __future__ import annotations

from dataclasses import dataclass

from bench.shop.acting import Shop
from bench.store import check as store_check


@dataclass(frozen=True)
class Checked:
    """How many lines of the journal were replayed, and what was found wrong."""

    lines: int
    faults: tuple[str, ...]


def check(shop: Shop) -> Checked:
    """Look through the whole file and replay the journal. Changes nothing."""
    found = store_check.faults(shop.store)
    lines = 0 if found else store_check.journal_lines(shop.store)
    return Checked(lines, found)
