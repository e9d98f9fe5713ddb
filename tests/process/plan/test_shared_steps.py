"""What one painter does or two share: from what is typed to the plan with its names.

Hours 07:30-17:30 are 120 slots of 288 a day. Minutes are invented; "file" and "coat a" are for one
or two.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest

from bench.process.plan import building, checking, embedded, slot_sets
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.agreed_schedule import agreed_schedule
from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.chains import LeftOut
from bench.process.plan.column import Wish
from bench.process.plan.crew import crew, turns_of
from bench.process.plan.drafting import draft
from bench.process.plan.figures import PainterFigures, StepFigures
from bench.process.plan.going_on import fix_agreed, let_go
from bench.process.plan.means import AIR_L_MIN
from bench.process.plan.neighbourhoods import near
from bench.process.plan.placing import Placer
from bench.process.plan.problem import BY_TWO, PLAIN, ByTwo, Placed, Schedule, Stage, Wait
from bench.process.plan.referee import Limits, prove
from bench.process.plan.unflushed import Unflushed
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step
from bench.process.stock.equipment import COMPRESSOR, Equipment

from ..making import band
from . import test_known_best as known_best
from .asking import contradictions, random_inputs
from .test_building import GLOSS, MASK, NOW, PAINT, PRIMER, coat, done, inputs, part, work
from .test_going_on import means

UNA, BO = PainterFigures("Una"), PainterFigures("Bo")
EITHER = StepFigures(may_be_two=True)


def bench(*parts: object, file: StepFigures = EITHER, **more: object) -> BuiltPlan:
    """Build parts whose steps "file" and "a" are for one or two."""
    figures = {"file": file, "a": file}
    return build(inputs(*parts, **({"figures": figures} | more)))  # type: ignore[arg-type]


def two(plan: BuiltPlan, number: int = 0) -> ByTwo:
    """Return how two do a task."""
    found = plan.problem.tasks[number].by_two
    assert found is not None
    return found


def shared(plan: BuiltPlan) -> list[int]:
    """Return the tasks that two may share."""
    return [n for n, task in enumerate(plan.problem.tasks) if task.by_two is not None]


def held(plan: BuiltPlan, number: int = 0) -> dict[str, int]:
    """Return what two hold who share a task."""
    keys = [resource.key for resource in plan.problem.resources]
    return {keys[hold.resource]: hold.amount for hold in two(plan, number).holds}


@pytest.mark.parametrize(("minutes", "alone", "together"), [(60, 12, 6), (35, 7, 4), (5, 1, 1)])
def test_two_take_half_the_minutes_in_whole_slots_and_can_begin_later(
    minutes: float, alone: int, together: int
) -> None:
    plan = bench(part(work("file")), minutes={"file": minutes})
    task, by_two = plan.problem.tasks[0], two(plan)
    assert (task.length, by_two.length, held(plan)["hands"]) == (alone, together, 2)
    for starts, length in ((task.starts, alone), (by_two.starts, together)):
        assert slot_sets.last(starts & slot_sets.between(0, 288)) == 120 - length


def test_changing_masks_is_not_halved_and_two_have_a_mask_each() -> None:
    two_masks = (MASK, replace(MASK, key="n"))
    of = part(coat("a", "iso"))
    plan = bench(of, minutes={"a": 60.0}, equipment=two_masks)
    assert (plan.problem.tasks[0].length, two(plan).length) == (13, 7)
    assert held(plan)["air-fed set"] == 2
    assert shared(bench(of, equipment=(MASK,))) == [], "there is one mask"
    untrained = replace(BO, trained=False)
    assert shared(bench(of, equipment=two_masks, painters=(UNA, untrained))) == []
    third = PainterFigures("Cy")
    plan = bench(of, equipment=two_masks, painters=(UNA, untrained, third))
    assert held(plan)["trained hands"] == 2


@pytest.mark.parametrize(("gives", "is_shared"), [(339.0, False), (340.0, True)])
def test_two_draw_twice_the_air(gives: float, *, is_shared: bool) -> None:
    """A mask draws 170 l/min."""
    air = Equipment("c", "Compressor", COMPRESSOR, gives_l_min=gives)
    plan = bench(part(coat("a", "iso")), equipment=(MASK, replace(MASK, key="n"), air))
    assert shared(plan) == ([0] if is_shared else [])
    assert not is_shared or held(plan)[AIR_L_MIN] == 340


FEW_BANDS: Product = replace(PAINT, bands=(band("flash", 20), band("key")))


@pytest.mark.parametrize(
    ("steps", "more"),
    [
        ((work("file"),), {"file": StepFigures()}),
        ((work("file"),), {"file": StepFigures(hands=2)}),
        ((work("file"),), {"painters": (UNA,)}),
        ((work("file"), work("b")), {"file": replace(EITHER, follow_min=10)}),
        ((work("file"), work("b")), {"file": replace(EITHER, follow_min=0)}),
        ((coat("b"), coat("a")), {"paints": (FEW_BANDS,)}),
    ],
    ids=["one", "two", "alone in the shop", "followed soon", "in one go", "abraded in any case"],
)
def test_nothing_is_shared_where_it_was_not_typed_or_cannot_be(
    steps: tuple[Step, ...], more: dict[str, object]
) -> None:
    assert shared(bench(part(*steps), **more)) == []  # type: ignore[arg-type]


def test_what_is_too_long_for_one_is_for_two_and_what_can_pause_is_shared_part_by_part() -> None:
    plan = bench(part(work("file")), minutes={"file": 700.0})
    task = plan.problem.tasks[0]
    assert (task.length, task.holds[0].amount, task.by_two) == (70, 2, None)
    assert bench(part(work("file")), minutes={"file": 1300.0}).left_out == (
        LeftOut(
            "1", "file takes 21.7 h, longer than somebody is in (10.0 h): split the lot, or type "
            "its labour",
        ),
    )  # fmt: skip
    paused = bench(part(work("file")), file=replace(EITHER, can_pause=True), minutes={"file": 905})
    assert [task.length for task in paused.problem.tasks] == [45, 45, 45, 46]
    assert [two(paused, n).length for n in range(4)] == [23, 23, 23, 23]


@pytest.mark.parametrize(("who", "length", "hands"), [(("Una",), 12, 1), (("Una", "Bo"), 4, 2)])
def test_what_goes_on_is_for_those_who_are_on_it(
    who: tuple[str, ...], length: int, hands: int
) -> None:
    """Of 80 min, begun 20 min ago."""
    of = part(work("file"))
    begun = replace(
        of.steps[0], status="in hand", first_at=NOW - timedelta(minutes=20), painters=who
    )
    plan = bench(replace(of, steps=(begun, *of.steps[1:])), minutes={"file": 80.0})
    task = plan.problem.tasks[0]
    assert (task.length, task.holds[0].amount, task.by_two) == (length, hands, None)


def test_a_start_that_leaves_a_window_by_two_alone_is_theirs() -> None:
    """The coat of 4 h opens 20 min after its end and closes 4 h after its beginning, less slack."""
    tight = replace(PAINT, bands=(band("flash", 20), band("open", 240), band("key")))
    plan = bench(part(coat("a"), coat("b")), paints=(tight,), minutes={"a": 240.0})
    alone, together = plan.problem.tasks[0].starts, two(plan).starts
    assert (alone, slot_sets.first(together)) == (0, 0)
    assert plan.no_window == {}
    schedule = embedded.plan(plan.problem, Random(1), 3)
    first, second = schedule.placed
    assert first is not None
    assert second is not None
    assert (first.by_two, second.is_abraded) == (True, False)


def test_two_wait_for_what_is_below_as_one_does() -> None:
    """It flashes off for 20 min, and was sprayed 5 min ago."""
    below = done(part(coat("b"), coat("a")), 1, NOW - timedelta(minutes=5), NOW)
    plan = bench(below)
    for starts in (plan.problem.tasks[0].starts, two(plan).starts):
        assert slot_sets.first(starts) == 4


def test_neither_one_nor_two_end_where_it_would_never_dry(monkeypatch: pytest.MonkeyPatch) -> None:
    never = slot_sets.between(50, 121)
    monkeypatch.setattr(building, "ends_that_never_dry", lambda *_: never)
    plan = bench(part(work("file")))
    for starts, length in ((plan.problem.tasks[0].starts, 6), (two(plan).starts, 3)):
        assert slot_sets.last(starts & slot_sets.between(0, 288)) == 49 - length


def test_a_wet_part_that_two_sprayed_leaves_the_space_like_any_other() -> None:
    moved = replace(EITHER, takes_space=True, stays_min=30, moving_min=10)
    plan = bench(part(coat("a")), file=moved)
    space = [resource.key for resource in plan.problem.resources].index("spray spaces")
    task = plan.problem.tasks[0]
    for holds in (task.holds, two(plan).holds):
        assert [hold.after for hold in holds if hold.resource == space] == [0]
    assert task.carrying is not None


TWO = (part(work("file")), part(work("c"), tag="2"))


def test_a_plan_names_both_and_is_put_back_as_it_was_agreed() -> None:
    asked = inputs(*TWO, figures={"file": EITHER})
    built, schedule = build(asked), Schedule((Placed(0, by_two=True), Placed(3)))
    assert crew(built, schedule, asked) == (("Una", "Bo"), ("Una",))
    cost = checking.cost(built.problem, schedule)
    drafted = draft(built, asked, schedule, cost, WorkPlan(NOW, 1, NOW, ()))
    [first, _] = drafted.plan.steps
    assert (first.painters, first.ends) == (("Una", "Bo"), NOW + timedelta(minutes=15))
    assert agreed_schedule(built, drafted.plan) == schedule
    alone = replace(drafted.plan, steps=(replace(first, painters=("Bo",)),))
    assert agreed_schedule(built, alone).placed[0] == Placed(0)


@pytest.mark.parametrize(
    ("who", "length", "hands"), [(("Una", "Bo"), 3, 2), (("Una",), 6, 1), ((), 6, 1)]
)
def test_what_is_agreed_for_the_next_hour_is_fixed_for_as_many_as_it_was_agreed_for(
    who: tuple[str, ...], length: int, hands: int
) -> None:
    begins = NOW + timedelta(minutes=20)
    step = AgreedStep("1", 1, "file", begins, begins + timedelta(minutes=30), who)
    asked = inputs(*TWO, figures={"file": EITHER}, plan=WorkPlan(NOW, 1, NOW, (step,)))
    built = build(asked)
    task = built.problem.tasks[0]
    assert (task.fixed, task.by_two) == (4, None)
    assert (task.length, task.holds[0].amount) == (length, hands)
    schedule = embedded.plan(built.problem, Random(1), 2)
    assert checking.faults(built.problem, schedule) == ()
    assert len(crew(built, schedule, asked)[0]) == hands
    away = replace(UNA, away=((NOW, NOW + timedelta(minutes=40)),))
    free = build(replace(asked, painters=(away, BO))).problem.tasks[0]
    assert (free.fixed, free.by_two is not None) == ((None, True) if hands == 2 else (4, False))


def test_what_is_let_go_can_be_shared_again() -> None:
    """Agreed for two at slot 3, and followed by 7 at the latest, when nobody is in."""
    free = known_best.choice(6, 3, was=3)
    later = known_best.work(1, slot_sets.between(12, known_best.SLOTS))
    soon = Stage(known_best.TABLE, [slot + 5 for slot in known_best.TABLE])
    waits = (Wait(0, 0, 1, (soon,)),)
    problem = known_best.bench([free, later], waits=waits, **known_best.other(1))
    for who in ((), (0,)):
        tasks = list(problem.tasks)
        fix_agreed(tasks, waits, (), (), means((2,)), 12, who)
        assert tasks[0].fixed == 3
        assert tasks[0].length == (3 if who else 6)
        found, gone = let_go(replace(problem, tasks=tuple(tasks)), problem.tasks)
        assert (gone, found.tasks) == ((0,), problem.tasks)


def test_what_two_spray_is_carried_out_where_one_would_be_too_late_for_the_next() -> None:
    """Alone it is out an hour after its window closed; by two it is out in time."""
    tight = replace(PAINT, bands=(band("flash", 20), band("open", 240), band("key")))
    moved = replace(EITHER, takes_space=True, stays_min=30, moving_min=10)
    more = {"paints": (tight,), "minutes": {"a": 240.0}}
    steps = part(coat("a"), coat("b"))
    figures = {"a": moved, "b": replace(moved, may_be_two=False)}
    assert bench(steps, figures=figures, **more).problem.tasks[0].carrying is not None
    alone = figures | {"a": replace(moved, may_be_two=False)}
    assert bench(steps, figures=alone, **more).problem.tasks[0].carrying is None


def test_near_to_where_it_is_two_may_do_it_too() -> None:
    problem = known_best.bench([known_best.choice(6, 3)], **known_best.other(1))
    close = near(problem, Schedule((Placed(5),)), [0], 2).tasks[0]
    assert close.by_two is not None
    assert close.starts == close.by_two.starts == slot_sets.between(3, 8)


def test_two_are_asked_for_where_one_finds_room_for_as_long() -> None:
    problem = known_best.bench(
        [known_best.work(3, 1)], [known_best.choice(3, 3)], **known_best.other(1)
    )
    placer = Placer(problem)
    room = placer.room()
    assert placer.place(room, 0, Wish())
    assert [room.work_meeting(1, way) & 1 for way in (PLAIN, BY_TWO)] == [0, 1]


def test_two_are_asked_for_in_what_is_free_before_a_gun_is_cleaned() -> None:
    """A coat from 1 to 3, its gun cleaned then, and work of one from 6 to 9."""
    problem = known_best.bench(
        [known_best.coat(2, 100, starts=0b10)],
        [known_best.choice(6, 3)],
        [known_best.work(3, 1 << 6)],
        paints=(known_best.paint(1000),),
        **known_best.other(1),
    )
    placer = Placer(problem)
    room = placer.room()
    assert all(placer.place(room, piece, Wish()) for piece in (0, 2))
    met = Unflushed(room, room.pots[0]).work_meeting(1, BY_TWO)
    assert [met >> start & 1 for start in (2, 3, 4)] == [1, 0, 1]


def test_the_planners_choose_and_every_begin_is_allowed_by_the_bench() -> None:
    """Random benches: what two share has two names, and what is begun the bench allows."""
    counted = {True: 0, False: 0}
    for seed in (1, 4, 7, 10, 13, 16):
        asked = replace(random_inputs(Random(seed)), painters=(UNA, BO))
        built = build(asked)
        schedule = embedded.plan(built.problem, Random(1), 2)
        assert checking.faults(built.problem, schedule) == ()
        assert not [*contradictions(asked, built, schedule)], f"bench {seed}"
        names = crew(built, schedule, asked)
        for turn in turns_of(built, schedule):
            placed = schedule.placed[turn.task]
            if placed is None or turn.is_after or built.problem.tasks[turn.task].fixed == 0:
                continue
            counted[placed.by_two] += 1
            assert turn.hands == len(names[turn.task]) == 1 + placed.by_two, f"bench {seed}"
    assert min(counted.values()) > 5, counted


def test_the_referee_proves_what_is_shared() -> None:
    asked = inputs(*TWO, part(coat("a"), tag="3"), paints=(PRIMER, GLOSS))
    asked = replace(asked, figures_of=lambda *_: EITHER)
    built = build(asked)
    hint = embedded.plan(built.problem, Random(1), 2)
    proof = prove(built.problem, hint, Limits())
    assert proof.schedule is not None
    assert checking.faults(built.problem, proof.schedule) == ()
    assert (
        checking.cost(built.problem, proof.schedule).price
        <= checking.cost(built.problem, hint).price
    )
