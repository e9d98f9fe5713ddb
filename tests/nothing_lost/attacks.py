"""Everything that is tried by force, as one table: in the normal run a little of each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from . import crowd, keys, kills, power_cuts, soak, strikes
from .report import Row


@dataclass(frozen=True)
class Attack:
    """What is tried in a folder of its own, so often, by a seed; so often in the normal run."""

    name: str
    rows: Callable[[Path, int, int], Iterator[Row]]
    short: int
    long: int
    seed: int = 1


ATTACKS: Sequence[Attack] = (
    Attack("kills", kills.rows, 10, 500),
    Attack("strikes", strikes.rows, 28, 2800),
    Attack("power cuts", power_cuts.rows, 200, 2000),
    Attack("crowd", crowd.rows, 12, 2000),
    Attack("keys", keys.rows, 400, 100_000, seed=2),
    Attack("soak", soak.rows, 2, 7 * 24),
)


def attack(name: str) -> Attack:
    """Find an attack by its name."""
    return next(one for one in ATTACKS if one.name == name)
