"""What is mixed: by when a pot has to be empty, how long mixing takes, what a coat takes of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import ceil, inf

from bench.process.clocks.pots import Pot, loads_a_gun, pot_if_mixed, pot_word
from bench.process.parts.part import Part, StepRecord
from bench.process.plan.edge_tables import EdgeTables
from bench.process.plan.figures import PlanInputs
from bench.process.plan.grid import Grid, slots_of
from bench.process.plan.mixing import met_before_min, mixing_slots
from bench.process.plan.places import Places
from bench.process.plan.problem import OpenPot, Paint
from bench.process.sheets.product import Product
from bench.trade.mixing import big_pot_life_s

ASSUMED_SHARE = 0.25
"""Of a cup, what a coat is taken to need where nobody can know it (house rule)."""


@dataclass(frozen=True)
class Amount:
    """What a coat takes of its pot. ml: rounded up; assumed: nobody can know it."""

    ml: int
    assumed: bool


def amount_of(part: Part, record: StepRecord, inputs: PlanInputs) -> Amount:
    """Return the ml of mixed paint a coat takes; of a mist its share."""
    ml = inputs.paint_of(part, record)
    if ml is None:
        return Amount(ceil(inputs.shop.cup_ml * ASSUMED_SHARE), assumed=True)
    share = inputs.shop.mist_share if part.is_mist(record) else 1.0
    return Amount(max(1, ceil(round(ml * share, 3))), assumed=False)


def empty_by(
    product: Product, total_ml: int, inputs: PlanInputs, tables: EdgeTables
) -> Sequence[int]:
    """Return by which slot a pot is empty, by the slot in which its first coat is begun.

    Its life is summed over the warmer side of what is expected, and is never longer than by the
    last reading; a fifth of it is off where all that is planned would make it a big pot.
    """
    grid = tables.grid
    if not product.pot_life:
        return [grid.horizon] * (grid.horizon + 1)
    log = inputs.around.weather().temperatures(grid.start, "closing")
    as_read = pot_if_mixed(product, None, inputs.around, grid.start).bin_by
    read_s = (as_read - grid.start).total_seconds() if as_read else None

    def end_at(mixed: datetime) -> datetime | None:
        at_s = log.passes_at(product.pot_life, mixed.timestamp(), "closing").at_s
        return None if at_s is None else datetime.fromtimestamp(at_s, UTC)

    ends = tables.ends(("pot", product.key), end_at, "closing")
    most_ml = max(1.0, min(float(total_ml), inputs.shop.cup_ml))
    share = big_pot_life_s(1.0, most_ml)
    before_s = 60 * (met_before_min(product, inputs) + inputs.shop.pot_spare_min)
    lives_s = (None if end is None else end - grid.second(slot) for slot, end in enumerate(ends))
    known_s = inf if read_s is None else read_s
    empty_s = [
        None if life_s is None else grid.second(slot) + min(life_s, known_s) * share - before_s
        for slot, life_s in enumerate(lives_s)
    ]
    return [max(0, min(slot, grid.horizon)) for slot in grid.downs(empty_s)]


def paint_of(
    product: Product,
    total_ml: int,
    hands: int,
    inputs: PlanInputs,
    tables: EdgeTables,
    places: Places,
    place: str,
) -> Paint:
    """Return a paint of the plan. total_ml: of all its coats; place: where it is sprayed."""
    tool = inputs.tools.get(product.tool)
    flushed = loads_a_gun(product, sprayed=tool.sprayed if tool else True)
    shop = inputs.shop
    return Paint(
        key=product.key,
        mixing=mixing_slots(product, inputs),
        flush=slots_of(shop.flush_min) if flushed else 0,
        cup_ml=int(shop.cup_ml),
        empty_by=tuple(empty_by(product, total_ml, inputs, tables)),
        hands=hands,
        mixing_airs=places.airs_of_paint(product, shop.mixing_place),
        flush_airs=places.airs_of_paint(product, place) if flushed else (),
    )


def open_pots(
    pots: Iterable[Pot], numbers: dict[str, int], inputs: PlanInputs, grid: Grid
) -> tuple[tuple[str, OpenPot], ...]:
    """Return the pots that stand there and can be used now, each with its letter.

    One whose left amount nobody knows is not counted on.
    """
    spare = timedelta(minutes=inputs.shop.pot_spare_min)
    standing = []
    for pot in pots:
        left_ml = inputs.left_ml.get(pot.letter)
        usable = pot_word(pot, grid.start) in ("USE", "BIN BY") and not pot.against
        if pot.product not in numbers or left_ml is None or left_ml < 1 or not usable:
            continue
        end = grid.horizon
        if pot.bin_by is not None:
            end = min(grid.down((pot.bin_by - spare).timestamp()), grid.horizon)
        if end > 0:
            standing.append((pot.letter, OpenPot(numbers[pot.product], int(left_ml), end)))
    return tuple(standing)
