"""The ratio of a placeholder, read off the tin by a painter before it is mixed."""

from __future__ import annotations

from collections.abc import Sequence

from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.stock.mixing import (
    MixStart,
    TinRatio,
    batches_of,
    differs_from,
    mix_for,
    ratio_doubt,
    ratio_with_roles,
    ratio_words,
)
from bench.process.stock.tins import TinPlan
from bench.shop.core.mappers import TIN_RATIOS, tin_ratios_of
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.stock.tin_usage import plan_of
from bench.store.schema.tables import SettingRow


def confirm_ratio(
    shop: Shop,
    product: str,
    by: str,
    *,
    says: str,
    known: MixStart,
    thinner_pct: float | None = None,
    tins: Sequence[int] = (),
) -> Outcome | Refusal:
    """Write down that the tins a mix would be poured from say the product's ratio.

    says: the ratio as the tin prints it; refused where it is another. known, thinner_pct, tins: of
    the mix, as in ``pots.mix``. It holds for these batches until the product's ratio changes.
    """
    with shop.act("tin ratio", by) as act:
        sheet = act.products.get(product)
        if sheet is None:
            return Refusal(f"no product '{product[:40]}'", "", f"one of {', '.join(act.products)}")
        differs = differs_from(sheet, says)
        if differs is not None:
            return differs
        plan = _plan(act, sheet, known, thinner_pct, tins)
        if isinstance(plan, Refusal):
            return plan
        ratio, batches = tin_ratios_of(act.session).get(product), batches_of(plan)
        if not ratio_doubt(sheet, ratio, batches):
            return Outcome(f"the ratio of {sheet.name} is known")
        painter = act.painter()
        if isinstance(painter, Refusal):
            return painter
        _write(act, sheet, painter, ratio, batches)
        of_tins = f", {', '.join(batches)}" if batches else ""
        assert sheet.ratio is not None
        return act.done("", f"the tin says {ratio_with_roles(sheet.ratio)}: {sheet.name}{of_tins}")


def _plan(
    act: Transaction,
    sheet: Product,
    known: MixStart,
    thinner_pct: float | None,
    tins: Sequence[int],
) -> TinPlan | Refusal:
    mix = mix_for(sheet, known, thinner_pct)
    if isinstance(mix, Refusal):
        return mix
    amounts, zone = {pour.role: pour.ml for pour in mix.pours}, act.house.hours.zone
    return plan_of(act.session, act.products, zone, sheet, amounts, act.now, tins)


def _write(
    act: Transaction, sheet: Product, painter: str, before: TinRatio | None, batches: Sequence[str]
) -> None:
    """Keep it with the batches it was read off earlier, where those said the same."""
    assert sheet.ratio is not None
    ratio = ratio_words(sheet.ratio)
    earlier = before.batches if before is not None and before.ratio == ratio else ()
    row = act.session.get(SettingRow, TIN_RATIOS) or SettingRow(key=TIN_RATIOS, value={})
    row.value = {
        **row.value,
        sheet.key: {
            "ratio": ratio,
            "by": painter,
            "at": act.now.isoformat(),
            "batches": sorted({*earlier, *batches}),
        },
    }
    act.session.add(row)
