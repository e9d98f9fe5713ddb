"""JSON Schema of a product's or route's file, as TOML is read into JSON.

Pydantic writes the schema of the dataclass; here its fields are spelled as in the file, by the same
tables that ``seed_values`` reads by.
"""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter

from bench import units
from bench.process.sheets.measurement_kinds import KINDS
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route
from bench.shop.seeds.seed_values import BAND_KEYS, BY_ROLE, QUANTITIES, SPELLED, TIME_TABLES
from bench.trade.mixing import ROLES

Json = dict[str, Any]

VERSION = 1
"""Of the two schemas; it rises when a key goes or changes its meaning."""

_QUANTITY = {
    "type": "string",
    "pattern": r"^\s*[+-]?[0-9]+([.,][0-9]+)?([eE][+-]?[0-9]+)?\s*[^\s0-9.,]",
}
"""A number and its unit, in quotes."""

_TIMES = {
    "type": "object",
    "description": 'times at temperatures: { "20 C" = "4 h" }',
    "additionalProperties": _QUANTITY,
    "propertyNames": _QUANTITY,
    "minProperties": 1,
}
_RATIO = {
    "type": "object",
    "properties": {
        "by": {"enum": ["volume", "weight"], "default": "volume"},
        **{role: {"type": "number"} for role in ROLES},
    },
    "additionalProperties": False,
}
_LIMITS = {
    "type": "object",
    "properties": {
        kind.key: {
            "type": "array",
            "items": _QUANTITY if kind.unit else {"type": "number"},
            "minItems": 2,
            "maxItems": 2,
        }
        for kind in KINDS.values()
    },
    "additionalProperties": False,
}


MEANINGS: dict[str, str] = {
    "name": "what the lists show, up to 60 letters",
    "kind": "what it is",
    "source": "sheet once you typed its data sheet",
    "placeholder": "keys whose figures nobody took from the sheet; they keep their ?",
    "over": "what it goes on: substrates and keys of products",
    "ratio": "parts of each component, over 0, up to 50",
    "thinner": "thinner allowed, 0 to 100 % of base, mixed or total",
    "dilution": "parts of water to one of a cleaner or wash",
    "bath": "how warm a cleaner or wash is, 0 to 100 C",
    "densities": "of each component, for mixing on a scale",
    "volume_solids": "over 0, up to 100 %; under 10 % is asked about",
    "film": "DFT of one coat; outside 3 to 500 um it is asked about",
    "isocyanate": "needs the air-fed mask and trained painters",
    "water_borne": "its solvent is water",
    "hazards": "names that paintbench help data-sheets lists",
    "limits": "air and surface that it is coated in",
    "band": "the recoat window, stretch by stretch, each ending later than the last",
    "pot_life": "of the mixed paint, over 0, warmer never longer",
    "opened_life": "how long an opened tin keeps, by component, else by tin",
    "induction": "wait after stirring",
    "full_cure": "from the last face to cured, over 0, warmer never longer",
    "test": "how it is tested, up to 200 letters",
    "tool": "the tool's key",
    "wear": "what to wear besides what its hazards ask for",
    "cautions": "your own cautions, each up to 200 letters",
    "notes": "up to 200 letters",
    "colour": "its name or number, as on the tin",
    "issued": "the day of its data sheet, as 2026-03-12",
    "shelf_life": "how long a closed tin keeps, up to 20 years",
    "flash_point": "of its data sheet or safety data sheet, -60 to 400 C",
    "voc": "solvent in a litre ready to use, 0 to 1200 g/l",
    "substrate": "the bare surface it begins with",
    "step": "one [[step]] for each, the last of kind cure",
    "seldom": "offered behind the others",
    "product": "the product's key; a coat has one",
    "tick": "its zones are ticked one by one",
    "least": "shortest soak of a dwell, over 0",
    "most": "longest soak of a dwell, over least",
    "continues": "one coat with the step before it: mist, then build",
    "wet_on_wet": "goes onto a coat that has not flashed off",
    "remedy": "what to do where the window was missed",
    "equipment": "kinds of equipment that it takes",
    "reminders": "what to mind, line by line",
    "measure": "kinds of measurement that are wanted of it, such as dft; no step waits for them",
    "hold_point": "the next step waits until all that is measured here is there, within its limits",
    "accept": "limits of what is measured, by kind, least and most",
    "labour": "how long it keeps hands busy, for each lot, over 0, up to 24 h",
    "labour_m2": "and for each m2 of it, up to 8 h/m2",
    "hands": "pairs of hands it takes; 1-2: one, or two in half the time",
    "follow": "longest pause before the next step, up to 7 d; 0 min: at once",
    "abrading": "of a coat: abrading below it after a missed window, up to 24 h",
    "spray_space": "takes a spray space; else what is sprayed does",
    "place": "where it is done, up to 30 letters; else in the shop's one room",
}
"""What each key of a product, a route or a step says, with its range."""


def file_schema(kind: type[Product] | type[Route]) -> Json:
    """Return the JSON Schema of the file of a product or a route (draft 2020-12)."""
    schema = TypeAdapter(kind).json_schema()
    defs: Json = schema.pop("$defs")
    del schema["properties"]["key"]  # it is the file's name
    schema["required"].remove("key")
    schema = _as_written(schema, "")
    written = {
        name: _band(entry) if name == "Band" else _as_written(entry, _table_of(name))
        for name, entry in defs.items()
        if name not in ("Until", "Ratio", "Share", "Accepted")
    }
    return {**schema, "$defs": written}


def _table_of(name: str) -> str:
    """Return the name of the table in which a dataclass is written; a step has the root's keys."""
    return "" if name == "Step" else name.lower()


def _as_written(entry: Json, table: str) -> Json:
    """Return the schema of a dataclass with its fields as they are spelled and written."""
    properties = {
        SPELLED.get(field, field): _value(field, value, table)
        for field, value in entry["properties"].items()
    }
    for key, value in properties.items() if not table else ():
        words = [MEANINGS[key], *([value["description"]] if "description" in value else [])]
        properties[key] = {**value, "description": "; ".join(words)}
    required = [SPELLED.get(field, field) for field in entry.get("required", ())]
    return {**entry, "properties": properties, "required": required}


def _value(field: str, plain: Json, table: str) -> Json:
    key = SPELLED.get(field, field)
    if key in QUANTITIES.get(table, {}):
        unit = QUANTITIES[table][key][1]
        return {**_QUANTITY, "description": units.kind_words(unit)}
    if key in TIME_TABLES:
        return _TIMES
    if key == "ratio":
        return _RATIO
    if key in BY_ROLE:
        return {"type": "object", "additionalProperties": _QUANTITY}
    if key == "accept":
        return _LIMITS
    return _without_null(plain)


def _without_null(plain: Json) -> Json:
    """Return it without null and defaults in the dataclass's own words: TOML has no null."""
    kept = {name: value for name, value in plain.items() if name not in ("title", "default")}
    choices = [each for each in kept.pop("anyOf", ()) if each != {"type": "null"}]
    return {**kept, **choices[0]} if choices else kept


def _band(entry: Json) -> Json:
    """Return the schema of one band: its word, and when it ends."""
    written = {
        "is": _without_null(entry["properties"]["word"]),
        "until": {"anyOf": [_QUANTITY, _TIMES]},
        "until_damp": _QUANTITY,
        "damp_over": _QUANTITY,
        "exact": {"type": "boolean"},
        "test": {"type": "string"},
    }
    return {
        **entry,
        "properties": {key: written[key] for key in BAND_KEYS},
        "required": ["is"],
    }
