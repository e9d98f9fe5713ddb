"""Mixing: how much of each part goes into the cup, and up to which line.

Amounts are millilitres; grams stand beside them when the densities are known. No contraction on
mixing is allowed for.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from bench.trade import ageing, checked

Of = Literal["base", "mixed", "total"]
"""Thinner percent of the base, of all parts but the thinner, or of the whole cup."""
By = Literal["volume", "weight"]

ROLES = ("base", "hardener", "activator", "thinner")
"""The parts of a mix, in the order in which they are poured (common practice, no source)."""
MOST_PARTS = 4
MOST_PART = 50.0
"""A bigger number on a tin is a percent of the base or a slip (common practice, no source)."""
MOST_THINNER_PCT = 100.0
MOST_MIX_ML = 200_000.0
"""One drum; nobody mixes more at a bench (common practice, no source)."""
LEAST_DENSITY, MOST_DENSITY = 0.5, 6.0
"""g/ml: from the lightest thinner to a zinc-rich base, with room (common practice, no source)."""
MOST_WATER = 1000.0
"""More parts of water than this are a slip of the finger (no source)."""
MOST_WASH_L = 1000.0
"""A dip tank; nobody makes more of a wash ready at a bench (common practice, no source)."""
BIG_POT_OVER_ML = 500.0
BIG_POT_OFF_PCT = 20.0
"""A big pot warms itself: 15-25 % off its life (common practice, no source)."""


@dataclass(frozen=True)
class Share:
    """One part of a ratio: what it is and how many parts of it."""

    role: str
    parts: float


@dataclass(frozen=True)
class Ratio:
    """A mixing ratio. The thinner is either a share or a percent, by the same measure as ``by``."""

    shares: tuple[Share, ...]
    by: By = "volume"
    thinner_pct: float = 0.0
    thinner_of: Of = "mixed"


@dataclass(frozen=True)
class Pour:
    """One part to pour: how much, and the line or scale reading at which the cup then stands.

    ``g`` and ``scale_to_g`` are None when the densities are not known.
    """

    role: str
    ml: float
    fill_to_ml: float
    g: float | None
    scale_to_g: float | None


@dataclass(frozen=True)
class Mix:
    """Pours in order, and the whole."""

    pours: tuple[Pour, ...]
    total_ml: float
    total_g: float | None


def check_ratio(ratio: Ratio) -> None:
    """Raise ValueError when a ratio cannot be poured.

    Refused: no part or more than four; a part without a role, with an unknown one or with one
    twice; no base; parts of nothing or over 50; thinner under 0 or over 100 %, all of the whole, or
    both as a share and as a percent.

    >>> check_ratio(Ratio((Share("base", 4), Share("hardener", 1)), thinner_pct=10))
    >>> check_ratio(Ratio((Share("base", 4), Share("", 1))))
    Traceback (most recent call last):
    ValueError: a part of 1 has no role: name it base, hardener, activator or thinner
    """
    if not 1 <= len(ratio.shares) <= MOST_PARTS:
        raise ValueError(f"{len(ratio.shares)} parts in the ratio: a mix has one to {MOST_PARTS}")
    for share in ratio.shares:
        _check_role(share)
        checked.number(share.parts, f"parts of {share.role}", over=0, most=MOST_PART)
    roles = [share.role for share in ratio.shares]
    twice = next((role for role in roles if roles.count(role) > 1), None)
    if twice:
        raise ValueError(f"two parts are called {twice}: each part needs its own role")
    if "base" not in roles:
        raise ValueError(
            f"no base among {', '.join(roles)}: name the part that is the paint itself"
        )
    checked.number(ratio.thinner_pct, "thinner", "%", least=0, most=MOST_THINNER_PCT)
    if ratio.thinner_pct and "thinner" in roles:
        raise ValueError(
            f"thinner is a part and {ratio.thinner_pct:g} % as well: keep one of the two"
        )
    if ratio.thinner_of == "total" and ratio.thinner_pct >= 100:
        raise ValueError("thinner 100 % of the whole leaves no paint: it must be under 100 %")


def _check_role(share: Share) -> None:
    right = "base, hardener, activator or thinner"
    if not share.role:
        raise ValueError(f"a part of {share.parts:g} has no role: name it {right}")
    if share.role not in ROLES:
        raise ValueError(f"unknown part {share.role!r}: it must be {right}")


def all_shares(ratio: Ratio) -> tuple[Share, ...]:
    """Return every part in the order of pouring, the thinner percent worked out into parts.

    Parts are by volume or by weight as the ratio says. Raises ValueError for a bad ratio.

    >>> all_shares(Ratio((Share("base", 2), Share("hardener", 1)), thinner_pct=10))[-1]
    Share(role='thinner', parts=0.3)
    """
    check_ratio(ratio)
    shares = sorted(ratio.shares, key=lambda share: ROLES.index(share.role))
    thinner = _thinner_parts(ratio)
    return (*shares, Share("thinner", thinner)) if thinner else tuple(shares)


def _thinner_parts(ratio: Ratio) -> float:
    paint = sum(share.parts for share in ratio.shares)
    base = sum(share.parts for share in ratio.shares if share.role == "base")
    whole = {"base": base, "mixed": paint, "total": paint}[ratio.thinner_of]
    left_pct = 100 - ratio.thinner_pct if ratio.thinner_of == "total" else 100.0
    return whole * ratio.thinner_pct / left_pct


def check_densities(ratio: Ratio, densities: Mapping[str, float] | None) -> None:
    """Raise ValueError unless every part of the mix has a density of 0.5 to 6 g/ml.

    A scale cannot serve a ratio by volume without them, nor a cup a ratio by weight.

    >>> check_densities(Ratio((Share("base", 1), Share("activator", 1))), {"base": 1.1})
    Traceback (most recent call last):
    ValueError: no density for activator: give g/ml for each part, as base 1.35
    """
    missing = [share.role for share in all_shares(ratio) if share.role not in (densities or {})]
    if missing:
        raise ValueError(
            f"no density for {', '.join(missing)}: give g/ml for each part, as base 1.35"
        )
    for role, density in (densities or {}).items():
        _checked_density(role, density)


def _checked_density(role: str, density: float) -> float:
    return checked.number(
        density, f"density of {role}", "g/ml", least=LEAST_DENSITY, most=MOST_DENSITY
    )


def by_volume(ratio: Ratio, densities: Mapping[str, float] | None = None) -> tuple[Share, ...]:
    """Give every part by volume, in the order of pouring; weights go through the densities (g/ml).

    Raises ValueError for a bad ratio, or a ratio by weight without a density for each part.

    >>> five = Ratio((Share("base", 5), Share("hardener", 1)), by="weight")
    >>> [round(s.parts, 3) for s in by_volume(five, {"base": 1.45, "hardener": 1.08})]
    [3.448, 0.926]
    """
    if ratio.by == "volume":
        return all_shares(ratio)
    check_densities(ratio, densities)
    by_role = densities or {}
    return tuple(
        Share(share.role, share.parts / by_role[share.role]) for share in all_shares(ratio)
    )


def thinner_of_mixed_pct(ratio: Ratio, densities: Mapping[str, float] | None = None) -> float:
    """Return the thinner by volume as percent of all other parts, as the film sums want it.

    Raises ValueError as ``by_volume`` does.

    >>> thinner_of_mixed_pct(
    ...     Ratio((Share("base", 4), Share("hardener", 1)), thinner_pct=10, thinner_of="base")
    ... )
    8.0
    """
    shares = by_volume(ratio, densities)
    thinner = sum(share.parts for share in shares if share.role == "thinner")
    return 100 * thinner / (sum(share.parts for share in shares) - thinner)


def for_total(ratio: Ratio, total_ml: float, densities: Mapping[str, float] | None = None) -> Mix:
    """Return the mix that makes ``total_ml`` in the cup (over 0, up to 200,000 ml).

    densities: g/ml by role. Grams are given when every part has one, and else left out; a ratio by
    weight without them is refused. Raises ValueError for a bad ratio, amount or density.
    Source: volume balance.

    >>> four = Ratio((Share("base", 4), Share("hardener", 1), Share("thinner", 1)))
    >>> [(pour.role, pour.ml, pour.fill_to_ml) for pour in for_total(four, 600).pours]
    [('base', 400.0, 400.0), ('hardener', 100.0, 500.0), ('thinner', 100.0, 600.0)]
    """
    checked.number(total_ml, "amount to mix", "ml", over=0, most=MOST_MIX_ML)
    shares = by_volume(ratio, densities)
    return _poured_out(shares, total_ml / sum(s.parts for s in shares), densities)


def diluted_l(ready_l: float, water_parts: float) -> tuple[float, float]:
    """Return the litres of water and of the concentrate that make ``ready_l`` of a wash or cleaner.

    ready_l: over 0, up to 1000 l; water_parts: of water to one of the concentrate, by volume, 0 to
    1000. Raises ValueError outside of them. Source: volume balance, no contraction.

    >>> diluted_l(10, 9), diluted_l(10, 3)
    ((9.0, 1.0), (7.5, 2.5))
    """
    checked.number(ready_l, "ready wash", "l", over=0, most=MOST_WASH_L)
    checked.number(water_parts, "parts of water to one", least=0, most=MOST_WATER)
    concentrate_l = ready_l / (1 + water_parts)
    return ready_l - concentrate_l, concentrate_l


def from_left(
    ratio: Ratio, left_ml: Mapping[str, float], densities: Mapping[str, float] | None = None
) -> Mix:
    """Return the biggest mix from what is left of the parts; a part not named is taken as plenty.

    left_ml: millilitres by role. Raises ValueError when no part is named, one is not in the ratio,
    or one is empty.

    >>> four = Ratio((Share("base", 4), Share("hardener", 1), Share("thinner", 1)))
    >>> [pour.ml for pour in from_left(four, {"base": 340, "hardener": 70}).pours]
    [280.0, 70.0, 70.0]
    """
    return _from_parts(ratio, left_ml, "left", densities)


def from_poured(
    ratio: Ratio, role: str, ml: float, densities: Mapping[str, float] | None = None
) -> Mix:
    """Return the mix that goes with ``ml`` of one part already in the cup.

    Raises ValueError when the part is not in the ratio or the amount is not over 0.

    >>> four = Ratio((Share("base", 4), Share("hardener", 1), Share("thinner", 1)))
    >>> from_poured(four, "base", 420).total_ml
    630.0
    """
    return _from_parts(ratio, {role: ml}, "poured", densities)


def _from_parts(
    ratio: Ratio, known_ml: Mapping[str, float], what: str, densities: Mapping[str, float] | None
) -> Mix:
    """Return the mix that takes no more of any part than is known of it."""
    shares = by_volume(ratio, densities)
    if not known_ml:
        raise ValueError("nothing named: say what is left of at least one part")
    sizes = {share.role: share.parts for share in shares}
    for role, ml in known_ml.items():
        check_in_mix(role, sizes)
        checked.number(ml, f"{role} {what}", "ml", over=0)
    multiple = min(ml / sizes[role] for role, ml in known_ml.items())
    total_ml = multiple * sum(sizes.values())
    checked.number(total_ml, "amount this would make", "ml", over=0, most=MOST_MIX_ML)
    return _poured_out(shares, multiple, densities)


def from_cup_mark(
    ratio: Ratio, mark_ml: float, cup_ml: float, densities: Mapping[str, float] | None = None
) -> Mix:
    """Return the mix that fills a cup of ``cup_ml`` to the line ``mark_ml``.

    Raises ValueError when the line is above the cup.

    >>> four = Ratio((Share("base", 4), Share("hardener", 1)))
    >>> [pour.fill_to_ml for pour in from_cup_mark(four, 800, 1000).pours]
    [640.0, 800.0]
    """
    checked.number(cup_ml, "cup", "ml", over=0, most=MOST_MIX_ML)
    checked.number(mark_ml, "cup mark", "ml", over=0, most=cup_ml)
    return for_total(ratio, mark_ml, densities)


def as_poured(ml_by_role: Mapping[str, float], densities: Mapping[str, float] | None = None) -> Mix:
    """Give the mix as it was really poured, part by part in the order given, with lines and scale.

    ml_by_role: millilitres from 0. Grams stand only when every part has a density (g/ml). Raises
    ValueError for an unknown part, an amount or a density out of range.

    >>> as_poured({"base": 300, "hardener": 60, "thinner": 40}).pours[1].fill_to_ml
    360.0
    """
    by_role = densities or {}
    weighable = all(role in by_role for role in ml_by_role)
    pours: list[Pour] = []
    line_ml, scale_g = 0.0, 0.0
    for role, ml in ml_by_role.items():
        _check_role(Share(role, ml))
        line_ml += checked.number(ml, f"{role} poured", "ml", least=0, most=MOST_MIX_ML)
        g = ml * _checked_density(role, by_role[role]) if weighable else None
        scale_g += g or 0.0
        pours.append(Pour(role, ml, line_ml, g, scale_g if weighable else None))
    return Mix(tuple(pours), line_ml, scale_g if weighable else None)


def pot_life_s(table: ageing.TimeTable, temp_c: float) -> ageing.TimeAt:
    """Return pot life in seconds at ``temp_c``, from hardener touching base, induction included.

    Warmth shortens it; cold is not credited past the coldest point of the sheet. Raises ValueError
    for a bad table or temperature. Source: see ``ageing.time_at``.

    >>> pot_life_s(((20.0, 7200.0),), 30.0).seconds, pot_life_s(((20.0, 7200.0),), 5.0).seconds
    (2880.0, 7200.0)
    """
    return ageing.time_at(table, temp_c, "closing")


def big_pot_life_s(life_s: float, pot_ml: float) -> float:
    """Return the pot life in seconds with the allowance for a big pot: over 500 ml, a fifth off.

    One-sided: a small pot gets nothing added. Common practice, no source. Raises ValueError for a
    life or a pot of nothing.

    >>> big_pot_life_s(7200, 300), big_pot_life_s(7200, 800)
    (7200, 5760.0)
    """
    checked.number(life_s, "pot life", "s", over=0)
    checked.number(pot_ml, "pot", "ml", over=0, most=MOST_MIX_ML)
    return life_s * (1 - BIG_POT_OFF_PCT / 100) if pot_ml > BIG_POT_OVER_ML else life_s


def induction_s(table: ageing.TimeTable, temp_c: float) -> ageing.TimeAt:
    """Return the induction in seconds at ``temp_c``: cold lengthens it, warmth is not credited.

    Raises ValueError for a bad table or temperature. Source: see ``ageing.time_at``.

    >>> induction_s(((20.0, 900.0),), 10.0).seconds
    1800.0
    """
    return ageing.time_at(table, temp_c, "opening")


def _poured_out(
    shares: tuple[Share, ...], multiple: float, densities: Mapping[str, float] | None
) -> Mix:
    return as_poured({share.role: share.parts * multiple for share in shares}, densities)


def check_in_mix(role: str, roles: Collection[str]) -> None:
    """Raise ValueError, naming the parts there are, where a role is none of them."""
    if role not in roles:
        raise ValueError(f"{role!r} is not in this mix: its parts are {', '.join(roles)}")
