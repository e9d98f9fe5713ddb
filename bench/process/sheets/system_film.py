"""The dry film of coats on top of each other: what counts, and what a data sheet allows in all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from bench.process.sheets.product import Product
from bench.process.sheets.route import ZINC, Route, Step
from bench.process.wording.display_units import METRIC, ShopUnits, format_figures, shop_unit
from bench.process.wording.time_text import doubt_mark

STRIPE = "Stripe coat"
"""A coat on edges and welds only: it adds nothing to the film of the faces."""

MIST_WORDS = "thin and broken: metal shows through"
"""What a mist looks like. It has no film of its own: mist and build together are one coat."""

ON_ZINC_C3_UM: tuple[tuple[str, int], ...] = (("medium", 80), ("high", 120), ("very high", 160))
"""Durability in C3, and the least nominal film of epoxy and polyurethane on galvanised steel.

ISO 12944-5, from memory. Acrylic for C3 high: 160 um (seen, an example of Institut Feuerverzinken).
"""


def is_mist(step: Step, after: Step | None) -> bool:
    """Return whether a coat is a mist: the step after it goes on with it."""
    return step.kind == "coat" and after is not None and after.continues


def whole_coats(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Give the steps that each end one coat on the faces: no mist, and no stripe coat."""
    return tuple(
        step
        for step, after in pairwise([*steps, None])
        if step is not None
        and step.kind == "coat"
        and step.name != STRIPE
        and not is_mist(step, after)
    )


def system_um(route: Route, products: Mapping[str, Product]) -> float:
    """Sum the target films in um over a route's coats; a mist and its build are one coat."""
    films = (products[step.product].film for step in whole_coats(route.steps))
    return sum(film.target_um for film in films if film)


def system_words(route: Route, products: Mapping[str, Product]) -> str:
    """Say the film of a route on zinc, and what C3 asks for; empty on any other substrate."""
    if route.substrate not in ZINC:
        return ""
    coats = [products[step.product] for step in route.steps if step.kind == "coat"]
    mark = doubt_mark(any(product.doubt_of("film") for product in coats))
    films = ", ".join(f"{um} {durability}" for durability, um in ON_ZINC_C3_UM)
    return (
        f"Film in all {system_um(route, products):g}{mark} um. On zinc in C3, ISO 12944-5 asks for "
        f"{films} (um, from memory; acrylic 160 for high)."
    )


def most_in_all_um(product: Product, coats: int) -> float | None:
    """Return the most film in um that so many coats of a product may have; None without a film.

    What its sheet says of all coats, else its most of one for each.
    """
    film = product.film
    if film is None:
        return None
    return film.most_um * coats if film.in_all_um is None else film.in_all_um


def too_much_film(product: Product, um: float, coats: int, units: ShopUnits = METRIC) -> str:
    """Say that ``coats`` coats of a product come to more film than it may have; else empty."""
    most_um = most_in_all_um(product, coats)
    if most_um is None or um <= most_um:
        return ""
    both = (format_figures(each, "um", units, ".0f") for each in (um, most_um))
    made, most = (f"{figure}{product.doubt_of('film')} {shop_unit('um', units)}" for figure in both)
    return f"{product.name}: {made} DFT in all, its maximum is {most}"


def too_much_on_route(route: Route, products: Mapping[str, Product]) -> tuple[str, ...]:
    """Name each product of which a route's coats come to more film than it may have."""
    coats = [step.product for step in whole_coats(route.steps)]
    words = (
        too_much_film(product, product.film.target_um * coats.count(key), coats.count(key))
        for key in dict.fromkeys(coats)
        if (product := products[key]).film is not None
    )
    return tuple(text for text in words if text)
