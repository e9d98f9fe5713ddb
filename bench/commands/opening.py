"""Opening a shop: an empty one, or the demo."""

from __future__ import annotations

import shlex

from bench.clock import Clock
from bench.commands.call import Call
from bench.process.refusal import Refusal
from bench.settings import place_words
from bench.shop import demo, seeds
from bench.shop.acting import Done, Shop
from bench.shop.data import open_data
from bench.shop.opening import is_new, open_shop


def open_new(call: Call) -> Done | Refusal:
    """Open a new shop with its painters and stands."""
    try:
        stock = seeds.load(seeds.folder())
    except seeds.BadSeed as fault:
        return Refusal(str(fault))
    return open_shop(call.shop, stock, call.args.painters, call.args.stands)


def throwaway_demo(clock: Clock) -> Shop | Refusal:
    """The demo shop in a folder that is removed when the program ends."""
    try:
        return demo.throwaway(clock)
    except seeds.BadSeed as fault:
        return Refusal(str(fault))


def keep_demo(place: str, clock: Clock, terminal: str) -> Done | Refusal:
    """The demo shop written into a new file, so that the command line can be tried on it."""
    where = place_words(place)
    shop = open_data(place, clock, terminal, may_be_new=True)
    if isinstance(shop, Refusal):
        return shop
    try:
        if not is_new(shop):
            return Refusal("there is a shop here already", where, "nothing was changed")
        opened = demo.open_demo(shop, seeds.folder())
    except seeds.BadSeed as fault:
        return Refusal(str(fault))
    finally:
        shop.store.close()
    if isinstance(opened, Refusal):
        return opened
    look_at_it = f"paintbench --db {shlex.quote(where)} status"
    return Done(f"the demo shop is in {where}", notes=(look_at_it,))
