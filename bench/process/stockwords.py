"""Tins, shopping and costs in words, the same on the screens and on the command line."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from bench.process.costs import Sum
from bench.process.pots import Pot
from bench.process.shopping import Unknown, Wanted
from bench.process.shopunits import METRIC, ShopUnits, figures, quantity, shop_unit
from bench.process.spoken import clock_words
from bench.process.tins import Tin, day_of, days_words, good_until, out_of_date, tin_word


def age_words(tin: Tin, now: datetime) -> str:
    """How long its lid has been off: "open 84 d", or "sealed"."""
    if tin.opened_at is None:
        return "sealed"
    return f"open {days_words((now - tin.opened_at).total_seconds())}"


def until_words(tin: Tin, now: datetime) -> str:
    """How long it is good, or why not: "good until 17 Sep 2025?", "OUT OF DATE: ..". now: local."""
    if tin_word(tin, now) == "OLD":
        return f"OUT OF DATE: {out_of_date(tin, now)}"
    end = good_until(tin)
    if end is None:
        return ""
    guess = "?" if tin.guessed and end != tin.use_by else ""
    left = f" ({days_words((end - now).total_seconds())})"
    return f"good until {day_of(end.astimezone(now.tzinfo))}{guess}{left}"


def left_words(tin: Tin, units: ShopUnits = METRIC) -> str:
    """What is left of what: "420 of 500 ml"."""
    left = figures(tin.left_ml, "ml", units, ".0f")
    return f"{left} of {quantity(tin.size_ml, 'ml', units, '.0f')}"


def need_words(wanted: Wanted, units: ShopUnits = METRIC) -> str:
    """What is needed and what is left: "needs 1600? ml, 500 left"."""
    guess = "?" if wanted.guessed else ""
    need = figures(wanted.need_ml, "ml", units, ".0f")
    left = figures(wanted.left_ml, "ml", units, ".0f")
    return f"needs {need}{guess} {shop_unit('ml', units)}, {left} left"


def buy_words(wanted: Wanted, units: ShopUnits = METRIC) -> str:
    """What is to be bought: "BUY 1100? ml = 2 x 1000 ml", or "enough"."""
    if not wanted.buy_ml:
        return "enough"
    guess = "?" if wanted.guessed else ""
    told = f"BUY {figures(wanted.buy_ml, 'ml', units, '.0f')}{guess} {shop_unit('ml', units)}"
    if wanted.buy_tins is None or wanted.tin_ml is None:
        return told
    return f"{told} = {wanted.buy_tins} x {quantity(wanted.tin_ml, 'ml', units, '.0f')}"


def tags_words(tags: Sequence[str]) -> str:
    """The parts it is for: "tag 4", "tags 4, 9"."""
    return f"tag{'s' * (len(tags) > 1)} {', '.join(tags)}"


def unknown_words(unknown: Unknown) -> str:
    """A coat that could not be reckoned: on which parts, and why."""
    return f"{unknown.name}, {tags_words(unknown.tags)}: not reckoned: {unknown.why}"


def pots_words(pots: Sequence[Pot], now: datetime) -> str:
    """Which open pots the list leaves out, each with its end, and why. now: in the shop's zone.

    pots: one at least.
    """
    named = [
        f"pot {pot.letter} {pot.name}"
        + (f" (bin by {clock_words(pot.bin_by, now)})" if pot.bin_by is not None else "")
        for pot in pots
    ]
    one = len(named) == 1
    why = f"what is left in {'it' if one else 'them'} nobody measured, and it goes off"
    return f"not counted: {', '.join(named)}: {why}"


def cost_words(amount: Sum, units: ShopUnits = METRIC) -> str:
    """An amount and its cost: "330 ml 11.24"; "at least" where a part has no price, "-" if all."""
    told = f"{quantity(amount.ml, 'ml', units, '.0f'):>10}"
    if amount.ml and amount.unpriced_ml >= amount.ml:
        return f"{told}         -  no price is known"
    if amount.unpriced_ml:
        without = quantity(amount.unpriced_ml, "ml", units, ".0f")
        return f"{told} {amount.cost:>9.2f}  at least: {without} without a price"
    return f"{told} {amount.cost:>9.2f}"
