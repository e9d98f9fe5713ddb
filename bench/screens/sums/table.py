"""Every sum of the trade, in groups: what the lists, the screens and the tests are made of."""

from __future__ import annotations

from bench.screens.sums import ageing, air, amounts, cups, metal, mixing, solvent, spraying
from bench.screens.sums.road import Group

GROUPS: tuple[Group, ...] = (
    mixing.GROUP,
    amounts.GROUP,
    air.GROUP,
    ageing.GROUP,
    cups.GROUP,
    metal.GROUP,
    solvent.GROUP,
    spraying.GROUP,
)
