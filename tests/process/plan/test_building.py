"""The question of a plan, constraint by constraint: small benches, each with one thing to see.

Hours 07:30-17:30, Saturday 08:00-12:30, 20 C by day and night, so that times are the sheet's own.
Bands, labour and amounts are invented for the test; the rules are the trade's (common practice, no
source) as the bench has them. ``LIFE``: a pot life of 2 h at 20 C.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from random import Random

import pytest

from bench.process.clocks.part_clocks import Environment, clocks_of
from bench.process.clocks.pots import Pot
from bench.process.clocks.temperature import Forecast, Reading
from bench.process.parts.job import Job
from bench.process.parts.part import Part, StepRecord, step_as_finished
from bench.process.plan import checking, embedded, slot_sets
from bench.process.plan.agreed import AgreedStep, WorkPlan
from bench.process.plan.building import build
from bench.process.plan.built import BuiltPlan
from bench.process.plan.figures import (
    LabourTime,
    PainterFigures,
    PlanInputs,
    ShopFigures,
    StepFigures,
    usual_step_figures,
)
from bench.process.plan.problem import Air, Placed, Schedule, Task
from bench.process.plan.readiness import day_price
from bench.process.sheets.product import Band, Product, Until
from bench.process.sheets.route import SprayTool, Step
from bench.process.stock.equipment import Equipment
from bench.trade.mixing import Ratio, Share

from ..making import HOURS, MON, band, product

NOW = MON - timedelta(minutes=30)
"""Monday 07:30: the shop opens, slot 0."""

WARM = replace(HOURS, day_c=20.0, night_c=20.0)
LIFE = ((20.0, 7200.0),)
TWO_PACK = Ratio((Share("base", 4), Share("hardener", 1)))
PAINT = product(band("flash", 20), band("open", 120), band("key"))
PRIMER = replace(PAINT, ratio=TWO_PACK, pot_life=LIFE)
GLOSS = replace(PRIMER, key="iso", isocyanate=True)
MASK = Equipment("m", "Air-fed mask", "air-fed set", 170.0)


def work(name: str, **more: object) -> Step:
    return Step(name, "work", **more)  # type: ignore[arg-type]


def coat(name: str, of: str = "p", **more: object) -> Step:
    return Step(name, "coat", of, **more)  # type: ignore[arg-type]


def part(*steps: Step, tag: str = "1", **more: object) -> Part:
    records = tuple(StepRecord(n, s) for n, s in enumerate((*steps, Step("Cure", "cure")), 1))
    named = (tag, "bracket", 1, "", "", "steel", "plain")
    return Part(*named, int(tag), int(tag), records, **more)  # type: ignore[arg-type]


def done(of: Part, number: int, first: datetime, last: datetime) -> Part:
    steps = list(of.steps)
    steps[number - 1] = step_as_finished(steps[number - 1], first, last)
    return replace(of, steps=tuple(steps))


def inputs(
    *parts: Part, paints: tuple[Product, ...] = (PAINT, GLOSS), **more: object
) -> PlanInputs:
    around = Environment((), WARM, {paint.key: paint for paint in paints})
    figures: dict[str, StepFigures] = more.pop("figures", {})  # type: ignore[assignment]
    minutes: dict[str, float] = more.pop("minutes", {})  # type: ignore[assignment]
    plain: dict[str, object] = {
        "around": around,
        "painters": (PainterFigures("Una"), PainterFigures("Bo")),
        "length_of": lambda _, r: LabourTime(minutes.get(r.step.name, 30.0), 0.35, past_steps=9),
        "figures_of": lambda _, r: figures.get(r.step.name, StepFigures()),
        "paint_of": lambda *_: 100.0,
        "equipment": (MASK,),
        "days": 7,
    }
    return PlanInputs(NOW, parts, **(plain | more))  # type: ignore[arg-type]


def built(*parts: Part, **more: object) -> BuiltPlan:
    return build(inputs(*parts, **more))  # type: ignore[arg-type]


def starts(task: Task, day: int = 0) -> tuple[int, int]:
    """The first and last start of a day, as slots from its 07:30."""
    of_day = task.starts >> 288 * day & slot_sets.between(0, 288)
    return slot_sets.first(of_day), slot_sets.last(of_day)


def held(plan: BuiltPlan, task: int, key: str) -> list[int]:
    keys = [resource.key for resource in plan.problem.resources]
    return [h.amount for h in plan.problem.tasks[task].holds if keys[h.resource] == key]


# --- 1 hours, 14 breaks --------------------------------------------------------------------------


def test_work_and_the_mixing_before_it_stay_within_one_stay() -> None:
    plan = built(part(coat("a")), paints=(PRIMER,), shop=ShopFigures(mixing_min=20))
    task = plan.problem.tasks[0]
    assert starts(task) == (0, 114)
    assert [slot_sets.first(task.opening_starts), plan.problem.paints[0].mixing] == [4, 4]
    assert not task.opening_starts >> 288 & 0b1111


def test_only_work_that_can_pause_runs_over_the_break() -> None:
    noon = Environment((), replace(WARM, lunch=(time(12), time(12, 30))), {"p": PAINT})
    plan = built(
        part(work("file"), coat("a")), around=noon, figures={"file": StepFigures(can_pause=True)}
    )
    file, paint = plan.problem.tasks
    into_it = slot_sets.between(49, 54)
    assert (file.longer, file.longer_starts & slot_sets.between(0, 288)) == (6, into_it)
    assert file.starts & into_it == into_it
    assert not paint.starts & slot_sets.between(49, 60)


def test_a_wash_and_what_rinses_it_are_one_block_and_long_filing_is_split_over_days() -> None:
    wash = Step("wash", "dwell", "w", least_s=600, most_s=900)
    plan = built(
        part(wash, work("rinse"), work("file")),
        figures={"wash": StepFigures(follow_min=0), "file": StepFigures(can_pause=True)},
        minutes={"file": 900.0},
    )
    block, *shares = plan.tasks
    assert [(s.name, s.offset) for s in block.steps] == [("wash", 0), ("rinse", 6)]
    assert [t.length for t in plan.problem.tasks] == [12, 60, 60, 60]
    assert [s.steps[0].share for s in shares] == [(1, 3), (2, 3), (3, 3)]


# --- 2, 3, 4 windows -----------------------------------------------------------------------------


def test_a_coat_opens_after_the_last_face_and_closes_after_the_first_with_slack() -> None:
    plan = built(part(coat("a"), coat("b")))
    window, abraded = plan.problem.waits[0].stages
    assert (window.opens[10], window.closes and window.closes[10]) == (14, 10 + 24 - 2)
    assert (abraded.abraded, abraded.closes, abraded.opens[10]) == (True, None, 14 + 6)


def test_an_opening_is_rounded_up_and_a_closing_down() -> None:
    paint = product(band("flash", 21), band("open", 124), band("key"))
    window = built(part(coat("a"), coat("b")), paints=(paint,)).problem.waits[0].stages[0]
    assert (window.opens[0], window.closes and window.closes[0]) == (5, 24 - 2)


def test_a_forbidden_middle_is_two_stages_and_no_work_minds_it() -> None:
    paint = product(band("flash", 10), band("open", 60), band("shut", 600), band("open"))
    plan = built(part(coat("a"), coat("b"), work("sand")), paints=(paint,))
    into_coat, into_work = (wait.stages for wait in plan.problem.waits)
    assert [(s.opens[0], s.closes and s.closes[0]) for s in into_coat] == [(2, 10), (120, None)]
    assert [(s.opens[0], s.closes) for s in into_work] == [(2, None)]


def test_a_build_is_closed_for_by_the_first_face_of_its_mist() -> None:
    own = (band("flash", 10), band("open", 600), band("key"))
    plan = built(part(coat("mist", bands=own), coat("build", continues=True), coat("b")))
    wait = next(w for w in plan.problem.waits if w.after == 2)
    assert (wait.before, wait.first, wait.after) == (1, 0, 2)
    in_time = [w for w in plan.problem.waits if (w.first, w.after) == (0, 1)]
    assert len(in_time) == 2


def test_in_a_block_the_window_counts_from_the_step_that_leaves_it() -> None:
    wash = Step("wash", "dwell", "w", least_s=600, most_s=900)
    rinse = work("rinse", bands=(band("open", 120), band("key")))
    plan = built(part(wash, rinse, coat("a")), figures={"wash": StepFigures(follow_min=0)})
    closes = plan.problem.waits[0].stages[0].closes
    assert closes is not None
    assert closes[0] == 6 + 24 - 2


def test_a_window_that_is_over_already_is_abraded_for_and_no_plan_misses_it() -> None:
    long_ago = NOW - timedelta(days=2)
    plan = built(done(part(coat("a"), coat("b")), 1, long_ago, long_ago))
    task = plan.problem.tasks[0]
    assert (task.length, bool(task.starts), task.abraded_starts) == (12, True, 0)
    step = plan.steps(Schedule((Placed(0),)))[0]
    assert (step.abrading_from, step.begins) == (NOW, NOW + timedelta(minutes=30))


def test_a_coat_on_one_without_a_window_is_always_abraded_for() -> None:
    closed = product(band("flash", 20), band("key"))
    lengths = {
        paint.bands: [
            t.length for t in built(part(coat("a"), coat("b")), paints=(paint,)).problem.tasks
        ]
        for paint in (closed, PAINT)
    }
    assert lengths == {closed.bands: [6, 6 + 6], PAINT.bands: [6, 6]}


def test_a_next_coat_is_abraded_for_by_what_it_goes_on() -> None:
    closed = product(band("flash", 20), band("key"))
    of = done(part(coat("a"), coat("b")), 1, NOW, NOW)
    lengths = [built(of, paints=(paint,)).problem.tasks[0].length for paint in (closed, PAINT)]
    assert lengths == [6 + 6, 6]


def test_a_block_takes_a_space_where_any_of_it_does() -> None:
    wash = Step("wash", "dwell", "w", least_s=600, most_s=900)
    for taker in ("wash", "rinse"):
        figures = {"wash": StepFigures(follow_min=0), "rinse": StepFigures()}
        figures[taker] = replace(figures[taker], takes_space=True)
        plan = built(part(wash, work("rinse")), figures=figures)
        assert held(plan, 0, "spray spaces") == [1]


def test_the_clock_of_a_part_says_when_its_next_step_may_begin() -> None:
    at = NOW - timedelta(minutes=10)
    of = done(part(coat("a"), coat("b")), 1, at, at)
    task = built(of).problem.tasks[0]
    assert clocks_of(of, Environment((), WARM, {"p": PAINT})).spans[0].end is not None
    assert starts(task) == (2, 110 // 5 - 2 - 1)


def test_what_is_to_follow_soon_is_begun_no_later() -> None:
    plan = built(part(work("blast"), coat("a")), figures={"blast": StepFigures(follow_min=15)})
    (wait,) = plan.problem.waits
    assert [s.closes and s.closes[10] for s in wait.stages] == [10 + 6 + 3 + 1]
    bared = work("blast", bands=(band("open", 60), band("key")))
    for follow_min, closes in ((15, 10 + 6 + 3 + 1), (240, 10 + 12 - 2)):
        figures = {"blast": StepFigures(follow_min=follow_min)}
        (wait,) = built(part(bared, coat("a")), figures=figures).problem.waits
        assert wait.stages[0].closes
        assert wait.stages[0].closes[10] == closes


def test_a_step_that_would_leave_no_window_is_not_begun_then() -> None:
    """80 min of a band that closes in 120: what is begun over a break of an hour ends too late."""
    noon = Environment((), replace(WARM, lunch=(time(12), time(13))), {"p": PAINT})
    bared = work("abrade", bands=(band("open", 120), band("key")))
    plan = built(
        part(bared, coat("a")),
        around=noon,
        figures={"abrade": StepFigures(can_pause=True)},
        minutes={"abrade": 80.0},
    )
    task = plan.problem.tasks[0]
    assert not task.longer_starts
    assert not plan.no_window


# --- 5, 6, 7 what there is only so much of -------------------------------------------------------


def test_hands_are_those_who_are_in_and_not_away() -> None:
    away = (NOW, NOW + timedelta(hours=2))
    painters = (PainterFigures("Una"), PainterFigures("Bo", away=(away,)))
    hands = built(part(work("a")), painters=painters).problem.resources[0]
    assert (hands.key, hands.capacity[23], hands.capacity[24], hands.capacity[120]) == (
        *("hands", 1, 2),
        0,
    )


def test_isocyanate_is_for_trained_hands_and_takes_a_mask_and_five_minutes_to_put_it_on() -> None:
    painters = (PainterFigures("Una"), PainterFigures("Bo", trained=False))
    plan = built(part(coat("gloss", "iso"), coat("plain")), painters=painters)
    assert [held(plan, n, "trained hands") for n in (0, 1)] == [[1], []]
    assert [held(plan, n, "air-fed set") for n in (0, 1)] == [[1], []]
    assert [task.length for task in plan.problem.tasks] == [7, 6]
    keys = [r.key for r in built(part(coat("gloss", "iso"))).problem.resources]
    assert "trained hands" not in keys


def test_two_hands_equipment_air_and_a_space_are_held() -> None:
    things = (
        *(Equipment("g1", "Gun", "gun", 300.0), Equipment("g2", "Gun", "gun", 250.0)),
        Equipment("c", "Compressor", "compressor", gives_l_min=600.0),
    )
    plan = built(
        part(coat("a", equipment=("gun", "compressor"))),
        equipment=things,
        figures={"a": StepFigures(hands=2, takes_space=True, stays_min=45)},
    )
    names = ("hands", "gun", "l/min of the compressor", "spray spaces")
    assert [held(plan, 0, name) for name in names] == [[2], [1], [300], [1]]
    space = next(h for h in plan.problem.tasks[0].holds if h.after)
    assert space.after == 9
    gun = next(r for r in plan.problem.resources if r.key == "gun")
    assert set(gun.capacity) == {2}


# --- 6, 11, 12 the air of a place ----------------------------------------------------------------


def test_isocyanate_bars_who_has_no_mask_in_its_room_until_the_clearance_time_is_over() -> None:
    plan = built(
        *(part(coat("gloss", "iso")), part(work("file"), tag="2"), part(work("saw"), tag="3")),
        figures={"saw": StepFigures(place="yard")},
        shop=ShopFigures(clearance_min=30),
    )
    gloss, file, saw = (task.airs for task in plan.problem.tasks)
    assert gloss[0] == Air(gloss[0].air, 0, after=6)
    assert file == (Air(gloss[0].air, 1),)
    assert saw[0].air != gloss[0].air
    paint = plan.problem.paints[0]
    assert [a.side for a in (*paint.mixing_airs, *paint.flush_airs)] == [0, 0]
    assert paint.flush == 3


def test_work_on_isocyanate_puts_it_into_the_air_too() -> None:
    plan = built(part(coat("gloss", "iso"), work("sand")))
    assert plan.problem.tasks[1].airs[0].side == 0


def test_dust_and_a_coat_that_is_not_dust_dry_do_not_share_a_room() -> None:
    dusty = StepFigures(is_dusty=True)
    plan = built(part(coat("a")), part(work("file"), tag="2"), figures={"file": dusty})
    wet, dust = plan.problem.tasks[0].airs[1], plan.problem.tasks[1].airs[1]
    assert (wet.air, wet.side, wet.after) == (dust.air, 1 - dust.side, 12)


def test_masks_that_are_on_now_and_a_coat_that_is_wet_now_bar_what_they_would() -> None:
    ten = NOW + timedelta(minutes=50)
    wet = done(part(coat("a"), coat("b"), tag="2"), 1, NOW, NOW)
    long_ago = NOW - timedelta(days=40)
    dry = done(part(coat("a"), coat("b"), tag="5"), 1, long_ago, long_ago)
    plan = built(
        *(
            part(work("file")),
            dry,
            wet,
            part(coat("gloss", "iso"), tag="3"),
            part(work("saw"), tag="4"),
        ),
        figures={"file": StepFigures(is_dusty=True)},
        masks_until=ten,
    )
    file, _, _, gloss, saw = plan.problem.tasks
    assert [slot_sets.first(each.starts) for each in (file, gloss, saw)] == [12, 0, 10]


# --- 8, 15 pots ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ml", "coats", "end_min"),
    [(100.0, 1, 120 - 10 - 10), (300.0, 2, 120 * 0.8 - 10 - 10)],
    ids=["2 h, met 10 min before, empty 10 min before its end", "over 500 ml a fifth less"],
)
def test_a_pot_is_empty_before_the_end_of_its_life(ml: float, coats: int, end_min: float) -> None:
    steps = (coat(f"coat {n}") for n in range(coats))
    plan = built(part(*steps), paints=(PRIMER,), paint_of=lambda *_: ml)
    assert plan.problem.paints[0].empty_by[0] == end_min // 5


def test_a_warm_forecast_shortens_the_life_of_a_pot_and_induction_lengthens_the_mixing() -> None:
    hot = Forecast(NOW.date(), 20.0, 30.0, NOW - timedelta(hours=1))
    around = Environment((), replace(WARM, forecasts=(hot,)), {"p": PRIMER})
    plan = built(part(coat("a")), paints=(PRIMER,), around=around)
    assert plan.problem.paints[0].empty_by[0] == (120 / 2.5 - 20) // 5
    rests = replace(PRIMER, induction_s=1800.0)
    assert built(part(coat("a")), paints=(rests,)).problem.paints[0].mixing == 4 + 4


def test_a_mist_takes_its_share_and_a_coat_over_a_cup_is_mixed_for_twice() -> None:
    plan = built(
        part(coat("mist"), coat("build", continues=True)),
        paints=(PRIMER,),
        paint_of=lambda *_: 2500.0,
        shop=ShopFigures(mist_share=0.4, cup_ml=2000),
    )
    assert [(t.ml, t.mixes) for t in plan.problem.tasks] == [(1000, 1), (2500, 2)]


def test_an_unknown_amount_is_assumed_and_said() -> None:
    plan = built(part(coat("a")), paints=(PRIMER,), paint_of=lambda *_: None)
    assert plan.problem.tasks[0].ml == 500
    assert plan.assumed == ("tag 1, a: 500? ml",)


def test_an_open_pot_can_be_used_by_what_is_left_in_it() -> None:
    mixed = NOW - timedelta(minutes=30)
    pot = Pot("A", "p", "paint", mixed, mixed, mixed + timedelta(hours=2), 300.0)
    more: dict[str, object] = {"paints": (PRIMER,), "pots": (pot,)}
    plan = built(part(coat("a")), left_ml={"A": 150.0}, **more)
    assert [(p.left_ml, p.empty_by) for p in plan.problem.open_pots] == [(150, 16)]
    assert plan.open_pots == ("A",)
    assert not built(part(coat("a")), **more).problem.open_pots


# --- 9, 10 stands, what goes on ------------------------------------------------------------------


def test_a_stand_is_full_until_a_part_may_be_handled_and_what_is_in_no_plan_keeps_its_own() -> None:
    plan = built(
        *(part(work("a")), part(work("b"), tag="2", hold="weather")),
        shop=ShopFigures(stands=5, handling_h=12),
    )
    piece = plan.problem.pieces[0]
    assert (piece.is_on_stand, piece.stand_after) == (True, 144)
    assert piece.stand is not None
    assert plan.problem.resources[piece.stand].capacity[0] == 4


def test_what_goes_on_now_is_fixed_and_closes_by_its_real_first_face() -> None:
    of = part(coat("a"), coat("b"))
    begun = replace(of.steps[0], status="in hand", first_at=NOW - timedelta(minutes=20))
    plan = built(replace(of, steps=(begun, *of.steps[1:])), painters=())
    task = plan.problem.tasks[0]
    assert (task.fixed, task.length) == (0, 2)
    closes = plan.problem.waits[0].stages[0].closes
    assert closes is not None
    assert set(closes) == {20 - 2}
    assert plan.problem.resources[0].capacity[:3] == (1, 1, 0)


def agreed_plan(begins: Mapping[tuple[str, int], datetime]) -> WorkPlan:
    """A plan that is agreed, of which only the begins count."""
    steps = (AgreedStep(tag, number, "a step", at, at) for (tag, number), at in begins.items())
    return WorkPlan(NOW, 1, NOW, tuple(steps))


def test_what_is_agreed_for_the_next_hour_is_fixed_where_it_can_be_and_moving_counts() -> None:
    agreed = {
        ("1", 1): NOW + timedelta(minutes=15),
        ("1", 2): NOW + timedelta(minutes=30),
        ("2", 1): NOW + timedelta(days=3),
    }
    plan = built(part(work("a"), work("b")), part(work("c"), tag="2"), plan=agreed_plan(agreed))
    assert [t.fixed for t in plan.problem.tasks] == [3, None, None]
    assert [(t.was, t.move_price) for t in plan.problem.tasks] == [(3, 50), (6, 50), (864, 25)]


def test_an_agreed_step_that_leaves_its_part_no_room_is_let_go() -> None:
    """The wash is agreed for 07:45 to 07:55, and rinsed by 08:00: nobody is in then for a time."""
    of, agreed = part(work("wash"), work("rinse")), {("1", 1): NOW + timedelta(minutes=15)}
    let_go = []
    for away in (timedelta(0), timedelta(hours=2), timedelta(days=9)):
        gone = NOW + timedelta(minutes=25)
        plan = built(
            of,
            plan=agreed_plan(agreed),
            painters=(PainterFigures("Una", away=((gone, gone + away),)),),
            minutes={"wash": 10.0},
            figures={"wash": StepFigures(follow_min=5)},
        )
        found = embedded.plan(plan.problem, Random(1), 1)
        assert checking.faults(plan.problem, found) == ()
        let_go.append((plan.problem.tasks[0].fixed, plan.let_go, found.placed[0] is not None))
    assert let_go == [(3, (), True), (None, (0,), True), (3, (), False)]


def test_who_works_is_said_where_they_are_not_alike() -> None:
    una, bo = PainterFigures("Una"), PainterFigures("Bo", trained=False)
    assert built(part(work("a")), painters=(una, replace(bo, trained=True))).problem.crew is None
    gone = (NOW + timedelta(minutes=50), NOW + timedelta(minutes=75))
    plan = built(part(work("a")), painters=(una, replace(bo, away=(gone,))))
    crew = plan.problem.crew
    assert crew is not None
    keys = [resource.key for resource in plan.problem.resources]
    assert (keys[crew.hands], crew.trained and keys[crew.trained]) == ("hands", "trained hands")
    assert [person.trained for person in crew.people] == [True, False]
    ours, theirs = (person.here for person in crew.people)
    assert ours & ~theirs == slot_sets.between(10, 15)
    going = part(work("a"), work("b"), taken_by=("Una",))
    begun = replace(going.steps[0], status="in hand", first_at=NOW - timedelta(minutes=10))
    now = built(replace(going, steps=(begun, *going.steps[1:])), painters=(una, bo)).problem
    assert now.crew is not None
    assert now.crew.going_on == {0}
    assert [slot_sets.first(person.here) for person in now.crew.people] == [4, 0]


# --- 13 is in ``stays_min`` above; 16 the air ahead, a day that is not planned full --------------


def test_coats_wait_for_the_minimum_of_their_sheet_and_for_the_dew_point() -> None:
    cold = Forecast(NOW.date(), 4.0, 8.0, NOW - timedelta(hours=1))
    chilly = replace(PAINT, limits=replace(PAINT.limits, metal_least_c=10.0))
    around = Environment((), replace(WARM, forecasts=(cold,)), {"p": chilly})
    task = built(part(coat("a")), paints=(chilly,), around=around).problem.tasks[0]
    assert slot_sets.first(task.starts) == 288
    damp = Reading(NOW - timedelta(minutes=5), 20.0, 84.0, 20.0)
    around = Environment((damp,), WARM, {"p": PAINT})
    task = built(part(coat("a")), around=around).problem.tasks[0]
    assert slot_sets.first(task.starts) == 288


@pytest.mark.parametrize(
    ("step", "from_c", "to_c", "first"),
    [
        (coat("a"), 20.0, 36.0, 288),
        (coat("a"), 20.0, 34.0, 0),
        (Step("wash", "dwell", "p", least_s=600, most_s=900), 3.0, 4.0, 288),
        (Step("wash", "dwell", "p", least_s=600, most_s=900), 20.0, 31.0, 288),
        (Step("wash", "dwell", "p", least_s=600, most_s=900), 20.0, 30.0, 0),
        (work("rinse"), 3.0, 36.0, 0),
    ],
)
def test_what_is_expected_to_be_too_cold_or_too_warm_waits_for_the_next_day(
    step: Step, from_c: float, to_c: float, first: int
) -> None:
    """The coat's sheet says at most 35 C; a wash bites from 5 to 30 C (common practice)."""
    expected = Forecast(NOW.date(), from_c, to_c, NOW - timedelta(hours=1))
    paint = replace(PAINT, limits=replace(PAINT.limits, metal_most_c=35.0))
    around = Environment((), replace(WARM, forecasts=(expected,)), {"p": paint})
    task = built(part(step), paints=(paint,), around=around).problem.tasks[0]
    assert slot_sets.first(task.starts) == first


def test_stands_that_are_full_are_never_more_than_there_are() -> None:
    off = replace(part(work("a"), tag="3", hold="weather"), stand=None)
    for stands, left in ((1, 2), (5, 5)):
        plan = built(
            *(part(work("a")), part(work("a"), tag="2"), off), shop=ShopFigures(stands=stands)
        )
        number = plan.problem.pieces[0].stand
        assert number is not None
        assert plan.problem.resources[number].capacity[0] == left


def test_where_somebody_is_always_in_a_day_is_from_midnight_to_midnight() -> None:
    """From Monday 07:30: the rest of that day, the next one whole, and seven days in all."""
    nights = Environment((), replace(WARM, always_in=True), {"p": PAINT})
    days = built(part(work("a")), around=nights).grid.days
    assert days[:2] == ((date(2026, 3, 2), (0, 198)), (date(2026, 3, 3), (198, 198 + 288)))
    assert days[-1][1][1] == 7 * 288


def test_a_day_is_filled_to_its_share() -> None:
    limit = built(part(work("a")), shop=ShopFigures(filled_pct=85)).problem.day_limits[0]
    assert (limit.since, limit.until, limit.most) == (0, 120, 204)


# --- 17 promises ---------------------------------------------------------------------------------


def test_a_promise_to_collect_waits_for_handling_and_one_of_cured_for_the_full_cure() -> None:
    paint = replace(PAINT, full_cure=((20.0, 3 * 86400.0),))
    days = {}
    for promise in ("collect", "cured"):
        job = Job("j", promised=date(2026, 3, 4), promise=promise, priority=1)  # type: ignore[arg-type]
        piece = built(part(coat("a")), paints=(paint,), jobs={"1": job}).problem.pieces[0]
        days[promise] = [piece.done_day[10], piece.price[10], piece.promised_day]
    assert days == {"collect": [1, 0, 2], "cured": [3, 3 * 1000, 2]}


def test_a_part_is_not_collected_before_its_last_coat_is_past_what_dries() -> None:
    slow = product(band("drying", 4 * 1440), band("open"))
    job = Job("j", promised=date(2026, 3, 4))
    piece = built(part(coat("a")), paints=(slow,), jobs={"1": job}).problem.pieces[0]
    assert piece.done_day[10] == 4
    window = product(band("drying", 60), band("open", 4 * 1440), band("key"))
    piece = built(part(coat("a")), paints=(window,), jobs={"1": job}).problem.pieces[0]
    assert piece.done_day[10] == 1, "a window that is open still is no drying"


def test_later_days_of_waiting_count_more() -> None:
    prices = inputs().prices
    days = [day_price(n + 1, prices) - day_price(n, prices) for n in (0, 9, 10, 20)]
    assert days == [100, 100, 125, 150]


# --- who is left out, and the way back -----------------------------------------------------------


def test_parts_without_a_place_in_a_plan_are_left_out_with_their_reason() -> None:
    nothing_left = done(part(work("a"), tag="3"), 1, NOW, NOW)
    plan = built(
        *(part(work("a"), hold="weather"), part(coat("gloss", "iso"), tag="2"), nothing_left),
        part(coat("long"), tag="4"),
        minutes={"long": 700.0},
        equipment=(),
    )
    assert {each.tag: each.reason for each in plan.left_out} == {
        "1": "on hold: weather",
        "2": "gloss: no air-fed mask is recorded: write it down first",
        "3": "no step left: it cures",
        "4": "long takes 11.7 h, longer than somebody is in (10.0 h): "
        "split the lot, or type its labour",
    }
    assert not plan.problem.tasks


def test_what_never_dries_at_these_temperatures_is_left_out() -> None:
    frost = Environment((), replace(HOURS, day_c=2.0, night_c=2.0), {"p": PAINT})
    thirty = Until(table=((20.0, 1800.0),))
    paint = replace(PAINT, bands=(Band("wait", thirty), Band("open")))
    around = replace(frost, products={"p": paint})
    plan = built(part(work("w", product="p", bands=paint.bands)), around=around)
    assert [each.reason for each in plan.left_out] == [
        "w: No window at this temperature: warm the shop or type the sheet's figures"
    ]


def test_the_way_back_says_by_when_a_step_is_begun() -> None:
    plan = built(part(coat("a"), coat("b")))
    schedule = Schedule((Placed(0), Placed(10)))
    assert plan.begin_by_words(schedule, 1, NOW) == "begin by 09:15"
    assert not plan.begin_by_words(schedule, 0, NOW)
    assert plan.task_of("1", 2) == 1


def test_the_second_part_is_begun_by_its_own_window_too() -> None:
    plan = built(part(coat("a"), coat("b")), part(coat("a"), coat("b"), tag="2"))
    schedule = Schedule((Placed(0), Placed(10), Placed(20), Placed(30)))
    assert plan.begin_by_words(schedule, 3, NOW) == "begin by 10:55"


def test_a_coat_takes_whole_ml_rounded_up() -> None:
    for ml, whole in ((0.4, 1), (1.0, 1), (99.2, 100)):
        plan = built(part(coat("a")), paints=(PRIMER,), paint_of=lambda *_, ml=ml: ml)
        assert plan.problem.tasks[0].ml == whole


def test_a_coat_that_is_brushed_and_work_that_is_none_leave_the_spray_space_free() -> None:
    brush, gun = SprayTool("brush", "Brush", False), SprayTool("gun", "Gun", True)
    coat = StepRecord(1, Step(name="Coat", kind="coat", product="a"))
    work = StepRecord(1, Step(name="Sand", kind="work"))
    asked = ((coat, gun), (coat, brush), (work, gun))
    taken = [usual_step_figures(record, None, tool).takes_space for record, tool in asked]
    assert taken == [True, False, False]
