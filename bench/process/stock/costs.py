"""What a month's paint cost, and what of it was thrown away.

What has no price is counted beside it and never as nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bench.process.wording.display_units import METRIC, ShopUnits, quantity
from bench.trade.batch import cost


@dataclass(frozen=True)
class Expense:
    """So much paint. cost: in the shop's money, of all of it but what has no price."""

    ml: float = 0.0
    cost: float = 0.0
    unpriced_ml: float = 0.0

    def __add__(self, other: Expense) -> Expense:
        return Expense(
            self.ml + other.ml, self.cost + other.cost, self.unpriced_ml + other.unpriced_ml
        )


@dataclass(frozen=True)
class PouredAmount:
    """An amount of one part of a product out of a tin. price_per_l None: nobody knows it."""

    ml: float
    price_per_l: float | None


@dataclass(frozen=True)
class ProductSpending:
    """One product in one month: what was taken of it, and of that what was binned in pots.

    thrown: what was left in tins that were binned; nobody had taken that before.
    """

    name: str = ""
    used: Expense = Expense()
    binned: Expense = Expense()
    thrown: Expense = Expense()

    def __add__(self, other: ProductSpending) -> ProductSpending:
        return ProductSpending(
            self.name,
            self.used + other.used,
            self.binned + other.binned,
            self.thrown + other.thrown,
        )

    @property
    def wasted(self) -> Expense:
        """Return all that went on no part."""
        return self.binned + self.thrown


@dataclass(frozen=True)
class Month:
    """A month's products by name. unmeasured: pots binned of which nobody said what was left."""

    year: int
    month: int
    products: tuple[ProductSpending, ...] = ()
    unmeasured: int = 0

    @property
    def total(self) -> ProductSpending:
        """Return all products together."""
        return sum(self.products, ProductSpending("all"))


def price_per_l(price: float | None, size_ml: float) -> float | None:
    """Return what a litre out of a tin costs, None where its price is not known."""
    return None if price is None else price * 1000 / size_ml


def sum_of(poured: Iterable[PouredAmount], share: float = 1.0) -> Expense:
    """Return what some amounts cost together. share: of each, as of what was binned of a pot."""
    total = Expense()
    for amount in poured:
        ml = amount.ml * share
        money = cost({"": ml}, {} if amount.price_per_l is None else {"": amount.price_per_l})
        total += Expense(ml, money or 0.0, ml if money is None else 0.0)
    return total


def pot_amounts(
    pours_ml: Mapping[str, float], tin_pours: Iterable[tuple[str, float, float | None]]
) -> tuple[PouredAmount, ...]:
    """Give what is in a pot: what came from tins, by role, ml and price a litre; the rest unpriced.

    pours_ml: what was really poured of each part.
    """
    amounts, rest_ml = [], dict(pours_ml)
    for role, ml, a_litre in tin_pours:
        amounts.append(PouredAmount(ml, a_litre))
        rest_ml[role] = rest_ml.get(role, 0.0) - ml
    amounts += [PouredAmount(ml, None) for ml in rest_ml.values() if ml > ROUNDING_ML]
    return tuple(amounts)


ROUNDING_ML = 0.5
"""What was taken is kept to a tenth of a millilitre; less than this is no paint without a tin."""


def cost_words(amount: Expense, units: ShopUnits = METRIC) -> str:
    """Say an amount and its cost: "330 ml 11.24"; "at least" where part of it has no price."""
    text = f"{quantity(amount.ml, 'ml', units, '.0f'):>10}"
    if amount.ml and amount.unpriced_ml >= amount.ml:
        return f"{text}         -  no price is known"
    if amount.unpriced_ml:
        without = quantity(amount.unpriced_ml, "ml", units, ".0f")
        return f"{text} {amount.cost:>9.2f}  at least: {without} without a price"
    return f"{text} {amount.cost:>9.2f}"
