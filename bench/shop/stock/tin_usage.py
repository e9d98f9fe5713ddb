"""What is poured is taken from tins: by a mix, by topping up, and by a coat that is not mixed.

A shop that lists no tins is never held up and hears nothing of them.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime, tzinfo
from typing import Any

from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.shopping import need_of
from bench.process.stock.tins import (
    Tin,
    TinPlan,
    TinPour,
    end_of_day,
    last_day,
    opened_life_s,
    plan_mix,
    plan_notes,
    pours_for,
)
from bench.shop.core.mappers import of_columns, shapes_of
from bench.shop.core.overrides import overrides_of
from bench.shop.core.transaction import Transaction
from bench.store.databases.database import Session
from bench.store.queries import tin_rows
from bench.store.schema.tables import MixRow, StepRow, TinRow

PourData = dict[str, Any]
"""One entry of a pot's or a coat's tins: {"id", "ml"}; of a pot also the role it was poured as, and
"against" where the tin was out of date."""


def tin_of(row: TinRow, products: Mapping[str, Product], zone: tzinfo) -> Tin:
    """Give a tin as plain values, its use-by in the shop's zone."""
    product = products.get(row.product)
    return of_columns(
        Tin,
        row,
        number=row.id or 0,
        name=product.name if product else row.product,
        use_by=row.use_by and end_of_day(last_day(row.use_by.astimezone(zone)), zone),
        opened_life_s=opened_life_s(product, row.role) if product else None,
        guessed=bool(product and product.doubt_of("opened_life_s")),
    )


def tins_listed(
    session: Session, products: Mapping[str, Product], zone: tzinfo, product: str = ""
) -> tuple[Tin, ...]:
    """List the tins that are not empty, of one product if it is named."""
    rows = tin_rows.tins_listed(session, product)
    return tuple(tin_of(row, products, zone) for row in rows)


def tins_of_coat(
    session: Session, part: Part, products: Mapping[str, Product], zone: tzinfo
) -> tuple[Tin, ...]:
    """List the tins that the part's next coat is taken from; none where it comes out of a pot."""
    record = part.current()
    product = products.get(record.step.product) if record and record.step.kind == "coat" else None
    if product is None or product.ratio is not None or product.keeps_a_pot_clock:
        return ()
    return tins_listed(session, products, zone, product.key)


def plan_of(
    session: Session,
    products: Mapping[str, Product],
    zone: tzinfo,
    product: Product,
    amounts_ml: Mapping[str, float],
    at: datetime,
    numbers: Collection[int] = (),
) -> TinPlan | Refusal:
    """Plan which tins a mix is poured from. amounts_ml: by role; {"": 0} for a can activated."""
    tins = tins_listed(session, products, zone)
    if product.ratio is None:
        # A can that was activated before is a pot of its own by now.
        tins = tuple(tin for tin in tins if tin.opened_at is None) or tins
    thinners = {key for key, sheet in products.items() if sheet.kind == "thinner"}
    plan = plan_mix(tins, product.key, thinners, amounts_ml, at, numbers)
    if isinstance(plan, Refusal) or tins or tin_rows.any_tin(session):
        return plan
    return TinPlan()


def take_for_mix(
    act: Transaction,
    row: MixRow,
    product: Product,
    products: Mapping[str, Product],
    amounts_ml: Mapping[str, float],
    when: datetime,
    numbers: Sequence[int],
    override: Override | None,
    also: Sequence[Refusal] = (),
) -> tuple[str, ...] | Refusal:
    """Take what is poured into a pot from its tins; the rules that were overridden, for the log.

    A tin that is out of date is refused unless there is a reason, which stays with the pot.
    also: what else is in the way.
    """
    zone = act.house.hours.zone
    plan = plan_of(act.session, products, zone, product, amounts_ml, when, numbers)
    if isinstance(plan, Refusal):
        return plan
    against = plan.against(when)
    rules = [*also, *(refused for _, refused in against)]
    overridden_rules = overrides_of(act, rules, override, ())
    if isinstance(overridden_rules, Refusal):
        return overridden_rules
    of_tins = overridden_rules[len(also) :]
    words_by_tin = {tin.number: words for (tin, _), words in zip(against, of_tins, strict=True)}
    entries: list[PourData] = []
    for role, pour in plan.taken:
        entry: PourData = {"id": pour.tin.number, "ml": round(pour.ml, 1), "role": role}
        if pour.tin.number in words_by_tin:
            entry["against"] = words_by_tin[pour.tin.number]
        entries.append(entry)
        _pour(act.session, pour, when)
    row.tins = [*row.tins, *entries]
    act.notes += plan_notes(plan)
    return overridden_rules


def take_for_coat(
    act: Transaction,
    row: StepRow,
    part: Part,
    record: StepRecord,
    products: Mapping[str, Product],
    when: datetime,
) -> None:
    """Take what a coat that is not mixed needs from its tin or can: what it needs by the figures.

    A build that continues its mist takes no more. Where nothing says how much, only which tin.
    """
    product = products.get(record.step.product)
    if product is None or product.ratio is not None:
        return
    tins = tins_listed(act.session, products, act.house.hours.zone, product.key)
    if product.keeps_a_pot_clock:
        pots = tin_rows.pots_of_coats(act.session, [row]).values()
        cans = {can["id"] for pot in pots for can in pot.tins}
        tins = tuple(tin for tin in tins if tin.number in cans)
    if not tins:
        return
    begins = part.coat_begun_with(record) is record
    need = need_of(part, record, products, shapes_of(act.session)) if begins else None
    pours = pours_for(tins, need.ml.get("", 0.0) if need else 0.0, when)
    row.tins = [{"id": pour.tin.number, "ml": round(pour.ml, 1)} for pour in pours]
    for pour in pours:
        _pour(act.session, pour, when)
    act.notes += plan_notes(TinPlan(tuple(("", pour) for pour in pours)))


def _pour(session: Session, pour: TinPour, when: datetime) -> None:
    """The lid is lifted, and so much less is in it: its clock starts when it is first lifted."""
    row = session.get(TinRow, pour.tin.number)
    assert row is not None
    row.left_ml = max(round(row.left_ml - pour.ml, 1), 0.0)
    row.opened_at = when if row.opened_at is None else min(row.opened_at, when)


def bin_cans(act: Transaction, pot: MixRow, left_ml: float | None) -> None:
    """Bin a can that was activated with its pot. left_ml: what was left in it, if measured."""
    for row in tin_rows.tins_numbered(act.session, [pour["id"] for pour in pot.tins]).values():
        row.left_ml = row.left_ml if left_ml is None else min(left_ml, row.size_ml)
        row.empty_at = row.empty_at or act.now
        act.notes.append(f"tin {row.id} is binned with it")


def pours_of_lot(pours: Sequence[PourData]) -> list[PourData]:
    """Give the same tins for pieces that leave a lot: their paint was counted with the lot."""
    return [{**entry, "ml": 0.0} for entry in pours]
