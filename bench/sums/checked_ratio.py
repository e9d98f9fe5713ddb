"""A ratio that can be mixed, with what was said of its parts, and amounts of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bench.sums.input_reading import ByPart
from bench.sums.model import Quantity, UsageFault
from bench.trade import mixing
from bench.trade.mixing import Ratio


@dataclass(frozen=True)
class Blend:
    """A ratio with its densities. words: read back; order: its parts as printed, thinner last."""

    ratio: Ratio
    densities: Mapping[str, float] | None = None
    words: str = ""
    order: tuple[str, ...] = ()

    @property
    def roles(self) -> tuple[str, ...]:
        """Return its parts in the order of pouring, the thinner last."""
        return tuple(share.role for share in mixing.all_shares(self.ratio))

    @property
    def grams_only(self) -> bool:
        """Return whether it is by weight without densities: a scale can serve it, a cup cannot."""
        return self.ratio.by == "weight" and self.densities is None

    @property
    def densities_or_one(self) -> Mapping[str, float] | None:
        """Return the densities, or 1 each without them: then every ml stands for a gram."""
        return dict.fromkeys(self.roles, 1.0) if self.grams_only else self.densities

    def with_densities(self, densities: Sequence[float]) -> Blend:
        """Return it with g/ml of each part in the order printed. Raises UsageFault."""
        if len(densities) != len(self.order):
            raise UsageFault(_not_one_each(len(densities), "densities", self.order))
        return replace(self, densities=dict(zip(self.order, densities, strict=True)))

    def need_densities(self) -> None:
        """Raise ValueError where a part has no density."""
        mixing.check_densities(self.ratio, self.densities)

    def part_ml(self, role: str, amount: Quantity) -> float:
        """Return millilitres of a part, or grams where there are only grams. Raises ValueError."""
        if (amount.unit == "g") is self.grams_only:
            return amount.size
        self.need_densities()
        return amount.size / (self.densities or {}).get(role, 1.0)

    def whole_ml(self, amount: Quantity) -> float:
        """Return millilitres of the mix, or grams where there are only grams. Raises ValueError."""
        if amount.unit == "ml" or self.grams_only:
            return self.part_ml("base", amount)
        self.need_densities()
        one_ml = mixing.for_total(self.ratio, 1.0, self.densities)
        assert one_ml.total_g is not None  # each part has a density
        return amount.size / one_ml.total_g

    def parts_ml(self, amounts: ByPart) -> dict[str, float]:
        """Return millilitres (or grams) by part. Raises ValueError."""
        by_role = self.by_name(amounts, "amounts")
        return {role: self.part_ml(role, amount) for role, amount in by_role.items()}

    def by_name(self, amounts: ByPart, what: str, *, each: bool = False) -> dict[str, Quantity]:
        """Return what was said in the order printed, by part. each: every part must have one.

        Raises UsageFault where there are more, or not one each.
        """
        if isinstance(amounts, Mapping):
            return dict(amounts)
        if len(amounts) > len(self.order) or (each and len(amounts) < len(self.order)):
            raise UsageFault(_not_one_each(len(amounts), what, self.order))
        pairs = zip(self.order, amounts, strict=False)
        return {role: amount for role, amount in pairs if amount is not None}


def _not_one_each(count: int, what: str, order: tuple[str, ...]) -> str:
    return f"read {count} {what} for {len(order)} parts; wanted one each, for {', '.join(order)}"
