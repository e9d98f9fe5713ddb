"""Mixing, pots and the guns that were loaded from them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bench.commands.core import quantities
from bench.commands.core.command import Command, Group
from bench.commands.core.options import AGO, PERCENT, VOLUME, option, override
from bench.process.refusals.refusal import Refusal
from bench.process.refusals.rules import NO_WINDOW, POT_OFF_RATIO, POT_PAST_LIFE, TIN_OUT_OF_DATE

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Iterator, Mapping

    from bench.commands.core.call import Call
    from bench.process.sheets.product import Product
    from bench.process.stock.cup import Pouring
    from bench.shop.core.transaction import Outcome, Shop


def _amount_options(parser: argparse.ArgumentParser) -> None:
    """Add the one thing a painter knows before mixing."""
    which = parser.add_mutually_exclusive_group()
    # fmt: off
    which.add_argument(
        "--need", metavar="AMOUNT", type=VOLUME, help="how much is needed: 600ml")
    which.add_argument(
        "--left", metavar="AMOUNTS", type=quantities.amounts_ml,
        help="what is left: base=340ml,hardener=70ml")
    which.add_argument(
        "--poured", metavar="AMOUNTS", type=quantities.amounts_ml,
        help="what is in the cup already: base=420ml,hardener=110ml")
    # fmt: on


def tin_numbers(text: str) -> tuple[int, ...]:
    """Read numbers of tins with commas between them."""
    number = quantities.whole("a tin's number")
    return tuple(number(piece) for piece in text.split(","))


def mix(call: Call, by: str) -> Outcome | Refusal:
    """Record a mix, start its pot clock, and say what goes in up to which line."""
    from bench.shop.core.bench_view import read_bench
    from bench.shop.stock import pots

    arguments = _arguments(call)
    if isinstance(arguments, Refusal):
        return arguments
    product = read_bench(call.shop).products.get(arguments["product"])
    return _poured(call, by, product, arguments, pots.mix)


def top_up(call: Call, by: str) -> Outcome | Refusal:
    """Pour a fresh mix into an open pot."""
    from bench.shop.core.bench_view import read_bench
    from bench.shop.stock import pots

    arguments = _arguments(call)
    if isinstance(arguments, Refusal):
        return arguments
    if arguments["known"] is None:
        return Refusal("how much is not said", "", "add --need, --left or --poured")
    view, letter = read_bench(call.shop), arguments["letter"].strip().upper()
    of = next((pot.product for pot in view.pots if pot.letter == letter), "")
    return _poured(call, by, view.products.get(of), arguments, pots.top_up)


def _poured(
    call: Call,
    by: str,
    product: Product | None,
    arguments: dict[str, Any],
    pour: Callable[..., Outcome | Refusal],
) -> Outcome | Refusal:
    """Pour, once what the tin says is written down, and say what goes into the cup first."""
    from bench.shop.core.transaction import Outcome
    from bench.shop.stock.tin_ratio import confirm_ratio

    says = arguments.pop("tin_says")
    if says and product is not None:
        if arguments["known"] is None:
            return Refusal("how much is not said", "", "add --need, --left or --poured")
        mix = {name: arguments[name] for name in ("known", "thinner_pct", "tins")}
        confirmed = confirm_ratio(call.shop, product.key, by, says=says, **mix)
        if isinstance(confirmed, Refusal):
            return confirmed
    lines = cup_lines(call.shop, product, arguments) if product else ()
    outcome = pour(call.shop, by=by, **arguments)
    return (
        replace(outcome, notes=(*lines, *outcome.notes))
        if isinstance(outcome, Outcome)
        else outcome
    )


def _arguments(call: Call) -> dict[str, Any] | Refusal:
    """Return what was typed, with the one thing that is known in place of its three options."""
    from bench.process.stock.mixing import MixStart

    arguments = call.arguments()
    if isinstance(arguments, Refusal):
        return arguments
    amounts = [arguments.pop(name) for name in ("need", "left", "poured")]
    return arguments | {"known": None if amounts == [None] * 3 else MixStart(*amounts)}


def cup_lines(shop: Shop, product: Product, mix_arguments: Mapping[str, Any]) -> tuple[str, ...]:
    """Return what hurts at the cup, then each part with its line, and what there is against it.

    mix_arguments: as ``pots.mix`` takes them.
    """
    from bench.process.stock.cup import Cup, too_small_to_measure
    from bench.process.stock.mixing import batches_of, ratio_doubt
    from bench.shop.core.bench_view import read_bench
    from bench.shop.stock.tin_list import plan_for

    care, view, amount = _care_lines(product), read_bench(shop), mix_arguments["known"]
    if amount is None:
        return care
    house = view.house
    cup = Cup(product, amount, house.cup_ml, house.cup_step_ml, mix_arguments["thinner_pct"])
    pouring = cup.pouring
    if isinstance(pouring, Refusal):
        return ()
    plan = plan_for(shop, product.key, pouring.by_role(), mix_arguments["tins"])
    batches = () if isinstance(plan, Refusal) else batches_of(plan)
    doubt = ratio_doubt(product, view.tin_ratios.get(product.key), batches)
    unread = ("ratio not from your tin: check it",) if doubt else ()
    small = too_small_to_measure(product, pouring.total_ml, house.cup_step_ml)
    warnings = [f"warning: {text}" for text in (small, cup.too_small_words(doubt)) if text]
    return (*care, *unread, *_pour_lines(product, pouring, doubt), *warnings)


def _care_lines(product: Product) -> tuple[str, ...]:
    """Return what to wear at the cup, then each caution, harm first."""
    from bench.process.safety.hazards import finish_words, harm_words, hazards_of_mix, wear_for

    hazards = hazards_of_mix(product)
    worn = wear_for(hazards, product.wear)
    cautions = (*harm_words(hazards, product.cautions), *finish_words(product.cautions))
    wear = (f"wear: {', '.join(worn)}",) if worn else ()
    return (*wear, *(f"! {caution}" for caution in cautions))


def _pour_lines(product: Product, pouring: Pouring, of_ratio: str) -> Iterator[str]:
    """Return each part in the order of pouring, with the line the cup then stands at."""
    from bench.process.stock.mixing import cup_figures

    doubts = pouring.doubts(product, of_ratio)
    for place, (pour, doubt) in enumerate(zip(pouring.pours, doubts, strict=True)):
        if place < pouring.in_cup:
            yield f"{pour.role:<10}{cup_figures(pour.ml):>7} ml  is in"
            continue
        ml, fill_to = (f"{cup_figures(size)}{doubt}" for size in (pour.ml, pour.fill_to_ml))
        line = f"{pour.role:<10}{ml:>7} ml  fill to {fill_to} ml"
        if pour.g is not None and pour.scale_to_g is not None:
            g, scale_to = (f"{cup_figures(size)}{doubt}" for size in (pour.g, pour.scale_to_g))
            line += f"  or {g} g, scale to {scale_to} g"
        yield line


# A table: laid out by hand.
# fmt: off
POT = option("letter", metavar="POT", help="its letter")
THINNER = option(
    "--thinner", dest="thinner_pct", metavar="PERCENT", type=PERCENT, help="10%%; else the least")
TAKE_TINS = option(
    "--tins", metavar="NUMBERS", type=tin_numbers, default=(),
    help="take from these and not from those whose turn it is: 4,7")
TIN_SAYS = option(
    "--tin-says", metavar="RATIO", default="",
    help="the ratio as your tin prints it: 2:1; takes the ? off a placeholder's")

POTS = Group("mixing, pots and guns", (
    Command(
        "mix", "mix or activate a product: starts its pot clock",
        (option("product", metavar="PRODUCT", help="see: paintbench products"),
         _amount_options, THINNER, TAKE_TINS, TIN_SAYS,
         override(NO_WINDOW, TIN_OUT_OF_DATE), AGO),
        "bench.commands.subjects.pots:mix",
        examples=("mix etch-primer --need 600ml --by Bo",
                  "mix gloss --need 300ml --tin-says 2:1 --by Bo",
                  "mix gloss --left base=340ml,hardener=70ml --by Bo")),
    Command(
        "top-up", "add a fresh mix to an open pot; the oldest part sets its end",
        (POT, _amount_options, THINNER, TAKE_TINS, TIN_SAYS,
         override(POT_PAST_LIFE, POT_OFF_RATIO, TIN_OUT_OF_DATE)),
        "bench.commands.subjects.pots:top_up",
        examples=("top-up A --need 200ml --by Bo",)),
    Command(
        "bin", "empty or bin a pot",
        (POT,
         option("--left", dest="left_ml", metavar="AMOUNT", type=VOLUME,
                help="what was left in it: 40ml")),
        "bench.shop.stock.pots:bin_pot",
        examples=("bin B --left 40ml --by Bo",)),
    Command(
        "flush", "say that the gun loaded from a pot is flushed", (POT,),
        "bench.shop.stock.pots:flush",
        examples=("flush C --by Bo",)),
))
# fmt: on
