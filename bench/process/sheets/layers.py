"""Which coat goes onto which layer: what the data sheets allow, on a route and on a part."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bench.process.sheets.product import Product
from bench.process.sheets.route import Route, Step


@dataclass(frozen=True)
class Clash:
    """A coat whose data sheet does not allow the layer below it.

    place: its place among the steps that were looked at, from 0; below: the layer's key.
    """

    place: int
    step: Step
    product: Product
    below: str

    def words(self, products: Mapping[str, Product]) -> str:
        """Name the step, the product and the layer below."""
        where = f"step {self.place + 1}, {self.step.name}"
        return (
            f"{where}: {self.product.name} does not go over {surface_words(self.below, products)}"
        )

    def remedy(self, products: Mapping[str, Product]) -> str:
        """Say what the product goes over, and what to change."""
        goes = ", ".join(surface_words(each, products) for each in self.product.over)
        return (
            f"it goes over {goes or 'nothing that its sheet names'}; change the step, or 'over' of "
            f"{self.product.name} where its data sheet allows this layer"
        )


def goes_over(step: Step, product: Product, below: str) -> bool:
    """Return whether a coat may go onto a layer: a substrate, or a product's key."""
    return below in product.over or (step.continues and below == product.key)


def clashes(below: str, steps: Iterable[Step], products: Mapping[str, Product]) -> list[Clash]:
    """Return every coat of the steps that does not go over the layer before it.

    below: the layer that the first of them goes onto.
    """
    found = []
    for place, step in enumerate(steps):
        product = products.get(step.product)
        if step.kind != "coat" or product is None:
            continue
        if not goes_over(step, product, below):
            found.append(Clash(place, step, product, below))
        below = product.key
    return found


def clashes_on_route(route: Route, products: Mapping[str, Product]) -> list[Clash]:
    """Return every coat of a route that does not go over the layer below it."""
    return clashes(route.substrate, route.steps, products)


def surface_words(surface: str, products: Mapping[str, Product]) -> str:
    """Name a layer: a product by its name, a substrate in plain words."""
    return products[surface].name if surface in products else surface.replace("-", " ")
