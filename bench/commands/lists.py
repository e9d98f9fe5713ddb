"""Commands that only read: the bench, the journal, the lists with their keys, the check."""

from __future__ import annotations

from typing import Any

from bench.commands.call import Call
from bench.commands.plain import cut, shown, write_json, write_line
from bench.commands.status import bench_data, iso
from bench.commands.table import bench_lines
from bench.process.mixing import ratio_words
from bench.process.partsheet import JournalLine
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.route import Route, Shape
from bench.process.spoken import clock_words
from bench.shop.data import check
from bench.shop.journal import lines
from bench.shop.sight import look


def status(call: Call) -> Refusal | None:
    """The whole bench."""
    view, now = look(call.shop), call.shop.clock.now()
    if call.args.json:
        write_json(call.out, bench_data(view, now))
        return None
    for line in bench_lines(view, now):
        write_line(call.out, line)
    return None


def journal(call: Call) -> Refusal | None:
    """What was done, newest first."""
    if call.args.last < 1:
        return Refusal(f"the last {call.args.last} lines", "", "ask for one or more")
    args = call.args
    if args.since is not None and args.until is not None and args.until < args.since:
        return Refusal(f"from {args.since} to {args.until}", "", "the earlier day comes first")
    found = lines(call.shop, args.last, args.tag, since=args.since, until=args.until)
    if args.tag and not found:
        return Refusal(f"nothing in the journal about tag {args.tag[:40]}", "", "read it again")
    if call.args.json:
        clock = "wrong" if look(call.shop).doubtful else "ok"
        write_json(call.out, {"clock": clock, "journal": [line_data(line) for line in found]})
        return None
    view = look(call.shop)
    now = view.local(call.shop.clock.now())
    for line in found:
        at, painter = cut(clock_words(line.at, now), 13), cut(shown(line.painter), 10)
        undone = "  (undone)" if line.undone else ""
        least = "  (clock wrong: at least that hour)" if line.doubtful else ""
        write_line(call.out, f"{line.number:>6}  {at} {painter} {line.text}{undone}{least}")
    return None


def line_data(line: JournalLine) -> dict[str, Any]:
    """One line of the journal."""
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


def check_data(call: Call) -> Refusal | None:
    """Whether the data is whole and the bench shows what the journal says."""
    found = check(call.shop)
    if call.args.json:
        write_json(
            call.out, {"ok": not found.faults, "lines": found.lines, "faults": list(found.faults)}
        )
    else:
        for fault in found.faults:
            write_line(call.out, fault)
    if found.faults:
        return Refusal(
            "the data is not whole",
            f"{len(found.faults)} found",
            "keep this file; see paintbench backups",
        )
    if not call.args.json:
        told = f"the data is whole; {found.lines} lines of the journal replayed, the bench agrees"
        write_line(call.out, told)
    return None


def products(call: Call) -> Refusal | None:
    """Every product with its key."""
    found = look(call.shop).products
    if call.args.json:
        write_json(call.out, {"products": [_product_data(p) for p in found.values()]})
        return None
    for product in found.values():
        ratio = ratio_words(product.ratio) if product.ratio else ""
        source = "" if product.source == "sheet" else "placeholder"
        row = f"{cut(product.key, 18)} {cut(shown(product.name), 28)} {ratio:<28} {source}"
        write_line(call.out, row.rstrip())
    return None


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


def routes(call: Call) -> Refusal | None:
    """Every route with its key and steps."""
    found = look(call.shop).routes
    if call.args.json:
        write_json(call.out, {"routes": [_route_data(route) for route in found.values()]})
        return None
    for route in found.values():
        write_line(call.out, f"{cut(route.key, 18)} {cut(shown(route.name), 28)} {route.substrate}")
        for number, step in enumerate(route.steps, start=1):
            write_line(call.out, f"{number:>21}  {step.name}")
    return None


def _route_data(route: Route) -> dict[str, Any]:
    return {
        "key": route.key,
        "name": route.name,
        "substrate": route.substrate,
        "steps": [step.name for step in route.steps],
    }


def shapes(call: Call) -> Refusal | None:
    """Every shape with its key, faces and zones."""
    found = look(call.shop).shapes
    if call.args.json:
        write_json(call.out, {"shapes": [_shape_data(shape) for shape in found.values()]})
        return None
    for shape in found.values():
        faces = f"faces {' '.join(shape.faces)}"
        zones = f"; zones {' '.join(shape.zones)}" if len(shape.zones) > 1 else ""
        row = f"{cut(shape.key, 18)} {cut(shown(shape.name), 28)} {faces}{zones}"
        write_line(call.out, row)
    return None


def _shape_data(shape: Shape) -> dict[str, Any]:
    return {
        "key": shape.key,
        "name": shape.name,
        "faces": list(shape.faces),
        "zones": list(shape.zones),
        "area_m2": shape.area_m2,
    }
