"""The schemas that are printed, held against every file we ship and write (JSON Schema, 2020-12)."""

from __future__ import annotations

import io
import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from bench.commands.reports.schemas import schema_of
from bench.commands.subjects.data import SCHEMAS
from bench.process.sheets.product import Product
from bench.records.as_json import sheet_json
from bench.shop.core.transaction import Shop
from bench.shop.data.backups import export_shop
from bench.shop.records.job_record import Sheet
from bench.shop.seeds import seed_files
from bench.shop.seeds.seed_files import Seeds
from bench.shop.seeds.seed_text import sheet_text
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from tests.conftest import WEDNESDAY

from .making import told

FOLDERS = {"product": "products", "route": "routes"}


def faults(name: str, document: Any) -> list[str]:
    """What a schema has against a document."""
    found = Draft202012Validator(schema_of(name)).iter_errors(document)
    return [f"{'/'.join(map(str, fault.absolute_path))}: {fault.message[:200]}" for fault in found]


@pytest.mark.parametrize("name", SCHEMAS)
def test_each_is_a_schema_whose_id_names_its_version(name: str) -> None:
    schema = schema_of(name)
    Draft202012Validator.check_schema(schema)
    assert schema["$id"].startswith(f"urn:paintbench:{name}:")
    assert schema["$id"].rsplit(":", 1)[1].isdigit()
    assert schema["additionalProperties"] is False


@pytest.mark.parametrize("name", FOLDERS)
def test_every_shipped_file_fits_and_so_does_how_the_shop_prints_it(
    name: str, seeds: Seeds
) -> None:
    files = sorted((seed_files.folder() / FOLDERS[name]).glob("*.toml"))
    sheets: dict[str, Any] = getattr(seeds, FOLDERS[name])
    assert {file.stem for file in files} == set(sheets)
    for text in (*map(Path.read_text, files), *map(sheet_text, sheets.values())):
        assert faults(name, tomllib.loads(text)) == [], text.splitlines()[:3]


@pytest.mark.parametrize(
    ("name", "changes", "against"),
    [
        ("product", {"color": "red"}, "'color' was unexpected"),
        ("product", {"kind": "paint"}, "'paint' is not one of"),
        ("product", {"induction": 600}, "600 is not of type 'string'"),
        ("product", {"induction": "600"}, "'600' does not match"),
        ("product", {"film": {"least": "8 um"}}, "'target' is a required property"),
        ("product", {"pot_life": "4 h"}, "'4 h' is not of type 'object'"),
        ("product", {"band": [{"until": "4 h"}]}, "'is' is a required property"),
        ("product", {"ratio": {"base": 4, "glue": 1}}, "'glue' was unexpected"),
        ("product", {"key": "etch-primer"}, "'key' was unexpected"),
        ("route", {"step": [{"name": "Wash", "kind": "rinse"}]}, "'rinse' is not one of"),
        ("route", {"step": [{"name": "Wash", "kind": "work", "least_s": 3}]}, "'least_s' was unexp"),
    ],
)  # fmt: skip
def test_what_the_shop_would_not_read_does_not_fit_either(
    name: str, changes: dict[str, Any], against: str, seeds: Seeds
) -> None:
    sheet = seeds.products["etch-primer"] if name == "product" else seeds.routes["zinc-new"]
    document = tomllib.loads(sheet_text(sheet))
    assert any(against in fault for fault in faults(name, {**document, **changes}))
    kind = Product if name == "product" else type(sheet)
    text = "\n".join([*_lines(document, changes), *_toml(changes)])
    with pytest.raises(seed_files.BadSeed):
        seed_files.read_one(text, "sheet", kind, lambda _: None)


def _lines(document: dict[str, Any], changes: dict[str, Any]) -> list[str]:
    """The plain texts of a document that are not changed."""
    return [
        f"{key} = {json.dumps(value)}"
        for key, value in document.items()
        if isinstance(value, str) and key not in changes
    ]


def _toml(changes: dict[str, Any]) -> list[str]:
    """The changes as TOML writes them on one line each."""
    return [f"{key} = {_value(value)}" for key, value in changes.items()]


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value)


def test_a_record_of_everything_fits_and_has_no_field_more_or_less(sheet: Sheet) -> None:
    document = json.loads(sheet_json(sheet))
    assert faults("sheet", document) == []
    assert faults("sheet", {**document, "version": 1}) == ["version: 2 was expected"]
    del document["sheet"]["steps"][0]["faces"]
    document["sheet"]["price"] = 12
    found = faults("sheet", document)
    assert any("'faces' is a required property" in fault for fault in found)
    assert any("'price' was unexpected" in fault for fault in found)


def test_the_demo_s_export_and_all_its_records_fit(demo_file: Path) -> None:
    shop = Shop(open_store(str(demo_file)), ManualClock(WEDNESDAY), "demo")
    text = io.StringIO()
    assert export_shop(shop, text) is None
    document = json.loads(text.getvalue())
    assert faults("export", document) == []
    assert faults("export", {**document, "sum": "x"}) == [
        "sum: 'x' does not match '^[0-9a-f]{64}$'"
    ]
    assert faults("export", {**document, "tables": {}})
    for row in document["tables"]["part"]:
        assert faults("sheet", json.loads(sheet_json(told(shop, row["tag"])))) == []
    shop.store.close()
