"""How much paint a coat takes: area, film and solids, and what lands of it by the tool in hand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bench.process.mixing import ratio_with_thinner
from bench.process.part import Part, StepRecord
from bench.process.product import Product
from bench.process.refusal import Refusal
from bench.process.route import Shape
from bench.trade.film import litres, transfer
from bench.trade.mixing import for_total

LIKE_TOOLS = {"low-volume": "hvlp", "mini-gun": "hvlp"}
"""Tools without a figure of their own for what lands, and the one they are reckoned as."""

REFERENCE_ML = 1000.0


@dataclass(frozen=True)
class Need:
    """What one coat takes, in ml of each part of its product; "" where nothing is mixed.

    guessed: it rests on a placeholder. unknown: why it cannot be reckoned; ml is empty then.
    """

    tag: str
    product: str
    ml: Mapping[str, float]
    guessed: bool = False
    unknown: str = ""


def coats_to_come(part: Part) -> tuple[StepRecord, ...]:
    """The coats of a part that are not begun; a mist and the build that continues it are one."""
    found: list[StepRecord] = []
    before: StepRecord | None = None
    for record in part.steps:
        if record.status == "struck":
            continue
        whole = not (record.step.continues and before is not None and before.status == "todo")
        if record.status == "todo" and record.step.kind == "coat" and whole:
            found.append(record)
        before = record
    return tuple(found)


def need_of(
    part: Part, record: StepRecord, products: Mapping[str, Product], shapes: Mapping[str, Shape]
) -> Need:
    """What a coat on all pieces of a part takes, losses counted for the least that lands."""
    key = record.step.product
    product, shape = products.get(key), shapes.get(part.shape)
    if product is None:
        return Need(part.tag, key, {}, unknown=f"no product '{key}'")
    if shape is None or shape.area_m2 is None:
        return Need(part.tag, key, {}, unknown="no area is known of its shape")
    tool = record.step.tool or product.tool
    try:
        by_role = _ml_by_role(product, shape.area_m2 * part.count, tool, shape.like)
    except ValueError as fault:
        return Need(part.tag, key, {}, unknown=str(fault))
    guessed = "placeholder" in (product.source, shape.source)
    return Need(part.tag, key, by_role, guessed)


def _ml_by_role(product: Product, area_m2: float, tool: str, like: str) -> dict[str, float]:
    """Raises ValueError with what is not known."""
    if product.film is None or product.volume_solids_pct is None:
        raise ValueError(f"{product.name}: no film or no volume solids on its sheet")
    ratio = ratio_with_thinner(product) if product.ratio else None
    if isinstance(ratio, Refusal):
        raise ValueError(str(ratio))
    shares = {"": 1.0}
    if ratio is not None:
        whole = for_total(ratio, REFERENCE_ML, product.densities or None)
        shares = {pour.role: pour.ml / whole.total_ml for pour in whole.pours}
    thinner = shares.get("thinner", 0.0)
    job = litres(
        area_m2,
        product.film.target_um,
        product.volume_solids_pct,
        100 * thinner / (1 - thinner),
        transfer(LIKE_TOOLS.get(tool, tool), like).least_pct,
    )
    return {role: share * job.mixed_l * 1000 for role, share in shares.items()}


def all_needs(
    parts: Iterable[Part], products: Mapping[str, Product], shapes: Mapping[str, Shape]
) -> tuple[Need, ...]:
    """What every coat still to come on some parts takes."""
    return tuple(
        need_of(part, record, products, shapes) for part in parts for record in coats_to_come(part)
    )
