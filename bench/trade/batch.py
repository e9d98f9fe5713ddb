"""The mix as it is really poured: graduations, tolerances, a pour too many, cost.

Half a graduation is taken as the error of one reading (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from typing import Literal

from bench.trade import checked, mixing
from bench.trade.mixing import MOST_MIX_ML, Mix, Pour, Ratio, Share

Judged = Literal["within", "warn", "stop"]


@dataclass(frozen=True)
class Tolerance:
    """Percent of the part by which it may miss: what to aim at, warn above, stop and ask above."""

    aim_pct: float
    warn_pct: float
    stop_pct: float


TOLERANCES = {
    "hardener": Tolerance(2, 3, 5),
    "activator": Tolerance(5, 5, 10),
    "thinner": Tolerance(10, 20, math.inf),
}
"""Common practice, no source; how much thinner is too much stands on the sheet."""
WASTE_WORTH_A_RATIO_ERROR = 0.25
"""An exact batch this far off the need gives way to one inside the aim (common practice)."""
NEVER_BY_LINES = "a ratio by weight is never poured by cup lines: use a scale"
_ROUNDING = 1e-9


@dataclass(frozen=True)
class ShareError:
    """How far one part is off against the base, in percent of that part, and how that is judged."""

    role: str
    error_pct: float
    judged: Judged


@dataclass(frozen=True)
class RoundedMix:
    """A mix whose every part ends on a graduation. over_ml: more than needed; negative, short."""

    mix: Mix
    over_ml: float
    errors: tuple[ShareError, ...]


@dataclass(frozen=True)
class Choice:
    """The step below the need, where there is one, and the step above, the one to propose."""

    below: RoundedMix | None
    above: RoundedMix


@dataclass(frozen=True)
class Recovery:
    """What to add for the ratio. over_cup_ml: by how much the cup is too small, 0 when it fits."""

    adds: tuple[Pour, ...]
    total_ml: float
    over_cup_ml: float

    @property
    def fits(self) -> bool:
        """Return whether the restored mix goes into the cup."""
        return self.over_cup_ml <= 0


def reading_error_pct(amount: float, graduation: float) -> float:
    """Give error in percent of an amount read to half a graduation, both in the same unit, over 0.

    Raises ValueError outside. Source: common practice, no source.

    >>> round(reading_error_pct(22, 10))
    23
    """
    checked.number(amount, "amount", over=0)
    checked.number(graduation, "graduation", over=0)
    return 100 * graduation / 2 / amount


def smallest_measure(graduation: float, tolerance_pct: float) -> float:
    """Return least amount that a graduation can measure within a tolerance (over 0 up to 100 %).

    In the graduation's own unit. Raises ValueError outside. Source: common practice, no source.

    >>> round(smallest_measure(10, 3)), smallest_measure(10, 5)
    (167, 100.0)
    """
    checked.number(graduation, "graduation", over=0)
    checked.number(tolerance_pct, "tolerance", "%", over=0, most=100)
    return graduation / 2 / (tolerance_pct / 100)


def smallest_mix_ml(
    ratio: Ratio,
    graduation: float,
    measured_in: Literal["ml", "g"] = "ml",
    densities: Mapping[str, float] | None = None,
    tolerance_pct: float | None = None,
) -> float:
    """Return the least total in ml that a cup or syringe (ml) or a scale (g) can mix honestly.

    Hardener and activator are judged, the thinner only where there is neither, each at the error
    above which to stop and ask (thinner: warn) unless a tolerance in percent is given. 0 when
    there is nothing but base. Raises ValueError for a bad ratio or graduation, for a scale without
    densities (g/ml) and for a ratio by weight without them. Source: common practice, no source.

    >>> five = Ratio((Share("base", 5), Share("hardener", 1)))
    >>> smallest_mix_ml(five, 10), round(smallest_mix_ml(five, 10, tolerance_pct=3))
    (600.0, 1000)
    """
    if measured_in == "g":
        mixing.check_densities(ratio, densities)
    shares = mixing.by_volume(ratio, densities)
    total_parts = sum(share.parts for share in shares)
    least_ml = 0.0
    for share in _judged_shares(shares):
        tolerance = TOLERANCES[share.role]
        allowed_pct = tolerance_pct or min(tolerance.stop_pct, max(tolerance.warn_pct, 20.0))
        least = smallest_measure(graduation, allowed_pct)
        if measured_in == "g" and densities:
            least /= densities[share.role]
        least_ml = max(least_ml, least / share.parts * total_parts)
    return least_ml


def ratio_errors(
    ratio: Ratio,
    poured_ml: Mapping[str, float],
    densities: Mapping[str, float] | None = None,
) -> tuple[ShareError, ...]:
    """Return how far each part but the base is off, in percent of the part, and how that is judged.

    poured_ml: what is in the cup of every part, base over 0. Raises ValueError for a part missing
    or not in the ratio. Source: TOLERANCES.

    >>> etch = Ratio((Share("base", 1), Share("activator", 1)))
    >>> ratio_errors(etch, {"base": 100, "activator": 107})
    (ShareError(role='activator', error_pct=7.0, judged='warn'),)
    """
    shares = mixing.by_volume(ratio, densities)
    poured = _amounts(shares, poured_ml)
    base = next(share for share in shares if share.role == "base")
    checked.number(poured["base"], "base poured", "ml", over=0)
    errors: list[ShareError] = []
    for share in shares:
        if share.role == "base":
            continue
        right_ml = poured["base"] * share.parts / base.parts
        error_pct = 100 * (poured[share.role] / right_ml - 1)
        rounded_pct = round(error_pct, 9) + 0.0  # no -0.0
        errors.append(ShareError(share.role, rounded_pct, _judge(share.role, error_pct)))
    return tuple(errors)


def round_to_cup(
    ratio: Ratio,
    need_ml: float,
    graduation_ml: float,
    densities: Mapping[str, float] | None = None,
) -> Choice:
    """Return the mixes next below and next above the need whose every part lands on a graduation.

    Hardener and activator come out exact; where that would miss the need by over a quarter they
    may be off inside their aim. The thinner is rounded. need_ml over 0 up to 200,000; graduation_ml
    over 0. Raises ValueError outside, and for a ratio by weight: that is never poured by cup lines.
    Source: common practice, no source.

    >>> four = Ratio((Share("base", 4), Share("hardener", 1), Share("thinner", 1)))
    >>> choice = round_to_cup(four, 250, 10)
    >>> choice.below.mix.total_ml, choice.above.mix.total_ml, choice.above.over_ml
    (240.0, 300.0, 50.0)
    """
    checked.number(need_ml, "amount needed", "ml", over=0, most=MOST_MIX_ML)
    checked.number(graduation_ml, "graduation", "ml", over=0, most=need_ml * 10)
    if ratio.by == "weight":
        raise ValueError(NEVER_BY_LINES)
    shares = mixing.by_volume(ratio, densities)
    base = next(share for share in shares if share.role == "base")
    exact_base_ml = need_ml * base.parts / sum(share.parts for share in shares)
    start = max(1, math.floor(exact_base_ml / graduation_ml) - len(shares))

    def on_lines(base_lines: int) -> RoundedMix:
        lines = [_half_up(base_lines * share.parts / base.parts) for share in shares]
        mls = {share.role: n * graduation_ml for share, n in zip(shares, lines, strict=True)}
        return _rounded(ratio, mls, need_ml, densities)

    first_above = next(n for n in count(start) if on_lines(n).over_ml >= -_ROUNDING * need_ml)
    slack_ml = WASTE_WORTH_A_RATIO_ERROR * need_ml
    above = _best(map(on_lines, count(first_above)), slack_ml)
    below = _best(map(on_lines, range(first_above - 1, 0, -1)), slack_ml)
    assert above is not None  # the row of bigger batches is endless: one is always near enough
    return Choice(below, above)


def cups_for(total_ml: float, cup_ml: float) -> int:
    """Return into how many cupfuls a mix is split; 1 when it fits. Both over 0, else ValueError.

    >>> cups_for(600, 1000), cups_for(1200, 1000)
    (1, 2)
    """
    checked.number(total_ml, "mix", "ml", over=0, most=MOST_MIX_ML)
    checked.number(cup_ml, "cup", "ml", over=0, most=MOST_MIX_ML)
    return math.ceil(total_ml / cup_ml - _ROUNDING)


def recover(
    ratio: Ratio,
    in_cup_ml: Mapping[str, float],
    cup_ml: float,
    densities: Mapping[str, float] | None = None,
    need_ml: float = 0.0,
) -> Recovery:
    """Return what to add after a pour too many so that the ratio is right, with new fill lines.

    in_cup_ml: what is in the cup by role, a part left out is not in yet. Nothing can be taken out
    of a mix, so the part that is most over sets the size, if that is more than need_ml (0 up to
    200,000); when it is more than the cup holds, ``fits`` is False and over_cup_ml says by how
    much: a bigger cup. Raises ValueError for a part not in the ratio, an empty cup, or more in it
    than it holds.

    >>> four = Ratio((Share("base", 4), Share("hardener", 1)))
    >>> again = recover(four, {"base": 400, "hardener": 120}, 1000)
    >>> [(add.role, add.ml, add.fill_to_ml) for add in again.adds], again.total_ml
    ([('base', 80.0, 600.0)], 600.0)
    """
    shares = mixing.by_volume(ratio, densities)
    if densities and all(share.role in densities for share in shares):
        mixing.check_densities(ratio, densities)
    in_cup = _checked_cup(shares, in_cup_ml, cup_ml, need_ml)
    multiple = max(in_cup[share.role] / share.parts for share in shares)
    multiple = max(multiple, need_ml / sum(share.parts for share in shares))
    wanted = {share.role: share.parts * multiple for share in shares}
    return _topped_up(in_cup, wanted, cup_ml, densities)


def recover_to_lines(
    ratio: Ratio,
    in_cup_ml: Mapping[str, float],
    cup_ml: float,
    graduation_ml: float,
    densities: Mapping[str, float] | None = None,
    need_ml: float = 0.0,
) -> Recovery:
    """Return what to add, as ``recover``, so that every pour from here on ends on a graduation.

    The smallest mix from there on whose hardener and activator are inside their aim; the thinner
    gives way. graduation_ml: over 0. Raises ValueError as ``recover`` does, and for a ratio by
    weight: that is never poured by cup lines. Source: common practice, no source.

    >>> four = Ratio((Share("base", 4), Share("hardener", 1)))
    >>> again = recover_to_lines(four, {"base": 434}, 1000, 10)
    >>> [(add.role, add.ml, add.fill_to_ml) for add in again.adds]
    [('base', 6.0, 440.0), ('hardener', 110.0, 550.0)]
    """
    checked.number(graduation_ml, "graduation", "ml", over=0)
    if ratio.by == "weight":
        raise ValueError(NEVER_BY_LINES)
    exact = recover(ratio, in_cup_ml, cup_ml, densities, need_ml)
    if not exact.adds:
        return exact
    shares = mixing.by_volume(ratio, densities)
    in_cup = _checked_cup(shares, in_cup_ml, cup_ml, need_ml)
    first = math.ceil(exact.total_ml / graduation_ml - _ROUNDING)
    for lines in range(first, math.floor(MOST_MIX_ML / graduation_ml) + 1):
        wanted = _on_lines(shares, in_cup, lines, graduation_ml)
        if wanted["base"] > 0 and _inside_the_aim(ratio_errors(ratio, wanted, densities)):
            return _topped_up(in_cup, wanted, cup_ml, densities)
    raise ValueError(f"no mix stands on lines of {graduation_ml:g} ml: take a finer cup")


def _checked_cup(
    shares: tuple[Share, ...], in_cup_ml: Mapping[str, float], cup_ml: float, need_ml: float
) -> dict[str, float]:
    """Return what is in the cup of every part."""
    in_cup = _amounts(shares, {**{share.role: 0.0 for share in shares}, **in_cup_ml})
    checked.number(cup_ml, "cup", "ml", over=0, most=MOST_MIX_ML)
    checked.number(sum(in_cup.values()), "paint in the cup", "ml", over=0, most=cup_ml)
    checked.number(need_ml, "amount needed", "ml", least=0, most=MOST_MIX_ML)
    return in_cup


def _on_lines(
    shares: tuple[Share, ...], in_cup: Mapping[str, float], lines: int, graduation_ml: float
) -> dict[str, float]:
    """Return the mix of so many graduations, each pour still to come rounded to one of them."""
    multiple = lines * graduation_ml / sum(share.parts for share in shares)
    stands_ml = exact_ml = sum(in_cup.values())
    wanted = dict(in_cup)
    for share in shares:
        exact_ml += max(share.parts * multiple - in_cup[share.role], 0.0)
        line_ml = _half_up(exact_ml / graduation_ml) * graduation_ml
        if share.parts * multiple > in_cup[share.role] and line_ml > stands_ml:
            wanted[share.role] += line_ml - stands_ml
            stands_ml = line_ml
    return wanted


def _topped_up(
    in_cup: Mapping[str, float],
    wanted: Mapping[str, float],
    cup_ml: float,
    densities: Mapping[str, float] | None,
) -> Recovery:
    """Return the pours that make what is wanted of what is in the cup."""
    by_role = densities or {}
    weighable = all(role in by_role for role in wanted)
    line_ml = sum(in_cup.values())
    scale_g = sum(ml * by_role.get(role, 0.0) for role, ml in in_cup.items())
    adds: list[Pour] = []
    for role, wanted_ml in wanted.items():
        ml = wanted_ml - in_cup[role]
        if ml <= _ROUNDING * wanted_ml:
            continue
        line_ml += ml
        g = ml * by_role[role] if weighable else None
        scale_g += g or 0.0
        adds.append(Pour(role, ml, line_ml, g, scale_g if weighable else None))
    return Recovery(tuple(adds), line_ml, max(0.0, line_ml - cup_ml))


def cost(ml_by_role: Mapping[str, float], price_per_l: Mapping[str, float]) -> float | None:
    """Return the cost of amounts in ml at prices per litre; None when a price is missing.

    Amounts and prices from 0, ValueError else.

    >>> cost({"base": 400, "hardener": 100}, {"base": 30, "hardener": 50})
    17.0
    >>> cost({"base": 400, "hardener": 100}, {"base": 30}) is None
    True
    """
    for role, ml in ml_by_role.items():
        checked.number(ml, f"amount of {role}", "ml", least=0)
    for role, price in price_per_l.items():
        checked.number(price, f"price of {role}", "a litre", least=0)
    if any(role not in price_per_l for role in ml_by_role):
        return None
    return sum(ml * price_per_l[role] for role, ml in ml_by_role.items()) / 1000


def cost_of_waste(mix: Mix, binned_ml: float, price_per_l: Mapping[str, float]) -> float | None:
    """Return cost of what was binned of a mix (0 up to its total); None when a price is missing.

    >>> four = mixing.for_total(Ratio((Share("base", 4), Share("hardener", 1))), 500)
    >>> cost_of_waste(four, 250, {"base": 30, "hardener": 50})
    8.5
    """
    checked.number(binned_ml, "binned", "ml", least=0, most=mix.total_ml)
    whole = cost({pour.role: pour.ml for pour in mix.pours}, price_per_l)
    return None if whole is None else whole * binned_ml / mix.total_ml


def _judged_shares(shares: Iterable[Share]) -> tuple[Share, ...]:
    others = [share for share in shares if share.role != "base"]
    sharp = [share for share in others if share.role != "thinner"]
    return tuple(sharp or others)


def _judge(role: str, error_pct: float) -> Judged:
    tolerance = TOLERANCES[role]
    off_pct = abs(error_pct) - _ROUNDING
    if off_pct > tolerance.stop_pct:
        return "stop"
    return "warn" if off_pct > tolerance.warn_pct else "within"


def _amounts(shares: tuple[Share, ...], given_ml: Mapping[str, float]) -> dict[str, float]:
    roles = [share.role for share in shares]
    for role, ml in given_ml.items():
        mixing.check_in_mix(role, roles)
        checked.number(ml, f"{role} poured", "ml", least=0, most=MOST_MIX_ML)
    missing = [role for role in roles if role not in given_ml]
    if missing:
        raise ValueError(f"nothing said of {', '.join(missing)}: give ml of every part, 0 if none")
    return dict(given_ml)


def _inside_the_aim(errors: Iterable[ShareError]) -> bool:
    """Return whether every part is inside its aim but the thinner, which gives way."""
    sharp = (error for error in errors if error.role != "thinner")
    return all(abs(error.error_pct) <= TOLERANCES[error.role].aim_pct for error in sharp)


def _half_up(value: float) -> int:
    return math.floor(value + 0.5 + _ROUNDING)


def _rounded(
    ratio: Ratio,
    mls: Mapping[str, float],
    need_ml: float,
    densities: Mapping[str, float] | None,
) -> RoundedMix:
    mix = mixing.as_poured(mls, densities)
    return RoundedMix(mix, mix.total_ml - need_ml, ratio_errors(ratio, mls, densities))


def _best(candidates: Iterator[RoundedMix], slack_ml: float) -> RoundedMix | None:
    """Return the first exact batch near enough, else the first inside the aim or exact."""
    near: RoundedMix | None = None
    for candidate in candidates:
        sharp = [error for error in candidate.errors if error.role != "thinner"]
        exact = all(abs(error.error_pct) < 1e-6 for error in sharp)
        if exact and (near is None or abs(candidate.over_ml) <= slack_ml):
            return candidate
        if near is None and _inside_the_aim(sharp):
            near = candidate
        if near is not None and abs(candidate.over_ml) > slack_ml:
            return near
    return near
