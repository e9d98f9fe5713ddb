"""What a plan is built from: the bench as it stands, and the shop's figures, as plain values.

Every figure here that nobody typed is a placeholder: common practice, no source. What rests on one
is shown with ``?``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property

from bench.process.clocks.part_clocks import Environment
from bench.process.clocks.pots import Pot
from bench.process.parts.job import Job
from bench.process.parts.part import Part, StepRecord
from bench.process.plan.agreed import WorkPlan
from bench.process.sheets.product import Product
from bench.process.sheets.route import Shape, SprayTool
from bench.process.stock.equipment import Equipment

ROOM = "room"
"""Where everything is done until the shop says that a step has another place."""

CABINET = "blast cabinet"
"""The equipment that is a place of its own: no dust comes out of it."""


PLAN_DAYS = 21
"""So far ahead is planned, unless more is asked for."""


@dataclass(frozen=True)
class LabourTime:
    """How long a step keeps hands busy, all pieces of the part together.

    minutes: over 0; spread: of its natural logarithm, 0 where it is exact; past_steps: how many
    steps of the log it rests on, 0 where it is a placeholder.
    """

    minutes: float
    spread: float
    past_steps: int = 0


@dataclass(frozen=True)
class StepFigures:
    """What a plan wants to know of a step besides how long it takes.

    hands: 1 or 2, both for the whole of it; may_be_two: it is for one, or for two who share it in
    half the time. follow_min: the longest pause before the step that
    follows, 0: at once, by the same hands; None: as long as its window lets it. abrading_min:
    added to a coat whose window was missed. takes_space: it is sprayed, or done, in a spray space.
    stays_min: how long it keeps that space afterwards, 0 where it is sprayed on its stand. place:
    the room it is done in. is_dusty: a wet coat in the same room does not bear it. dust_dry_min:
    until a coat bears dust. can_pause: it may be interrupted by the shop's break. moving_min:
    to carry it out of that space then, by two; 0 where it is sprayed on its stand. typed: somebody
    typed them.
    """

    hands: int = 1
    may_be_two: bool = False
    follow_min: float | None = None
    abrading_min: float = 30.0
    takes_space: bool = False
    stays_min: float = 0.0
    place: str = ROOM
    is_dusty: bool = False
    dust_dry_min: float = 60.0
    can_pause: bool = False
    moving_min: float = 0.0
    typed: bool = False


@dataclass(frozen=True)
class ShopFigures:
    """What a plan wants to know of the shop. Minutes, ml, hours; every figure a placeholder.

    mixing_min: one pair of hands, before the first coat from a pot. activating_min: the same for a
    can that is activated. mixed_before_min: how long before the first trigger the two parts meet.
    pot_spare_min: so long before the end of its life a pot is empty. flush_min: the gun, after the
    last coat of a pot. mask_change_min: before isocyanate. mist_share: of the paint of a full coat
    that a mist takes, 0 to 1. clearance_min: masks stay on after isocyanate. handling_h: after the
    last coat until a part may be taken off its stand. filled_pct: of a day's hands that is planned.
    slack_min: so long before a window closes the next coat is begun. stands: how many.
    mixing_place: where paint is mixed. fixed_min: so far ahead an agreed plan is not moved.
    wet_min, moving_min: so long a sprayed part stays in its space until it may be moved, and two
    take to carry it out; 0 where parts are sprayed on their stands.
    """

    spray_spaces: int = 1
    mixing_min: float = 20.0
    activating_min: float = 5.0
    mixed_before_min: float = 10.0
    pot_spare_min: float = 10.0
    cup_ml: float = 2000.0
    flush_min: float = 15.0
    mask_change_min: float = 5.0
    mist_share: float = 0.4
    clearance_min: float = 30.0
    handling_h: float = 24.0
    filled_pct: float = 85.0
    slack_min: float = 10.0
    stands: int = 18
    mixing_place: str = ROOM
    fixed_min: float = 60.0
    wet_min: float = 0.0
    moving_min: float = 0.0


@dataclass(frozen=True)
class Prices:
    """What counts, in this order (house rule). Multiples of 25, so that a bound can be rounded up.

    missed: a window; late_day, day: a shop day, for each step of priority; dearer_day: added to
    ``day`` after each ``dearer_after`` shop days of waiting, so that no big part is starved; mix;
    move: a step moved from the agreed plan, double for one of today or tomorrow.
    """

    missed: int = 5000
    late_day: int = 1000
    day: int = 100
    dearer_day: int = 25
    dearer_after: int = 10
    mix: int = 25
    move: int = 25


@dataclass(frozen=True)
class PainterFigures:
    """A painter: whether trained for isocyanate, and the times away, from..to."""

    name: str
    trained: bool = True
    away: tuple[tuple[datetime, datetime], ...] = ()


LengthOf = Callable[[Part, StepRecord], LabourTime]
FiguresOf = Callable[[Part, StepRecord], StepFigures]
PaintOf = Callable[[Part, StepRecord], float | None]
"""Give the ml of mixed paint of a coat on all pieces, None where nobody can know it."""


@dataclass(frozen=True)
class PlanInputs:
    """The bench at ``now``, and every figure a plan is built from.

    around: readings, hours, products. jobs: by the tag of the part. left_ml: in each open pot, by
    its letter. masks_until: when the clearance time of what was sprayed ends, None where it is
    over. plan: the agreed one, None without. line: the newest entry of the log when all this was
    read. days: how far is planned, from today.
    """

    now: datetime
    parts: tuple[Part, ...]
    around: Environment
    painters: tuple[PainterFigures, ...]
    length_of: LengthOf
    figures_of: FiguresOf
    paint_of: PaintOf
    jobs: Mapping[str, Job] = field(default_factory=dict)
    pots: tuple[Pot, ...] = ()
    left_ml: Mapping[str, float] = field(default_factory=dict)
    equipment: tuple[Equipment, ...] = ()
    tools: Mapping[str, SprayTool] = field(default_factory=dict)
    shapes: Mapping[str, Shape] = field(default_factory=dict)
    shop: ShopFigures = ShopFigures()
    prices: Prices = Prices()
    masks_until: datetime | None = None
    plan: WorkPlan | None = None
    line: int = 0
    days: int = PLAN_DAYS

    @cached_property
    def agreed_by_two(self) -> frozenset[tuple[str, int]]:
        """Give the steps that more than one painter has in the plan that is agreed."""
        steps = self.plan.steps if self.plan else ()
        return frozenset((step.tag, step.number) for step in steps if len(step.painters) > 1)

    @cached_property
    def agreed(self) -> Mapping[tuple[str, int], datetime]:
        """Give when each step begins in the plan that is agreed, by tag and step number."""
        begins: dict[tuple[str, int], datetime] = {}
        for step in self.plan.steps if self.plan else ():
            begins.setdefault((step.tag, step.number), step.begins)
        return begins


def usual_step_figures(
    record: StepRecord, product: Product | None, tool: SprayTool | None
) -> StepFigures:
    """Give the placeholders of a step: common practice, no source.

    A wash is rinsed at once; a spray gun wants the spray space; what the route calls dusty is, and
    it can be laid down for the break; blasting is done in its cabinet.
    """
    step = record.step
    in_cabinet = CABINET in step.equipment
    sprays = step.kind == "coat" and (
        tool.sprayed if tool else bool(product and product.isocyanate)
    )
    return StepFigures(
        follow_min=0.0 if step.kind == "dwell" else None,
        takes_space=sprays,
        place=CABINET if in_cabinet else ROOM,
        is_dusty="dust" in step.hazards and not in_cabinet,
        can_pause=step.kind == "work" and not step.product and not in_cabinet,
    )
