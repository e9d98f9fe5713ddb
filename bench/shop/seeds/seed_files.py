"""Starting data that a painter can edit: TOML files of products, routes, shapes, tools, equipment.

A broken file is refused whole, with file, line and what would be right.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from operator import itemgetter
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter

from bench.process.safety.hazards import NAMES
from bench.process.sheets.product import BadSheet, Product, check_each, raise_each
from bench.process.sheets.product_rules import check_product
from bench.process.sheets.route import BARE_METALS, Route, Shape, SprayTool, Step, check_route
from bench.process.stock.equipment import EquipmentSheet
from bench.shop.seeds.seed_values import build, spelled
from bench.shop.seeds.toml_lines import Place, line_of

T = TypeVar("T")

SUBSTRATES = (*BARE_METALS, "old-paint")
"""Bare surfaces the shipped products name in ``over``; a route may bring another."""


class BadSeed(ValueError):
    """A seed file cannot be used. The message names file, line and what would be right.

    each: one message for every fault of the file; str() joins them.
    """

    def __init__(self, *each: str) -> None:
        super().__init__("; and ".join(each))
        self.each = each


@dataclass(frozen=True)
class Seeds:
    """Everything a new shop starts with, each by its key."""

    products: dict[str, Product]
    routes: dict[str, Route]
    shapes: dict[str, Shape]
    tools: dict[str, SprayTool]
    equipment: dict[str, EquipmentSheet]


def folder() -> Path:
    """Find the folder of the seeds: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent.parent
    inside = package / "seeds"
    return inside if inside.is_dir() else package.parent / "seeds"


def load(root: Path) -> Seeds:
    """Read and check every seed file under ``root``. Raises BadSeed."""
    tools = _read_list(root / "tools.toml", "tool", SprayTool)
    shapes = _read_list(root / "shapes.toml", "shape", Shape)
    equipment = _read_list(root / "equipment.toml", "equipment", EquipmentSheet)
    products = _read_each(root / "products", Product)
    all_routes = _read_each(root / "routes", Route)
    routes = dict(sorted(all_routes.items(), key=lambda entry: entry[1].seldom))
    for number, shape in enumerate(shapes.values()):
        with _naming_file(root / "shapes.toml"):
            _check_shape(shape, ("shape", number))
    seeds = Seeds(products, routes, shapes, tools, equipment)
    for product in products.values():
        with _naming_file(root / "products" / f"{product.key}.toml"):
            check_in_shop(product, seeds)
    for route in routes.values():
        with _naming_file(root / "routes" / f"{route.key}.toml"):
            check_in_shop(route, seeds)
    return seeds


def shipped_product(key: str) -> Product | None:
    """Read a product as the program came with it; None where it came with none of that key."""
    file = folder() / "products" / f"{key}.toml"
    return build({**read_toml(file), "key": key}, TypeAdapter(Product)) if file.is_file() else None


def check_in_shop(sheet: Product | Route, shop: Seeds) -> None:
    """Raise BadSheet where a product or route contradicts itself or names what is not there."""
    if isinstance(sheet, Product):
        substrates = (route.substrate for route in shop.routes.values())
        surfaces = {*SUBSTRATES, *substrates, *shop.products}
        check_each(
            partial(check_product, sheet),
            partial(_check_hazards, sheet),
            partial(_check_over, sheet, surfaces),
            partial(_check_tool, sheet, shop.tools),
        )
    else:
        check_each(
            partial(check_route, sheet, shop.products, shop.tools),
            *(
                partial(_check_hazards, step, ("steps", number))
                for number, step in enumerate(sheet.steps)
            ),
            partial(_check_cures, sheet, shop.products),
            partial(_check_equipment, sheet, {item.kind for item in shop.equipment.values()}),
        )


def read_one(text: str, key: str, kind: type[T], check: Callable[[T], None]) -> T:
    """Read one product or route from its TOML text. Raises BadSeed with the line."""
    table = _toml(text, key)
    with told_in(text, key):
        if "key" in table:
            raise BadSheet(("key",), f"leave out 'key': it is '{key}' already")
        return build({**table, "key": key}, TypeAdapter(kind), check=check)


def read_toml(file: Path) -> dict[str, Any]:
    """Read the file's content. Raises BadSeed with the line when it is not TOML."""
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
        problem = f"not TOML: {why}; write key = value, text in quotes"
        raise BadSeed(f"{where}:{line}: {problem}") from fault
    except RecursionError as fault:
        problem = "brackets in brackets without end; lists are at most three deep"
        raise BadSeed(f"{where}: {problem}") from fault
    except ValueError as fault:
        raise BadSeed(f"{where}: a figure of thousands of digits; write a shorter one") from fault


def _text(file: Path) -> str:
    """utf-8-sig: some editors put a byte order mark before the first letter."""
    return file.read_text(encoding="utf-8-sig")


def _read_each(where: Path, kind: type[T]) -> dict[str, T]:
    """One file a thing; the file's name is its key."""
    adapter = TypeAdapter(kind)
    things_by_key: dict[str, T] = {}
    for file in sorted(where.glob("*.toml")):
        table = read_toml(file)
        with _naming_file(file):
            if "key" in table:
                raise BadSheet(("key",), f"leave out 'key': the file's name is '{file.stem}'")
            things_by_key[file.stem] = build({**table, "key": file.stem}, adapter)
    if not things_by_key:
        raise BadSeed(f"{where}: no .toml files; the seeds of the program are missing")
    return things_by_key


def _read_list(file: Path, name: str, kind: type[T]) -> dict[str, T]:
    """A file of ``[[name]]`` entries, kept in the order they are offered."""
    table = read_toml(file)
    entries = table.pop(name, None)
    if not isinstance(entries, list) or not entries:
        raise BadSeed(f"{file}:1: no [[{name}]] in this file; each entry starts with [[{name}]]")
    adapter = TypeAdapter(kind)
    things_by_key: dict[str, T] = {}
    with _naming_file(file):
        for key in table:
            raise BadSheet(
                (key,), f"'{key}' does not belong here; there are only [[{name}]] entries"
            )
        for number, entry in enumerate(entries):
            value = build(entry, adapter, (name, number))
            if entry["key"] in things_by_key:
                problem = f"a second {name} '{entry['key']}'; each needs a key of its own"
                raise BadSheet((name, number, "key"), problem)
            things_by_key[entry["key"]] = value
    return things_by_key


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


def _check_over(product: Product, surfaces: set[str]) -> None:
    """Raise BadSheet for each surface that is not there: it would never be found missing."""
    names = ", ".join(sorted(surfaces))
    raise_each(
        [
            BadSheet(("over", number), f"no surface or product '{surface}'; there are: {names}")
            for number, surface in enumerate(product.over)
            if surface not in surfaces
        ]
    )


def _check_tool(product: Product, tools: dict[str, SprayTool]) -> None:
    if product.tool and product.tool not in tools:
        problem = f"no tool '{product.tool}'; there are: {', '.join(sorted(tools))}"
        raise BadSheet(("tool",), problem)


def _check_hazards(sheet: Product | Step, here: Place = ()) -> None:
    """Raise BadSheet for each misspelt hazard: it would bring no caution."""
    names = ", ".join(sorted(NAMES))
    raise_each(
        [
            BadSheet((*here, "hazards", number), f"no hazard '{name}'; there are: {names}")
            for number, name in enumerate(sheet.hazards)
            if name not in NAMES
        ]
    )


def _check_cures(route: Route, products: dict[str, Product]) -> None:
    """The last coat needs a full-cure time, or a part on this route would never be CURED."""
    coats = [(n, step.product) for n, step in enumerate(route.steps) if step.kind == "coat"]
    number, key = coats[-1] if coats else (0, "")
    if key in products and not products[key].full_cure:
        problem = f"the last coat, '{key}', has no full_cure in its file: it would never be CURED"
        raise BadSheet(("steps", number, "product"), problem)


def _check_equipment(route: Route, kinds: set[str]) -> None:
    """What a step needs has to be there: of a misspelt kind none would ever be taken.

    A shop that wrote nothing down yet cannot say what is misspelt.
    """
    there = ", ".join(sorted(kinds))
    raise_each(
        [
            BadSheet(
                ("steps", number, "equipment", place),
                f"no equipment of the kind '{kind}'; there are: {there}",
            )
            for number, step in enumerate(route.steps)
            for place, kind in enumerate(step.equipment)
            if kinds and kind not in kinds
        ]
    )


# --- which line a fault is on --------------------------------------------------------------------


@contextmanager
def _naming_file(file: Path) -> Iterator[None]:
    """Turn a BadSheet inside into a BadSeed with the file and the line it points at."""
    try:
        yield
    except BadSheet as fault:
        raise _seed_of(fault, _text(file), str(file)) from fault


@contextmanager
def told_in(text: str, where: str) -> Iterator[None]:
    """Name a text that is no file in a fault, as ``_naming_file`` names a file."""
    try:
        yield
    except BadSheet as fault:
        raise _seed_of(fault, text, where) from fault


def _seed_of(faults: BadSheet, text: str, where: str) -> BadSeed:
    by_line = sorted(
        ((line_of(text, spelled(fault.where)), str(fault)) for fault in faults.each),
        key=itemgetter(0),
    )
    return BadSeed(*(f"{where}:{line}: {words}" for line, words in by_line))
