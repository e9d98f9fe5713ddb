"""The bench, the log, the check, the lists with their keys, a product or a route as text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import cut, plain
from bench.commands.reports.bench_data import bench_data, iso
from bench.commands.reports.bench_text import bench_lines
from bench.process.parts.log_entry import LogEntry
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.route import Route, Shape
from bench.process.stock.mixing import TinRatio, ratio_doubt, ratio_words
from bench.process.wording.time_text import format_clock
from bench.shop.core.bench_view import read_bench
from bench.shop.core.json_form import as_json
from bench.shop.data.opening import check
from bench.shop.queries.log import log_page
from bench.shop.seeds.seed_text import sheet_text


def status(call: Call) -> Report:
    """Report the whole bench."""
    view, now = read_bench(call.shop), call.shop.clock.now()
    return Report(bench_data(view, now), bench_lines(view, now))


def journal(call: Call) -> Report | Refusal:
    """Report what was done, newest first."""
    args = call.args
    if args.last < 1:
        return Refusal(f"the last {args.last} lines", "", "ask for one or more")
    if args.since is not None and args.until is not None and args.until < args.since:
        return Refusal(f"from {args.since} to {args.until}", "", "the earlier day comes first")
    log = log_page(call.shop, args.last, args.tag, since=args.since, until=args.until)
    if args.tag and not log:
        return Refusal(f"nothing in the log about tag {args.tag[:40]}", "", "read it again")
    view = read_bench(call.shop)
    now = view.local(call.shop.clock.now())
    clock = "wrong" if view.doubtful else "ok"
    data = {"clock": clock, "journal": [line_data(line) for line in log]}
    return Report(data, (_line(line, now) for line in log))


def _line(line: LogEntry, now: datetime) -> str:
    at, painter = cut(format_clock(line.at, now, weekday=False), 13), cut(plain(line.painter), 10)
    undone = "  (undone)" if line.undone else ""
    least = "  (clock wrong: at least that hour)" if line.doubtful else ""
    return f"{line.number:>6}  {at} {painter} {line.text}{undone}{least}"


def line_data(line: LogEntry) -> dict[str, Any]:
    """Return an entry of the log."""
    return {
        "number": line.number,
        "at": iso(line.at),
        "action": line.action,
        "painter": line.painter,
        "terminal": line.terminal,
        "tag": line.tag or None,
        "text": line.text,
        "undone": line.undone,
        "undoes": line.undoes,
        "doubtful": line.doubtful,
    }


def check_data(call: Call) -> Report:
    """Report whether the data is whole and the bench shows what the journal says."""
    checked = check(call.shop)
    faults = list(checked.faults)
    rights = list(checked.rights)
    data = {"ok": not faults, "lines": checked.lines, "faults": faults, "rights": rights}
    if not faults:
        lines = f"{checked.lines} log entries replayed, the bench agrees"
        return Report(data, [f"the data is whole; {lines}", *rights])
    remedy = "keep this file; see paintbench backups"
    return Report(
        data, [*faults, *rights], Refusal("the data is not whole", f"{len(faults)} found", remedy)
    )


def products(call: Call) -> Report:
    """Report every product with its key."""
    view = read_bench(call.shop)
    products = view.products.values()
    data = {"products": [_product_data(product) for product in products]}
    return Report(data, (_product_line(product, view.tin_ratios) for product in products))


def _product_line(product: Product, tin_ratios: Mapping[str, TinRatio]) -> str:
    doubt = ratio_doubt(product, tin_ratios.get(product.key))
    ratio = f"{ratio_words(product.ratio)}{doubt}" if product.ratio else ""
    source = "placeholder" if product.doubt else ""
    row = f"{cut(product.key, 18)} {cut(plain(product.name), 28)} {ratio:<28} {source}"
    return row.rstrip()


def _product_data(product: Product) -> dict[str, Any]:
    return {
        "key": product.key,
        "name": product.name,
        "kind": product.kind,
        "source": product.source,
        "isocyanate": product.isocyanate,
        "ratio": {share.role: share.parts for share in product.ratio.shares}
        if product.ratio
        else None,
        "by": product.ratio.by if product.ratio else None,
        "keeps_a_pot_clock": product.keeps_a_pot_clock,
    }


def routes(call: Call) -> Report:
    """Report every route with its key and steps."""
    routes = read_bench(call.shop).routes.values()
    data = {"routes": [_route_data(route) for route in routes]}
    return Report(data, (line for route in routes for line in _route_lines(route)))


def _route_lines(route: Route) -> Iterator[str]:
    yield f"{cut(route.key, 18)} {cut(plain(route.name), 28)} {route.substrate}"
    for number, step in enumerate(route.steps, start=1):
        yield f"{number:>21}  {step.name}"


def _route_data(route: Route) -> dict[str, Any]:
    return {
        "key": route.key,
        "name": route.name,
        "substrate": route.substrate,
        "steps": [step.name for step in route.steps],
    }


def shapes(call: Call) -> Report:
    """Report every shape with its key, faces and zones."""
    shapes = read_bench(call.shop).shapes.values()
    data = {"shapes": [_shape_data(shape) for shape in shapes]}
    return Report(data, (_shape_line(shape) for shape in shapes))


def _shape_line(shape: Shape) -> str:
    faces = f"faces {' '.join(shape.faces)}"
    zones = f"; zones {' '.join(shape.zones)}" if len(shape.zones) > 1 else ""
    return f"{cut(shape.key, 18)} {cut(plain(shape.name), 28)} {faces}{zones}"


def _shape_data(shape: Shape) -> dict[str, Any]:
    return {
        "key": shape.key,
        "name": shape.name,
        "faces": list(shape.faces),
        "zones": list(shape.zones),
        "area_m2": shape.area_m2,
    }


def product(call: Call) -> Report | Refusal:
    """Report a product's sheet as TOML."""
    return _as_text("product", call.args.key, read_bench(call.shop).products)


def route(call: Call) -> Report | Refusal:
    """Report a route as TOML."""
    return _as_text("route", call.args.key, read_bench(call.shop).routes)


def _as_text(
    kind: str, key: str, by_key: Mapping[str, Product] | Mapping[str, Route]
) -> Report | Refusal:
    sheet = by_key.get(key)
    if sheet is None:
        return Refusal(f"no {kind} '{key[:40]}'", "", f"one of {', '.join(by_key)}")
    return Report({kind: as_json(sheet)}, sheet_text(sheet).splitlines())
