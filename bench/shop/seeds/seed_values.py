"""From TOML as a painter writes it, "45 %" and "4 h", to the fields of the dataclasses."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields
from difflib import get_close_matches
from functools import partial
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from bench import units
from bench.process.sheets.measurement_kinds import KINDS, kinds_words
from bench.process.sheets.product import (
    FIGURES,
    BadSheet,
    Bath,
    Dilution,
    Film,
    Limits,
    Product,
    Thinner,
    check_each,
    raise_each,
)
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
        "shelf_life": ("shelf_life_s", "second"),
        "flash_point": ("flash_point_c", "degC"),
        "voc": ("voc_g_l", "gram / litre"),
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


def build(
    table: Any, adapter: TypeAdapter[T], at: Place = (), check: Callable[[T], None] = lambda _: None
) -> T:
    """Build the dataclass from one TOML table and check it.

    Raises BadSheet with every fault of the table, in the order of its keys. What could not be read
    is left out before the rest is checked, so that one answer has them all.
    """
    if not isinstance(table, dict):
        raise BadSheet(at, f"reads {str(table)[:40]!r}; write key = value lines")
    faults: list[BadSheet] = []
    plain = _plain(table, at, faults)
    thing = _validated(plain, adapter, at, faults)
    if thing is None:
        thing = _validated(_without(plain, faults, len(at)), adapter, at, [])
    if thing is not None:
        try:
            check(thing)
        except BadSheet as fault:
            faults += [each for each in fault.each if not _follows(each, faults)]
    raise_each(faults)
    assert thing is not None, "a table without a fault builds its dataclass"
    return thing


def _validated(
    plain: dict[str, Any], adapter: TypeAdapter[T], at: Place, faults: list[BadSheet]
) -> T | None:
    """Return the dataclass; None where it cannot be built, its faults added to the others."""
    try:
        return adapter.validate_python(plain)
    except ValidationError as fault:
        errors = fault.errors(include_url=False)
        # A misspelt key is also a missing one; the misspelling is what helps.
        misspelt = {error["loc"][:-1] for error in errors if error["type"] == _UNKNOWN}
        for error in errors:
            new = BadSheet((*at, *error["loc"]), _in_words(error))
            missed = error["type"] == "missing" and error["loc"][:-1] in misspelt
            if not missed and not _follows(new, faults):
                faults.append(new)
        return None


_STANDS_IN = {"name": "name", "kind": "wash", "substrate": "old-paint"}
_STEP_STANDS_IN = {"name": "name", "kind": "work"}
"""For what a table must have and could not be read: a value that asks for nothing else."""


def _without(plain: dict[str, Any], faults: Sequence[BadSheet], depth: int) -> dict[str, Any]:
    """Return the table without its keys at fault; of a step only its own key goes."""
    rest = dict(plain)
    if "steps" in plain:
        rest["steps"] = steps = [dict(step) for step in plain["steps"]]
    for fault in faults:
        match fault.where[depth:]:
            case ("steps", int(number), str(key), *_) if "steps" in plain:
                _leave_out(steps[number], key, _STEP_STANDS_IN)
            case (str(key), *_) if key != "steps":
                _leave_out(rest, key, _STANDS_IN)
    return rest


def _leave_out(table: dict[str, Any], key: str, stands_in: Mapping[str, str]) -> None:
    if key in stands_in:
        table[key] = stands_in[key]
    else:
        table.pop(key, None)


def _follows(fault: BadSheet, faults: Iterable[BadSheet]) -> bool:
    """Return whether a fault only follows from one that is known: it is at the same key."""
    place = spelled(fault.where)
    others = [spelled(other.where) for other in faults]
    return any(place[: len(other)] == other[: len(place)] for other in others)


def spelled(where: Place) -> Place:
    """Return a place with its fields as they are spelled in the file."""
    return tuple(SPELLED.get(name, name) if isinstance(name, str) else name for name in where)


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


def _plain(
    table: Mapping[str, Any], at: Place, faults: list[BadSheet], inside: str = ""
) -> dict[str, Any]:
    """Return the table in base units, its keys named as the fields are.

    A key that cannot be read is left out, and its fault added to the others.
    """
    plain: dict[str, Any] = {}
    for key, value in table.items():
        try:
            field, read = _field(key, value, (*at, key), faults, inside)
        except BadSheet as fault:
            faults += fault.each
        else:
            plain[field] = read
    return plain


def _field(
    key: str, value: Any, here: Place, faults: list[BadSheet], inside: str
) -> tuple[str, Any]:
    """Return a key's field and its value. Raises BadSheet."""
    if key in SPELLED:  # a field's own name, whose value would be taken without its unit
        raise BadSheet(here, f"'{key}' is not a key; is '{SPELLED[key]}' meant?")
    if key in QUANTITIES[inside]:
        name, unit = QUANTITIES[inside][key]
        return name, _read(value, unit, here)
    if inside:
        return key, value
    if key in QUANTITIES:
        return key, _plain(_table(value, here), here, faults, key)
    if key in PAIRS:
        return PAIRS[key][0], _pair(value, PAIRS[key][1], here)
    if key == "step":
        steps = enumerate(_list(value, here))
        return "steps", [_plain(_table(step, here), (*here, n), faults) for n, step in steps]
    reads = _READ.get(key)
    return _FIELDS.get(key, key), reads(value, here) if reads else value


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
    """Return the name of a key, with the table it stands in: "pot_life 20 C", "film least"."""
    return " ".join([name for name in here if isinstance(name, str)][-2:])


def _read(text: Any, unit: str, here: Place) -> float:
    if not isinstance(text, str):
        raise BadSheet(here, f"{_last(here)} reads {text}; write it in quotes with its unit")
    try:
        return units.read(text, unit)
    except ValueError as fault:
        raise BadSheet(here, f"{_last(here)}: {fault}") from fault


def _accepts(value: Any, here: Place) -> list[dict[str, Any]]:
    limits = _table(value, here).items()
    return _every(partial(_accepted, kind, pair, (*here, kind)) for kind, pair in limits)


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


def _every(reads: Iterable[Callable[[], Any]]) -> list[Any]:
    """Return what each of them reads. Raises BadSheet with the faults of all."""
    values: list[Any] = []
    check_each(*(partial(_append, values, read) for read in reads))
    return values


def _append(values: list[Any], read: Callable[[], Any]) -> None:
    values.append(read())


def _pair(value: Any, unit: str, here: Place) -> tuple[float, float]:
    least, most = _every(partial(_read, text, unit, here) for text in _two(value, here))
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
    return sorted(_every(partial(_time_at, temp, time, here) for temp, time in value.items()))


def _time_at(temp: str, time: Any, here: Place) -> tuple[float, float]:
    place = (*here, temp)
    both = _every([partial(_read, temp, "degC", place), partial(_read, time, "second", place)])
    return both[0], both[1]


def _by_role(unit: str, value: Any, here: Place) -> dict[str, float]:
    roles = _table(value, here)
    read = _every(partial(_read, text, unit, (*here, role)) for role, text in roles.items())
    return dict(zip(roles, read, strict=True))


def _ratio(value: Any, here: Place) -> dict[str, Any]:
    table = _table(value, here)
    parts = {key: share for key, share in table.items() if key != "by"}
    raise_each(
        [
            BadSheet((*here, role), f"unknown part '{role}'; a part is one of {', '.join(ROLES)}")
            for role in parts
            if role not in ROLES
        ]
    )
    shares = [{"role": role, "parts": share} for role, share in parts.items()]
    return {"shares": shares, "by": table.get("by", "volume")}


def _bands(value: Any, here: Place) -> list[dict[str, Any]]:
    bands = enumerate(_list(value, here))
    return _every(partial(_band, band, (*here, number)) for number, band in bands)


def _band(value: Any, here: Place) -> dict[str, Any]:
    keys = _table(value, here).items()
    read = _every(partial(_band_field, key, entry, (*here, key)) for key, entry in keys)
    until = {field: entry for inside, field, entry in read if inside}
    band = {field: entry for inside, field, entry in read if not inside}
    return band | ({"until": until} if until else {})


def _band_field(key: str, value: Any, here: Place) -> tuple[bool, str, Any]:
    """Return whether it belongs to the end of the band, its field and its value."""
    if key not in BAND_KEYS:
        raise BadSheet(here, f"'{key}' does not belong in a band; it has {', '.join(BAND_KEYS)}")
    if key == "until" and isinstance(value, dict):
        return True, "table", _times(value, here)
    if key in _BAND_QUANTITIES:
        field, unit = _BAND_QUANTITIES[key]
        return True, field, _read(value, unit, here)
    return key == "exact", "word" if key == "is" else key, value


_BAND_QUANTITIES = {
    "until": ("fixed_s", "second"),
    "until_damp": ("damp_s", "second"),
    "damp_over": ("damp_over_rh_pct", "percent"),
}
_FIGURES = {SPELLED.get(field, field): field for field in FIGURES}


def _placeholders(value: Any, here: Place) -> Any:
    """Return the fields of the figures that a sheet names by their keys."""
    if not isinstance(value, list):
        return value
    return [_FIGURES.get(key, key) if isinstance(key, str) else key for key in value]


_FIELDS = {"band": "bands", "opened_life": "opened_life_s"}
_READ: dict[str, Callable[[Any, Place], Any]] = {
    "accept": _accepts,
    **dict.fromkeys(TIME_TABLES, _times),
    "band": _bands,
    "placeholder": _placeholders,
    "ratio": _ratio,
    "densities": partial(_by_role, "g/ml"),
    "opened_life": partial(_by_role, "second"),
}
