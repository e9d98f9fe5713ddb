"""Air and metal: dew point and verdict, wet bulb, water in the air, how far to warm the metal."""

from __future__ import annotations

from bench.process.product import Limits, Product
from bench.process.spoken import figure
from bench.screens.sums.road import (
    USUAL,
    Asking,
    Facts,
    Group,
    Road,
    Sum,
    air,
    humidity,
    metal,
    number,
    product,
)
from bench.screens.sums.told import Figure, Told, at_least, degrees, doubts
from bench.trade import air as sums
from bench.trade.air import Verdict

ANY_COAT = "any coat: 3 C over dew, 85 %"
CAUTION = "A figure, not permission: the product's sheet decides."


def _judged(
    facts: Facts, air_c: float, rh_pct: float
) -> Asking[tuple[Verdict, float, Product | None]]:
    """The metal's temperature and the product, and what its limits say."""
    metal_c = yield from metal(facts)
    known = yield from product(facts, lambda each: each.film is not None, ANY_COAT)
    if known is None:
        return sums.verdict(air_c, rh_pct, metal_c), metal_c, None
    limits: Limits = known.limits
    found = sums.verdict(
        air_c,
        rh_pct,
        metal_c,
        margin_least_c=limits.dew_margin_c,
        rh_most_pct=limits.rh_most_pct,
        metal_least_c=limits.metal_least_c,
        metal_most_c=limits.metal_most_c,
    )
    return found, metal_c, known


def _points(found: Verdict) -> list[Figure]:
    rows = [Figure("dew point", degrees(found.dew_point_c), "C", big=True)]
    if found.frost_point_c is not None:
        rows.append(Figure("frost point", degrees(found.frost_point_c), "C", big=True))
    return rows


def _dew_point(facts: Facts) -> Road:
    air_c = yield from air(facts)
    rh_pct = yield from humidity(facts)
    found, _, known = yield from _judged(facts, air_c, rh_pct)
    rows = [
        *_points(found),
        Figure("dew margin", degrees(found.margin_c), "C", big=True, difference=True),
        Figure("metal from", at_least(found.metal_least_c, 1), "C on", bound="least"),
        Figure("water in the air", figure(sums.absolute_humidity_g_m3(air_c, rh_pct)), "g/m3"),
    ]
    word = "FIT TO COAT IN" if found.fit else "NOT FIT TO COAT IN"
    return Told(tuple(rows), word, found.fit, found.against, doubts(known), (CAUTION,))


def _wet_bulb(facts: Facts) -> Road:
    air_c = yield from air(facts)
    wet_c = yield from number("wet bulb", "C", such_as=14)
    pressure_hpa = yield from number("air pressure", "hPa", sums.SEA_LEVEL_HPA, USUAL)
    rh_pct = sums.rh_from_wet_bulb(air_c, wet_c, pressure_hpa)
    frost_c = sums.frost_point_c(air_c, rh_pct)
    rows = [
        Figure("humidity", f"{rh_pct:.1f}", "%", big=True),
        Figure("dew point", degrees(sums.dew_point_c(air_c, rh_pct)), "C", big=True),
        Figure("water in the air", figure(sums.absolute_humidity_g_m3(air_c, rh_pct)), "g/m3"),
    ]
    if frost_c is not None:
        rows.append(Figure("frost point", degrees(frost_c), "C"))
    return Told(tuple(rows))


def _water(facts: Facts) -> Road:
    air_c = yield from air(facts)
    rh_pct = yield from humidity(facts)
    g_m3 = sums.absolute_humidity_g_m3(air_c, rh_pct)
    full_g_m3 = sums.absolute_humidity_g_m3(air_c, 100)
    return Told(
        (
            Figure("water in the air", figure(g_m3), "g/m3", big=True),
            Figure("it could hold", figure(full_g_m3), "g/m3"),
        )
    )


def _warm(facts: Facts) -> Road:
    air_c = yield from air(facts)
    rh_pct = yield from humidity(facts)
    found, metal_c, known = yield from _judged(facts, air_c, rh_pct)
    by, to = at_least(found.warm_by_c, 1), at_least(metal_c + found.warm_by_c, 1)
    rows = [
        Figure("warm the metal by", by, "C", big=True, bound="least", difference=True),
        Figure("to", to, "C", big=True, bound="least"),
        *_points(found),
    ]
    word = "" if found.warm_by_c else "WARM ENOUGH"
    why = () if found.warm_by_c else found.against
    return Told(tuple(rows), word, not why, why, doubts(known), (CAUTION,))


GROUP = Group(
    "air and metal",
    (
        Sum("dew point, and is it fit", ("Air and metal at the part, read now.",), _dew_point),
        Sum(
            "humidity from the wet bulb",
            ("A whirling hygrometer: wet the wick, whirl, read the wet bulb first.",),
            _wet_bulb,
        ),
        Sum("water in the air", (), _water),
        Sum(
            "how far to warm the metal",
            ("A flame makes water of its own: warm the metal dry.",),
            _warm,
        ),
    ),
)
