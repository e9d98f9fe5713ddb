"""A part's steps as a chain of work: what is done in one go, and what is split over several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from bench.process.parts.part import Part, StepRecord
from bench.process.plan.edge_tables import EdgeTables
from bench.process.plan.figures import LabourTime, PlanInputs, StepFigures
from bench.process.plan.grid import Grid, slots_of
from bench.process.plan.mixing import is_mixed, mixing_slots
from bench.process.plan.stages import bands_left, has_window, starts_now
from bench.process.sheets.product import TOO_SOON
from bench.process.stock.equipment import AIR_FED, kinds_needed


@dataclass(frozen=True)
class LeftOut:
    """A part that no plan has, and why, in words."""

    tag: str
    reason: str


@dataclass(frozen=True)
class Work:
    """What is done in one go: one step, steps that follow at once, or a share of a long one.

    slots: of each of its records. mixing: of the pot that its first coat takes, right before that.
    abrading: slots before them, where it is abraded for in any case, the mixing among them. share:
    which of how many shares of one step it is. is_in_hand: it goes on now. by_two: slots for two
    who share it, 0 where they cannot.
    """

    records: tuple[StepRecord, ...]
    figures: StepFigures
    slots: tuple[int, ...]
    labour: tuple[LabourTime, ...]
    mixing: int = 0
    abrading: int = 0
    share: tuple[int, int] = (1, 1)
    is_in_hand: bool = False
    by_two: int = 0

    @property
    def length(self) -> int:
        """Return its slots."""
        return self.abrading + sum(self.slots)

    @property
    def abrading_first(self) -> int:
        """Return the slots before it where its window was missed: abrading, then mixing.

        Who is sprayed from a pot that stands there has the mixing's time to wipe the dust off.
        """
        return slots_of(self.figures.abrading_min) + self.mixing

    @property
    def first(self) -> StepRecord:
        """Return the step it begins with."""
        return self.records[0]

    @property
    def last(self) -> StepRecord:
        """Return the step it ends with."""
        return self.records[-1]


def steps_to_do(part: Part) -> tuple[StepRecord, ...]:
    """Return the steps in hand and to do; a cure is no work."""
    return tuple(r for r in part.steps if r.status in ("todo", "in hand") and r.step.kind != "cure")


def works_of(part: Part, inputs: PlanInputs, tables: EdgeTables) -> tuple[Work, ...] | LeftOut:
    """Return a part's work in order, or why none can be planned."""
    grid = tables.grid
    longest = max((until - since for since, until in grid.stays), default=0)
    blocks = _blocks(part, inputs, tables)
    works: list[Work] = []
    for block in blocks:
        if block.is_in_hand or block.length <= longest:
            works.append(block)
        elif 0 < block.by_two <= longest and not block.figures.can_pause:
            figures = replace(block.figures, hands=2)
            works.append(replace(block, figures=figures, slots=(block.by_two,), by_two=0))
        elif not block.figures.can_pause:
            hours = block.length / 12
            return LeftOut(
                part.tag,
                f"{block.first.step.name} takes {hours:.1f} h, longer than somebody is in "
                f"({longest / 12:.1f} h): split the lot, or type its labour",
            )
        else:
            works += _shares(block, longest)
    return tuple(works)


def _blocks(part: Part, inputs: PlanInputs, tables: EdgeTables) -> list[Work]:
    blocks: list[Work] = []
    for record in steps_to_do(part):
        figures = inputs.figures_of(part, record)
        labour = inputs.length_of(part, record)
        masks_min = inputs.shop.mask_change_min if is_masked(record, inputs) else 0.0
        minutes, by_two = labour.minutes, 0
        if figures.may_be_two and record.status == "in hand" and len(part.on_it()) > 1:
            figures, minutes = replace(figures, hands=2), minutes / 2
        slots = max(1, slots_of(minutes + masks_min))
        if record.status == "in hand" and record.first_at is not None:
            gone_min = (tables.grid.start - record.first_at).total_seconds() / 60
            slots = max(1, slots_of(max(minutes - gone_min, 0.0)))
        product, is_in_hand = (
            inputs.around.products.get(record.step.product),
            record.status != "todo",
        )
        mixing = 0
        if record.step.kind == "coat" and product is not None and is_mixed(product):
            mixing = mixing_slots(product, inputs)
        if figures.may_be_two and figures.follow_min is None and not is_in_hand:
            by_two = max(1, slots_of(minutes / 2 + masks_min))
        work = Work(
            (record,), figures, (slots,), (labour,), mixing, is_in_hand=is_in_hand, by_two=by_two
        )
        before = blocks[-1] if blocks else None
        if not is_in_hand and _is_always_abraded(part, record, before, inputs, tables):
            work = replace(work, abrading=work.abrading_first, by_two=0)
        if before is not None and follows_at_once(before, tables):
            blocks[-1] = _joined(before, work)
        else:
            blocks.append(work)
    return blocks


def _is_always_abraded(
    part: Part, record: StepRecord, before: Work | None, inputs: PlanInputs, tables: EdgeTables
) -> bool:
    """Return whether a coat is abraded for whatever the plan: no window is left, or none is known.

    What was missed before now is no window that a plan misses.
    """
    if record.step.kind != "coat":
        return False
    if before is not None:
        return not has_window([band.word for band in bands_left(tables, before.last)])
    below = part.clock_step()
    if below is not None and not has_window([band.word for band in bands_left(tables, below)]):
        return True
    plain, abraded = starts_now(part, record, tables, inputs.shop.slack_min)
    return not plain and bool(abraded)


def is_masked(record: StepRecord, inputs: PlanInputs) -> bool:
    """Return whether a step is done with an air-fed mask on, by painters trained for it."""
    product = inputs.around.products.get(record.step.product)
    return AIR_FED in kinds_needed(record.step, product)


def follows_at_once(before: Work, tables: EdgeTables) -> bool:
    """Return whether what follows is done at once: it is wanted so, and nothing has to dry."""
    waits = any(band.word in (*TOO_SOON, "shut") for band in bands_left(tables, before.last))
    return before.figures.follow_min == 0 and not waits


def _joined(before: Work, work: Work) -> Work:
    """Return two steps as one block, which is done without a pause."""
    ours, theirs = before.figures, work.figures
    figures = replace(
        theirs,
        hands=max(ours.hands, theirs.hands),
        takes_space=ours.takes_space or theirs.takes_space,
        is_dusty=ours.is_dusty or theirs.is_dusty,
        abrading_min=ours.abrading_min,
        can_pause=False,
    )
    return replace(
        before,
        records=before.records + work.records,
        figures=figures,
        slots=before.slots + work.slots,
        labour=before.labour + work.labour,
        by_two=0,
    )


def _shares(block: Work, longest: int) -> Iterator[Work]:
    """Split work that may be laid down over several stays, in equal shares of half a stay."""
    count = -(-block.length // max(1, longest // 2))
    for n in range(count):
        slots = block.length * (n + 1) // count - block.length * n // count
        by_two = -(-slots // 2) if block.by_two else 0
        yield replace(block, slots=(slots,), share=(n + 1, count), by_two=by_two)


def first_face_of(part: Part, works: Sequence[Work], place: int) -> tuple[int, datetime | None]:
    """Return the work in which the first face of the coat lies that work ``place`` ends with.

    With it, when that face was done, where it is over: then the place says nothing.
    """
    record = works[place].last
    begun = place
    while works[begun].share[0] > 1:
        begun -= 1
    if record.first_at is not None and record.status == "in hand":
        return begun, part.coat_first_at(record)
    if not record.step.continues:
        return begun, None
    mist = _mist_before(part, record)
    if mist is None:
        return begun, None
    if mist.first_at is not None:
        return begun, part.coat_first_at(mist)
    here = next(n for n, work in enumerate(works) if mist in work.records)
    return (here, None) if here == place else first_face_of(part, works[: here + 1], here)


def _mist_before(part: Part, record: StepRecord) -> StepRecord | None:
    """Return the coat that a build goes on with, done or to be done; None where it has none."""
    earlier = [r for r in part.steps if r.number < record.number]
    before = next((r for r in reversed(earlier) if r.status != "struck"), None)
    is_coat = before is not None and before.step.kind == "coat" and before.status != "skipped"
    return before if is_coat else None


def longest_in_hand(works: Sequence[Work], grid: Grid) -> int:
    """Return the slot by which what goes on now has ended."""
    return min(max((w.length for w in works if w.is_in_hand), default=1), grid.horizon)
