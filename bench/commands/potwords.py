"""The words for mixing, for pots and for the guns that were loaded from them."""

from __future__ import annotations

import argparse

from bench.commands import quantities
from bench.commands.options import AGO, BY, PERCENT, VOLUME, Words, option, override
from bench.commands.tinwords import TAKE_TINS
from bench.process.rules import POT_PAST_LIFE, TIN_OUT_OF_DATE

POT = option("pot", metavar="POT", help="its letter")
THINNER = option("--thinner", metavar="PERCENT", type=PERCENT, help="10%%; else the least")


def known(parser: argparse.ArgumentParser) -> None:
    """The one thing a painter knows before mixing."""
    which = parser.add_mutually_exclusive_group()
    which.add_argument(
        "--need",
        metavar="AMOUNT",
        type=VOLUME,
        help="how much is needed: 600ml",
    )
    which.add_argument(
        "--left",
        metavar="AMOUNTS",
        type=quantities.amounts_ml,
        help="what is left: base=340ml,hardener=70ml",
    )
    which.add_argument(
        "--poured",
        metavar="AMOUNT",
        type=quantities.poured_ml,
        help="what is in the cup already: base=420ml",
    )


POTS: Words = {
    "mix": (
        "mix or activate a product: starts its pot clock",
        (
            option("product", metavar="PRODUCT", help="see: paintbench products"),
            known,
            THINNER,
            TAKE_TINS,
            override(TIN_OUT_OF_DATE),
            AGO,
            BY,
        ),
    ),
    "bin": (
        "empty or bin a pot",
        (
            POT,
            option(
                "--left",
                metavar="AMOUNT",
                type=VOLUME,
                help="what was left in it: 40ml",
            ),
            BY,
        ),
    ),
    "top-up": (
        "pour a fresh mix into an open pot; the whole keeps the oldest deadline",
        (
            POT,
            known,
            THINNER,
            TAKE_TINS,
            override(POT_PAST_LIFE, TIN_OUT_OF_DATE),
            BY,
        ),
    ),
    "flush": ("the gun that was loaded from a pot is flushed", (POT, BY)),
}
"""Every command word about a pot: what it does, and what it takes."""
