"""Solvent: how much is in the mix, how much air carries it off, how long until the room is clear.

Every figure here is an estimate and none is a permit: the cautions beside it belong to it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bench.trade import checked
from bench.trade.ageing import ZERO_C_IN_K

GAS_J_MOL_K = 8.314462618
"""Molar gas constant, CODATA 2018."""

ATMOSPHERE_PA = 101_325.0

MOST_LEL_FRACTION = 0.25
"""Vapour over a quarter of the lower explosive limit is held dangerous: US OSHA (seen)."""

DIRECTIVE = "Directive 2004/42/EC Annex II B, by nibusinessinfo.co.uk (seen; Annex not seen)"

VOC_CAUTIONS = (
    "An estimate, not a permit: local rules and a competent person decide.",
    "The limit stands beside the figure and is not a verdict: it does not apply to the first "
    "coating of vehicles and trailers, to vintage vehicles or to permitted installations.",
    "Base, hardener and thinner that each keep a limit may pass it once mixed.",
    "VOC that reacts into the film while drying does not count; the sheet may allow for that.",
)
"""Shown with every VOC figure. Source: UK SI 2012/1715 and nibusinessinfo.co.uk (seen)."""

AIR_CAUTIONS = (
    "An estimate, not a permit: local rules and a competent person decide.",
    "Perfect mixing is assumed; a corner, a pit or a hollow section may hold far more.",
    "Below a tenth of the explosive limit is not safe to breathe: for xylene that tenth is some "
    "twenty times the eight-hour exposure limit. Masks are another question.",
    "Warm solvent evaporates faster and its explosive limit is lower.",
)
"""Shown with every figure of dilution air. Sources: closed form; EH40 limit from memory."""

CLOSED_CAUTIONS = (
    "An estimate, not a permit: a competent person measures the vapour before any flame or spark, "
    "and before it is closed.",
    "Vapour lies in the lowest corner, and a blind end is not flushed: no head and no flame in it.",
    "Blow with earthed air, and out into the open. The limit is that of one solvent, not of "
    "isocyanate or mist.",
)
"""Shown with every figure of a closed section (common practice, no source)."""

CLEARANCE_CAUTIONS = (
    "An estimate is no measurement: keep the air-fed mask on until the measured clearance time is "
    "over and the room is checked.",
    "Perfect mixing is assumed; dead corners clear last. Air that comes back in does not count.",
    "The extraction runs on until the time is up.",
)
"""Shown with every clearance. Source: UK HSE, vehicle bodyshop pages (seen)."""


@dataclass(frozen=True)
class Portion:
    """A part of a mix: litres of it and the grams of VOC in each litre."""

    litres: float
    voc_g_l: float


@dataclass(frozen=True)
class Voc:
    """VOC of the mix as it is sprayed, g/l of the whole and g/l of the whole less its water."""

    whole_g_l: float
    less_water_g_l: float

    def beside(self, limit: VocLimit) -> float:
        """Return the figure in g/l to show with a limit and VOC_CAUTIONS; it is not judged.

        Source: Directive 2004/42/EC Annex II B as nibusinessinfo.co.uk gives it (seen).

        >>> Voc(412.0, 430.0).beside(VOC_LIMITS["topcoat"])
        430.0
        """
        return self.whole_g_l if limit.counts_water else self.less_water_g_l


@dataclass(frozen=True)
class VocLimit:
    """A limit for vehicle refinishing products as sprayed, in g/l."""

    name: str
    limit_g_l: float
    counts_water: bool
    source: str = DIRECTIVE


VOC_LIMITS = {
    "preparatory": VocLimit("preparatory and cleaning: preparatory", 850, True),
    "pre-cleaner": VocLimit("preparatory and cleaning: pre-cleaner", 200, True),
    "stopper": VocLimit("bodyfiller and stopper", 250, False),
    "primer": VocLimit("primer: surfacer, filler and general metal primer", 540, False),
    "wash-primer": VocLimit("primer: wash primer", 780, False),
    "topcoat": VocLimit("top coat, all types", 420, False),
    "special": VocLimit("special finishes, all types", 840, False),
}
"""The limits of the directive's categories. Water counts as volume only in the first two."""


@dataclass(frozen=True)
class Solvent:
    """A solvent: g/mol, lower explosive limit in vol %, flash point in C, each most cautious."""

    name: str
    molar_mass_g_mol: float
    lel_pct: float
    flash_c: float
    source: str


_OPEN = "open reference data (chemicals 1.5.2)"
_BOTH = "{} from standards.aarst.org SGM-SF-2017, the rest open reference data (chemicals 1.5.2)"

SOLVENTS = {
    "xylene": Solvent("xylene", 106.17, 1.0, 25, _OPEN),
    "butyl acetate": Solvent("n-butyl acetate", 116.16, 1.0, 22, _BOTH.format("limit")),
    "butanone": Solvent("butanone (MEK)", 72.11, 1.5, -10, _OPEN),
    "ethanol": Solvent("ethanol", 46.07, 3.0, 12, _BOTH.format("limit")),
    "isopropanol": Solvent("propan-2-ol", 60.10, 2.0, 12, _OPEN),
    "acetone": Solvent("acetone", 58.08, 2.5, -20, _OPEN),
    "ethylbenzene": Solvent("ethylbenzene", 106.17, 0.8, 15, _OPEN),
    "toluene": Solvent("toluene", 92.14, 1.0, 4, _OPEN),
    "mibk": Solvent("4-methylpentan-2-one (MIBK)", 100.16, 1.2, 16, _OPEN),
    "butanol": Solvent("butan-1-ol", 74.12, 1.4, 35, _OPEN),
}
"""Sources differ; the lowest limit and the lowest flash point seen are held, with their source."""


AIR_CHANGES_H = (0.1, 1000.0)
MIXING_FACTOR = (1.0, 10.0)
"""The least and the most air changes an hour, and mixing factor, that are taken."""


def voc_of_mix(portions: Sequence[Portion], water_l: float = 0.0) -> Voc:
    """Return a mix's VOC in g/l from its parts: grams by litres, and by litres less the water.

    ``water_l`` is the water within the portions, in litres; volumes are taken to add up.
    Range: each portion 0.001 to 10,000 l and 0 to 1400 g/l; water less than the whole.
    Raises ValueError outside it or without a portion, naming the portion.
    Source: definition of VOC content, Directive 2004/42/EC and UK SI 2012/1715 (seen).

    >>> round(voc_of_mix([Portion(4, 420), Portion(1, 380), Portion(0.5, 870)]).whole_g_l, 1)
    453.6
    """
    if not portions:
        raise ValueError("mix: read no portion; wanted litres and g/l of each part")
    for n, portion in enumerate(portions, start=1):
        checked.number(portion.litres, f"portion {n}", "l", least=0.001, most=10_000)
        checked.number(portion.voc_g_l, f"VOC of portion {n}", "g/l", least=0, most=1400)
    litres = math.fsum(portion.litres for portion in portions)
    if not 0 <= water_l < litres:
        raise ValueError(
            f"water: read {water_l:g} l in a mix of {litres:g} l; wanted 0 or more, less than "
            "the mix"
        )
    grams = math.fsum(portion.litres * portion.voc_g_l for portion in portions)
    return Voc(grams / litres, grams / (litres - water_l))


def solvent_named(name: str) -> Solvent:
    """Return a solvent's molar mass, explosive limit and flash point by its name in SOLVENTS.

    Raises ValueError for any other name. Source: in the answer.

    >>> solvent_named("xylene").lel_pct
    1.0
    """
    if name not in SOLVENTS:
        raise ValueError(
            f"read the solvent '{name[:20]}', which is not held; wanted one of "
            f"{', '.join(SOLVENTS)}, or the molar mass and explosive limit from its SDS"
        )
    return SOLVENTS[name]


def molar_volume_l(air_c: float = 20.0) -> float:
    """Return the litres that one mole of vapour fills at ``air_c`` and 101,325 Pa.

    Range: -20 to 60 C. Raises ValueError outside it. Source: ideal gas, CODATA 2018.

    >>> round(molar_volume_l(20), 3)
    24.055
    """
    checked.number(air_c, "air", "C", least=-20, most=60)
    return 1000 * GAS_J_MOL_K * (air_c + ZERO_C_IN_K) / ATMOSPHERE_PA


def vapour_m3(vapour_g: float, molar_mass_g_mol: float, air_c: float = 20.0) -> float:
    """Return the m3 of undiluted vapour from so many grams of solvent.

    Range: 0 to 1,000,000 g; 16 to 500 g/mol; -20 to 60 C. Raises ValueError outside it.
    Source: ideal gas.

    >>> round(vapour_m3(500, 106.17), 4)
    0.1133
    """
    checked.number(vapour_g, "vapour", "g", least=0, most=1_000_000)
    checked.number(molar_mass_g_mol, "molar mass", "g/mol", least=16, most=500)
    return vapour_g / molar_mass_g_mol * molar_volume_l(air_c) / 1000


def lel_g_m3(lel_pct: float, molar_mass_g_mol: float, air_c: float = 20.0) -> float:
    """Return a lower explosive limit of ``lel_pct`` vol % in g of vapour a m3 of air.

    Range: 0.1 to 20 vol %; 16 to 500 g/mol; -20 to 60 C. Raises ValueError outside it.
    Source: ideal gas.

    >>> round(lel_g_m3(1.0, 106.17), 1)
    44.1
    """
    checked.number(lel_pct, "explosive limit", "vol %", least=0.1, most=20)
    return lel_pct / 100 / vapour_m3(1, molar_mass_g_mol, air_c)


def dilution_air_m3(
    vapour_g: float,
    molar_mass_g_mol: float,
    lel_pct: float,
    fraction: float = 0.1,
    air_c: float = 20.0,
) -> float:
    """Return the m3 of clean air that keep so many grams of vapour at ``fraction`` of the limit.

    For a mix of solvents take the lowest explosive limit and the lowest molar mass among them.
    Range: fraction 0.001 to 0.25; 0 to 1,000,000 g; 16 to 500 g/mol; 0.1 to 20 vol %; -20 to 60 C.
    Raises ValueError outside it. AIR_CAUTIONS belong to the figure.
    Source: V = m / M * Vm * (100 / LEL) / fraction, closed form; a quarter as the most, US OSHA.

    >>> round(dilution_air_m3(500, 106.17, 1.0, 0.1), 1)
    113.3
    """
    if not 0.001 <= fraction <= MOST_LEL_FRACTION:
        raise ValueError(
            f"fraction of the explosive limit: read {fraction:g}, and vapour over a quarter of the "
            "limit is held dangerous; wanted 0.001 to 0.25, mostly 0.1"
        )
    checked.number(lel_pct, "explosive limit", "vol %", least=0.1, most=20)
    return vapour_m3(vapour_g, molar_mass_g_mol, air_c) * (100 / lel_pct) / fraction


def exposure_mg_m3(limit_ppm: float, molar_mass_g_mol: float, air_c: float = 20.0) -> float:
    """Return an exposure limit in ppm as mg of vapour in a m3 of air at ``air_c``.

    Range: 0.001 to 10,000 ppm; 16 to 500 g/mol; -20 to 60 C. Raises ValueError outside it.
    Source: ideal gas, 24.06 l a mole at 20 C.

    >>> round(exposure_mg_m3(50, 106.17))
    221
    """
    checked.number(limit_ppm, "exposure limit", "ppm", least=0.001, most=10_000)
    return limit_ppm / vapour_m3(1, molar_mass_g_mol, air_c) / 1000


def exposure_air_m3(vapour_g: float, limit_mg_m3: float) -> float:
    """Return the m3 of clean air that keep so many grams of vapour at an exposure limit.

    Range: 0 to 1,000,000 g; 0.001 to 100,000 mg/m3. Raises ValueError outside it. CLOSED_CAUTIONS
    belong to the figure. Source: mass balance; the limit is that of the safety data sheet.

    >>> round(exposure_air_m3(50, 221))
    226
    """
    checked.number(vapour_g, "vapour", "g", least=0, most=1_000_000)
    checked.number(limit_mg_m3, "exposure limit", "mg/m3", least=0.001, most=100_000)
    return 1000 * vapour_g / limit_mg_m3


def dilution_flow_m3_h(
    evaporating_g_min: float,
    molar_mass_g_mol: float,
    lel_pct: float,
    fraction: float = 0.1,
    *,
    mixing_factor: float = 1.0,
    air_c: float = 20.0,
) -> float:
    """Return the m3/h of clean air that keep a steady vapour at ``fraction`` of its limit.

    ``mixing_factor`` K is 1 for perfect mixing and up to 10 where air short-cuts.
    Range: 0 to 100,000 g/min; K 1 to 10; the rest as dilution_air_m3(). Raises ValueError outside
    it. AIR_CAUTIONS belong to the figure.
    Source: dilution_air_m3() by the minute; K as in eng.utoledo.edu ventilation sums (seen).

    >>> round(dilution_flow_m3_h(20, 106.17, 1.0, 0.25))
    109
    """
    checked.number(evaporating_g_min, "evaporating", "g/min", least=0, most=100_000)
    least, most = MIXING_FACTOR
    checked.number(mixing_factor, "mixing factor", least=least, most=most)
    a_minute = dilution_air_m3(evaporating_g_min, molar_mass_g_mol, lel_pct, fraction, air_c)
    return 60 * mixing_factor * a_minute


def clearance_min(
    air_changes_h: float, left_pct: float = 1.0, *, mixing_factor: float = 1.0
) -> float:
    """Return minutes until only ``left_pct`` of the mist and vapour is left, after the gun is down.

    Range: 0.1 to 1000 air changes an hour; 0.01 to 50 % left; mixing factor 1 to 10 (see
    dilution_flow_m3_h). Raises ValueError outside it. CLEARANCE_CAUTIONS belong to the figure:
    a clearance measured by smoke in this room always stands above it.
    Source: exponential decay, t = -ln(left) * 60 / air changes, times the mixing factor.

    >>> round(clearance_min(20, 1), 1)
    13.8
    """
    least, most = AIR_CHANGES_H
    checked.number(air_changes_h, "air changes", "an hour", least=least, most=most)
    checked.number(left_pct, "left", "%", least=0.01, most=50)
    least, most = MIXING_FACTOR
    checked.number(mixing_factor, "mixing factor", least=least, most=most)
    return -math.log(left_pct / 100) * 60 * mixing_factor / air_changes_h
