"""The block that says who could be hurt and what to wear: whole on every page it belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bench.process.parts.part import Part, StepRecord
from bench.process.safety.hazards import (
    Hazard,
    ground_of,
    harm_words,
    hazards_of,
    hazards_of_mix,
    wear_for,
)
from bench.process.safety.masks import fresh_isocyanate, room_in_full
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step, tool_key
from bench.process.sheets.washes import acid_cautions
from bench.widgets.lines import wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

CautionRow = tuple[str, str]
"""A row of text and its style."""


def step_rows(
    bench: Paintbench, part: Part, record: StepRecord | None, width: int
) -> list[CautionRow]:
    """Give the block of a part's step; of its lifting only once every step is done.

    Where the window was missed, what is done next is the abrading.
    """
    view, step = bench.view, record.step if record else None
    placed = view.find(part.tag)
    if step is not None and placed and placed.state(bench.now()).word == "ABRADE":
        step = Step(step.name, "work", hazards=("dust",))
    product = view.products.get(step.product) if step else None
    tool = view.tools.get(tool_key(step, product)) if step else None
    fresh = record is not None and bool(fresh_isocyanate(part, record, view.around, bench.now()))
    shape = view.shapes.get(part.shape)
    ground = ground_of(part, record, view.products, shape, fresh_isocyanate=fresh)
    hazards = hazards_of(step, product, tool, ground)
    wear = (*(step.wear if step else ()), *(product.wear if product else ()))
    return _rows(hazards, wear, own_cautions(step, product), width)


def mix_rows(product: Product, width: int) -> list[CautionRow]:
    """Give the block of a product at the mixing cup."""
    return _rows(hazards_of_mix(product), product.wear, own_cautions(None, product), width)


def masks_words(bench: Paintbench) -> str:
    """Give the room's line while masks are on; nothing otherwise: no leave to take one off."""
    now = bench.now()
    room = bench.view.room(now)
    return room_in_full(room, bench.view.local(now)) if room.on else ""


def own_cautions(step: Step | None, product: Product | None) -> tuple[str, ...]:
    """Give the cautions that a route and a sheet bring themselves."""
    own = (*(step.cautions if step else ()), *(product.cautions if product else ()))
    return (*own, *acid_cautions(product))


def _rows(
    hazards: Sequence[Hazard], wear: Sequence[str], cautions: Sequence[str], width: int
) -> list[CautionRow]:
    """Give what to wear first, then a saying a harm."""
    worn = wear_for(hazards, wear)
    text = wrapped([", ".join(worn)], width, "wear: ") if worn else []
    text += wrapped(harm_words(hazards, cautions), width, "! ")
    return [(row, "bold") for row in text]
