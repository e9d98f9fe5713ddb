"""What there is only so much of: hands, trained hands, spray spaces, equipment, air, stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from bench.process.plan import slot_sets
from bench.process.plan.chains import Work, is_masked
from bench.process.plan.figures import PainterFigures, PlanInputs
from bench.process.plan.grid import Grid, slots_of
from bench.process.plan.problem import Crew, DayLimit, Hold, Person, Resource
from bench.process.stock.equipment import COMPRESSOR, Equipment, kinds_needed

HANDS, TRAINED, SPACES, STANDS = "hands", "trained hands", "spray spaces", "stands"
AIR_L_MIN = "l/min of the compressor"


@dataclass
class Means:
    """The resources of a plan by their keys, each with what there is of it in each slot."""

    grid: Grid
    capacities: dict[str, list[int]] = field(default_factory=dict)

    def add(self, key: str, capacity: Sequence[int]) -> None:
        """Add a resource."""
        self.capacities[key] = list(capacity)

    def always(self, key: str, amount: int) -> None:
        """Add a resource of which there is always as much."""
        self.add(key, [amount] * (self.grid.horizon + 1))

    def take(self, key: str, amount: int, since: int, until: int) -> None:
        """Take so much of a resource from one slot to another, as far as there is any."""
        left = self.capacities[key]
        for slot in range(max(0, since), min(until, self.grid.horizon)):
            left[slot] = max(0, left[slot] - amount)

    def number(self, key: str) -> int:
        """Return the place of a resource."""
        return list(self.capacities).index(key)

    def has(self, key: str) -> bool:
        """Return whether it counts at all."""
        return key in self.capacities

    def resources(self) -> tuple[Resource, ...]:
        """Return them in order."""
        return tuple(Resource(key, tuple(slots)) for key, slots in self.capacities.items())


def hands(grid: Grid, painters: Iterable[PainterFigures]) -> list[int]:
    """Return how many of some painters are in, slot by slot: those away left out."""
    capacity = [0] * (grid.horizon + 1)
    for painter in painters:
        for since, until in slot_sets.runs(here(grid, painter)):
            for slot in range(since, until):
                capacity[slot] += 1
    return capacity


def here(grid: Grid, painter: PainterFigures) -> int:
    """Return the slots in which a painter is in."""
    there = grid.attended
    for gone, back in painter.away:
        first = max(0, grid.down(gone.timestamp()))
        there &= ~slot_sets.between(first, min(grid.up(back.timestamp()), grid.horizon))
    return there


def crew_of(inputs: PlanInputs, means: Means, on_it: Mapping[str, int]) -> Crew | None:
    """Return who works, None where all are trained and away alike.

    on_it: until which slot those are busy who are on something now.
    """
    if len(set(people_of(inputs.painters, means.grid, {}))) <= 1:
        return None
    people = people_of(inputs.painters, means.grid, on_it)
    trained = means.number(TRAINED) if means.has(TRAINED) else None
    return Crew(people, means.number(HANDS), trained)


def people_of(
    painters: Sequence[PainterFigures], grid: Grid, on_it: Mapping[str, int]
) -> tuple[Person, ...]:
    """Return the painters as people, in their order; ``on_it`` as in ``crew_of``."""
    return tuple(
        Person(here(grid, each) & ~slot_sets.between(0, on_it.get(each.name, 0)), each.trained)
        for each in painters
    )


def means_of(inputs: PlanInputs, grid: Grid) -> Means:
    """Return what the shop has. Trained hands count apart only where not everybody is trained."""
    means = Means(grid)
    means.add(HANDS, hands(grid, inputs.painters))
    trained = [painter for painter in inputs.painters if painter.trained]
    if len(trained) < len(inputs.painters):
        means.add(TRAINED, hands(grid, trained))
    means.always(SPACES, inputs.shop.spray_spaces)
    kinds = dict.fromkeys(item.kind for item in inputs.equipment if item.kind != COMPRESSOR)
    for kind in kinds:
        means.always(kind, sum(item.kind == kind for item in inputs.equipment))
    gives = gives_l_min(inputs.equipment)
    if gives is not None:
        means.always(AIR_L_MIN, int(gives))
    means.always(STANDS, inputs.shop.stands)
    return means


def gives_l_min(equipment: Iterable[Equipment]) -> float | None:
    """Return what the compressors give in l/min, None where nobody knows it."""
    gives = [e.gives_l_min for e in equipment if e.kind == COMPRESSOR and e.gives_l_min is not None]
    return sum(gives) if gives else None


def needs_l_min(kinds: Iterable[str], equipment: Sequence[Equipment]) -> float:
    """Return what one of each kind draws in l/min, of each the hungriest."""
    return sum(
        max((e.needs_l_min or 0.0 for e in equipment if e.kind == kind), default=0.0)
        for kind in dict.fromkeys(kinds)
        if kind != COMPRESSOR
    )


def kinds_of(work: Work, inputs: PlanInputs) -> tuple[str, ...]:
    """Return the kinds of equipment that work needs."""
    return tuple(
        dict.fromkeys(
            kind
            for record in work.records
            for kind in kinds_needed(record.step, inputs.around.products.get(record.step.product))
        )
    )


def holds_of(
    work: Work, inputs: PlanInputs, means: Means, *, shared: bool = False
) -> tuple[Hold, ...]:
    """Return what work holds while it lasts; a spray space until the wet part may be moved.

    shared: by two who share it, each with masks and tools of their own.
    """
    figures, each = work.figures, 2 if shared else 1
    here = min(figures.hands, max(means.capacities[HANDS], default=0)) or figures.hands
    holds = [Hold(means.number(HANDS), each if shared else here)]
    if means.has(TRAINED) and any(is_masked(record, inputs) for record in work.records):
        holds.append(Hold(means.number(TRAINED), holds[0].amount))
    if figures.takes_space:
        holds.append(Hold(means.number(SPACES), 1, after=slots_of(figures.stays_min)))
    kinds = kinds_of(work, inputs)
    holds += [Hold(means.number(kind), each) for kind in kinds if means.has(kind)]
    drawn = needs_l_min(kinds, inputs.equipment)
    if drawn and means.has(AIR_L_MIN):
        number = means.number(AIR_L_MIN)
        holds.append(Hold(number, each * min(int(drawn), max(means.capacities[AIR_L_MIN]))))
    return tuple(holds)


def shared_holds_of(work: Work, inputs: PlanInputs, means: Means) -> tuple[Hold, ...]:
    """Return what two hold who share work; nothing where the shop never has that much."""
    holds, capacities = holds_of(work, inputs, means, shared=True), [*means.capacities.values()]
    has_all = all(hold.amount <= max(capacities[hold.resource], default=0) for hold in holds)
    return holds if has_all else ()


def day_limits(inputs: PlanInputs, grid: Grid, means: Means, longest: int) -> tuple[DayLimit, ...]:
    """Return how full each day may be planned; never less than the longest work in one go."""
    capacity, number = means.capacities[HANDS], means.number(HANDS)
    limits = []
    for _, (since, until) in grid.days:
        there = sum(capacity[since:until])
        most = max(int(there * inputs.shop.filled_pct / 100), min(longest, there))
        limits.append(DayLimit(number, since, until, most))
    return tuple(limits)
