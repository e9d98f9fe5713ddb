"""Salts on a surface, from how much a patch of water conducts (the Bresle method)."""

from __future__ import annotations

from bench.trade import checked

SALT_KG_M2_S = 5.0
"""Mixed salts a siemens: m = 5 kg/(m2 S) x volume x conductivity, ISO 8502-9 (from memory). So
under a patch of 12.5 cm2 each uS/cm is 4 mg/m2 with 10 ml, 5 with 12.5 ml and 6 with 15 ml."""

PATCH_CM2 = 12.5
"""The usual patch, ISO 8502-6 (from memory)."""

USUAL_WATER_ML = 10.0
"""The usual water under that patch (common practice, no source)."""

MOST_US_CM = 20_000.0
UNSURE_MG_M2 = 8.2
"""One test is no surer than this, from 30 to 80 mg/m2: NACE SP0508 (seen)."""


def salts_mg_m2(
    before_us_cm: float, after_us_cm: float, water_ml: float, patch_cm2: float = PATCH_CM2
) -> float:
    """Return the salts of a patch in mg/m2, as mixed salts; a tenth of it is ug/cm2.

    Conductivity of the water before and after, in uS/cm at 25 C or as the meter puts it right; all
    the water that was in the cup, in ml; the patch in cm2.
    Range: 0 to 20,000 uS/cm; 0.5 to 200 ml; 1 to 500 cm2. Raises ValueError outside it, and where
    the water conducts less afterwards. Source: see SALT_KG_M2_S.

    >>> salts_mg_m2(2, 12, 10), salts_mg_m2(2, 12, 15)
    (40.0, 60.0)
    """
    checked.number(before_us_cm, "water before", "uS/cm", least=0, most=MOST_US_CM)
    checked.number(after_us_cm, "water after", "uS/cm", least=0, most=MOST_US_CM)
    checked.number(water_ml, "water", "ml", least=0.5, most=200)
    checked.number(patch_cm2, "patch", "cm2", least=1, most=500)
    if after_us_cm < before_us_cm:
        raise ValueError(
            f"read {after_us_cm:g} uS/cm after and {before_us_cm:g} before, and water from a patch "
            "never conducts less; wanted the two the other way round, or a new test"
        )
    # 1 uS/cm is 1e-4 S/m, 1 ml is 1e-6 m3, 1 cm2 is 1e-4 m2; and 1 kg is 1e6 mg.
    return SALT_KG_M2_S * (after_us_cm - before_us_cm) * water_ml / patch_cm2
