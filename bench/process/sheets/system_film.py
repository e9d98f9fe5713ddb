"""The dry film of a whole route on zinc, beside what ISO 12944-5 asks for."""

from __future__ import annotations

from bench.process.sheets.product import Product
from bench.process.sheets.route import ZINC, Route, Step
from bench.process.wording.time_text import doubt_mark

STRIPE = "Stripe coat"
"""A coat on edges and welds only: it adds nothing to the film of the faces."""

ON_ZINC_C3_UM: tuple[tuple[str, int], ...] = (("medium", 80), ("high", 120), ("very high", 160))
"""Durability in C3, and the least nominal film of epoxy and polyurethane on galvanised steel.

ISO 12944-5, from memory. Acrylic for C3 high: 160 um (seen, an example of Institut Feuerverzinken).
"""


def system_um(route: Route, products: dict[str, Product]) -> float:
    """Sum the target films in um over a route's coats; a mist and its build are one coat."""
    return sum(
        film.target_um
        for step, after in zip(route.steps, route.steps[1:], strict=False)
        if _covers_faces(step, after) and (film := products[step.product].film)
    )


def _covers_faces(step: Step, after: Step) -> bool:
    return step.kind == "coat" and not after.continues and step.name != STRIPE


def system_words(route: Route, products: dict[str, Product]) -> str:
    """Say the film of a route on zinc, and what C3 asks for; empty on any other substrate."""
    if route.substrate not in ZINC:
        return ""
    coats = [products[step.product] for step in route.steps if step.kind == "coat"]
    mark = doubt_mark(any(product.doubt for product in coats))
    films = ", ".join(f"{um} {durability}" for durability, um in ON_ZINC_C3_UM)
    return (
        f"Film in all {system_um(route, products):g}{mark} um. On zinc in C3, ISO 12944-5 asks for "
        f"{films} (um, from memory; acrylic 160 for high)."
    )
