"""A product's sheet or a route as text: shown, or typed over from a file."""

from __future__ import annotations

import sys
from pathlib import Path

from bench.commands.call import Call
from bench.commands.plain import shown, write_json
from bench.process.refusal import Refusal
from bench.shop.acting import Done
from bench.shop.rows import as_json
from bench.shop.seed_text import sheet_text
from bench.shop.sheets import MOST_TEXT, set_product, set_route
from bench.shop.sight import look


def product(call: Call) -> Refusal | None:
    """Write a product's sheet as TOML."""
    return _write(call, "product")


def route(call: Call) -> Refusal | None:
    """Write a route as TOML."""
    return _write(call, "route")


def _write(call: Call, what: str) -> Refusal | None:
    view = look(call.shop)
    things = view.products if what == "product" else view.routes
    found = things.get(call.args.key)
    if found is None:
        return Refusal(f"no {what} '{call.args.key[:40]}'", "", f"one of {', '.join(things)}")
    if call.args.json:
        write_json(call.out, {what: as_json(found)})
        return None
    for text in sheet_text(found).splitlines():
        call.out.write(f"{shown(text)}\n")
    return None


def typed_product(call: Call, by: str) -> Done | Refusal:
    """Type a product's sheet over from a file."""
    text = _text(call.args.file)
    return text if isinstance(text, Refusal) else set_product(call.shop, by, call.args.key, text)


def typed_route(call: Call, by: str) -> Done | Refusal:
    """Type a route over from a file."""
    text = _text(call.args.file)
    return text if isinstance(text, Refusal) else set_route(call.shop, by, call.args.key, text)


def _text(file: str) -> str | Refusal:
    """The file, or standard input for "-"; no more of it than a sheet may have."""
    try:
        if file == "-":
            return sys.stdin.read(MOST_TEXT + 1)
        with Path(file).open(encoding="utf-8-sig") as text:
            return text.read(MOST_TEXT + 1)
    except (OSError, ValueError) as fault:
        return Refusal(f"{file[:80]} cannot be read", str(fault)[:80], "a UTF-8 text file")
