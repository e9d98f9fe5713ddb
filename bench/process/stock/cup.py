"""The mixing cup: what is in it, what must still be poured, and up to which line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.mixing import (
    MOST_ML,
    ROUNDING_ML,
    MixStart,
    cup_figures,
    mix_for,
    ratio_with_thinner,
    too_much,
)
from bench.process.wording.display_units import METRIC, ShopUnits, shop_unit
from bench.trade.batch import recover, recover_to_lines, round_to_cup, smallest_mix_ml
from bench.trade.mixing import MOST_MIX_ML, ROLES, Pour, Ratio, as_poured


@dataclass(frozen=True)
class PartOfMix:
    """One part: how much is in the cup, how much must still be poured, and up to which line.

    pour_ml: 0 where nothing is missing; fill_to_ml is then the line it stands at.
    """

    role: str
    in_ml: float
    pour_ml: float
    fill_to_ml: float
    doubt: str = ""


@dataclass(frozen=True)
class Pouring:
    """What goes into the cup in order. in_cup: how many of the pours are in it already."""

    pours: tuple[Pour, ...]
    total_ml: float
    over_cup_ml: float = 0.0
    in_cup: int = 0

    def parts(self, product: Product, of_ratio: str = "") -> tuple[PartOfMix, ...]:
        """Return each part, in the order in which parts are poured. of_ratio: as in ``doubts``."""
        doubts = self.doubts(product, of_ratio)
        part_by_role = {p.role: PartOfMix(p.role, 0.0, 0.0, p.fill_to_ml) for p in self.pours}
        for place, (pour, doubt) in enumerate(zip(self.pours, doubts, strict=True)):
            part = part_by_role[pour.role]
            if place < self.in_cup:
                part = replace(part, in_ml=part.in_ml + pour.ml)
            else:
                part = replace(part, pour_ml=part.pour_ml + pour.ml, doubt=doubt)
            part_by_role[pour.role] = replace(part, fill_to_ml=pour.fill_to_ml)
        return tuple(sorted(part_by_role.values(), key=lambda part: ROLES.index(part.role)))

    def doubts(self, product: Product, of_ratio: str) -> tuple[str, ...]:
        """Mark each pour with ``?`` or nothing: what is in the cup is so, whatever the sheet says.

        of_ratio: the mark of the ratio. That of thinner is the product's own.
        """
        marks = [product.doubt if p.role == "thinner" else of_ratio for p in self.pours]
        return ("",) * self.in_cup + tuple(marks[self.in_cup :])

    def by_role(self) -> dict[str, float]:
        """Return how much of each part there is in the end, in ml."""
        return _by_role(self.pours)

    def up_to(self, role: str) -> dict[str, float]:
        """Return what is in the cup in ml once a part stands at its line.

        What is poured before it is in by then.
        """
        last = max(place for place, pour in enumerate(self.pours) if pour.role == role)
        return _by_role(self.pours[: max(last + 1, self.in_cup)])


def _by_role(pours: Sequence[Pour]) -> dict[str, float]:
    ml_by_role: dict[str, float] = {}
    for pour in pours:
        ml_by_role[pour.role] = ml_by_role.get(pour.role, 0.0) + pour.ml
    return ml_by_role


@dataclass(frozen=True)
class OverPour:
    """A part that went past its line: by how many ml, and what was in the cup before it did."""

    role: str
    past_ml: float
    before: Mapping[str, float]


@dataclass(frozen=True)
class Cup:
    """A mix as it is made: what was wanted, and how much of each part is in the cup.

    size_ml, step_ml: of the cup, and from line to line on it. in_cup: ml by part, in the order
    in which they went in. on_lines: every pour still to come ends on a line of the cup.
    """

    product: Product
    start: MixStart
    size_ml: float
    step_ml: float
    thinner_pct: float | None = None
    in_cup: Mapping[str, float] | None = None
    over_pours: tuple[OverPour, ...] = ()
    on_lines: bool = False

    @property
    def contents(self) -> Mapping[str, float]:
        """Return what is in the cup, ml by part."""
        return (self.start.poured or {}) if self.in_cup is None else self.in_cup

    @cached_property
    def pouring(self) -> Pouring | Refusal:
        """Work out every pour, those that are in first, or say why it cannot be worked out."""
        mix = mix_for(self.product, self.start, self.thinner_pct)
        ratio = ratio_with_thinner(self.product, self.thinner_pct)
        if isinstance(mix, Refusal):
            return mix
        if isinstance(ratio, Refusal):
            return ratio
        pouring = Pouring(mix.pours, mix.total_ml)
        try:
            if self.contents:
                pouring = self._goes_on(ratio, mix.total_ml)
            elif self.on_lines:
                densities = self.product.densities or None
                above = round_to_cup(ratio, mix.total_ml, self.step_ml, densities).above.mix
                pouring = Pouring(above.pours, above.total_ml)
        except ValueError as fault:
            return Refusal("it cannot be poured so", "", str(fault))
        if pouring.total_ml > MOST_ML + ROUNDING_ML:
            return too_much(pouring.total_ml)
        over_ml = pouring.total_ml - self.size_ml
        return replace(pouring, over_cup_ml=over_ml if over_ml > ROUNDING_ML else 0.0)

    def _goes_on(self, ratio: Ratio, need_ml: float) -> Pouring:
        """Return what is in the cup, then what makes the ratio right. Raises ValueError."""
        contents, densities = self.contents, self.product.densities or None
        if self.on_lines:
            again = recover_to_lines(
                ratio, contents, MOST_MIX_ML, self.step_ml, densities, need_ml=need_ml
            )
        else:
            again = recover(ratio, contents, MOST_MIX_ML, densities, need_ml=need_ml)
        pours = (*as_poured(contents, densities).pours, *again.adds)
        return Pouring(pours, again.total_ml, in_cup=len(contents))

    # -- what a painter says of it ---------------------------------------------

    def past_ml(self, role: str) -> float:
        """Return how far a part is past its line, if it was the last to go past one."""
        last = self.over_pours[-1] if self.over_pours else None
        return last.past_ml if last is not None and last.role == role else 0.0

    def more(self, role: str) -> Cup | Refusal:
        """Put one line of the cup more of a part into it: what is poured before it is in by now."""
        pouring = self.pouring
        if isinstance(pouring, Refusal):
            return pouring
        if past_ml := self.past_ml(role):
            *earlier, last = self.over_pours
            contents: Mapping[str, float] = self.contents
            over_pour = replace(last, past_ml=past_ml + self.step_ml)
        else:
            earlier, contents = list(self.over_pours), pouring.up_to(role)
            over_pour = OverPour(role, self.step_ml, self.contents)
        in_cup = {**contents, role: contents[role] + self.step_ml}
        return _possible(replace(self, in_cup=in_cup, over_pours=(*earlier, over_pour)))

    def less(self, role: str) -> Cup:
        """Take one line of the last over-pour back, which was a slip of the finger."""
        past_ml = self.past_ml(role)
        if not past_ml:
            return self
        *earlier, last = self.over_pours
        if past_ml <= self.step_ml:
            return replace(self, in_cup=last.before, over_pours=tuple(earlier))
        over_pour = replace(last, past_ml=past_ml - self.step_ml)
        in_cup = {**self.contents, role: self.contents[role] - self.step_ml}
        return replace(self, in_cup=in_cup, over_pours=(*earlier, over_pour))

    def thinned(self, by_pct: float) -> Cup | Refusal:
        """Take so many percent more or less thinner, inside of what the product allows."""
        allowed = self.product.thinner
        if allowed is None:
            return self
        now_pct = allowed.least_pct if self.thinner_pct is None else self.thinner_pct
        pct = min(max(now_pct + by_pct, allowed.least_pct), allowed.most_pct)
        return _possible(replace(self, thinner_pct=pct))

    def to_lines(self) -> Cup | Refusal:
        """Pour on to the lines of the cup, or to the exact amounts again."""
        return _possible(replace(self, on_lines=not self.on_lines))

    # -- what is said of it ----------------------------------------------------

    def over_words(self, units: ShopUnits = METRIC) -> str:
        """Say which parts went past their lines; empty where none did."""
        each = (f"{o.role} is {volume(o.past_ml, units)} past its line" for o in self.over_pours)
        return f"{'; '.join(each)}: new lines" if self.over_pours else ""

    def too_small_words(self, doubt: str = "", units: ShopUnits = METRIC) -> str:
        """Say that the cup is too small and what to do; empty where it is not."""
        pouring = self.pouring
        if isinstance(pouring, Refusal) or not pouring.over_cup_ml:
            return ""
        over, cup = volume(pouring.over_cup_ml, units, doubt), volume(self.size_ml, units)
        words = f"{over} more than the {cup} cup: "
        if not self.contents:
            return f"{words}take a bigger cup, or mix twice"
        return f"{words}empty it into a bigger cup first, then pour the rest"

    def lacking_words(self, units: ShopUnits = METRIC) -> str:
        """Say of which part there is too little left; empty where all that was left is enough."""
        left, pouring = self.start.left_ml or {}, self.pouring
        if isinstance(pouring, Refusal):
            return ""
        needs = pouring.by_role()
        short = ", ".join(
            f"{volume(needs[role] - ml, units)} {role}"
            for role, ml in left.items()
            if needs.get(role, 0.0) > ml + ROUNDING_ML
        )
        return f"short of {short}: open another tin first" if short else ""


def _possible(cup: Cup) -> Cup | Refusal:
    """Return a cup that can be poured, or why it cannot."""
    pouring = cup.pouring
    return pouring if isinstance(pouring, Refusal) else cup


def volume(ml: float, units: ShopUnits = METRIC, doubt: str = "") -> str:
    """Return an amount for a cup with its mark, in the shop's unit.

    >>> volume(8.333, doubt="?")
    '8.3? ml'
    """
    return f"{cup_figures(ml, units)}{doubt} {shop_unit('ml', units)}"


def too_small_to_measure(product: Product, total_ml: float, step_ml: float) -> str:
    """Warn where half a graduation is too much of what hardens it; empty where it is not."""
    if product.ratio is None:
        return ""
    try:
        least_ml = smallest_mix_ml(product.ratio, step_ml, densities=product.densities or None)
    except ValueError:
        return ""
    if total_ml >= least_ml:
        return ""
    roles = [share.role for share in product.ratio.shares]
    role = next((role for role in ("hardener", "activator", "thinner") if role in roles), "base")
    return (
        f"too little for a cup marked every {step_ml:g} ml: half a mark is too much {role}. "
        f"Take a scale or a syringe, or mix {least_ml:.0f} ml"
    )
