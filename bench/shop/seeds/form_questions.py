"""What a form asks for a product, a route or a step: one question for each key of its text.

Keys, units, choices and what they say come from the schema of the file, so that form, text and
schema are one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from bench import units
from bench.process.safety.hazards import NAMES
from bench.process.sheets.layers import surface_words
from bench.process.sheets.measurement_kinds import KINDS
from bench.process.sheets.product import FIGURES, Product
from bench.process.sheets.route import Route
from bench.shop.core.bench_view import BenchView
from bench.shop.seeds.file_schema import MEANINGS, file_schema
from bench.shop.seeds.seed_files import surfaces_of
from bench.shop.seeds.seed_values import (
    BAND_QUANTITIES,
    BY_ROLE,
    PAIRS,
    QUANTITIES,
    SPELLED,
    TIME_TABLES,
)
from bench.trade.mixing import ROLES

Kind = Literal[
    "text", "texts", "choice", "yes", "figure", "time", "times", "until", "table", "rows", "limits"
]

TIN = "tin"
"""Of a product that is not mixed, the one thing that comes in a tin."""

LABELS = {
    "least": "min",
    "most": "max",
    "in_all": "max, of all coats",
    "of": "percent of",
    "by": "parts by",
    "over": "goes over",
    "metal_least": "surface, min",
    "metal_most": "surface, max",
    "rh_least": "humidity, min",
    "rh_most": "humidity, max",
    "rh_stall": "humidity over which it stops drying",
    "dew_margin": "margin above dew point",
    "band": "recoat window",
    "is": "what it is",
    "until": "until",
    "until_damp": "until, in damp air",
    "damp_over": "damp air is over",
    "exact": "exact, cold or warm",
    "tick": "ticked one by one",
    "accept": "limits of readings",
    "measure": "to be measured",
    "hold_point": "hold point",
    "step": "steps",
}
"""What a painter reads where the key itself is not plain."""


@dataclass(frozen=True)
class Question:
    """One question.

    says: what the key means; unit: Pint's name of it; choices: what it can be; parts: the
    questions of a table, or of each row.
    """

    key: str
    says: str
    kind: Kind
    must: bool = False
    unit: str = ""
    choices: tuple[str, ...] = ()
    parts: tuple[Question, ...] = ()

    @property
    def label(self) -> str:
        """Return its key in plain words."""
        return LABELS.get(self.key, self.key.replace("_", " "))


FIGURE_KEYS = tuple(SPELLED.get(field, field) for field in FIGURES)
"""The keys of a product that a data sheet has figures for."""

BY_ITSELF = ("source", "placeholder")
"""Keys that follow from what is answered to the others."""


@cache
def form_questions(form: Literal["product", "route"]) -> tuple[Question, ...]:
    """Return the questions of a product or a route, in the order of its text."""
    schema = file_schema(Product if form == "product" else Route)
    return tuple(q for q in _questions(schema, "", schema["$defs"]) if q.key not in BY_ITSELF)


def _questions(entry: Mapping[str, Any], table: str, defs: Mapping[str, Any]) -> Iterator[Question]:
    must = entry.get("required", ())
    for key, value in entry["properties"].items():
        yield _question(key, value, table, defs, must=key in must)


def _question(
    key: str, value: Mapping[str, Any], table: str, defs: Mapping[str, Any], *, must: bool
) -> Question:
    says = "" if table else MEANINGS[key]
    ref = str(value.get("$ref") or value.get("items", {}).get("$ref", "")).rpartition("/")[2]
    unit = _unit(key, table)
    choices = tuple(value.get("enum", ()))
    kind: Kind = "text"
    parts: tuple[Question, ...] = ()
    if key in TIME_TABLES:
        kind = "times"
    elif key in BY_ROLE and not table:
        kind = "table"
        part: Kind = "time" if BY_ROLE[key] == "second" else "figure"
        parts = tuple(Question(role, "", part, unit=BY_ROLE[key]) for role in (*ROLES, TIN))
    elif key == "accept":
        kind = "limits"
    elif ref in ("Band", "Step"):
        kind, parts = "rows", tuple(_questions(defs[ref], ref.lower() * (ref == "Band"), defs))
    elif ref or "properties" in value:
        kind, parts = "table", tuple(_questions(defs.get(ref, value), key, defs))
    elif choices:
        kind = "choice"
    elif value.get("type") == "boolean":
        kind = "yes"
    elif table == "band" and key == "until":
        kind = "until"
    elif unit:
        kind = "time" if unit == "second" else "figure"
    elif value.get("type") == "number":
        kind = "figure"
    elif value.get("type") == "array":
        kind = "texts"
    return Question(key, says, kind, must, unit, choices, parts)


def _unit(key: str, table: str) -> str:
    """Return the unit in which a key's quantity is kept; empty where it is none."""
    if table == "band":
        return BAND_QUANTITIES[key][1] if key in BAND_QUANTITIES else ""
    known = {**QUANTITIES.get(table, {}), **({} if table else PAIRS)}
    return known[key][1] if key in known else ""


def options_of(view: BenchView) -> dict[str, dict[str, str]]:
    """Return by key what there is to choose from in this shop: each as it is kept, with its name.

    None of these is typed.
    """
    products = {key: product.name for key, product in view.products.items()}
    surfaces = sorted(surfaces_of(view.routes.values(), view.products))
    kinds = dict.fromkeys(item.kind for item in view.equipment)
    return {
        "over": {surface: surface_words(surface, view.products) for surface in surfaces},
        "substrate": {s: surface_words(s, {}) for s in surfaces if s not in products},
        "product": products,
        "tool": {key: tool.name for key, tool in view.tools.items()},
        "hazards": {name: name for name in sorted(NAMES)},
        "equipment": {kind: kind for kind in kinds},
        "measure": {key: kind.name for key, kind in KINDS.items()},
    }


def value_words(question: Question, value: Any) -> str:
    """Say a value of the text in plain words, without quotes or braces; "-" where there is none.

    >>> value_words(Question("film", "", "table", parts=(Question("least", "", "figure"),)),
    ...             {"least": "40 um"})
    'min 40 um'
    >>> value_words(Question("pot_life", "", "times"), {"10 C": "8 h", "20 C": "4 h"})
    '8 h at 10 C, 4 h at 20 C'
    """
    if value is None or value in ("", [], {}):
        return "-"
    match question.kind:
        case "yes":
            return "yes" if value else "no"
        case "texts":
            return ", ".join(value)
        case "times" | "until" if isinstance(value, dict):
            return ", ".join(f"{time} at {temperature}" for temperature, time in value.items())
        case "limits":
            return ", ".join(f"{kind} {least} to {most}" for kind, (least, most) in value.items())
        case "rows":
            return "; ".join(row_words(question, row) for row in value)
        case "table":
            return parts_words(question.parts, value)
    return f"{value:g}" if isinstance(value, float) else str(value)


def parts_words(parts: tuple[Question, ...], table: Mapping[str, Any]) -> str:
    """Say those of a table's parts that have a value."""
    there = (part for part in parts if part.key in table)
    return ", ".join(f"{part.label} {value_words(part, table[part.key])}" for part in there)


def row_words(question: Question, row: Mapping[str, Any]) -> str:
    """Say one row of several: a step by its name, a band of a window by its word and its end."""
    if "name" in row:
        return " ".join(filter(None, [row["name"], f"({row.get('kind', '-')})"]))
    first, *others = question.parts
    words = value_words(first, row.get(first.key))
    return f"{words} {parts_words(tuple(others), row)}".strip()


def shown_unit(unit: str) -> str:
    """Return how a unit of Pint's is shown, as the screens' numbers name it.

    >>> shown_unit("micrometre"), shown_unit("delta_degC")
    ('um', 'degrees C')
    """
    return next((shown for shown, name in units.PINT.items() if name == unit), unit)
