"""`paintbench schema`: what our files hold, for other programs. No shop's data is opened."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from bench.commands.core.console import Report
from bench.commands.core.plain_text import json_text
from bench.commands.subjects.data import SCHEMAS
from bench.records import json_form, plan_json
from bench.shop.data.file_schemas import shop_schema

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema(args: Namespace) -> Report:
    """Report the JSON Schema that was asked for; without a name, which there are."""
    if args.name is None:
        return Report({"schemas": SCHEMAS}, [f"  {name:<9} {of}" for name, of in SCHEMAS.items()])
    found = schema_of(args.name)
    return Report(found, json_text(found).splitlines())


def schema_of(name: str) -> dict[str, Any]:
    """Return one of SCHEMAS, with an id that names its version."""
    if name in ("sheet", "plan"):
        form = json_form if name == "sheet" else plan_json
        version, found = form.VERSION, form.schema()
    else:
        version, found = shop_schema(name)
    return {"$schema": DRAFT, "$id": f"urn:paintbench:{name}:{version}", **found}
