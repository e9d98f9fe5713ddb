"""Starting data that a painter can edit: TOML files of products, routes, shapes, tools, equipment.

A broken file is refused whole, with file, line and what would be right.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, fields
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from bench import units
from bench.process.equipment import EquipmentSheet
from bench.process.product import BadSheet, Film, Limits, Product, Thinner, check_product
from bench.process.route import Route, Shape, SprayTool, Step, check_route
from bench.shop.toml_lines import Place, line_of
from bench.trade.mixing import ROLES

T = TypeVar("T")

SUBSTRATES = ("zinc", "weathered-zinc", "steel", "cast-iron", "aluminium", "old-paint")
"""Bare surfaces the shipped products name in ``over``; a route may bring another."""


class BadSeed(ValueError):
    """A seed file cannot be used. The message names file, line and what would be right."""


@dataclass(frozen=True)
class Seeds:
    """Everything a new shop starts with, each by its key."""

    products: dict[str, Product]
    routes: dict[str, Route]
    shapes: dict[str, Shape]
    tools: dict[str, SprayTool]
    equipment: dict[str, EquipmentSheet]


def folder() -> Path:
    """Where the seeds lie: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "seeds"
    return inside if inside.is_dir() else package.parent / "seeds"


def load(root: Path) -> Seeds:
    """Read and check every seed file under ``root``. Raises BadSeed."""
    tools = _read_list(root / "tools.toml", "tool", SprayTool)
    shapes = _read_list(root / "shapes.toml", "shape", Shape)
    equipment = _read_list(root / "equipment.toml", "equipment", EquipmentSheet)
    products = _read_each(root / "products", Product)
    routes = _read_each(root / "routes", Route)
    for number, shape in enumerate(shapes.values()):
        with _told(root / "shapes.toml"):
            _check_shape(shape, ("shape", number))
    seeds = Seeds(products, routes, shapes, tools, equipment)
    for product in products.values():
        with _told(root / "products" / f"{product.key}.toml"):
            check_in_shop(product, seeds)
    for route in routes.values():
        with _told(root / "routes" / f"{route.key}.toml"):
            check_in_shop(route, seeds)
    return seeds


def check_in_shop(thing: Product | Route, shop: Seeds) -> None:
    """Raise BadSheet where a product or route contradicts itself or names what is not there."""
    if isinstance(thing, Product):
        check_product(thing)
        substrates = (route.substrate for route in shop.routes.values())
        _check_names(thing, {*SUBSTRATES, *substrates, *shop.products}, shop.tools)
    else:
        check_route(thing, shop.products, shop.tools)
        _check_cures(thing, shop.products)
        _check_equipment(thing, {known.kind for known in shop.equipment.values()})


def read_one(text: str, key: str, kind: type[T], check: Callable[[T], None]) -> T:
    """One product or route from its TOML text. Raises BadSeed with the line."""
    written = _toml(text, key)
    with told_in(text, key):
        if "key" in written:
            raise BadSheet(("key",), f"leave out 'key': it is '{key}' already")
        made = _build({**written, "key": key}, TypeAdapter(kind))
        check(made)
    return made


def read_toml(file: Path) -> dict[str, Any]:
    """The file's content. Raises BadSeed with the line when it is not TOML."""
    try:
        text = _text(file)
    except OSError as fault:
        raise BadSeed(f"{file}: cannot be read: {fault.strerror}") from fault
    except UnicodeDecodeError as fault:
        line = fault.object.count(b"\n", 0, fault.start) + 1
        raise BadSeed(f"{file}:{line}: not UTF-8 text; save it as UTF-8") from fault
    return _toml(text, str(file))


def _toml(text: str, where: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        at = re.search(r" \(at line (\d+), column \d+\)$| \(at end of document\)$", str(fault))
        line = int(at[1]) if at and at[1] else len(text.splitlines())
        why = str(fault)[: at.start()] if at else str(fault)
        told = f"not TOML: {why}; write key = value, text in quotes"
        raise BadSeed(f"{where}:{line}: {told}") from fault


def _text(file: Path) -> str:
    """utf-8-sig: some editors put a byte order mark before the first letter."""
    return file.read_text(encoding="utf-8-sig")


def _read_each(where: Path, kind: type[T]) -> dict[str, T]:
    """One file a thing; the file's name is its key."""
    adapter = TypeAdapter(kind)
    found: dict[str, T] = {}
    for file in sorted(where.glob("*.toml")):
        written = read_toml(file)
        with _told(file):
            if "key" in written:
                raise BadSheet(("key",), f"leave out 'key': the file's name is '{file.stem}'")
            found[file.stem] = _build({**written, "key": file.stem}, adapter)
    if not found:
        raise BadSeed(f"{where}: no .toml files; the seeds of the program are missing")
    return found


def _read_list(file: Path, name: str, kind: type[T]) -> dict[str, T]:
    """A file of ``[[name]]`` entries, kept in the order they are offered."""
    written = read_toml(file)
    entries = written.pop(name, None)
    if not isinstance(entries, list) or not entries:
        raise BadSeed(f"{file}:1: no [[{name}]] in this file; each entry starts with [[{name}]]")
    adapter = TypeAdapter(kind)
    found: dict[str, T] = {}
    with _told(file):
        for key in written:
            raise BadSheet(
                (key,), f"'{key}' does not belong here; there are only [[{name}]] entries"
            )
        for number, entry in enumerate(entries):
            made = _build(entry, adapter, (name, number))
            if entry["key"] in found:
                told = f"a second {name} '{entry['key']}'; each needs a key of its own"
                raise BadSheet((name, number, "key"), told)
            found[entry["key"]] = made
    return found


def _check_shape(shape: Shape, here: Place) -> None:
    """Faces and zones are ticked by name, so there has to be one, and none twice."""
    for key, names in (("faces", shape.faces), ("zones", shape.zones)):
        if not names:
            raise BadSheet((*here, key), f'no {key}; name at least one, as in {key} = ["ALL"]')
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise BadSheet(
                (*here, key), f"'{twice}' stands twice in {key}; each needs its own name"
            )


def _check_names(product: Product, surfaces: set[str], tools: dict[str, SprayTool]) -> None:
    """What a product names has to exist: a misspelt surface would never be found missing."""
    for number, surface in enumerate(product.over):
        if surface not in surfaces:
            told = f"no surface or product '{surface}'; there are: {', '.join(sorted(surfaces))}"
            raise BadSheet(("over", number), told)
    if product.tool and product.tool not in tools:
        told = f"no tool '{product.tool}'; there are: {', '.join(sorted(tools))}"
        raise BadSheet(("tool",), told)


def _check_cures(route: Route, products: dict[str, Product]) -> None:
    """The last coat needs a full-cure time, or a part on this route would never be CURED."""
    coats = [(n, step.product) for n, step in enumerate(route.steps) if step.kind == "coat"]
    number, key = coats[-1]
    if not products[key].full_cure:
        told = f"the last coat, '{key}', has no full_cure in its file: it would never be CURED"
        raise BadSheet(("steps", number, "product"), told)


def _check_equipment(route: Route, kinds: set[str]) -> None:
    """What a step needs has to be there: of a misspelt kind none would ever be taken.

    A shop that wrote nothing down yet cannot say what is misspelt.
    """
    for number, step in enumerate(route.steps):
        for place, kind in enumerate(step.equipment):
            if kinds and kind not in kinds:
                told = f"no equipment of the kind '{kind}'; there are: {', '.join(sorted(kinds))}"
                raise BadSheet(("steps", number, "equipment", place), told)


# --- from TOML as a painter writes it to the fields of the dataclasses ---------------------------

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
        "rh_most": ("rh_most_pct", "percent"),
        "dew_margin": ("dew_margin_c", "delta_degC"),
    },
    "film": {
        "least": ("least_um", "micrometre"),
        "target": ("target_um", "micrometre"),
        "most": ("most_um", "micrometre"),
    },
    "thinner": {"least": ("least_pct", "percent"), "most": ("most_pct", "percent")},
}
PAIRS: dict[str, tuple[str, str]] = {
    "distance": ("distance_cm", "centimetre"),
    "overlap": ("overlap_pct", "percent"),
    "speed": ("speed_cm_s", "centimetre / second"),
}
_BAND_KEYS = ("is", "until", "until_damp", "damp_over")
_TABLES = ("pot_life", "full_cure")

SPELLED: dict[str, str] = {
    field: key for known in (*QUANTITIES.values(), PAIRS) for key, (field, _) in known.items()
} | {"bands": "band", "steps": "step", "word": "is", "opened_life_s": "opened_life"}
"""How a field is spelled in TOML, where the two differ."""


def _build(written: Any, adapter: TypeAdapter[T], at: Place = ()) -> T:
    """The dataclass from one TOML table. Raises BadSheet with the place of the fault."""
    if not isinstance(written, dict):
        raise BadSheet(at, f"reads {str(written)[:40]!r}; write key = value lines")
    plain = _plain(written, at)
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
        return _unknown(key)
    if error["type"] == "missing":
        return f"'{key}' is missing; add it"
    if error["type"] == "literal_error":
        right = f"it is one of {error['ctx']['expected']}"
    else:
        right = _RIGHT.get(error["type"], error["msg"])
    return f"{key} reads {str(error['input'])[:40]!r}; {right}"


def _unknown(key: str) -> str:
    kinds = (
        *(Product, Route, Step, Shape, SprayTool, EquipmentSheet),
        *(Film, Limits, Thinner),
    )
    names = {SPELLED.get(field.name, field.name) for kind in kinds for field in fields(kind)}
    near = get_close_matches(key, names, 1)
    hint = f"is '{near[0]}' meant?" if near and near[0] != key else "take it out"
    return f"'{key}' is not a key that belongs here; {hint}"


def _plain(written: Mapping[str, Any], at: Place, inside: str = "") -> dict[str, Any]:
    """The table with its quantities read into base units and its keys named as the fields are."""
    plain: dict[str, Any] = {}
    for key, value in written.items():
        here = (*at, key)
        if key in QUANTITIES[inside]:
            name, unit = QUANTITIES[inside][key]
            plain[name] = _read(value, unit, here)
        elif inside:
            plain[key] = value
        elif key in QUANTITIES:
            plain[key] = _plain(_table(value, here), here, key)
        elif key in _TABLES:
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
        elif key in PAIRS:
            plain[PAIRS[key][0]] = _pair(value, PAIRS[key][1], here)
        else:
            plain[key] = value
    return plain


def _table(value: Any, here: Place) -> dict[str, Any]:
    if not isinstance(value, dict):
        told = f"{_last(here)} reads {str(value)[:40]!r}; write a table: {{ key = value, ... }}"
        raise BadSheet(here, told)
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


def _pair(value: Any, unit: str, here: Place) -> tuple[float, float]:
    if not isinstance(value, list) or len(value) != 2:
        told = f'{_last(here)} reads {str(value)[:40]!r}; write two: ["from", "to"]'
        raise BadSheet(here, told)
    least, most = (_read(text, unit, here) for text in value)
    if not 0 < least <= most:
        told = f"{_last(here)} runs from {value[0]} to {value[1]}; write the lesser first, over 0"
        raise BadSheet(here, told)
    return least, most


def _times(value: Any, here: Place) -> list[tuple[float, float]]:
    if not isinstance(value, dict):
        told = f"{_last(here)} reads {str(value)[:40]!r}; write it by temperature"
        raise BadSheet(here, told + ', as { "20 C" = "4 h" }')
    rows = [
        (_read(temp, "degC", (*here, temp)), _read(time, "second", (*here, temp)))
        for temp, time in value.items()
    ]
    return sorted(rows)


def _ratio(value: dict[str, Any], here: Place) -> dict[str, Any]:
    parts = {key: share for key, share in value.items() if key != "by"}
    for role in parts:
        if role not in ROLES:
            told = f"unknown part '{role}'; a part is one of {', '.join(ROLES)}"
            raise BadSheet((*here, role), told)
    shares = [{"role": role, "parts": share} for role, share in parts.items()]
    return {"shares": shares, "by": value.get("by", "volume")}


def _band(value: Any, here: Place) -> dict[str, Any]:
    written = _table(value, here)
    for key in written:
        if key not in _BAND_KEYS:
            told = f"'{key}' does not belong in a band; it has {', '.join(_BAND_KEYS)}"
            raise BadSheet((*here, key), told)
    band: dict[str, Any] = {"word": written["is"]} if "is" in written else {}
    until: dict[str, Any] = {}
    if isinstance(written.get("until"), dict):
        until["table"] = _times(written["until"], (*here, "until"))
    elif "until" in written:
        until["fixed_s"] = _read(written["until"], "second", (*here, "until"))
    if "until_damp" in written:
        until["damp_s"] = _read(written["until_damp"], "second", (*here, "until_damp"))
    if "damp_over" in written:
        until["damp_over_rh_pct"] = _read(written["damp_over"], "percent", (*here, "damp_over"))
    return band | ({"until": until} if until else {})


# --- which line a fault is on --------------------------------------------------------------------


@contextmanager
def _told(file: Path) -> Iterator[None]:
    """Turn a BadSheet inside into a BadSeed with the file and the line it points at."""
    try:
        yield
    except BadSheet as fault:
        raise _seed_of(fault, _text(file), str(file)) from fault


@contextmanager
def told_in(text: str, where: str) -> Iterator[None]:
    """The same for a text that is no file."""
    try:
        yield
    except BadSheet as fault:
        raise _seed_of(fault, text, where) from fault


def _seed_of(fault: BadSheet, text: str, where: str) -> BadSeed:
    place = tuple(
        name if isinstance(name, int) else SPELLED.get(name, name) for name in fault.where
    )
    return BadSeed(f"{where}:{line_of(text, place)}: {fault}")
