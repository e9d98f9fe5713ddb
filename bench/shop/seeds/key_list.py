"""The keys of a product's or a route's text, for who types one: what, range and an example."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap
from typing import Any

from bench.help_topics import WIDTH
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route, Step
from bench.shop.seeds.file_schema import file_schema
from bench.shop.seeds.seed_files import Seeds
from bench.shop.seeds.seed_text import sheet_lines

MOST_EXAMPLE = WIDTH - 20
"""So long a line of what is shipped still fits beside the keys."""

SHIPPED_BY_NONE = {
    "placeholder": 'placeholder = ["film", "pot_life"]',
    "densities": 'densities = { base = "1.42 g/ml", hardener = "0.98 g/ml" }',
    "induction": 'induction = "15 min"',
    "colour": 'colour = "club blue"',
    "issued": 'issued = "2026-03-12"',
    "shelf_life": 'shelf_life = "700 d"',
    "flash_point": 'flash_point = "1 C"',
    "voc": 'voc = "1 g/l"',
    "wear": 'wear = ["chemical goggles"]',
    "wet_on_wet": "wet_on_wet = true",
    "hold_point": "hold_point = true",
    "labour": 'labour = "20 min"',
    "labour_m2": 'labour_m2 = "6 min/m2"',
    "hands": 'hands = "1-2"',
    "follow": 'follow = "5 min"',
    "abrading": 'abrading = "30 min"',
    "spray_space": "spray_space = true",
    "place": 'place = "wash bay"',
}
"""Examples of what no shipped product or route has."""


def key_rows(form: str, shipped: Seeds) -> list[dict[str, str]]:
    """Return each key of a form: its name, what it says, and a line of what is shipped, or none.

    form: product or route; a route's step has keys of its own, named as "step.product".
    """
    schema = file_schema(Product if form == "product" else Route)
    sheets = shipped.products.values() if form == "product" else shipped.routes.values()
    rows = list(_rows("", schema, schema["$defs"], sheets))
    if form == "route":
        steps = (step for route in shipped.routes.values() for step in route.steps)
        rows += _rows("step.", schema["$defs"]["Step"], schema["$defs"], steps)
    return rows


def key_lines(form: str, shipped: Seeds) -> Iterator[str]:
    """Yield the same as lines of text, the example under each key."""
    for row in key_rows(form, shipped):
        first, *rest = wrap(row["says"], WIDTH - 18)
        yield f"{row['key']:<17} {first}"
        yield from (f"{'':<17} {part}" for part in rest)
        if row["example"]:
            yield f"{'':<19} {row['example']}"


def _rows(
    before: str,
    schema: dict[str, Any],
    defs: dict[str, Any],
    sheets: Iterable[Product | Route | Step],
) -> Iterator[dict[str, str]]:
    lines: dict[str, str] = {}
    for sheet in sheets:
        for line in sheet_lines(sheet):
            key = line.partition(" ")[0]
            if len(lines.get(key, "")) < len(line) <= MOST_EXAMPLE:
                lines[key] = line
    for key, value in schema["properties"].items():
        one_of = f": {', '.join(map(str, value['enum']))}" if "enum" in value else ""
        inside = ", ".join(_keys_inside(value, defs))
        says = f"{value['description']}{one_of}{f'; its keys: {inside}' if inside else ''}"
        example = lines.get(key) or SHIPPED_BY_NONE.get(key, "")
        yield {"key": f"{before}{key}", "says": says, "example": example}


def _keys_inside(value: dict[str, Any], defs: dict[str, Any]) -> list[str]:
    """Return the keys of the table that a value is, or that it is a list of."""
    name = str(value.get("$ref") or value.get("items", {}).get("$ref", "")).rpartition("/")[2]
    table = defs[name] if name and name != "Step" else value
    return list(table.get("properties", ()))
