"""JSON Schema of a product's or route's file, as TOML is read into JSON.

Pydantic writes the schema of the dataclass; here its fields are spelled as in the file, by the same
tables that ``seed_values`` reads by.
"""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter

from bench import units
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route
from bench.shop.seeds.seed_values import BAND_KEYS, QUANTITIES, SPELLED, TIME_TABLES
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
_BY_ROLE = {"type": "object", "additionalProperties": _QUANTITY}


def file_schema(kind: type[Product] | type[Route]) -> Json:
    """Return the JSON Schema of the file of a product or a route (draft 2020-12)."""
    schema = TypeAdapter(kind).json_schema()
    defs: Json = schema.pop("$defs")
    schema = _as_written(schema, "")
    del schema["properties"]["key"]  # it is the file's name
    schema["required"].remove("key")
    written = {
        name: _band(entry) if name == "Band" else _as_written(entry, _table_of(name))
        for name, entry in defs.items()
        if name not in ("Until", "Ratio", "Share")
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
    if key in ("densities", "opened_life"):
        return _BY_ROLE
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
