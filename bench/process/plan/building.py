"""From the bench as it stands to the question a plan answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from operator import lt

from bench.process.ahead.lookahead import NO_WINDOW
from bench.process.parts.part import Part
from bench.process.plan import slot_sets
from bench.process.plan.built import BuiltPlan, StepOfTask, TaskOf
from bench.process.plan.chains import (
    LeftOut,
    Work,
    first_face_of,
    is_masked,
    longest_in_hand,
    works_of,
)
from bench.process.plan.edge_tables import EdgeTables
from bench.process.plan.figures import PlanInputs
from bench.process.plan.following import Following
from bench.process.plan.going_on import allow_what_goes_on, fix_agreed, let_go
from bench.process.plan.grid import Grid, slots_of
from bench.process.plan.means import (
    HANDS,
    STANDS,
    crew_of,
    day_limits,
    holds_of,
    means_of,
    shared_holds_of,
)
from bench.process.plan.mixing import is_mixed
from bench.process.plan.no_window import (
    NeverDries,
    ends_that_never_dry,
    with_identity,
)
from bench.process.plan.paints import amount_of, open_pots, paint_of
from bench.process.plan.places import Places
from bench.process.plan.problem import (
    BY_TWO,
    PLAIN,
    WAYS,
    ByTwo,
    Crew,
    Paint,
    Piece,
    Problem,
    Stage,
    Task,
    Wait,
    Weights,
)
from bench.process.plan.stages import starts_now
from bench.process.plan.tasks import Domains, agreed_slot
from bench.process.plan.wet_parts import WetParts
from bench.process.plan.which_parts import against_planning
from bench.process.wording.time_text import doubt_mark


def build(inputs: PlanInputs) -> BuiltPlan:
    """Build the question a plan of the bench answers, with the way back.

    Parts that no plan can have are left out, each with its reason.
    """
    grid = Grid.of(inputs.now, inputs.days, inputs.around.hours)
    return _Builder(inputs, grid).build()


@dataclass
class _Builder:
    """Gathers the tasks, waits and pieces, part by part."""

    inputs: PlanInputs
    grid: Grid
    tasks: list[Task] = field(default_factory=list)
    named: list[TaskOf] = field(default_factory=list)
    waits: list[Wait] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    assumed: dict[str, None] = field(default_factory=dict)
    paint_places: dict[str, str] = field(default_factory=dict)
    no_window: dict[tuple[str, int], str] = field(default_factory=dict)

    def build(self) -> BuiltPlan:
        inputs, grid = self.inputs, self.grid
        self.tables = EdgeTables(grid, inputs.around)
        chains = [(part, self._works(part)) for part in inputs.parts]
        planned = [(part, works) for part, works in chains if works]
        busy = max((longest_in_hand(works, grid) for _, works in planned), default=1)
        self.tables = EdgeTables(grid, inputs.around, (0, busy))
        self.means, self.places = means_of(inputs, grid), Places(inputs)
        self.wet = WetParts(self.means)
        self.wet.take_standing(inputs.parts, inputs)
        self.domains = Domains(inputs, grid)
        self.following = Following(inputs, self.tables)
        for part, works in planned:
            self._add(part, works)
        paints = self._paints()
        standing = open_pots(inputs.pots, {p.key: n for n, p in enumerate(paints)}, inputs, grid)
        self._take_stands()
        allow_what_goes_on(self.tasks, self.means)
        pots = tuple(pot for _, pot in standing)
        soon, free = slots_of(inputs.shop.fixed_min), tuple(self.tasks)
        together = self._agreed_by_two()
        fix_agreed(self.tasks, self.waits, paints, pots, self.means, soon, together)
        longest = max((t.length * t.holds[0].amount for t in self.tasks), default=0)
        problem = Problem(
            horizon=grid.horizon,
            resources=self.means.resources(),
            tasks=tuple(self.tasks),
            waits=tuple(self.waits),
            pieces=tuple(self.pieces),
            paints=paints,
            open_pots=pots,
            day_limits=day_limits(inputs, grid, self.means, longest),
            weights=Weights(inputs.prices.missed, inputs.prices.mix),
            crew=self._crew(),
        )
        problem, gone = let_go(problem, free)
        return BuiltPlan(
            problem,
            grid,
            tuple(self.named),
            tuple(letter for letter, _ in standing),
            tuple(self.left_out),
            tuple(self.assumed),
            self.no_window,
            gone,
        )

    # --- which parts -----------------------------------------------------------------------------

    def _works(self, part: Part) -> tuple[Work, ...]:
        """Return a part's works; none where it is left out."""
        reason = against_planning(part, self.inputs)
        works = works_of(part, self.inputs, self.tables)
        if reason:
            self.left_out.append(LeftOut(part.tag, reason))
            return ()
        if isinstance(works, LeftOut):
            self.left_out.append(works)
            return ()
        return works

    # --- one part --------------------------------------------------------------------------------

    def _add(self, part: Part, works: Sequence[Work]) -> None:
        """Add a part; where one of its steps would never dry, leave it out."""
        tasks, waits = len(self.tasks), len(self.waits)
        try:
            self._add_works(part, works, tasks)
        except NeverDries as never:
            del self.tasks[tasks:], self.named[tasks:], self.waits[waits:]
            self.left_out.append(LeftOut(part.tag, f"{never.step}: {NO_WINDOW}"))
        else:
            self._add_piece(part, works, tasks)

    def _add_works(self, part: Part, works: Sequence[Work], first: int) -> None:
        for place, work in enumerate(works):
            stages = self.following.stages(part, works, place) if place else ()
            if place:
                stages = self._leave_space(works, place, stages, first)
            if stages:
                self._keep_window(part, works, place, stages, first)
            self._add_task(part, work, len(self.pieces), place, stages)
            self._keep_dry(part, work, first + place)
            if place:
                self._add_waits(part, works, place, stages, first)
                self._wait_to_be_out(works, place, first)
        self._leave_space(works, len(works), (), first)

    def _wait_to_be_out(self, works: Sequence[Work], place: int, first: int) -> None:
        """Let a coat wait until its part is out of the space from one that is not right before."""
        if not works[place].figures.takes_space or works[place - 1].figures.takes_space:
            return
        earlier = (n for n in range(place - 1, -1, -1) if works[n].figures.takes_space)
        before = next(earlier, None)
        if before is None or (carrying := self.tasks[first + before].carrying) is None:
            return
        at_once = Stage(range(self.grid.horizon + 1))
        stages = (at_once, replace(at_once, abraded=True))
        once_out = self.wet.stages_once_out(carrying, works[place], stages)
        self.waits.append(Wait(first + before, first + before, first + place, once_out))

    def _leave_space(
        self, works: Sequence[Work], place: int, stages: tuple[Stage, ...], first: int
    ) -> tuple[Stage, ...]:
        """Let the part leave its spray space before a work; return where that can then begin."""
        after = works[place] if place < len(works) else None
        number = first + place - 1
        task = self.wet.left(self.tasks[number], works[place - 1], after, stages)
        self.tasks[number] = task
        if task.carrying is None or after is None or not after.figures.takes_space:
            return stages
        return self.wet.stages_once_out(task.carrying, after, stages)

    def _add_piece(self, part: Part, works: Sequence[Work], first: int) -> None:
        ready = self.following.readiness(part, works)
        self.pieces.append(
            Piece(
                key=part.tag,
                tasks=tuple(range(first, len(self.tasks))),
                done_day=ready.done_day,
                price=ready.price,
                promised_day=ready.promised_day,
                priority=ready.weight,
                stand=self.means.number(STANDS),
                is_on_stand=part.stand is not None,
                stand_after=slots_of(self.inputs.shop.handling_h * 60),
            )
        )

    def _add_task(
        self, part: Part, work: Work, piece: int, place: int, stages: Sequence[Stage]
    ) -> None:
        record, product = work.first, self.inputs.around.products.get(work.first.step.product)
        abrading = work.abrading_first
        starts_at: tuple[int, int] | None = None
        may_abrade = any(stage.abraded for stage in stages)
        if place == 0 and not work.is_in_hand:
            starts_at = starts_now(part, record, self.tables, self.inputs.shop.slack_min)
            if work.abrading and not starts_at[0]:
                starts_at = starts_at[1], 0
            may_abrade = bool(starts_at[1])
        starts = self.domains.starts_of(part, work, abrading=abrading if may_abrade else 0)
        plain, abraded, two = starts.plain, starts.abraded, starts.by_two
        if starts_at is not None:
            plain &= starts_at[0]
            abraded &= starts_at[1]
            two &= starts_at[0]
        paint, ml, mixes, opening = None, 0, 1, 0
        if record.step.kind == "coat" and product is not None and is_mixed(product):
            paint = self._paint_number(product.key, work.figures.place)
            amount = amount_of(part, record, self.inputs)
            if amount.assumed:
                self.assumed[f"tag {part.tag}, {record.step.name}: {amount.ml}? ml"] = None
            ml, mixes = amount.ml, -(-amount.ml // int(self.inputs.shop.cup_ml))
            opening = self.domains.opening_starts(work.mixing, isocyanate=product.isocyanate)
        was = agreed_slot(self.inputs.agreed.get((part.tag, record.number)), self.grid)
        soon = was is not None and self.grid.shop_day_of[was] <= 1
        move = self.inputs.prices.move
        task = Task(
            piece=piece,
            number=place,
            length=work.length,
            starts=1 if work.is_in_hand else plain,
            abraded_starts=0 if work.is_in_hand else abraded,
            abrading=abrading if abraded else 0,
            lead=work.abrading if paint is not None else 0,
            longer=starts.longer,
            longer_starts=0 if work.is_in_hand else starts.longer_starts & plain,
            holds=holds_of(work, self.inputs, self.means),
            airs=self.places.airs_of(part, work),
            paint=None if work.is_in_hand else paint,
            ml=ml,
            mixes=mixes,
            opening_starts=opening,
            fixed=0 if work.is_in_hand else None,
            was=was if work.share[0] == 1 and not work.is_in_hand else None,
            move_price=(2 * move if soon else move) if was is not None else 0,
            by_two=self._by_two(work, two),
        )
        self.tasks.append(task)
        self.named.append(self._name(part, work))

    def _by_two(self, work: Work, starts: int) -> ByTwo | None:
        """Return how two share a work; None where they cannot."""
        holds = shared_holds_of(work, self.inputs, self.means) if work.by_two else ()
        return ByTwo(work.by_two, starts, holds) if holds and starts else None

    def _name(self, part: Part, work: Work) -> TaskOf:
        steps, offset = [], work.abrading
        for record, slots, labour in zip(work.records, work.slots, work.labour, strict=True):
            steps.append(StepOfTask(record.number, record.step.name, offset, slots, work.share))
            offset += slots
            if not labour.past_steps and not work.figures.typed:
                self.assumed[f"{record.step.name}: {labour.minutes:g}? min"] = None
        doubt = doubt_mark(not all(labour.past_steps for labour in work.labour))
        masked = any(is_masked(record, self.inputs) for record in work.records)
        return TaskOf(part.tag, tuple(steps), doubt, masked, work.abrading)

    # --- from one work to the next ---------------------------------------------------------------

    def _add_waits(
        self, part: Part, works: Sequence[Work], place: int, stages: tuple[Stage, ...], first: int
    ) -> None:
        begun, _ = first_face_of(part, works, place - 1)
        if works[place].share[0] > 1:
            begun = place - 1
        before, after = first + place - 1, first + place
        own = Wait(before, first + begun, after, stages)
        follow = works[place - 1].figures.follow_min
        waited = any(stage.opens[n] > n for stage in stages for n in (0, self.grid.horizon // 2))
        if follow is None or works[place].share[0] > 1 or waited:
            self.waits.append(own)
            return
        task, same = self.tasks[before], range(self.grid.horizon + 1)
        never, later = self.grid.never, task.length + slots_of(follow) + 1
        closes = [
            (n + later if n + later < never else never)
            + (task.longer if task.longer_starts >> n & 1 else 0)
            for n in same
        ]
        if own.first == before:
            soon = (
                replace(stage, closes=closes, closes_aged=False)
                if stage.closes is None
                else replace(stage, closes=[*map(min, stage.closes, closes)])
                for stage in stages
            )
            self.waits.append(replace(own, stages=tuple(soon)))
            return
        follows = tuple(
            Stage(same, closes, abraded, opens_aged=False, closes_aged=False)
            for abraded in (False, True)
        )
        self.waits += [own, Wait(before, before, after, follows)]

    def _keep_window(
        self, part: Part, works: Sequence[Work], place: int, stages: tuple[Stage, ...], first: int
    ) -> None:
        """Take the starts out of the work before that would leave this one no window.

        Where a mist was begun earlier, its build is begun no later than that.
        """
        number, work = first + place - 1, works[place - 1]
        task = self.tasks[number]
        latest = self.following.latest(task.length, stages)
        if latest is None or task.fixed is not None or works[place].share[0] > 1:
            return
        begun, past_first = first_face_of(part, works, place - 1)
        if past_first is not None:
            in_time = slot_sets.between(0, latest[0])
            self._keep_starts(part, number, work, in_time, in_time >> task.abrading)
        elif begun == place - 1:
            longer = self.following.latest(task.length + task.longer, stages) or latest
            in_time = self.following.in_time(latest)
            plain = task.starts & ~task.longer_starts & in_time
            plain |= task.longer_starts & self.following.in_time(longer)
            together = self.following.latest(task.length_of(BY_TWO), stages) or latest
            by_two = self.following.in_time(together)
            self._keep_starts(part, number, work, plain, in_time >> task.abrading, by_two)
        else:
            mist, opens = (
                self.tasks[first + begun],
                self.following.stages(part, works, begun + 1)[0].opens,
            )
            builds = [min(n, len(opens) - 1) for n in range(mist.length, mist.length + len(opens))]
            early = [opens[n] if opens[n] < len(opens) else 0 for n in builds]
            in_time = slot_sets.slots_where(map(lt, early, latest))
            if mist.fixed is not None or self._keep_starts(
                part, first + begun, work, in_time, in_time >> mist.abrading
            ):
                self.waits.append(Wait(first + begun, first + begun, number, with_identity(latest)))

    def _keep_starts(
        self,
        part: Part,
        number: int,
        work: Work,
        plain: int,
        abraded: int,
        by_two: int | None = None,
    ) -> bool:
        """Keep some of the starts of a task; where that leaves it none, keep them all and say so.

        The next step is then abraded for. by_two: of two who share it, as of one where None.
        """
        task = self.tasks[number]
        kept = (plain, abraded, plain if by_two is None else by_two)
        starts = [task.starts_of(way) & kept[way] for way in WAYS]
        if not any(starts) and any(task.starts_of(way) for way in WAYS):
            self.no_window[part.tag, work.last.number] = work.last.step.name
            return False
        longer = task.longer_starts & starts[PLAIN]
        self.tasks[number] = replace(task.with_starts(starts), longer_starts=longer)
        return True

    def _keep_dry(self, part: Part, work: Work, number: int) -> None:
        """Take the starts out after which what a work leaves would never dry."""
        task, never = self.tasks[number], ends_that_never_dry(part, work.last, self.tables)
        if never and task.fixed is None:
            barred = never >> task.length
            starts, abraded = ~barred, ~(barred >> task.abrading)
            by_two = ~(never >> task.length_of(BY_TWO))
            if not self._keep_starts(part, number, work, starts, abraded, by_two):
                raise NeverDries(work.last.step.name)

    # --- what the parts share --------------------------------------------------------------------

    def _paint_number(self, key: str, place: str) -> int:
        self.paint_places.setdefault(key, place)
        return list(self.paint_places).index(key)

    def _paints(self) -> tuple[Paint, ...]:
        """Return the paints that are mixed, each with what all its coats take."""
        products, number = self.inputs.around.products, self.means.number(HANDS)
        paints = []
        for n, (key, place) in enumerate(self.paint_places.items()):
            total_ml = sum(task.ml for task in self.tasks if task.paint == n)
            paints.append(
                paint_of(
                    products[key], total_ml, number, self.inputs, self.tables, self.places, place
                )
            )
        return tuple(paints)

    def _crew(self) -> Crew | None:
        """Return who works, where they differ; with what goes on now by whom it is."""
        going = [n for n, task in enumerate(self.tasks) if task.fixed == 0 and task.was is None]
        on_it = {part.tag: part.on_it() for part in self.inputs.parts}
        busy = {
            name: self.tasks[n].length for n in going for name in on_it.get(self.named[n].tag, ())
        }
        crew = crew_of(self.inputs, self.means, busy)
        return None if crew is None else replace(crew, going_on=frozenset(going))

    def _agreed_by_two(self) -> set[int]:
        """Return the tasks that two share in the plan that is agreed."""
        agreed = self.inputs.agreed_by_two
        return {n for n, of in enumerate(self.named) if (of.tag, of.steps[0].number) in agreed}

    def _take_stands(self) -> None:
        """Take the stands of parts that are in no plan, and never count fewer than are full."""
        planned = {piece.key for piece in self.pieces}
        others = sum(p.stand is not None and p.tag not in planned for p in self.inputs.parts)
        standing = sum(piece.is_on_stand for piece in self.pieces)
        left = max(self.inputs.shop.stands - others, standing)
        self.means.always(STANDS, left)
