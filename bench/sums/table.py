"""Every calculation there is, in the order of the lists."""

from __future__ import annotations

from bench.sums import ageing, amounts, conditions, cups, mixing, spraying, vapour, zinc
from bench.sums.model import Calculation

_MIXING, _POT = mixing.CALCULATIONS, ageing.POT

CALCULATIONS: tuple[Calculation, ...] = (
    *_MIXING[:3], _POT, *_MIXING[3:],
    *amounts.CALCULATIONS,
    *conditions.CALCULATIONS,
    *ageing.CALCULATIONS,
    *cups.CALCULATIONS,
    *zinc.CALCULATIONS,
    *vapour.CALCULATIONS,
    *spraying.CALCULATIONS,
)  # fmt: skip

GROUPS: dict[str, tuple[Calculation, ...]] = {
    group: tuple(each for each in CALCULATIONS if each.group == group)
    for group in dict.fromkeys(each.group for each in CALCULATIONS)
}
"""The calculations that are looked for together."""

NAMES: tuple[str, ...] = tuple(
    dict.fromkeys(each.name for each in CALCULATIONS if not each.needs_a_shop)
)
"""The words of the command line; calculations that share one answer together."""
