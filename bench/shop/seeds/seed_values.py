"""From TOML as a painter writes it, "45 %" and "4 h", to the fields of the dataclasses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from difflib import get_close_matches
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from bench import units
from bench.process.sheets.measurement_kinds import KINDS, kinds_words
from bench.process.sheets.product import BadSheet, Bath, Dilution, Film, Limits, Product, Thinner
from bench.process.sheets.route import Route, Shape, SprayTool, Step
from bench.process.stock.equipment import EquipmentSheet
from bench.shop.seeds.toml_lines import Place
from bench.trade.mixing import ROLES

T = TypeVar("T")

# TOML key: its field, and the unit its text is read in; by the table the key stands in.
QUANTITIES: dict[str, dict[str, tuple[str, str]]] = {
    "": {
        "induction": ("induction_s", "second"),
        "least": ("least_s", "second"),
        "most": ("most_s", "second"),
        "volume_solids": ("volume_solids_pct", "percent"),
        "area": ("area_m2", "metre ** 2"),
        "needs": ("needs_l_min", "litre / minute"),
        "gives": ("gives_l_min", "litre / minute"),
    },
    "limits": {
        "metal_least": ("metal_least_c", "degC"),
        "metal_most": ("metal_most_c", "degC"),
        "rh_least": ("rh_least_pct", "percent"),
        "rh_most": ("rh_most_pct", "percent"),
        "rh_stall": ("rh_stall_pct", "percent"),
        "dew_margin": ("dew_margin_c", "delta_degC"),
    },
    "film": {
        "least": ("least_um", "micrometre"),
        "target": ("target_um", "micrometre"),
        "most": ("most_um", "micrometre"),
        "in_all": ("in_all_um", "micrometre"),
    },
    "thinner": {"least": ("least_pct", "percent"), "most": ("most_pct", "percent")},
    "bath": {"least": ("least_c", "degC"), "most": ("most_c", "degC")},
}
PAIRS: dict[str, tuple[str, str]] = {
    "distance": ("distance_cm", "centimetre"),
    "overlap": ("overlap_pct", "percent"),
    "speed": ("speed_cm_s", "centimetre / second"),
}
BAND_KEYS = ("is", "until", "until_damp", "damp_over", "exact", "test")
TIME_TABLES = ("pot_life", "full_cure")

SPELLED: dict[str, str] = {
    field: key for known in (*QUANTITIES.values(), PAIRS) for key, (field, _) in known.items()
} | {"bands": "band", "steps": "step", "word": "is", "opened_life_s": "opened_life"}
"""How a field is spelled in TOML, where the two differ."""


def build(table: Any, adapter: TypeAdapter[T], at: Place = ()) -> T:
    """Build the dataclass from one TOML table. Raises BadSheet with the place of the fault."""
    if not isinstance(table, dict):
        raise BadSheet(at, f"reads {str(table)[:40]!r}; write key = value lines")
    plain = _plain(table, at)
    try:
        return adapter.validate_python(plain)
    except ValidationError as fault:
        # A misspelt key is also a missing one; the misspelling is what helps.
        first = min(fault.errors(include_url=False), key=lambda error: error["type"] != _UNKNOWN)
        raise BadSheet((*at, *first["loc"]), _in_words(first)) from fault


_UNKNOWN = "unexpected_keyword_argument"
_RIGHT = {
    "string_type": "write text in quotes",
    "tuple_type": 'write a list of texts: ["one", "two"]',
    "bool_type": "write true or false",
    "bool_parsing": "write true or false",
    "float_type": "write a number",
    "float_parsing": "write a number",
}


def _in_words(error: Any) -> str:
    key = SPELLED.get(error["loc"][-1], error["loc"][-1])
    if error["type"] == _UNKNOWN:
        return _why_unknown(key)
    if error["type"] == "missing":
        return f"'{key}' is missing; add it"
    if error["type"] == "literal_error":
        right = f"it is one of {error['ctx']['expected']}"
    else:
        right = _RIGHT.get(error["type"], error["msg"])
    return f"{key} reads {str(error['input'])[:40]!r}; {right}"


def _why_unknown(key: str) -> str:
    kinds = (
        *(Product, Route, Step, Shape, SprayTool, EquipmentSheet),
        *(Film, Limits, Thinner, Dilution, Bath),
    )
    names = {SPELLED.get(field.name, field.name) for kind in kinds for field in fields(kind)}
    near = get_close_matches(key, names, 1)
    hint = f"is '{near[0]}' meant?" if near and near[0] != key else "take it out"
    return f"'{key}' is not a key that belongs here; {hint}"


def _plain(table: Mapping[str, Any], at: Place, inside: str = "") -> dict[str, Any]:
    """The table with its quantities read into base units and its keys named as the fields are."""
    plain: dict[str, Any] = {}
    for key, value in table.items():
        here = (*at, key)
        if key in SPELLED:  # a field's own name, whose value would be taken without its unit
            raise BadSheet(here, f"'{key}' is not a key; is '{SPELLED[key]}' meant?")
        if key in QUANTITIES[inside]:
            name, unit = QUANTITIES[inside][key]
            plain[name] = _read(value, unit, here)
        elif inside:
            plain[key] = value
        elif key in QUANTITIES:
            plain[key] = _plain(_table(value, here), here, key)
        elif key in TIME_TABLES:
            plain[key] = _times(value, here)
        elif key == "band":
            plain["bands"] = [_band(band, (*here, n)) for n, band in enumerate(_list(value, here))]
        elif key == "step":
            steps = enumerate(_list(value, here))
            plain["steps"] = [_plain(_table(step, here), (*here, n)) for n, step in steps]
        elif key == "ratio":
            plain[key] = _ratio(_table(value, here), here)
        elif key == "densities":
            roles = _table(value, here).items()
            plain[key] = {role: _read(text, "g/ml", (*here, role)) for role, text in roles}
        elif key == "opened_life":
            lives = _table(value, here).items()
            plain["opened_life_s"] = {
                role: _read(text, "second", (*here, role)) for role, text in lives
            }
        elif key == "accept":
            limits = _table(value, here).items()
            plain[key] = [_accepted(kind, pair, (*here, kind)) for kind, pair in limits]
        elif key in PAIRS:
            plain[PAIRS[key][0]] = _pair(value, PAIRS[key][1], here)
        else:
            plain[key] = value
    return plain


def _table(value: Any, here: Place) -> dict[str, Any]:
    if not isinstance(value, dict):
        problem = f"{_last(here)} reads {str(value)[:40]!r}; write a table: {{ key = value, ... }}"
        raise BadSheet(here, problem)
    return value


def _list(value: Any, here: Place) -> list[Any]:
    if not isinstance(value, list):
        raise BadSheet(here, f"write [[{here[-1]}]] with two brackets: there may be several")
    return value


def _last(here: Place) -> str:
    return next(str(name) for name in reversed(here) if isinstance(name, str))


def _read(text: Any, unit: str, here: Place) -> float:
    if not isinstance(text, str):
        raise BadSheet(here, f"{_last(here)} reads {text}; write it in quotes with its unit")
    try:
        return units.read(text, unit)
    except ValueError as fault:
        raise BadSheet(here, f"{_last(here)}: {fault}") from fault


def _accepted(kind: str, value: Any, here: Place) -> dict[str, Any]:
    """The limits of one kind of measurement: two quantities, of a class two bare numbers."""
    if kind not in KINDS:
        raise BadSheet(here, f"no kind of measurement '{kind[:20]}'; one of {kinds_words()}")
    unit, figures = KINDS[kind].unit, _two(value, here)
    if unit:
        least, most = (_read(text, units.PINT[unit], here) for text in figures)
    elif all(type(figure) in (int, float) for figure in figures):
        least, most = figures
    else:
        raise BadSheet(here, f"{kind} reads {str(value)[:40]!r}; it has no unit: write [0, 2]")
    return {"kind": kind, "least": least, "most": most}


def _two(value: Any, here: Place) -> list[Any]:
    if not isinstance(value, list) or len(value) != 2:
        problem = f'{_last(here)} reads {str(value)[:40]!r}; write two: ["from", "to"]'
        raise BadSheet(here, problem)
    return value


def _pair(value: Any, unit: str, here: Place) -> tuple[float, float]:
    least, most = (_read(text, unit, here) for text in _two(value, here))
    if not 0 < least <= most:
        problem = (
            f"{_last(here)} runs from {value[0]} to {value[1]}; write the lesser first, over 0"
        )
        raise BadSheet(here, problem)
    return least, most


def _times(value: Any, here: Place) -> list[tuple[float, float]]:
    if not isinstance(value, dict):
        problem = f"{_last(here)} reads {str(value)[:40]!r}; write it by temperature"
        raise BadSheet(here, problem + ', as { "20 C" = "4 h" }')
    rows = [
        (_read(temp, "degC", (*here, temp)), _read(time, "second", (*here, temp)))
        for temp, time in value.items()
    ]
    return sorted(rows)


def _ratio(value: dict[str, Any], here: Place) -> dict[str, Any]:
    parts = {key: share for key, share in value.items() if key != "by"}
    for role in parts:
        if role not in ROLES:
            problem = f"unknown part '{role}'; a part is one of {', '.join(ROLES)}"
            raise BadSheet((*here, role), problem)
    shares = [{"role": role, "parts": share} for role, share in parts.items()]
    return {"shares": shares, "by": value.get("by", "volume")}


def _band(value: Any, here: Place) -> dict[str, Any]:
    table = _table(value, here)
    for key in table:
        if key not in BAND_KEYS:
            problem = f"'{key}' does not belong in a band; it has {', '.join(BAND_KEYS)}"
            raise BadSheet((*here, key), problem)
    band: dict[str, Any] = {"word": table["is"]} if "is" in table else {}
    until: dict[str, Any] = {}
    if isinstance(table.get("until"), dict):
        until["table"] = _times(table["until"], (*here, "until"))
    elif "until" in table:
        until["fixed_s"] = _read(table["until"], "second", (*here, "until"))
    if "until_damp" in table:
        until["damp_s"] = _read(table["until_damp"], "second", (*here, "until_damp"))
    if "damp_over" in table:
        until["damp_over_rh_pct"] = _read(table["damp_over"], "percent", (*here, "damp_over"))
    if "exact" in table:
        until["exact"] = table["exact"]
    if "test" in table:
        band["test"] = table["test"]
    return band | ({"until": until} if until else {})
