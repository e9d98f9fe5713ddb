"""What is asked before paint is poured: of what, how much, and whether the tin says the same."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import TYPE_CHECKING

from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.washes import BUCKET_L, is_diluted, ready_words, warm_words
from bench.process.stock.mixing import (
    MixStart,
    batches_of,
    mix_for,
    mix_name,
    ratio_doubt,
    ratio_figures,
    ratio_with_roles,
)
from bench.process.wording.time_text import format_number
from bench.screens.bench.cautions import mix_rows
from bench.screens.bench.step_details import WHOLE
from bench.screens.core.pages import PageRow, Pages
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.questions import ask_numbers, choose, show
from bench.screens.setup.data_sheets import change_product
from bench.shop.core.transaction import Outcome
from bench.shop.stock.tin_list import plan_for
from bench.shop.stock.tin_ratio import confirm_ratio

if TYPE_CHECKING:
    from bench.app import Paintbench

ENOUGH_ML = 300.0
"""Offered when somebody presses Enter on an empty line: a cup, not a guess of the need."""

YES, NO = "yes, it does", "no or not sure: type the tin's figures first, mix nothing"


AHEAD = ("todo", "in hand")
"""Steps that a product is still needed for."""


def products_to_mix(bench: Paintbench) -> list[Product]:
    """List all that is mixed, activated or diluted."""
    products = bench.view.products.values()
    return [p for p in products if p.ratio is not None or p.keeps_a_pot_clock or is_diluted(p)]


def likeliest_mix(bench: Paintbench, part: Part | None, mixed: Collection[str]) -> str | None:
    """Give the product that is next for the part; without one, for the most urgent stand."""
    tags = [task.tag for task in bench.view.wants(bench.now())]
    placed = [bench.view.find(tag) for tag in dict.fromkeys(tags)]
    parts = [part] if part is not None else [each.part for each in placed if each is not None]
    ahead = (record for each in parts for record in each.steps if record.status in AHEAD)
    return next((r.step.product for r in ahead if r.step.product in mixed), None)


def offered_as(bench: Paintbench, product: Product) -> str:
    """Name a product in the list of what is mixed."""
    if is_diluted(product):
        return f"{product.name} (dilute)"
    if product.ratio is None:
        return f"{product.name} (activate)"
    doubt = ratio_doubt(product, bench.view.tin_ratios.get(product.key))
    return f"{mix_name(product, doubt)} by {product.ratio.by}"


async def wash_is_made_ready(bench: Paintbench, product: Product) -> None:
    """Ask how much is wanted, then say what goes into the bucket. It lives in no pot."""
    question = NumberQuestion("ready wash wanted", "l", BUCKET_L)
    numbers = await ask_numbers(bench, f"Dilute {product.name}", [question])
    if numbers is None:
        return
    ready_l = numbers[0] or 0.0
    try:
        words = ready_words(product, ready_l)
    except ValueError as fault:
        bench.tell(Refusal("the wash cannot be worked out", "", str(fault)))
        return

    def found() -> tuple[str, list[PageRow]]:
        warm = warm_words(product, bench.view.house.units)
        rows = [(text, "bold") for text in words] + mix_rows(product, WHOLE)
        rows += [(warm, "")] if warm else []
        rows.append(("It has no pot life: no pot is recorded.", ""))
        rows += [(text, "") for text in placeholder_words(product)]
        return f"{product.name}: {format_number(ready_l)} l ready to use", rows

    await show(bench, Pages(found))


async def ratio_is_read(
    bench: Paintbench,
    product: Product,
    facts: MixStart,
    thinner_pct: float | None = None,
    named: Sequence[int] = (),
) -> bool:
    """Ask what the tin says, as long as nobody typed its data sheet or read it off these tins.

    False where nobody says that the tin has the same: then nothing is mixed. known, thinner_pct,
    named: of the mix, as ``pots.mix`` takes them.
    """
    mix = mix_for(product, facts, thinner_pct)
    if isinstance(mix, Refusal) or product.ratio is None:
        return True
    amounts = {pour.role: pour.ml for pour in mix.pours}
    plan = plan_for(bench.shop, product.key, amounts, named)
    batches = () if isinstance(plan, Refusal) else batches_of(plan)
    if not ratio_doubt(product, bench.view.tin_ratios.get(product.key), batches):
        return True
    title = f"Does your tin say {ratio_with_roles(product.ratio)}?"
    notes = ["The ratio came with the program: nobody read it off your tin."]
    if batches:
        notes.append(f"Poured from: {', '.join(batches)}.")
    answer = await choose(bench, title, {YES: True, NO: False}, notes)
    if answer:
        says = ratio_figures(product.ratio)
        done = bench.do(
            confirm_ratio,
            product.key,
            bench.painter,
            says=says,
            known=facts,
            thinner_pct=thinner_pct,
            tins=named,
        )
        return isinstance(done, Outcome)
    if answer is False:
        await change_product(bench, product.key)
    return False


async def what_is_known(bench: Paintbench, product: Product) -> MixStart | None:
    """How much is needed, left, or in the cup: the one thing a painter knows before mixing."""
    assert product.ratio is not None
    roles = [share.role for share in product.ratio.shares]
    base = roles[0]
    choices: dict[str, tuple[list[NumberQuestion], Callable[[Sequence[float]], MixStart]]] = {
        "how much is needed": (
            [NumberQuestion("needed, mixed", "ml", ENOUGH_ML)],
            lambda ml: MixStart(need_ml=ml[0]),
        ),
        "how much is left of each part": (
            [NumberQuestion(f"{role} left", "ml") for role in roles],
            lambda ml: MixStart(left_ml=dict(zip(roles, ml, strict=True))),
        ),
        f"how much {base} is in the cup already": (
            [NumberQuestion(f"{base} in the cup", "ml")],
            lambda ml: MixStart(poured={base: ml[0]}),
        ),
    }
    title = f"Mix {product.name}"
    chosen = await choose(bench, f"{title}: what is known?", choices)
    if chosen is None:
        return None
    questions, known_by = chosen
    numbers = await ask_numbers(bench, title, questions)
    return None if numbers is None else known_by([number or 0.0 for number in numbers])


def placeholder_words(product: Product) -> list[str]:
    """What is said of figures that nobody read off a sheet."""
    return ["? placeholder figures: the tin's own sheet decides"] if product.doubt else []
