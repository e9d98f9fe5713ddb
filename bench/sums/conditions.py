"""Air and surface: dew point and verdict, wet bulb, water in the air, how far to warm, salts."""

from __future__ import annotations

from dataclasses import replace

from bench.sums.inputs import AIR, METAL, RH
from bench.sums.model import (
    Calculation,
    Example,
    Input,
    InputNamespace,
    OneOf,
    Result,
    SumAnswer,
    Values,
)
from bench.trade import air as trade
from bench.trade import salts
from bench.trade.air import Verdict

GROUP = "air and surface"
CAUTIONS = ("A figure, not permission: the product's sheet decides.",)
FIT, NOT_FIT, MEASURE = "fit", "not fit", "measure the surface"


def _verdict(inputs: InputNamespace, rh_pct: float) -> Verdict:
    measured = inputs.metal is not None
    return trade.verdict(
        inputs.air,
        rh_pct,
        # Metal this hot breaks no dew margin, whatever the air.
        inputs.metal if measured else trade.HOTTEST_METAL_C,
        margin_least_c=inputs.margin,
        rh_most_pct=inputs.most_rh,
        metal_least_c=inputs.least_metal,
        metal_most_c=inputs.most_metal if measured else None,
    )


def _dew_point(inputs: InputNamespace) -> SumAnswer:
    rh_pct, measured = inputs.rh, inputs.metal is not None
    if rh_pct is None:
        rh_pct = trade.rh_from_wet_bulb(inputs.air, inputs.wet, inputs.pressure)
    verdict = _verdict(inputs, rh_pct)
    word = NOT_FIT if not verdict.fit else FIT if measured else MEASURE
    return SumAnswer(
        {
            "dew_point_c": verdict.dew_point_c,
            "frost_point_c": verdict.frost_point_c,
            "margin_c": verdict.margin_c if measured else None,
            "verdict": word,
            "against": list(verdict.against),
            "rh_pct": rh_pct,
            "water_g_m3": trade.absolute_humidity_g_m3(inputs.air, rh_pct),
            "metal_least_c": verdict.metal_least_c,
            "warm_by_c": verdict.warm_by_c if measured else None,
        },
        word.upper() if word == MEASURE else f"{word.upper()} TO COAT IN",
        good=word == FIT,
        why=verdict.against,
    )


def _wet_bulb(inputs: InputNamespace) -> Values:
    air_c, rh_pct = inputs.air, trade.rh_from_wet_bulb(inputs.air, inputs.wet, inputs.pressure)
    return {
        "rh_pct": rh_pct,
        "dew_point_c": trade.dew_point_c(air_c, rh_pct),
        "water_g_m3": trade.absolute_humidity_g_m3(air_c, rh_pct),
        "frost_point_c": trade.frost_point_c(air_c, rh_pct),
    }


def _water(inputs: InputNamespace) -> Values:
    return {
        "water_g_m3": trade.absolute_humidity_g_m3(inputs.air, inputs.rh),
        "full_g_m3": trade.absolute_humidity_g_m3(inputs.air, 100),
    }


def _warm(inputs: InputNamespace) -> SumAnswer:
    verdict = _verdict(inputs, inputs.rh)
    return SumAnswer(
        {
            "warm_by_c": verdict.warm_by_c,
            "warm_to_c": inputs.metal + verdict.warm_by_c,
            "dew_point_c": verdict.dew_point_c,
            "frost_point_c": verdict.frost_point_c,
        },
        why=() if verdict.warm_by_c else verdict.against,
    )


_WET = Input(
    "wet", "wet bulb", "C", least=trade.COLDEST_AIR_C, most=trade.HOTTEST_AIR_C, example=14,
    help="or the wet bulb of a whirling hygrometer",
)  # fmt: skip
_PRESSURE = Input(
    "pressure", "air pressure", "hPa", least=trade.LEAST_PRESSURE_HPA,
    most=trade.MOST_PRESSURE_HPA, usual=trade.SEA_LEVEL_HPA, example=1013,
    help="air pressure here, for the wet bulb",
)  # fmt: skip
_DAMP = OneOf("humidity", {"humidity": (RH,), "wet bulb": (replace(_WET, asked=False), _PRESSURE)})
_LIMITS = (
    Input("margin", "minimum margin above the dew point", "degrees C", least=0, most=30,
          usual=trade.DEW_MARGIN_C, asked=False, known="margin", example=3,
          help="the surface at least so far above the dew point"),
    replace(RH, name="most_rh", label="the sheet's maximum humidity", usual=trade.MOST_RH_PCT,
            asked=False, known="most_rh", example=85, help="the sheet's maximum humidity"),
    replace(METAL, name="least_metal", label="the sheet's minimum", optional=True, asked=False,
            known="least_metal", example=10, help="the sheet's minimum"),
    replace(METAL, name="most_metal", label="the sheet's maximum", optional=True, asked=False,
            known="most_metal", example=35, help="the sheet's maximum"),
)  # fmt: skip


def _salts(inputs: InputNamespace) -> SumAnswer:
    mg_m2 = salts.salts_mg_m2(inputs.before, inputs.after, inputs.water, inputs.patch)
    values = {"mg_m2": mg_m2, "ug_cm2": mg_m2 / 10, "rise": inputs.after - inputs.before}
    doubts = (f"one test is no surer than about {salts.UNSURE_MG_M2:g} mg/m2 (NACE SP0508)",)
    if inputs.limit is None:
        return SumAnswer(values, doubts=doubts)
    over = mg_m2 > inputs.limit
    return SumAnswer(
        values,
        "OVER THE LIMIT" if over else "WITHIN THE LIMIT",
        good=not over,
        why=("Wash with clean water, dry, and test again.",) if over else (),
        doubts=doubts,
    )


_BEFORE = Input(
    "before", "the clean water conducts", "uS/cm", least=0, most=salts.MOST_US_CM, example=2,
    help="the water before it is put under the patch",
)  # fmt: skip
_AFTER = replace(
    _BEFORE, name="after", label="the water from the patch", example=12,
    help="all of it, after it was under the patch",
)  # fmt: skip
_WATER_USED = Input(
    "water", "water used in all", "ml", least=0.5, most=200, example=10,
    help="all the water that was in the cup; the figure hangs on it",
)  # fmt: skip
_PATCH = Input(
    "patch", "patch", "cm2", least=1, most=500, usual=salts.PATCH_CM2, example=12.5,
    help="the surface under the patch",
)  # fmt: skip
_LIMIT = Input(
    "limit", "the limit agreed on", "mg/m2", least=1, most=10_000, optional=True, example=50,
    empty="none: only the figure", help="the limit that was agreed on: 20 to 50 mg/m2 mostly",
)  # fmt: skip
_DEW = Result("dew_point_c", "dew point", "C", decimals=1, big=True)
_FROST = Result("frost_point_c", "frost point", "C", decimals=1, big=True)
_WATER = Result("water_g_m3", "water in the air", "g/m3")
_HUMIDITY = Result("rh_pct", "humidity", "%", decimals=1)
_WARM_BY = Result("warm_by_c", "warm the surface by", "C", "up", 1, big=True, difference=True)
_NOTE = ("Air and surface at the part, read now.",)

CALCULATIONS = (
    Calculation(
        "dewpoint", "dew point, and is it fit", GROUP,
        (
            AIR, _DAMP,
            replace(METAL, optional=True, empty="not measured", help="without it no verdict"),
            *_LIMITS,
        ),
        _dew_point,
        (
            _DEW,
            _FROST,
            Result("margin_c", "margin above dew", "C", "down", 1, big=True,
                   difference=True),
            Result("verdict"), Result("against"),
            _HUMIDITY,
            _WATER,
            Result("metal_least_c", "surface at least", "C", "up", 1),
            replace(_WARM_BY, label=""),
        ),
        Example(
            "--air 20C --rh 70% --metal 17C",
            {"margin_c": 2.6, "verdict": NOT_FIT},
            "row GATE-1: margin 2.64 C",
        ),
        "Magnus over water (Alduchov-Eskridge), seen; 3 C and 85 % seen",
        notes=_NOTE,
        cautions=CAUTIONS,
        product="film",
    ),
    Calculation(
        "dewpoint", "humidity from the wet bulb", GROUP, (AIR, _WET, _PRESSURE), _wet_bulb,
        (replace(_HUMIDITY, big=True), _DEW, _WATER, _FROST),
        Example("--air 25C --wet 20C", {"rh_pct": 63.5}, "row WB-25-20"),
        "adiabatic saturation at the pressure given; psychrolib agrees to 0.1 C",
        notes=("A whirling hygrometer: wet the wick, whirl, read the wet bulb first.",),
    ),
    Calculation(
        "dewpoint", "water in the air", GROUP, (AIR, RH), _water,
        (replace(_WATER, big=True), Result("full_g_m3", "it could hold", "g/m3")),
        Example("--air 15C --rh 100%", {"water_g_m3": 12.8}, "row AH-15"),
        "ideal gas over the Magnus vapour pressure",
    ),
    Calculation(
        "dewpoint", "how far to warm the surface", GROUP, (AIR, RH, METAL, *_LIMITS), _warm,
        (
            _WARM_BY,
            Result("warm_to_c", "to", "C", "up", 1, big=True),
            _DEW,
            _FROST,
        ),
        Example(
            "--air 20C --rh 70% --metal 17C", {"warm_by_c": 0.4, "warm_to_c": 17.4},
            "3 C less the margin of row GATE-1 (2.64), rounded up; arithmetic",
        ),
        "as the dew point",
        notes=(
            "No flame: it burns solvent vapour, and makes water of its own. Warm the metal dry.",
        ),
        cautions=CAUTIONS,
        product="film",
    ),
    Calculation(
        "salts", "salts on the surface", GROUP, (_BEFORE, _AFTER, _WATER_USED, _PATCH, _LIMIT),
        _salts,
        (
            Result("mg_m2", "salts", "mg/m2", "up", 1, big=True),
            Result("ug_cm2", "the same", "ug/cm2", "up", 2),
            Result("rise", "conducts more by", "uS/cm"),
        ),
        Example("--before 2uS/cm --after 12uS/cm --water 10ml", {"mg_m2": 40.0, "ug_cm2": 4.0},
                "row BRESLE-10: 4 mg/m2 of each uS/cm"),
        "5 kg/(m2 S) x water x rise / patch: ISO 8502-9, from memory",
        notes=("Mixed salts, not chloride alone: agree on which of them a limit means.",
               "The meter puts its reading right to 25 C."),
        cautions=CAUTIONS,
    ),
)  # fmt: skip
