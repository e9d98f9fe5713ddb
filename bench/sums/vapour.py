"""Solvent: VOC of the mix, air that dilutes its vapour in a room or a closed section, how long mist
lasts. None is a permit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from bench.sums.inputs import AIR
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
from bench.trade import solvent
from bench.trade.solvent import SOLVENTS, VOC_LIMITS, Portion, Solvent

GROUP = "solvent"
_NO_PERMIT = "An estimate, not a permit: local rules and a competent person decide."


def _voc(inputs: InputNamespace) -> Values:
    voc = solvent.voc_of_mix([Portion(litres, g_l) for litres, g_l in inputs.parts], inputs.water)
    values: dict[str, Any] = {"voc_g_l": voc.whole_g_l, "less_water_g_l": voc.less_water_g_l}
    if inputs.category:
        limit = VOC_LIMITS[inputs.category]
        values |= {
            "figure_g_l": voc.beside(limit),
            "limit_g_l": limit.limit_g_l,
            "limit_name": limit.name,
            "limit_source": limit.source,
        }
    return values


def _lel_and_molar_mass(inputs: InputNamespace) -> tuple[float, float]:
    """Return what counts: of several solvents the lowest limit and the lowest molar mass."""
    if inputs.solvent_ is None:
        return inputs.lel, inputs.molar_mass
    return (
        min(each.lel_pct for each in inputs.solvent_),
        min(each.molar_mass_g_mol for each in inputs.solvent_),
    )


def _dilution(inputs: InputNamespace) -> Values:
    lel, molar_mass = _lel_and_molar_mass(inputs)
    air = inputs.air
    values = {
        "lel_pct": lel,
        "molar_mass_g_mol": molar_mass,
        "lel_g_m3": solvent.lel_g_m3(lel, molar_mass, air),
        "fraction_pct": inputs.fraction,
    }
    size, share = inputs.given_off.size, inputs.fraction / 100
    if inputs.given_off.unit == "g":
        return values | {"m3": solvent.dilution_air_m3(size, molar_mass, lel, share, air)}
    m3_h = solvent.dilution_flow_m3_h(
        size, molar_mass, lel, share, mixing_factor=inputs.mixing, air_c=air
    )
    return values | {"m3_h": m3_h}


def _closed(inputs: InputNamespace) -> SumAnswer:
    lel, molar_mass = _lel_and_molar_mass(inputs)
    grams, mixing = inputs.inside, inputs.mixing
    share = inputs.fraction / 100
    lel_m3 = mixing * solvent.dilution_air_m3(grams, molar_mass, lel, share, inputs.air)
    limit_mg_m3 = inputs.exposure
    if limit_mg_m3 is None:
        limit_mg_m3 = solvent.exposure_mg_m3(inputs.exposure_ppm, molar_mass, inputs.air)
    exposure_m3 = mixing * solvent.exposure_air_m3(grams, limit_mg_m3)
    litres_to_m3 = inputs.volume / 1000
    lel_pct = 100 * grams / litres_to_m3 / solvent.lel_g_m3(lel, molar_mass, inputs.air)
    values = {
        "m3": max(exposure_m3, lel_m3),
        "exposure_m3": exposure_m3,
        "lel_m3": lel_m3,
        "times": max(exposure_m3, lel_m3) / litres_to_m3,
        "of_lel_pct": lel_pct,
        "exposure_mg_m3": limit_mg_m3,
    }
    if lel_pct < 100:
        return SumAnswer(values)
    return SumAnswer(
        values,
        "EXPLOSIVE BEFORE IT IS FLUSHED",
        good=False,
    )


def _clearance(inputs: InputNamespace) -> SumAnswer | Values:
    changes = inputs.changes
    if changes is None:
        changes = inputs.flow / inputs.room
    minutes = solvent.clearance_min(changes, inputs.left, mixing_factor=inputs.mixing)
    values = {"minutes": minutes, "air_changes_h": changes, "left_pct": inputs.left}
    if inputs.clearance is None:
        return values
    setting_min, measured = inputs.clearance
    values |= {
        "longest_min": max(minutes, setting_min),
        "setting_min": setting_min,
        "setting_from": "measured" if measured else "not measured",
    }
    return SumAnswer(values, doubts=() if measured else ("this room was never measured",))


def _solvents(text: str) -> tuple[Solvent, ...]:
    return tuple(solvent.solvent_named(" ".join(name.lower().split())) for name in text.split(","))


_PORTIONS = Input(
    "parts", "parts", kind="pairs", positional=True, example="4l=420g/l,1l=380g/l,0.5l=870g/l",
    of=(
        Input("part", "part", "l", least=0.001, most=10_000, example=1),
        Input("voc", "VOC of part", "g/l", least=0, most=1400, example=420),
    ),
    help="each part with the VOC of its sheet",
)  # fmt: skip
_WATER = Input(
    "water", "water within them", "l", least=0, most=10_000, usual=0, example=0.2,
    help="water within the parts",
)  # fmt: skip
_CATEGORY = Input(
    "category", "category", kind="choice", optional=True, offered=5, example="topcoat",
    choices={key: limit.name for key, limit in VOC_LIMITS.items()}, empty="none: only the figure",
    help="shows the EU limit of vehicle refinishing beside the figure",
)  # fmt: skip
_GIVEN_OFF = Input(
    "given_off", "it evaporates", kind="amount", positional=True, example="500g",
    of=(
        Input("g", "once, so many grams", "g", least=0, most=1_000_000, example=500),
        Input("g_min", "all the while, grams a minute", "g/min", least=0, most=100_000, example=20),
    ),
    help="solvent that evaporates: 500g once, or 20g/min all the while",
)  # fmt: skip
_SOLVENT = Input(
    "solvent_", "solvent, of a mix the worst", kind="choice", example="xylene", take=_solvents,
    choices={key: each.name for key, each in SOLVENTS.items()},
    help="one or more, the worst counts",
)  # fmt: skip
_LEL = Input(
    "lel", "lower explosive limit, vol %", "%", least=0.1, most=20, example=1,
    help="or the lower explosive limit of its safety data sheet, vol %",
)  # fmt: skip
_MOLAR_MASS = Input(
    "molar_mass", "molar mass", "g/mol", least=16, most=500, example=106, help="with --lel"
)
_FACTOR = "1 only in theory, 3 to 10 in real rooms"
"""K of 1 to 10 as in eng.utoledo.edu (seen); 3 as the lowest is common practice, no source."""
_MIXING = Input(
    "mixing", "mixing factor, 1 to 10", "", least=1, most=10, example=3, because=_FACTOR,
    help=f"mixing factor; {_FACTOR}",
)  # fmt: skip
_MIXING_OF_FLOW = replace(_MIXING, when=lambda inputs: inputs["given_off"].unit == "g/min")
_FRACTION = Input(
    "fraction", "of the explosive limit", "%", least=0.1, most=100 * solvent.MOST_LEL_FRACTION,
    usual=10, example=10,
    help="of the explosive limit to stay under",
    because="vapour over a quarter of it is held dangerous",
)  # fmt: skip
_AIR = replace(AIR, least=-20, most=60, usual=20)
_INSIDE = Input(
    "inside", "solvent left inside", "g", over=0, most=1_000_000, example=50,
    help="solvent that was left inside and evaporates",
)  # fmt: skip
_VOLUME = Input(
    "volume", "the section holds", "l", least=0.01, most=1_000_000, example=30,
    help="the room inside the section",
)  # fmt: skip
_EXPOSURE_PPM = Input(
    "exposure_ppm", "exposure limit of its SDS", "ppm", least=0.001, most=10_000, example=50,
    help="the eight-hour exposure limit of its safety data sheet",
)  # fmt: skip
_EXPOSURE = replace(
    _EXPOSURE_PPM, name="exposure", unit="mg/m3", most=100_000, example=221,
    help="or the same in mg/m3",
)  # fmt: skip
_ROOM = Input("room", "room", "m3", least=1, most=100_000, example=120, help="with --flow")
_FLOW = Input(
    "flow", "extraction moves", "m3/h", least=1, most=1_000_000, example=2400,
    help="what the extraction moves",
)  # fmt: skip
_CHANGES = Input(
    "changes", "air changes an hour", "", least=0.1, most=1000, asked=False, example=20,
    help="or air changes an hour",
)  # fmt: skip
_LEFT = Input(
    "left", "of the mist left", "%", least=0.01, most=50, usual=1, example=1,
    help="how much of the mist is left",
)  # fmt: skip

CALCULATIONS = (
    Calculation(
        "voc", "VOC of the mix as sprayed", GROUP, (_CATEGORY, _PORTIONS, _WATER), _voc,
        (
            Result("figure_g_l", "VOC that counts", "g/l", "up", big=True),
            Result("limit_g_l", "the EU limit", "g/l", big=True),
            Result("voc_g_l", "VOC of the whole", "g/l", "up"),
            Result("less_water_g_l", "less its water", "g/l", "up"),
            Result("limit_name", "limit", kind="text"),
            Result("limit_source"),
        ),
        Example(
            "4l=420g/l,1l=380g/l,0.5l=870g/l --category topcoat",
            {"figure_g_l": 454, "limit_g_l": 420}, "row MIX2: 453.64 g/l",
        ),
        "sum(V x VOC) / sum(V): Directive 2004/42/EC, UK SI 2012/1715, seen",
        notes=(_NO_PERMIT,), cautions=solvent.VOC_CAUTIONS,
    ),
    Calculation(
        "air", "air to dilute vapour", GROUP,
        (
            OneOf("solvent", {"one of the list": (_SOLVENT,),
                              "another: its safety data sheet": (_LEL, _MOLAR_MASS)}),
            _GIVEN_OFF, _MIXING_OF_FLOW, _FRACTION, _AIR,
        ),
        _dilution,
        (
            Result("m3", "clean air", "m3", "up", big=True),
            Result("m3_h", "clean air", "m3/h", "up", big=True),
            Result("lel_pct", "explosive from", "vol %"),
            Result("lel_g_m3", "that is", "g/m3", "down"),
            Result("fraction_pct", "kept under", "% of that"),
            Result("molar_mass_g_mol"),
        ),
        Example("500g --solvent xylene --fraction 10%", {"m3": 114},
                "row VENT-m-xylene-10: 113.3 m3"),
        "m / M x Vm x (100 / LEL) / fraction, ideal gas; a quarter at most, US OSHA, seen",
        notes=(_NO_PERMIT, f"Mixing factor: {_FACTOR}."), cautions=solvent.AIR_CAUTIONS,
    ),
    Calculation(
        "clear", "Estimate: minutes until 1 % of the mist is left", GROUP,
        (
            OneOf("air", {"room and extraction": (_ROOM, _FLOW), "air changes": (_CHANGES,)}),
            _LEFT, _MIXING,
            Input("clearance", "the shop's clearance time", kind="shop", optional=True,
                  known="clearance"),
        ),
        _clearance,
        (
            Result("longest_min", "longer of the two", "min", "up", 0, big=True),
            Result("minutes", "estimate: {left:g} % of the mist left after", "min", "up", 0),
            Result("setting_min", "shop's clearance, {setting_from}", "min", "up", 0),
            Result("air_changes_h", "air changes an hour"),
            Result("left_pct"),
        ),
        Example("--room 120m3 --flow 2400m3/h --mixing 3", {"minutes": 42},
                "three times row ACH-20: 3 x 13.8 min"),
        "-ln(left) x 60 x mixing factor / air changes",
        notes=(_NO_PERMIT, f"Mixing factor: {_FACTOR} (common practice, no source)."),
        cautions=solvent.CLEARANCE_CAUTIONS,
    ),
    Calculation(
        "closed", "solvent in a closed section", GROUP,
        (
            OneOf("solvent", {"one of the list": (_SOLVENT,),
                              "another: its safety data sheet": (_LEL, _MOLAR_MASS)}),
            _INSIDE, _VOLUME,
            OneOf("exposure limit", {"in ppm": (_EXPOSURE_PPM,), "in mg/m3": (_EXPOSURE,)}),
            _MIXING, replace(_FRACTION, asked=False), replace(_AIR, asked=False),
        ),
        _closed,
        (
            Result("m3", "clean air", "m3", "up", big=True),
            Result("exposure_m3", "to the exposure limit", "m3", "up"),
            Result("lel_m3", "to {fraction:g} % of the explosive limit", "m3", "up"),
            Result("times", "times the air inside", "", "up", 0),
            Result("of_lel_pct", "unflushed, all as vapour", "% of the explosive limit", "up", 0),
            Result("exposure_mg_m3"),
        ),
        Example(
            "--inside 500g --volume 30l --solvent xylene --exposure 221mg/m3 --mixing 1",
            {"lel_m3": 114, "exposure_m3": 2263},
            "row VENT-m-xylene-10: 113.3 m3; 500 g / 221 mg/m3, arithmetic",
        ),
        "as air to dilute vapour; mass / exposure limit, arithmetic",
        notes=("A section takes a greater mixing factor than a room.",),
        cautions=solvent.CLOSED_CAUTIONS,
    ),
)  # fmt: skip
