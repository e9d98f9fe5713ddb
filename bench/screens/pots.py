"""Open pots and loaded guns: bin, top up, flush."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.process.mixing import mix_for
from bench.process.pots import Gun, Pot, warmed_words
from bench.process.refusal import Refusal
from bench.process.spoken import clock_words, span_words
from bench.screens.ask import Asked, Choose, Numbers, Sure
from bench.screens.mix import what_is_known
from bench.screens.overriding import over_rules
from bench.shop import pots

if TYPE_CHECKING:
    from bench.app import Paintbench


async def bin_one(bench: Paintbench, pot: Pot) -> None:
    """Bin a pot after a second key, and how much was left in it if somebody measured."""
    left = Asked("left in it", "ml", must=False, empty="not measured")
    told = ["What is binned is not used again.", "What was left teaches how much to mix."]
    numbers = await bench.push_screen_wait(Numbers(f"Bin pot {pot.letter}?", [left], told))
    if numbers is not None:
        left_ml = numbers[0]
        bench.do(lambda shop, by: pots.bin_pot(shop, pot.letter, by, left_ml=left_ml))


async def top_up(bench: Paintbench) -> None:
    """Pour a fresh mix into an open pot, which stays as old as its oldest drop."""
    mixed = [pot for pot in bench.view.pots if pot.total_ml is not None]
    if not mixed:
        bench.tell(Refusal("no pot is open that was mixed", "", "mix one (*)"))
        return
    now = bench.now()
    names = [f"pot {pot.letter} {pot.name}, {_age(pot, bench)}" for pot in mixed]
    which = await bench.push_screen_wait(Choose("Top up: which pot?", names))
    if which is None:
        return
    pot = mixed[which]
    product = bench.view.products.get(pot.product)
    known = await what_is_known(bench, product) if product and product.ratio else None
    if product is None or known is None:
        return
    fresh = mix_for(product, known)
    if isinstance(fresh, Refusal):
        bench.tell(fresh)
        return
    told = [f"{pour.role} {pour.ml:.0f} ml" for pour in fresh.pours]
    told.append(f"OLD POT, {_age(pot, bench)}: the whole mix keeps that end.")
    if pot.bin_by is not None:
        told.append(f"Bin by {clock_words(pot.bin_by, now)}. Better a fresh small cup.")
    if not await bench.push_screen_wait(Sure(f"Top up pot {pot.letter}?", told)):
        return
    answer = bench.do(lambda shop, by: pots.top_up(shop, pot.letter, by, known=known))
    await over_rules(
        bench,
        f"Top up pot {pot.letter}",
        answer,
        lambda shop, by, override: pots.top_up(
            shop, pot.letter, by, known=known, override=override
        ),
    )


def _age(pot: Pot, bench: Paintbench) -> str:
    told = f"{span_words((bench.now() - pot.mixed_at).total_seconds())} old"
    if pot.bin_by is None:
        return told
    told += f" of {span_words((pot.bin_by - pot.mixed_at).total_seconds())}"
    return f"{told}, {warmed_words(pot, bench.now())}" if pot.warmed else told


async def flushed(bench: Paintbench, gun: Gun) -> None:
    """Say that a gun is flushed; where that hurts, after what to wear for it."""
    title = f"The gun of pot {gun.letter} {gun.name}: flushed?"
    if not gun.cautions or await bench.push_screen_wait(Sure(title, gun.cautions)):
        bench.do(lambda shop, by: pots.flush(shop, gun.letter, by))
