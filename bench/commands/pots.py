"""Mixing, pots and the guns that were loaded from them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bench.commands import quantities
from bench.commands.command import Command, Group
from bench.commands.options import AGO, PERCENT, VOLUME, option, override
from bench.process.refusal import Refusal
from bench.process.rules import POT_PAST_LIFE, TIN_OUT_OF_DATE

if TYPE_CHECKING:
    import argparse

    from bench.commands.call import Call
    from bench.shop.acting import Done
    from bench.trade.mixing import Mix

TENTHS_UNDER = 100.0
"""Half a millilitre of less than this is over half a percent of a part."""


def _known(parser: argparse.ArgumentParser) -> None:
    """Add the one thing a painter knows before mixing."""
    which = parser.add_mutually_exclusive_group()
    # fmt: off
    which.add_argument(
        "--need", metavar="AMOUNT", type=VOLUME, help="how much is needed: 600ml")
    which.add_argument(
        "--left", metavar="AMOUNTS", type=quantities.amounts_ml,
        help="what is left: base=340ml,hardener=70ml")
    which.add_argument(
        "--poured", metavar="AMOUNT", type=quantities.poured_ml,
        help="what is in the cup already: base=420ml")
    # fmt: on


def tin_numbers(text: str) -> tuple[int, ...]:
    """Read numbers of tins with commas between them."""
    number = quantities.whole("a tin's number")
    return tuple(number(piece) for piece in text.split(","))


def mix(call: Call, by: str) -> Done | Refusal:
    """Record a mix, start its pot clock, and say what goes in up to which line."""
    from bench.process.mixing import mix_for, too_small_to_measure
    from bench.shop import pots
    from bench.shop.acting import Done
    from bench.shop.sight import look

    given = _arguments(call)
    if isinstance(given, Refusal):
        return given
    done = pots.mix(call.shop, by=by, **given)
    if isinstance(done, Refusal) or given["known"] is None:
        return done
    view = look(call.shop)
    product = view.products[given["product"]]
    worked = mix_for(product, given["known"], given["thinner_pct"])
    if isinstance(worked, Refusal):
        return done
    small = too_small_to_measure(product, worked.total_ml, view.house.cup_step_ml)
    warning = (f"warning: {small}",) if small else ()
    return Done(done.text, done.tag, (*pour_lines(worked), *warning, *done.notes))


def top_up(call: Call, by: str) -> Done | Refusal:
    """Pour a fresh mix into an open pot."""
    from bench.shop import pots

    given = _arguments(call)
    if isinstance(given, Refusal):
        return given
    if given["known"] is None:
        return Refusal("how much is not said", "", "add --need, --left or --poured")
    return pots.top_up(call.shop, by=by, **given)


def _arguments(call: Call) -> dict[str, Any] | Refusal:
    """Return what was typed, with the one thing that is known in place of its three options."""
    from bench.process.mixing import Known

    given = call.arguments()
    if isinstance(given, Refusal):
        return given
    known = [given.pop(name) for name in ("need", "left", "poured")]
    return given | {"known": None if known == [None] * 3 else Known(*known)}


def pour_lines(worked: Mix) -> tuple[str, ...]:
    """Return each part in the order of pouring, with the line the cup then stands at."""
    lines = []
    for pour in worked.pours:
        line = f"{pour.role:<10}{_size(pour.ml):>7} ml  fill to {_size(pour.fill_to_ml)} ml"
        if pour.g is not None and pour.scale_to_g is not None:
            line += f"  or {_size(pour.g)} g, scale to {_size(pour.scale_to_g)} g"
        lines.append(line)
    return tuple(lines)


def _size(amount: float) -> str:
    """Write millilitres or grams: whole ones, and tenths where a whole one spoils the ratio."""
    return f"{amount:.1f}" if amount < TENTHS_UNDER else f"{amount:.0f}"


# A table: laid out by hand.
# fmt: off
POT = option("letter", metavar="POT", help="its letter")
THINNER = option(
    "--thinner", dest="thinner_pct", metavar="PERCENT", type=PERCENT, help="10%%; else the least")
TAKE_TINS = option(
    "--tins", metavar="NUMBERS", type=tin_numbers, default=(),
    help="take from these and not from those whose turn it is: 4,7")

POTS = Group("mixing, pots and guns", (
    Command(
        "mix", "mix or activate a product: starts its pot clock",
        (option("product", metavar="PRODUCT", help="see: paintbench products"),
         _known, THINNER, TAKE_TINS, override(TIN_OUT_OF_DATE), AGO),
        "bench.commands.pots:mix",
        examples=("mix etch-primer --need 600ml --by Bo",
                  "mix gloss --left base=340ml,hardener=70ml --by Bo")),
    Command(
        "top-up", "add a fresh mix to an open pot; the oldest part sets its end",
        (POT, _known, THINNER, TAKE_TINS, override(POT_PAST_LIFE, TIN_OUT_OF_DATE)),
        "bench.commands.pots:top_up",
        examples=("top-up A --need 200ml --by Bo",)),
    Command(
        "bin", "empty or bin a pot",
        (POT,
         option("--left", dest="left_ml", metavar="AMOUNT", type=VOLUME,
                help="what was left in it: 40ml")),
        "bench.shop.pots:bin_pot",
        examples=("bin B --left 40ml --by Bo",)),
    Command(
        "flush", "say that the gun loaded from a pot is flushed", (POT,),
        "bench.shop.pots:flush",
        examples=("flush C --by Bo",)),
))
# fmt: on
