"""How much paint this shop's coats took, out of its pots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from bench.process.parts.part import Part, StepRecord
from bench.process.sheets.product import Product
from bench.process.sheets.route import Shape, tool_key
from bench.process.stock.paint_use import PaintUse, Uses, own_uses
from bench.process.stock.shopping import need_of, table_transfer_pct
from bench.shop.core.mappers import part_of
from bench.store.databases.database import Session
from bench.store.queries import bench_rows, tin_rows
from bench.store.schema.tables import MixRow, StepRow

PAST_POTS = 200
"""So many of the newest pots say how much a coat takes."""

Coat = tuple[Part, StepRecord]
"""A part, and the step that a whole coat of it begins with: a mist and its build are one."""


def uses_of(
    session: Session,
    products: Mapping[str, Product],
    shapes: Mapping[str, Shape],
    product: str = "",
) -> Uses:
    """Give what the shop's own pots say lands; of one product if it is named."""
    return own_uses(_uses(session, products, shapes, product))


def _uses(
    session: Session, products: Mapping[str, Product], shapes: Mapping[str, Shape], product: str
) -> Iterator[PaintUse]:
    pots = {pot.id: pot for pot in tin_rows.pots_binned(session, PAST_POTS, product)}
    steps = tin_rows.coats_begun_with(session, list(pots.values())) if pots else []
    coats = _whole_coats(session, steps)
    for numbers, group in _sharing(coats):
        group_pots = [pots[number] for number in numbers if number in pots]
        if len(group_pots) == len(numbers) and (use := _use(group_pots, group, products, shapes)):
            yield use


def _whole_coats(session: Session, steps: list[StepRow]) -> list[tuple[Coat, frozenset[int], bool]]:
    """Give each whole coat, the pots it came from, and whether all of it is finished."""
    if not steps:
        return []
    rows = tin_rows.parts_of_coats(session, steps)
    steps_by_part = bench_rows.steps_of(session, list(rows.values()))
    coats = []
    for number, row in rows.items():
        part = part_of(row, steps_by_part[number])
        by_first: dict[int, tuple[StepRecord, set[int], bool]] = {}
        for step, record in zip(steps_by_part[number], part.steps, strict=True):
            if not step.pots() or record.step.kind != "coat":
                continue
            first = part.coat_begun_with(record)
            _, numbers, done = by_first.setdefault(first.number, (first, set(), True))
            numbers |= set(step.pots())
            by_first[first.number] = first, numbers, done and record.status == "done"
        coats += [((part, first), frozenset(n), done) for first, n, done in by_first.values()]
    return coats


def _sharing(
    coats: list[tuple[Coat, frozenset[int], bool]],
) -> Iterator[tuple[frozenset[int], list[Coat]]]:
    """Yield pots that have coats in common, with all their coats, where each is finished."""
    groups: list[tuple[frozenset[int], list[Coat], bool]] = []
    for coat, numbers, done in coats:
        joined = [group for group in groups if group[0] & numbers]
        groups = [group for group in groups if not group[0] & numbers]
        of_all, is_done = [coat], done
        for other, others, others_done in joined:
            numbers, of_all, is_done = numbers | other, others + of_all, is_done and others_done
        groups.append((numbers, of_all, is_done))
    yield from (
        (numbers, each)
        for numbers, each, done in sorted(groups, key=lambda group: -max(group[0]))
        if done
    )


def _use(
    pots: list[MixRow],
    coats: list[Coat],
    products: Mapping[str, Product],
    shapes: Mapping[str, Shape],
) -> PaintUse | None:
    """Give what some pots gave; None where it was not measured or cannot be calculated."""
    keys = {pot.product for pot in pots}
    tools = {tool_key(record.step, products.get(record.step.product)) for _, record in coats}
    measured = all(pot.total_ml and pot.binned_ml is not None for pot in pots)
    if len(keys) != 1 or len(tools) != 1 or not measured:
        return None
    used_ml = sum((pot.total_ml or 0.0) - (pot.binned_ml or 0.0) for pot in pots)
    calculated_ml = landed_ml = 0.0
    (key,), (tool,) = keys, tools
    for part, record in coats:
        need = need_of(part, record, products, shapes)
        product, shape = products.get(record.step.product), shapes.get(part.shape)
        if need.unknown or product is None or product.film is None or shape is None:
            return None
        films = [r.dry_um for r in part.steps if part.coat_begun_with(r) is record and r.dry_um]
        times = films[-1] / product.film.target_um if films else 1.0
        ml = times * sum(need.ml.values())
        calculated_ml += ml
        landed_ml += ml * table_transfer_pct(tool, shape.like) / 100
    if used_ml <= 0 or calculated_ml <= 0:
        return None
    return PaintUse(key, tool, used_ml, calculated_ml, landed_ml)


def left_in_pots(
    session: Session, products: Mapping[str, Product], shapes: Mapping[str, Shape], uses: Uses
) -> dict[str, float]:
    """Estimate what is left in each open pot in ml, by its letter: mixed, less what its coats took.

    A coat out of several pots took as much of each. A pot is left out where nobody can know it.
    """
    pots = {pot.id: pot for pot in bench_rows.open_pots(session)}
    left_ml = {pot.id: pot.total_ml for pot in pots.values() if pot.total_ml is not None}
    steps = tin_rows.coats_from_pots(session, list(pots.values())) if pots else []
    for (part, record), numbers, _ in _whole_coats(session, steps):
        need = need_of(part, record, products, shapes, uses)
        for number in numbers & left_ml.keys():
            if need.unknown:
                del left_ml[number]
            else:
                left_ml[number] -= sum(need.ml.values()) / len(numbers)
    return {pots[number].letter: max(ml, 0.0) for number, ml in left_ml.items()}
