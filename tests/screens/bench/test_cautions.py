"""What could hurt stands whole on its pages at 80 x 24, whatever else has to make room."""

from __future__ import annotations

import pytest

from bench.process.safety.hazards import Ground, harm_words, hazards_of, hazards_of_mix, wear_for
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step, tool_key
from bench.shop.seeds.seed_files import folder, load
from bench.widgets.lines import wrapped

SHIPPED = load(folder())
WIDE = 78
ROWS = 24
AROUND = 6
"""Of a part's page: its head, three rows of the big number, the prompt, the keys."""
MASKS = 1
FACES = 4
"""The step's name, and eight faces with who sprayed them: what stays beside the block."""


def rows(step: Step, product: Product | None) -> int:
    tool = SHIPPED.tools.get(tool_key(step, product))
    hazards = hazards_of(step, product, tool, Ground("old-paint", False, True, True))
    own = (*step.cautions, *(product.cautions if product else ()))
    told = wrapped([", ".join(wear_for(hazards, step.wear))], WIDE, "wear: ")
    return len(told + wrapped(harm_words(hazards, own), WIDE, "! "))


@pytest.mark.parametrize("route", SHIPPED.routes.values(), ids=lambda r: r.key)
def test_every_step_has_room_for_all_that_could_hurt(route: object) -> None:
    for step in route.steps:  # type: ignore[attr-defined]
        product = SHIPPED.products.get(step.product)
        assert rows(step, product) + MASKS + FACES <= ROWS - AROUND, step.name


@pytest.mark.parametrize("product", SHIPPED.products.values(), ids=lambda p: p.key)
def test_every_mix_has_room_for_all_that_could_hurt_beside_three_pours(product: Product) -> None:
    hazards = hazards_of_mix(product)
    told = wrapped([", ".join(wear_for(hazards, product.wear))], WIDE, "wear: ")
    told += wrapped(harm_words(hazards, product.cautions), WIDE, "! ")
    head, pours, one_pour_too_many, said, keys = 1, 9, 3, 1, 1
    assert len(told) + head + pours + one_pour_too_many + said + keys <= ROWS
