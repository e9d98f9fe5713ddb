"""The JSON Schemas of the files that a shop reads and writes, but for the job record's."""

from __future__ import annotations

from typing import Any

from bench.process.sheets.product import Product
from bench.process.sheets.route import Route
from bench.shop.seeds.file_schema import VERSION, file_schema
from bench.store.copies import exchange
from bench.store.schema.migrations import newest


def shop_schema(name: str) -> tuple[int, dict[str, Any]]:
    """Return the version and the schema of "export", "product" or "route"."""
    if name == "export":
        return newest(), exchange.export_schema()
    return VERSION, file_schema(Product if name == "product" else Route)
