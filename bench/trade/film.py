"""Film and litres: wet and dry thickness, spreading rate, how much paint a job swallows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bench.trade import checked

Tool = Literal["brush", "roller", "airless", "hvlp", "conventional", "aerosol"]

MOST_DRY_UM = 2000.0
MOST_WET_UM = 10_000.0
MOST_THINNER_PCT = 100.0
MOST_AREA_M2 = 10_000.0
MOST_LITRES = 10_000.0
"""Limits above which a figure is a slip of the finger (common practice, no source)."""

DEAD_VOLUME_PER_RZ = 0.67
"""ml/m2 of dry paint swallowed per um of blast roughness Rz (paint-handbook table, from memory,
contested)."""
CAN_ML = 400.0
SOLIDS_IN_A_CAN_PCT = 17.5
"""About 70 ml of solids in a 400 ml can, propellant counted in (common practice, no source)."""


@dataclass(frozen=True)
class Transfer:
    """Share of the paint that lands on the part, percent, and where the figure comes from."""

    least_pct: float
    most_pct: float
    source: str


_PRACTICE = "common practice, no source"
_RECKONED = "calculated: the fall of HVLP from flat to frame put on the flat figure"
_ANY_BRUSH = Transfer(85, 90, _PRACTICE)
_ANY_SMALL = Transfer(15, 30, _PRACTICE + "; one page saw 5-10 % on small parts")
TRANSFERS: dict[tuple[str, str], Transfer] = {
    ("brush", "flat"): _ANY_BRUSH,
    ("brush", "frame"): _ANY_BRUSH,
    ("brush", "small"): _ANY_BRUSH,
    ("roller", "flat"): _ANY_BRUSH,
    ("roller", "frame"): _ANY_BRUSH,
    ("airless", "flat"): Transfer(40, 70, "40-50 % source seen; up to 70 % common practice"),
    ("airless", "frame"): Transfer(24, 48, _RECKONED),
    ("hvlp", "flat"): Transfer(50, 65, "50-60 % source seen; up to 65 % common practice"),
    ("hvlp", "frame"): Transfer(30, 45, _PRACTICE),
    ("hvlp", "small"): _ANY_SMALL,
    ("conventional", "flat"): Transfer(30, 50, "loss of half and more, source seen"),
    ("conventional", "frame"): Transfer(18, 35, _RECKONED),
    ("conventional", "small"): _ANY_SMALL,
    ("aerosol", "flat"): Transfer(50, 50, _PRACTICE),
    ("aerosol", "frame"): Transfer(25, 35, _PRACTICE),
    ("aerosol", "small"): _ANY_SMALL,
}
"""By tool and shape; frame: rails, tubes and ladders, small: brackets and bolts on hooks."""

TYPICAL_AREAS_M2: dict[str, tuple[float, float]] = {
    "frame, short": (6.0, 8.0),
    "frame, long": (8.0, 11.0),
    "axle": (0.7, 1.0),
    "road spring": (0.25, 0.4),
    "wheel, one side": (0.5, 0.7),
    "wheel, both sides": (0.9, 1.1),
    "bracket, small": (0.02, 0.04),
    "cradle": (0.4, 0.6),
    "arm": (0.2, 0.35),
}
"""All faces of one piece, least and most, m2 (from memory, common practice)."""


@dataclass(frozen=True)
class Litres:
    """Paint for a job. theory_l: nothing lost; mixed_l: as it goes into the gun, losses counted.

    paint_l: what of mixed_l is paint, base with hardener; the rest is thinner.
    """

    theory_l: float
    mixed_l: float
    paint_l: float


def wet_from_dry(dry_um: float, solids_pct: float, thinner_pct: float = 0) -> float:
    """Return the wet film in um that dries to ``dry_um`` (over 0, up to 2000 um).

    solids_pct: volume solids before thinning, over 0 up to 100 %. thinner_pct: thinner by volume,
    percent of the unthinned mix, 0..100. Raises ValueError outside. Source: wet = dry (100 +
    thinner) / solids (from memory; the principle seen at paintcenter.org).

    >>> round(wet_from_dry(60, 45, 15), 1)
    153.3
    """
    checked.number(dry_um, "dry film", "um", over=0, most=MOST_DRY_UM)
    return dry_um * 100 / solids_mixed_pct(solids_pct, thinner_pct)


def dry_from_wet(wet_um: float, solids_pct: float, thinner_pct: float = 0) -> float:
    """Return the dry film in um of ``wet_um`` (over 0, up to 10,000 um), else as ``wet_from_dry``.

    >>> round(dry_from_wet(153.3, 45, 15), 1)
    60.0
    """
    checked.number(wet_um, "wet film", "um", over=0, most=MOST_WET_UM)
    return wet_um * solids_mixed_pct(solids_pct, thinner_pct) / 100


def solids_mixed_pct(solids_pct: float, thinner_pct: float) -> float:
    """Return volume solids in percent once thinned. Arguments and errors as in ``wet_from_dry``.

    >>> round(solids_mixed_pct(45, 15), 1)
    39.1
    """
    checked.number(solids_pct, "volume solids", "%", over=0, most=100)
    checked.number(thinner_pct, "thinner", "%", least=0, most=MOST_THINNER_PCT)
    return solids_pct * 100 / (100 + thinner_pct)


def solids_of_parts_pct(parts: Sequence[tuple[float, float]]) -> float:
    """Give volume solids in percent of a mix of parts, each ``(ml, solids_pct)``; thinner has 0 %.

    Raises ValueError for no parts, an amount not over 0, or solids outside 0..100 %. Source: volume
    balance, nothing shrinks on mixing.

    >>> round(solids_of_parts_pct([(400, 60), (100, 45), (50, 0)]), 2)
    51.82
    """
    if not parts:
        raise ValueError("no parts: give at least one amount with its volume solids")
    for ml, solids_pct in parts:
        checked.number(ml, "amount of a part", "ml", over=0)
        checked.number(solids_pct, "volume solids of a part", "%", least=0, most=100)
    return sum(ml * solids for ml, solids in parts) / sum(ml for ml, _ in parts)


def spreading_rate_m2_per_l(solids_pct: float, dry_um: float) -> float:
    """Return the m2 a litre covers: volume solids x 10 / dry film, nothing lost.

    solids_pct over 0 up to 100 %, of the paint as measured out; dry_um over 0 up to 2000 um.
    Raises ValueError outside. Source: volume balance.

    >>> spreading_rate_m2_per_l(45, 100)
    4.5
    """
    checked.number(solids_pct, "volume solids", "%", over=0, most=100)
    checked.number(dry_um, "dry film", "um", over=0, most=MOST_DRY_UM)
    return solids_pct * 10 / dry_um


def dead_volume_ml_m2(rz_um: float) -> float:
    """Return the paint in ml/m2 lost in a blasted surface of roughness ``rz_um`` (0..300 um).

    1 ml/m2 is 1 um of dry film: add it to the dry film before calculating litres. Raises ValueError
    outside. Source: see DEAD_VOLUME_PER_RZ.

    >>> round(dead_volume_ml_m2(75))
    50
    """
    checked.number(rz_um, "roughness", "um", least=0, most=300)
    return rz_um * DEAD_VOLUME_PER_RZ


def litres(
    area_m2: float,
    dry_um: float,
    solids_pct: float,
    thinner_pct: float = 0,
    transfer_pct: float = 100,
    lost_pct: float = 0,
) -> Litres:
    """Give litres for one coat of ``area_m2`` (over 0, up to 10,000 m2), in theory and with losses.

    transfer_pct: share that lands, over 0 up to 100 %; lost_pct: share that never leaves the can
    and hose or is blown away (0 to under 100; wind 5-30 % outdoors, source seen). The rest as in
    ``wet_from_dry``. Raises ValueError outside. Source: area x wet film / transfer.

    >>> job = litres(7.5, 60, 45, 15, 40)
    >>> round(job.theory_l, 2), round(job.mixed_l, 1), round(job.paint_l, 1)
    (1.15, 2.9, 2.5)
    """
    checked.number(area_m2, "area", "m2", over=0, most=MOST_AREA_M2)
    checked.number(transfer_pct, "transfer", "%", over=0, most=100)
    checked.number(lost_pct, "loss", "%", least=0, most=99)
    theory_l = area_m2 * wet_from_dry(dry_um, solids_pct, thinner_pct) / 1000
    mixed_l = theory_l / (transfer_pct / 100) / (1 - lost_pct / 100)
    paint_l = mixed_l * 100 / (100 + thinner_pct)
    return Litres(theory_l, mixed_l, paint_l)


def dry_from_litres(
    mixed_l: float,
    area_m2: float,
    solids_pct: float,
    thinner_pct: float = 0,
    transfer_pct: float = 100,
) -> float:
    """Return the dry film in um that ``mixed_l`` litres leave on ``area_m2``, losses counted.

    mixed_l over 0 up to 10,000 l; the rest and the errors as in ``litres``.

    >>> round(dry_from_litres(1.2, 7.5, 10, transfer_pct=45), 1)
    7.2
    """
    checked.number(mixed_l, "mixed paint", "l", over=0, most=MOST_LITRES)
    checked.number(area_m2, "area", "m2", over=0, most=MOST_AREA_M2)
    checked.number(transfer_pct, "transfer", "%", over=0, most=100)
    landed_um = mixed_l * 1000 / area_m2 * transfer_pct / 100
    return landed_um * solids_mixed_pct(solids_pct, thinner_pct) / 100


def transfer(tool: str, shape: str) -> Transfer:
    """Return the share of the paint that lands, percent from least to most, by tool and shape.

    Buy for the least. Raises ValueError for a tool or a shape without a figure. Source: each figure
    names its own.

    >>> share = transfer("hvlp", "frame")
    >>> share.least_pct, share.most_pct
    (30, 45)
    """
    if (tool, shape) in TRANSFERS:
        return TRANSFERS[tool, shape]
    tools = ", ".join(dict.fromkeys(name for name, _ in TRANSFERS))
    raise ValueError(
        f"no transfer figure for {tool!r} on {shape!r}: tools are {tools}; shapes are flat, frame, "
        "small; or give your own percent"
    )


def can_m2(
    dry_um: float,
    transfer_pct: float,
    solids_in_can_pct: float = SOLIDS_IN_A_CAN_PCT,
    can_ml: float = CAN_ML,
) -> float:
    """Return square metres that one aerosol can covers once at ``dry_um`` (over 0, up to 2000 um).

    transfer_pct over 0 up to 100 %; solids_in_can_pct: volume solids of the filled can, propellant
    counted in, over 0 up to 100 %; can_ml over 0 up to 1000. Raises ValueError outside. Source:
    mass balance; published covers differ by a factor of five.

    >>> round(can_m2(20, 50), 2)
    1.75
    """
    checked.number(dry_um, "dry film", "um", over=0, most=MOST_DRY_UM)
    checked.number(transfer_pct, "transfer", "%", over=0, most=100)
    checked.number(solids_in_can_pct, "volume solids in the can", "%", over=0, most=100)
    checked.number(can_ml, "can", "ml", over=0, most=1000)
    return can_ml * solids_in_can_pct / 100 * transfer_pct / 100 / dry_um


def cans(area_m2: float, coats: int, m2_per_can: float) -> int:
    """Return whole aerosol cans for ``coats`` (1..20) of ``area_m2``. Keep one more for touch-up.

    Raises ValueError for an area, a number of coats or a cover out of range.

    >>> cans(7.5, 2, 1.3), cans(7.5, 2, 0.9)
    (12, 17)
    """
    checked.number(area_m2, "area", "m2", over=0, most=MOST_AREA_M2)
    checked.number(coats, "coats", least=1, most=20)
    checked.number(m2_per_can, "cover of a can", "m2", over=0)
    return math.ceil(area_m2 * coats / m2_per_can - 1e-9)


def runs_out_at_face(have_l: float, need_l: float, faces: int) -> int | None:
    """Return on which of ``faces`` (1..1000), about, the paint runs out; None when it lasts.

    have_l from 0, need_l over 0, in the same litres. Faces are taken as alike, so say "about".
    Raises ValueError outside.

    >>> runs_out_at_face(2.1, 2.9, 8)
    6
    """
    checked.number(have_l, "paint there is", "l", least=0, most=MOST_LITRES)
    checked.number(need_l, "paint needed", "l", over=0, most=MOST_LITRES)
    checked.number(faces, "faces", least=1, most=1000)
    if have_l >= need_l:
        return None
    return min(math.floor(have_l / need_l * faces) + 1, faces)
