"""Equipment in the shop: one holder at a time, a queue, what was forgotten, and every deed undone."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from sqlmodel import select

from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.stock.equipment import Equipment
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import equipment, holds_and_rework, placement, steps
from bench.shop.queries import log
from bench.shop.seeds.seed_files import Seeds
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.store.schema.tables import EquipmentRow
from bench.testing import ManualClock
from tests.living import done_once

from ..doing import done, part, refused, state, told

pytestmark = pytest.mark.sqlite


def cylinders(second: str) -> Override:
    """Air from cylinders that somebody else looks after."""
    return Override(air_supply="cylinder set 2", second=second)


def thing(shop: Shop, key: str = "air-fed-set") -> Equipment:
    """A thing as it is now."""
    return next(t for t in bench_view.read_bench(shop).equipment if t.key == key)


@done_once
def gloss_next(shop: Shop, stand: int = 1, tag: str = "1") -> None:
    """A bracket whose next step is a two-pack gloss, its pot mixed and the air fit for it."""
    done(placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket", tag=tag))
    for _ in range(3):
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))
    if stand == 1:
        done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
        done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))


def blast_next(shop: Shop, stand: int = 2) -> None:
    """A bracket that is to be blasted next."""
    done(placement.place(shop, stand, "Mo", route="steel-blasted", shape="bracket"))
    done(holds_and_rework.skip(shop, stand, "Mo", "already done"))


def test_one_painter_holds_a_thing_at_a_time(shop: Shop, clock: ManualClock) -> None:
    done(equipment.take(shop, "air-fed-set", "Kit"))
    clock.advance(minutes=10)
    assert str(refused(equipment.take(shop, "Air-fed set", "Mo"))) == (
        "the air-fed set is taken (Kit since 07:30): wait, or ask for it; left booked out: return it"
    )
    assert str(refused(equipment.take(shop, "air-fed set", "Kit"))) == (
        "Kit has the air-fed set already (since 07:30)"
    )
    answer = done(equipment.give_back(shop, "air-fed-set", "Kit"))
    assert answer.text == "the air-fed set given back 07:40"
    assert (thing(shop).holder, thing(shop).held_at) == ("", None)
    assert str(refused(equipment.give_back(shop, "air-fed-set", "Kit"))) == (
        "nobody has the air-fed set (it is free)"
    )


@pytest.mark.sqlite(False)
def test_who_waits_is_told_when_it_is_free_and_comes_before_the_others(shop: Shop) -> None:
    assert str(refused(equipment.ask_for(shop, "air-fed-set", "Mo"))) == (
        "the air-fed set is free: take it"
    )
    done(equipment.take(shop, "air-fed-set", "Kit"))
    assert done(equipment.ask_for(shop, "air-fed-set", "Mo")).text == (
        "Mo waits for the air-fed set; Kit has it"
    )
    assert refused(equipment.ask_for(shop, "air-fed-set", "Mo")).rule == (
        "Mo waits for the air-fed set already"
    )
    assert refused(equipment.ask_for(shop, "air-fed-set", "Kit")).rule == (
        "Kit has the air-fed set already"
    )
    answer = done(equipment.give_back(shop, "air-fed-set", "Kit"))
    assert answer.notes == ("Air-fed set is free: Mo is next",)
    assert str(refused(equipment.take(shop, "air-fed-set", "Kit"))) == (
        "Mo is next for the air-fed set: Mo takes it, or leaves the queue"
    )
    done(equipment.ask_no_more(shop, "air-fed-set", "Mo"))
    assert refused(equipment.ask_no_more(shop, "air-fed-set", "Mo")).rule == (
        "Mo does not wait for the air-fed set"
    )
    done(equipment.take(shop, "air-fed-set", "Kit"))


def test_taking_it_ends_the_waiting(shop: Shop) -> None:
    done(equipment.take(shop, "air-fed-set", "Kit"))
    done(equipment.ask_for(shop, "air-fed-set", "Mo"))
    done(equipment.give_back(shop, "air-fed-set", "Kit"))
    done(equipment.take(shop, "air-fed-set", "Mo"))
    assert thing(shop).queue == ()


def test_what_was_forgotten_is_given_back_at_its_hour_by_anybody_and_stays_in_the_journal(
    shop: Shop, clock: ManualClock
) -> None:
    done(equipment.take(shop, "air-fed-set", "Kit"))
    clock.advance(hours=3)
    answer = equipment.give_back(shop, "air-fed-set", "Mo", at=clock.now() - timedelta(hours=2))
    assert done(answer).text == "the air-fed set given back by Mo, for Kit 08:30"
    assert log.log_page(shop, 1)[0].text == "the air-fed set given back by Mo, for Kit 08:30"


def test_it_is_not_given_back_before_it_was_taken_nor_in_the_future(
    shop: Shop, clock: ManualClock
) -> None:
    clock.advance(hours=1)
    done(equipment.take(shop, "air-fed-set", "Kit"))
    early = equipment.give_back(shop, "air-fed-set", "Kit", at=clock.now() - timedelta(minutes=5))
    assert str(refused(early)) == (
        "Kit did not have the air-fed set yet (08:25 is before 08:30): give a later time"
    )
    late = equipment.give_back(shop, "air-fed-set", "Kit", at=clock.now() + timedelta(minutes=5))
    assert refused(late).rule == "that is in the future"


def test_beginning_takes_what_the_step_needs_and_finishing_gives_it_back(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_next(shop)
    answer = done(steps.begin(shop, 1, "Kit", helper="Mo"))
    assert "Kit has the air-fed set and top coat gun until it is done" in answer.notes
    mask = thing(shop)
    assert (mask.holder, mask.held_for) == ("Kit", "1")
    assert thing(shop, "compressor").holder == "", "its air is shared by all that draws on it"
    clock.advance(minutes=20)
    done(equipment.ask_for(shop, "air-fed-set", "Mo"))
    answer = done(steps.finish(shop, 1, "Mo", all_faces=True))
    assert answer.notes[-1] == "Air-fed set is free: Mo is next"
    assert {t.holder for t in bench_view.read_bench(shop).equipment} == {""}


def test_a_two_pack_coat_is_refused_while_the_air_fed_set_is_elsewhere(shop: Shop) -> None:
    gloss_next(shop)
    done(equipment.take(shop, "air-fed-set", "Mo"))
    answer = refused(steps.begin(shop, 1, "Kit"))
    assert str(answer) == (
        "the air-fed set is taken (Mo since 07:30): wait, or ask for it; left booked out: return it"
    )
    assert part(shop).steps[3].status == "todo"
    done(steps.begin(shop, 1, "Kit", override=cylinders("Mo")))
    assert part(shop).steps[3].flags == (
        "override: the air-fed set is taken (Mo since 07:30): "
        "air supply cylinder set 2, second person Mo",
    )
    assert thing(shop).holder == "Mo", "an override takes nothing out of another's hands"


def test_a_helper_who_has_the_set_on_is_enough(shop: Shop) -> None:
    gloss_next(shop)
    done(equipment.take(shop, "air-fed-set", "Mo"))
    done(steps.begin(shop, 1, "Kit", helper="Mo"))
    assert part(shop).steps[3].flags == ()


def test_what_was_taken_by_hand_stays_there_after_the_step(shop: Shop, clock: ManualClock) -> None:
    gloss_next(shop)
    done(equipment.take(shop, "air-fed-set", "Kit"))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    assert thing(shop).holder == "Kit"
    assert thing(shop, "gun-1").holder == ""


def test_the_gun_stays_with_whoever_has_another_coat_in_hand(
    shop: Shop, clock: ManualClock
) -> None:
    gloss_next(shop)
    gloss_next(shop, stand=2, tag="2")
    done(steps.begin(shop, 1, "Kit"))
    done(steps.begin(shop, 2, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    assert (thing(shop).holder, thing(shop).held_for) == ("Kit", "2")
    done(steps.finish(shop, 2, "Kit", all_faces=True))
    assert thing(shop).holder == ""


def test_rework_of_what_is_in_hand_gives_back_what_it_took(shop: Shop) -> None:
    gloss_next(shop)
    done(steps.begin(shop, 1, "Kit"))
    done(holds_and_rework.rework(shop, 1, "Kit", "run"))
    assert {t.holder for t in bench_view.read_bench(shop).equipment} == {""}
    assert part(shop).taken_by == ()


def test_a_set_given_back_under_a_coat_stays_on_its_sheet(shop: Shop, clock: ManualClock) -> None:
    gloss_next(shop)
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    answer = done(equipment.give_back(shop, "air-fed-set", "Mo"))
    assert "tag 1 Bracket: Two-pack gloss 1 is still in progress" in answer.notes
    assert part(shop).steps[3].flags == (
        "the air-fed set was returned 07:50, Two-pack gloss 1 in progress",
    )


def test_blasting_while_somebody_breathes_from_the_compressor_is_refused(shop: Shop) -> None:
    gloss_next(shop)
    blast_next(shop)
    done(steps.begin(shop, 1, "Kit"))
    read = "(air-fed set 170? + top coat gun 300? + blast cabinet 400? = 870? of 600? l/min): one waits"
    assert str(refused(steps.begin(shop, 2, "Mo"))) == f"the air-fed set would starve {read}"
    assert str(refused(equipment.take(shop, "blast-cabinet", "Mo"))) == (
        f"the air-fed set would starve {read}"
    )
    answer = done(equipment.take(shop, "blast-cabinet", "Mo", override=cylinders("Kit")))
    assert answer.text.endswith("l/min): air supply cylinder set 2, second person Kit")


def test_short_of_air_without_a_mask_is_only_said(shop: Shop) -> None:
    blast_next(shop)
    done(equipment.take(shop, "gun-1", "Kit"))
    answer = done(steps.begin(shop, 2, "Mo"))
    caution = "short of air: top coat gun 300? + blast cabinet 400? = 700? of 600? l/min"
    assert answer.notes[-1] == caution


def test_air_is_only_spoken_of_where_what_is_taken_draws_on_air_that_is_short(shop: Shop) -> None:
    done(equipment.write_down(shop, "Kit", name="Ladder"))
    assert done(equipment.take(shop, "gun-1", "Kit")).notes == ()
    assert "short of air" in done(equipment.take(shop, "blast-cabinet", "Mo")).notes[-1]
    assert done(equipment.take(shop, "ladder", "Mo")).notes == ()


def test_a_figure_the_shop_types_is_no_placeholder_any_more(shop: Shop) -> None:
    done(equipment.set_air(shop, "compressor", "Kit", gives_l_min=300))
    assert not thing(shop, "compressor").placeholder
    assert thing(shop, "gun-1").placeholder
    assert str(refused(equipment.set_air(shop, "gun-1", "Kit", gives_l_min=300))) == (
        "the Top coat gun gives no air (gun): say what it needs"
    )
    assert str(refused(equipment.set_air(shop, "gun-1", "Kit"))) == (
        "nothing to set (Top coat gun): say what it needs, or what it gives"
    )
    assert str(refused(equipment.set_air(shop, "gun-1", "Kit", needs_l_min=-5))) == (
        "-5 l/min of air: from 1 to 20000 l/min"
    )
    for l_min in (1, 20000):
        done(equipment.set_air(shop, "gun-1", "Kit", needs_l_min=l_min))
    for l_min in (0.9, 20001):
        refused(equipment.set_air(shop, "gun-1", "Kit", needs_l_min=l_min))


def test_a_shop_writes_down_what_it_has(shop: Shop) -> None:
    answer = done(equipment.write_down(shop, "Kit", name="Hoist"))
    assert answer.text == "the shop has a Hoist (hoist)"
    assert [t.key for t in bench_view.read_bench(shop).equipment][-1] == "hoist"
    assert refused(equipment.write_down(shop, "Kit", name=" hoist ")).rule == (
        "there is a hoist already"
    )
    assert refused(equipment.write_down(shop, "Kit", name=" ")).rule == "its name is empty"
    done(equipment.write_down(shop, "Kit", name="Third gun", kind="gun", needs_l_min=250))
    assert str(refused(equipment.take(shop, "gun", "Kit"))) == (
        "several are of the kind 'gun': say which: gun-1, gun-2, third-gun"
    )
    assert refused(equipment.take(shop, "ladder", "Kit")).rule == "no equipment 'ladder'"


def test_forty_things_are_written_down_and_no_more(shop: Shop) -> None:
    """House rule: they fit on two pages."""
    for number in range(len(bench_view.read_bench(shop).equipment), 40):
        done(equipment.write_down(shop, "Kit", name=f"Hoist {number}"))
    answer = refused(equipment.write_down(shop, "Kit", name="Ladder"))
    assert str(answer) == "40 things are recorded: 40 at most"
    assert len(bench_view.read_bench(shop).equipment) == 40


@pytest.mark.sqlite(False)
def test_a_shop_that_was_open_before_is_given_the_usual_equipment(shop: Shop, seeds: Seeds) -> None:
    usual = seeds.equipment.values()
    assert refused(equipment.write_down_usual(shop, "Kit", usual)).rule == (
        "all of it is recorded already"
    )
    with shop.store.writing() as session:
        for row in session.exec(select(EquipmentRow)).all():
            session.delete(row)
        session.commit()
    gloss_next(shop)
    assert refused(steps.begin(shop, 1, "Kit")).rule == "no air-fed mask is recorded here"
    done(equipment.write_down_usual(shop, "Kit", usual))
    done(steps.begin(shop, 1, "Kit"))
    assert thing(shop).holder == "Kit"


DEEDS = {
    "take": lambda s: equipment.take(s, "gun-2", "Mo", override=cylinders("Kit")),
    "give back": lambda s: equipment.give_back(s, "air-fed-set", "Mo"),
    "ask for": lambda s: equipment.ask_for(s, "blast-cabinet", "Mo"),
    "ask no more": lambda s: equipment.ask_no_more(s, "air-fed-set", "Mo"),
    "write down": lambda s: equipment.write_down(s, "Mo", name="Heater"),
    "set air": lambda s: equipment.set_air(s, "compressor", "Mo", gives_l_min=450),
    "begin": lambda s: steps.begin(s, 1, "Kit"),
}


@pytest.mark.sqlite(False)
@pytest.mark.parametrize("deed", DEEDS)
def test_every_deed_is_undone_exactly_and_the_journal_agrees(shop: Shop, deed: str) -> None:
    gloss_next(shop)
    done(equipment.take(shop, "air-fed-set", "Kit"))
    done(equipment.take(shop, "blast-cabinet", "Kit"))
    done(equipment.ask_for(shop, "air-fed-set", "Mo"))
    before = state(shop)
    if deed == "begin":
        done(equipment.give_back(shop, "blast-cabinet", "Kit"))
        before = state(shop)
    done(DEEDS[deed](shop))
    assert state(shop) == told(shop)
    assert state(shop) != before
    done(undo.undo(shop, "Mo"))
    assert state(shop) == before
    assert check(shop).faults == ()


@pytest.mark.sqlite(False)
def test_finishing_is_undone_with_everything_it_gave_back(shop: Shop, clock: ManualClock) -> None:
    gloss_next(shop)
    done(steps.begin(shop, 1, "Kit"))
    before = state(shop)
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    done(undo.undo(shop, "Mo"))
    assert state(shop) == before
    assert thing(shop).holder == "Kit"


@pytest.mark.sqlite(False)
def test_of_two_terminals_one_takes_it_and_the_other_is_told_who(
    shop: Shop, data: Path, clock: ManualClock
) -> None:
    other = Shop(open_store(str(data)), clock, "other")
    answers: list[Outcome | Refusal] = [
        equipment.take(shop, "air-fed-set", "Kit"),
        equipment.take(other, "air-fed-set", "Mo"),
    ]
    assert isinstance(answers[0], Outcome)
    assert "Kit since 07:30" in str(answers[1])
    assert thing(other).holder == "Kit"
    other.store.close()


def test_a_clock_that_stepped_takes_since_when_with_it(shop: Shop, clock: ManualClock) -> None:
    clock.advance(minutes=30)
    done(equipment.take(shop, "air-fed-set", "Kit"))
    was = clock.now()
    clock.step(hours=3)
    done(equipment.ask_for(shop, "air-fed-set", "Mo"))
    assert thing(shop).held_at == was + timedelta(hours=3)
