"""Open pots and loaded guns: bin, top up, flush."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from bench.process.clocks.pots import Gun, Pot, warmed_words
from bench.process.refusals.refusal import Refusal
from bench.process.safety.hazards import leftover_cautions
from bench.process.sheets.product import Product
from bench.process.stock.mixing import MixStart, cup_figures, mix_for
from bench.process.wording.display_units import shop_unit
from bench.process.wording.time_text import format_duration
from bench.screens.core.menu_action import Action, menu, page
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.overrides import over_rules
from bench.screens.dialogs.questions import ask_numbers, choose, is_sure
from bench.screens.stock.mix_questions import ratio_is_read, what_is_known
from bench.screens.stock.tins import TinsPage
from bench.shop.stock import pots

if TYPE_CHECKING:
    from bench.app import Paintbench


TINS, FIRST_POT, FIRST_GUN, TOP_UP = 1, 2, 6, 9
"""Each action's number, however many pots are open."""

MORE_POTS, MORE_GUNS = 90, 95
"""From the fifth pot and the fourth gun on: behind the figure that is pressed least."""


async def pots_and_guns(bench: Paintbench) -> None:
    """The tins, every open pot and every loaded gun by the number of its letter, topping up."""
    actions = [Action("tins: list, what came, what to buy, costs", page(TinsPage), number=TINS)]
    for pot in bench.view.pots:
        text = f"bin pot {pot.letter} {pot.name}{f': {pot.off}' if pot.off else ''}"
        number = menu_number(pot.letter, FIRST_POT, FIRST_GUN, MORE_POTS)
        actions.append(Action(text, partial(_bin, pot=pot), number=number))
    for gun in bench.view.guns:
        text = f"every gun of pot {gun.letter} {gun.name} is flushed"
        number = menu_number(gun.letter, FIRST_GUN, TOP_UP, MORE_GUNS)
        actions.append(Action(text, partial(_flushed, gun=gun), number=number))
    actions.append(Action("top up a pot", top_up, number=TOP_UP))
    await menu(bench, "Pots, guns and tins", actions)


def menu_number(letter: str, first: int, end: int, more: int) -> int:
    """Give the number of what belongs to a pot: of the first letters one figure, then two, three.

    first: of pot A; end: the first figure that is another's; more: where two figures begin.

    >>> [menu_number(letter, 2, 6, 90) for letter in "ADEIJ"]
    [2, 5, 90, 94, 909]
    """
    place = ord(letter) - ord("A")
    beyond = place - (end - first)
    if beyond < 0:
        return first + place
    return more + beyond if beyond < MORE_GUNS - MORE_POTS else 10 * more + place


async def _bin(bench: Paintbench, pot: Pot) -> None:
    """Bin a pot after a second key, and how much was left in it if somebody measured."""
    left = NumberQuestion("left in it", "ml", must=False, empty="not measured")
    notes = [
        *leftover_cautions(bench.view.products.get(pot.product)),
        "What is binned is not used again.",
        "What was left teaches how much to mix.",
    ]
    numbers = await ask_numbers(bench, f"Bin pot {pot.letter}?", [left], notes)
    if numbers is not None:
        bench.do(pots.bin_pot, pot.letter, bench.painter, left_ml=numbers[0])


async def top_up(bench: Paintbench) -> None:
    """Pour a fresh mix into an open pot, which stays as old as its oldest drop."""
    mixed = [pot for pot in bench.view.pots if pot.total_ml is not None]
    if not mixed:
        bench.tell(Refusal("no pot is open that was mixed", "", "mix one (*)"))
        return
    named = [(f"pot {pot.letter} {pot.name}, {_age(pot, bench)}", pot) for pot in mixed]
    pot = await choose(bench, "Top up: which pot?", named)
    product = bench.view.products.get(pot.product) if pot is not None else None
    if pot is not None and product is not None and product.ratio:
        known = await what_is_known(bench, product)
        if known is not None:
            await _pour_into(bench, pot, product, known)


async def _pour_into(bench: Paintbench, pot: Pot, product: Product, known: MixStart) -> None:
    """Say what goes in and how old the whole stays; pour it after a second key."""
    fresh = mix_for(product, known)
    if isinstance(fresh, Refusal):
        bench.tell(fresh)
        return
    if not await ratio_is_read(bench, product, known):
        return
    units = bench.view.house.units
    mark = product.doubt_of("thinner")
    notes = [
        f"{pour.role} {cup_figures(pour.ml, units)}{mark * (pour.role == 'thinner')}"
        f" {shop_unit('ml', units)}"
        for pour in fresh.pours
    ]
    notes.append(f"OLD POT, {_age(pot, bench)}: the whole mix keeps that end.")
    if pot.end is not None:
        notes.append(f"Bin by {pot.end.words(bench.now())}. Better a fresh small cup.")
    letter = pot.letter
    if await is_sure(bench, f"Top up pot {letter}?", notes):
        await over_rules(
            bench,
            f"Top up pot {letter}",
            lambda shop, by, why: pots.top_up(shop, letter, by, known=known, override=why),
        )


def _age(pot: Pot, bench: Paintbench) -> str:
    text = f"{format_duration((bench.now() - pot.mixed_at).total_seconds())} old"
    if pot.end is None:
        return text
    life_s = (pot.end.at - pot.mixed_at).total_seconds()
    text += f" of {format_duration(life_s)}{pot.end.doubt}"
    return f"{text}, {warmed_words(pot, bench.now())}" if pot.warmed else text


async def _flushed(bench: Paintbench, gun: Gun) -> None:
    """Say that a gun is flushed; where that hurts, after what to wear for it."""
    title = f"Every gun of pot {gun.letter} {gun.name}: flushed?"
    if not gun.cautions or await is_sure(bench, title, gun.cautions):
        bench.do(pots.flush, gun.letter, bench.painter)
