"""Hot-dip zinc: mass and thickness, what the standard asks, years, paint on it, bare spots."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from bench.trade import checked

DENSITY_G_CM3 = 7.2
"""Zinc coating, ISO 1461 6.2.2 (seen)."""

MOST_ZINC_UM = 2000.0
"""More than a hot-dip coating holds on; a greater figure is a slip of unit (no source)."""

LOSS_UM_YEAR = {
    "C1": (0.0, 0.1),
    "C2": (0.1, 0.7),
    "C3": (0.7, 2.1),
    "C4": (2.1, 4.2),
    "C5": (4.2, 8.4),
    "CX": (8.4, 25.0),
}
"""Zinc lost in the first year, um, least and most by category: ISO 9223:2012, from memory;
an older form, rounded to 2, 4 and 8 um, was seen (AS Galv-Est on ISO 14713, galv-est.ee)."""


DUPLEX_FACTOR = (1.5, 2.3)
"""Zinc and paint together last so many times the sum of both, least and most: American Galvanizers
Association, galvanizeit.org "Duplex Systems" (seen); others print 1.4 to 2.7."""

MOST_YEARS = 500.0
MOST_PAINT_YEARS = 100.0
"""Limits above which a figure is a slip of the finger (common practice, no source)."""

MOST_SPOT_CM2 = 10.0
MOST_BARE_PCT = 0.5
LEAST_REPAIR_UM = 100.0
"""One bare spot, all of them of the part's surface, and the film of the repair: ISO 1461:2009 6.3
(seen)."""


@dataclass(frozen=True)
class LeastZinc:
    """Least local and least mean zinc in um, with the edition they come from."""

    local_um: float
    mean_um: float
    source: str


@dataclass(frozen=True)
class _Band:
    """From this steel on; ``edge`` tells whether the steel of exactly that size belongs to it."""

    from_mm: float
    edge: bool
    local_um: float
    mean_um: float


_CASTING = (_Band(6, True, 70, 80), _Band(0, False, 60, 70))
_CAST = "{}, castings: seen, but not its year"
_CENTRIFUGED = "ISO 1461:2009 table of centrifuged articles, from memory"

_THIN_STEEL = (_Band(1.5, True, 45, 55), _Band(0, False, 35, 45))

_BANDS: dict[tuple[str, str], tuple[tuple[_Band, ...], str]] = {
    ("1999", "steel"): (
        (_Band(6, True, 70, 85), _Band(3, True, 55, 70), *_THIN_STEEL),
        "ISO 1461:1999, seen",
    ),
    ("2009", "steel"): (
        (_Band(6, False, 70, 85), _Band(3, False, 55, 70), *_THIN_STEEL),
        "ISO 1461:2009, seen",
    ),
    ("1999", "casting"): (_CASTING, _CAST.format("ISO 1461:1999")),
    ("2009", "casting"): (_CASTING, _CAST.format("ISO 1461:2009")),
    ("2009", "threaded"): ((_Band(6, True, 40, 50), _Band(0, False, 20, 25)), _CENTRIFUGED),
    ("2009", "centrifuged"): ((_Band(3, True, 45, 55), _Band(0, False, 35, 45)), _CENTRIFUGED),
}


@dataclass(frozen=True)
class ZincYears:
    """Years until bare zinc is used up; ``most`` is None where the category has no least loss."""

    least: float
    most: float | None


@dataclass(frozen=True)
class PaintOnZinc:
    """Paint over zinc in um: one figure a reading, their mean, and the zinc taken off."""

    readings_um: tuple[float, ...]
    mean_um: float
    zinc_mean_um: float


@dataclass(frozen=True)
class BareSpots:
    """Bare spots held against ISO 1461: the largest, their sum, their percent of the surface, and
    what is beyond a limit, none where all is within."""

    largest_cm2: float
    total_cm2: float
    share_pct: float
    beyond: tuple[str, ...]


def mass_g_m2(zinc_um: float) -> float:
    """Return zinc on one face in g/m2 from its thickness in um: thickness times 7.2 g/cm3.

    Range: 0 to 2000 um. Raises ValueError outside it. Source: ISO 1461 6.2.2.

    >>> round(mass_g_m2(85), 3)
    612.0
    """
    checked.number(zinc_um, "zinc", "um", least=0, most=MOST_ZINC_UM)
    return zinc_um * DENSITY_G_CM3


def thickness_um(zinc_g_m2: float) -> float:
    """Return zinc thickness in um from its mass on one face in g/m2: the way back from mass_g_m2().

    Range: 0 to 14,000 g/m2. Raises ValueError outside it. Source: ISO 1461 6.2.2.

    >>> round(thickness_um(610), 1)
    84.7
    """
    checked.number(zinc_g_m2, "zinc", "g/m2", least=0, most=14_000)
    return zinc_g_m2 / DENSITY_G_CM3


def least_zinc(steel_mm: float, edition: str = "2009", article: str = "steel") -> LeastZinc:
    """Return the least local and mean zinc of ISO 1461 for an article of ``steel_mm``.

    ``article``: "steel" or "casting" (not centrifuged; thickness of the metal); in the 2009
    edition also "threaded" (centrifuged; diameter) and "centrifuged" (any other such article).
    ``edition``: "1999" (a band begins at 3 and 6 mm) or "2009" (it begins past 3 and 6 mm); so
    steel of exactly 6 mm needs 70/85 um in the one and 55/70 um in the other.
    Range: 0.1 to 500 mm. Raises ValueError outside it, for another edition or article.
    Source: ISO 1461; what was seen and what is from memory is in the answer's source.

    >>> least_zinc(5)
    LeastZinc(local_um=55, mean_um=70, source='ISO 1461:2009, seen')
    """
    checked.number(steel_mm, "steel", "mm", least=0.1, most=500)
    if (edition, article) not in _BANDS:
        choices = ", ".join(f"{name} of {year}" for year, name in _BANDS)
        raise ValueError(
            f"read '{article[:20]}' of edition '{edition[:20]}', for which no least thickness is "
            f"held; wanted one of: {choices}"
        )
    bands, source = _BANDS[edition, article]
    band = next(b for b in bands if steel_mm > b.from_mm or (b.edge and steel_mm == b.from_mm))
    return LeastZinc(band.local_um, band.mean_um, source)


def years_left(zinc_um: float, category: str) -> ZincYears:
    """Return the years ``zinc_um`` of bare zinc lasts in a corrosivity category of LOSS_UM_YEAR.

    The zinc divided by the yearly loss of its category; paint over it is not counted.
    Range: 0 to 2000 um. An estimate: the losses are those of the first year, later ones are
    mostly smaller; splashed, buried or crevice places are outside the categories.
    Raises ValueError outside the range. Source: life in proportion to thickness, ISO 1461 6.2.1
    (seen); losses ISO 9223:2012 (from memory).

    >>> years = years_left(85, "C3")
    >>> round(years.least, 1), round(years.most, 1)
    (40.5, 121.4)
    """
    checked.number(zinc_um, "zinc", "um", least=0, most=MOST_ZINC_UM)
    slow, fast = LOSS_UM_YEAR[category]
    return ZincYears(zinc_um / fast, zinc_um / slow if slow else None)


def duplex_years(zinc: ZincYears, paint_years: float) -> ZincYears:
    """Return the years that zinc and paint together may keep rust from steel, least and most.

    DUPLEX_FACTOR times the sum of both; ``most`` is None where that of the zinc is. A rule of thumb
    of open air: under water, in a crevice, in wet warmth it is less, and paint is mostly renewed
    long before. Range: zinc 0 to 500 years, paint 0 to 100. Raises ValueError outside it.
    Source: American Galvanizers Association (seen).

    >>> years = duplex_years(ZincYears(70, 70), 10)
    >>> round(years.least), round(years.most)
    (120, 184)
    """
    checked.number(paint_years, "paint", "years", least=0, most=MOST_PAINT_YEARS)
    for years in (zinc.least, zinc.most):
        if years is not None:
            checked.number(years, "zinc", "years", least=0, most=MOST_YEARS)
    low, high = DUPLEX_FACTOR
    most = None if zinc.most is None else high * (zinc.most + paint_years)
    return ZincYears(low * (zinc.least + paint_years), most)


def bare_spots(
    spots_cm2: Sequence[float], surface_m2: float, repair_um: float | None = None
) -> BareSpots:
    """Hold bare spots against what a galvaniser may repair: 10 cm2 each, 0.5 % of the part in all.

    ``surface_m2``: of the whole part. ``repair_um``: dry film of the repair, None where it is not
    read yet; 100 um at least, unless less was agreed because the part is painted over.
    Range: a spot over 0 to 100,000 cm2, one at least; surface 0.0001 to 100,000 m2; film 0 to 3000
    um. Raises ValueError outside it, naming the spot, and where the spots are larger than the part.
    Source: ISO 1461:2009 6.3 (seen).

    >>> bare_spots([4, 8], 0.3).share_pct
    0.4
    >>> bare_spots([12], 1).beyond
    ('a spot of 12 cm2, and 10 cm2 is the limit of one',)
    """
    if not spots_cm2:
        raise ValueError("bare spots: read none; wanted the area of each, such as 4 cm2")
    for n, spot_cm2 in enumerate(spots_cm2, start=1):
        checked.number(spot_cm2, f"bare spot {n}", "cm2", over=0, most=100_000)
    checked.number(surface_m2, "surface of the part", "m2", least=0.0001, most=100_000)
    largest_cm2, total_cm2 = max(spots_cm2), math.fsum(spots_cm2)
    share_pct = round(total_cm2 / surface_m2 / 100, 9)
    if share_pct > 100:
        raise ValueError(
            f"bare spots: read {total_cm2:g} cm2 on a part of {surface_m2:g} m2; wanted spots no "
            "larger than the part"
        )
    beyond = []
    if largest_cm2 > MOST_SPOT_CM2:
        beyond.append(
            f"a spot of {largest_cm2:g} cm2, and {MOST_SPOT_CM2:g} cm2 is the limit of one"
        )
    if share_pct > MOST_BARE_PCT:
        beyond.append(
            f"{share_pct:.2g} % of the surface is bare, and {MOST_BARE_PCT:g} % is the limit"
        )
    if repair_um is not None:
        checked.number(repair_um, "film of the repair", "um", least=0, most=3000)
        if repair_um < LEAST_REPAIR_UM:
            beyond.append(
                f"{repair_um:g} um on the repair, and {LEAST_REPAIR_UM:g} um is the minimum "
                "unless less was agreed"
            )
    return BareSpots(largest_cm2, total_cm2, share_pct, tuple(beyond))


def paint_on_zinc(total_um: Sequence[float], zinc_um: Sequence[float]) -> PaintOnZinc:
    """Give paint in um from gauge readings over paint and zinc together, less the mean of the zinc.

    A magnetic gauge reads every layer on the steel; the zinc is read before painting, five spots
    or more. A single reading may come out under zero where the zinc is thin just there.
    Range: each reading 0 to 5000 um, at least one of both.
    Raises ValueError outside it, naming the reading, and when the mean comes out at zero or less.
    Source: instrument makers' guidance on duplex coatings (seen); arithmetic.

    >>> paint_on_zinc([140, 150, 145, 138, 152], [85]).mean_um
    60.0
    """
    for what, readings in (("paint and zinc", total_um), ("zinc", zinc_um)):
        if not readings:
            raise ValueError(f"{what}: read nothing; wanted one reading or more, better five")
        for n, reading in enumerate(readings, start=1):
            checked.number(reading, f"{what}, reading {n}", "um", least=0, most=5000)
    zinc_mean_um = fmean(zinc_um)
    paint = tuple(round(reading - zinc_mean_um, 6) for reading in total_um)
    mean_um = fmean(paint)
    if mean_um <= 0:
        raise ValueError(
            f"read {fmean(total_um):.4g} um over paint and zinc but {zinc_mean_um:.4g} um of zinc, "
            f"which leaves {mean_um:.3g} um of paint; wanted the zinc measured again, unpainted, "
            "on this part"
        )
    return PaintOnZinc(paint, mean_um, zinc_mean_um)
