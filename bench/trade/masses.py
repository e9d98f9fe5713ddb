"""What pieces weigh: steel, the zinc on it, and what to choose a hoist or two people for."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from bench.trade import checked, sections, zinc
from bench.trade.sections import CORNER_SAVES, SectionPiece

STEEL_KG_M3 = 7850.0
"""Density of steel that section tables are worked out with: EN 10219-2, EN 10210-2 (seen)."""

HEAVIER_PCT = 6.0
"""One length of hollow section may weigh so much more: EN 10219-2, EN 10210-2 (from memory)."""

MOST_ALSO_KG = 10_000.0
"""A limit above which a figure is a slip of the finger (common practice, no source)."""

LIFTING_CAUTIONS = (
    "An estimate of what hangs on the hook. Weigh it where it comes near what the gear may lift.",
    "Hooks, chains, welds, bolts and liquid left inside come on top: name them as well.",
    "Nobody stands under it; the spit, stand or hook has to be made for the weight.",
)
"""Shown with every lifting weight (common practice, no source)."""


@dataclass(frozen=True)
class PieceMass:
    """Kilograms of steel and of zinc, and the most it may weigh with whatever else hangs on it."""

    steel_kg: float
    zinc_kg: float
    lift_kg: float


def mass_of(
    piece: SectionPiece,
    length_m: float | None = None,
    count: int = 1,
    zinc_um: float = 0.0,
    also_kg: float = 0.0,
) -> PieceMass:
    """Return what ``count`` pieces weigh, the zinc on both sides of a hollow too, and for lifting.

    ``lift_kg`` takes the steel at the upper end of its tolerance and adds ``also_kg``.
    Range: length and count as ``sections.area_m2``; zinc 0 to 2000 um; also 0 to 10,000 kg. Raises
    ValueError outside it. Source: cross-section times STEEL_KG_M3, geometry; zinc of ISO 1461.

    >>> round(mass_of(sections.read_piece("SHS 100x100x5"), 1).steel_kg, 2)
    14.41
    """
    checked.number(also_kg, "what else hangs on it", "kg", least=0, most=MOST_ALSO_KG)
    outside_m2 = sections.area_m2(piece, length_m, count)
    metres = (length_m or 0) * count
    if piece.shape == "plate":
        steel_kg = STEEL_KG_M3 * _plate_mm3(*piece.sizes) / 1e9 * count
    else:
        steel_kg = STEEL_KG_M3 * cross_section_mm2(piece) / 1e6 * metres
    inside_m2 = _inside_m2_per_m(piece) * metres
    zinc_kg = zinc.mass_g_m2(zinc_um) * (outside_m2 + inside_m2) / 1000
    lift_kg = steel_kg * (1 + HEAVIER_PCT / 100) + zinc_kg + also_kg
    return PieceMass(steel_kg, zinc_kg, lift_kg)


def cross_section_mm2(piece: SectionPiece) -> float:
    """Return the steel in the cross-section of a piece that is sold by the metre, in mm2.

    Source: geometry; EN 10219-2 and EN 10210-2 for boxes, radii as EN 10056-1 for angles.

    >>> round(cross_section_mm2(sections.read_piece("flat 50x6")))
    300
    """
    if piece.shape == "box":
        return _box_mm2(piece)
    return _CROSS_SECTIONS[piece.shape](*piece.sizes)


def _tube_mm2(across_mm: float, wall_mm: float) -> float:
    return math.pi * (across_mm - wall_mm) * wall_mm


def _rod_mm2(across_mm: float) -> float:
    return math.pi * across_mm**2 / 4


def _flat_mm2(width_mm: float, thick_mm: float) -> float:
    return width_mm * thick_mm


_CORNER = 1 - math.pi / 4
"""A square corner of side r holds this much more, times r squared, than its quarter round."""


def _box_mm2(piece: SectionPiece) -> float:
    width_mm, height_mm, wall_mm = piece.sizes
    outer_mm = sections.corner_radius_mm(wall_mm, piece.formed)
    inner_mm = sections.inner_radius_mm(wall_mm, piece.formed)
    sharp_mm2 = 2 * wall_mm * (width_mm + height_mm - 2 * wall_mm)
    return sharp_mm2 - 4 * _CORNER * (outer_mm**2 - inner_mm**2)


def _angle_mm2(
    leg_mm: float, other_leg_mm: float, thick_mm: float, root_mm: float = 0, toe_mm: float = 0
) -> float:
    sharp_mm2 = (leg_mm + other_leg_mm - thick_mm) * thick_mm
    return sharp_mm2 + _CORNER * (root_mm**2 - 2 * toe_mm**2)


def _channel_mm2(
    height_mm: float,
    flange_mm: float,
    web_mm: float,
    flange_thick_mm: float,
    root_mm: float = 0,
    toe_mm: float = 0,
) -> float:
    sharp_mm2 = height_mm * web_mm + 2 * flange_thick_mm * (flange_mm - web_mm)
    return sharp_mm2 + 2 * _CORNER * (root_mm**2 - toe_mm**2)


_CROSS_SECTIONS: dict[str, Callable[..., float]] = {
    "chs": _tube_mm2,
    "rod": _rod_mm2,
    "angle": _angle_mm2,
    "channel": _channel_mm2,
    "flat": _flat_mm2,
}


def _plate_mm3(
    length_mm: float, width_mm: float, thick_mm: float, holes: float = 0, hole_mm: float = 0
) -> float:
    return (length_mm * width_mm - holes * _rod_mm2(hole_mm)) * thick_mm


def _inside_m2_per_m(piece: SectionPiece) -> float:
    """Return the inside of a hollow section, which a zinc bath coats too."""
    if piece.shape == "chs":
        across_mm, wall_mm = piece.sizes
        return math.pi * (across_mm - 2 * wall_mm) / 1000
    if piece.shape != "box":
        return 0.0
    width_mm, height_mm, wall_mm = piece.sizes
    inner_mm = sections.inner_radius_mm(wall_mm, piece.formed)
    return (2 * (width_mm + height_mm - 4 * wall_mm) - 4 * CORNER_SAVES * inner_mm) / 1000
