"""Lots: splitting, merging where it is honest, and what is counted in and out."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlmodel import select

from bench.process.refusals.overrides import Override
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, lots, placement, steps, testing
from bench.shop.stock import pots
from bench.store.schema.tables import PartRow
from bench.testing import ManualClock
from tests.shop.doing import begin_over, done, part, refused, stand, state

pytestmark = pytest.mark.sqlite


def lot(shop: Shop, stand_number: int = 1, count: int = 14, **more: str) -> None:
    """Bare steel roller brackets, blasted already."""
    done(
        placement.place(
            shop, stand_number, "Kit", route="steel-blasted", shape="bracket", count=count, **more
        )
    )
    target = stand_number
    view = bench_view.read_bench(shop)
    placed = view.on(target)
    assert placed is not None
    tag = placed.part.tag
    while part(shop, tag).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, tag, "Kit", "already done"))


def coat(shop: Shop, clock: ManualClock, tag: str, minutes: int = 20) -> None:
    done(steps.begin(shop, tag, "Kit"))
    clock.advance(minutes=minutes)
    done(steps.finish(shop, tag, "Kit", all_faces=True))


def primer(shop: Shop) -> None:
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))


def pieces(shop: Shop) -> int:
    with shop.store.reading() as session:
        return sum(row.count for row in session.exec(select(PartRow)).all())


def test_fourteen_brackets_are_twelve_and_two_with_their_own_tag_and_clock(
    shop: Shop, clock: ManualClock
) -> None:
    lot(shop)
    primer(shop)
    coat(shop, clock, "1")
    before = part(shop)
    answer = done(lots.split(shop, 1, "Mo", 2, stand=3))
    assert answer.text == "tag 1 Bracket split by Mo: 12 stay, 2 are tag 1b on stand 3"
    kept, parted = part(shop), part(shop, "1b")
    assert (kept.count, parted.count, pieces(shop)) == (12, 2, 14)
    assert kept.steps == before.steps
    assert parted.steps == before.steps, "the two are as far as they were in the lot"
    assert stand(shop, 3).opens.at == stand(shop, 1).opens.at
    done(undo.undo(shop, "Kit"))
    assert part(shop) == before
    assert bench_view.read_bench(shop).find("1b") is None
    assert check(shop).faults == ()


@pytest.mark.parametrize("count", [0, 14, 15, -1])
def test_a_lot_is_split_into_two_that_both_have_pieces(shop: Shop, count: int) -> None:
    lot(shop)
    before = state(shop)
    told = refused(lots.split(shop, 1, "Kit", count))
    assert str(told) == f"{count} of a lot of 14: from 1 to 13"
    assert state(shop) == before


def test_one_piece_is_no_lot(shop: Shop) -> None:
    lot(shop, count=1)
    assert str(refused(lots.split(shop, 1, "Kit", 1))) == "1 of a lot of 1: it is one piece"


def test_pieces_do_not_go_onto_an_occupied_stand(shop: Shop) -> None:
    lot(shop)
    lot(shop, 2)
    told = refused(lots.split(shop, 1, "Kit", 2, stand=2))
    assert str(told) == "stand 2 is occupied (tag 2 Bracket): choose an empty one"


def test_two_alike_lots_are_one_again_and_the_whole_keeps_the_worse_clock(
    shop: Shop, clock: ManualClock
) -> None:
    lot(shop)
    done(lots.split(shop, 1, "Mo", 2, stand=2))
    primer(shop)
    coat(shop, clock, "1")
    clock.advance(minutes=40)
    coat(shop, clock, "1b")
    first, second = stand(shop, 1), stand(shop, 2)
    assert first.word == second.word
    assert first.opens.at < second.opens.at  # type: ignore[operator]
    shuts = [part(shop, tag).clock_step().first_at for tag in ("1", "1b")]  # type: ignore[union-attr]
    answer = done(lots.merge(shop, 1, "Kit", "1b"))
    assert answer.text == (
        "tag 1 Bracket: 2 pieces of tag 1b put with it by Kit; 14 now, with the worse clock of the two"
    )
    merged = part(shop)
    assert (merged.count, pieces(shop)) == (14, 14)
    last = merged.clock_step()
    assert last is not None
    assert last.first_at == min(shuts), "too late counts from the earlier first face"  # type: ignore[type-var]
    assert stand(shop, 1).opens.at == second.opens.at, "too early from the later last face"
    assert stand(shop, 2).word == "EMPTY"
    assert bench_view.read_bench(shop).find("1b") is None
    done(undo.undo(shop, "Mo"))
    assert stand(shop, 1).opens.at == first.opens.at
    assert part(shop, "1b").count == 2
    assert check(shop).faults == ()


def test_lots_sanded_since_keep_the_worse_coat_under_it_too(shop: Shop, clock: ManualClock) -> None:
    """Full cure counts from the last coat, whatever was done to it since."""
    done(placement.place(shop, 1, "Kit", route="aluminium", shape="bracket", count=14))
    while part(shop).current().step.name != "High-build primer 2":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(lots.split(shop, 1, "Mo", 2, stand=2))
    for pause, mark in ((timedelta(0), {"all_faces": True}), (timedelta(days=3), {})):
        clock.advance(days=pause.days)
        for tag in ("1", "1b"):
            done(begin_over(shop, tag, "Kit"))
            clock.advance(minutes=20)
            done(steps.finish(shop, tag, "Kit", **mark))
    assert part(shop).clock_step().step.name == "Sand the high-build"  # type: ignore[union-attr]
    first, second = (part(shop, tag).done_coats()[-1].last_at for tag in ("1", "1b"))
    assert first < second  # type: ignore[operator]
    done(lots.merge(shop, 1, "Kit", "1b"))
    assert part(shop).done_coats()[-1].last_at == second


def test_a_test_that_only_one_lot_passed_is_not_passed_by_the_whole(
    shop: Shop, clock: ManualClock
) -> None:
    lot(shop)
    primer(shop)
    coat(shop, clock, "1")
    done(lots.split(shop, 1, "Mo", 2, stand=2))
    clock.advance(hours=30)
    assert stand(shop, 1).word == "TEST"
    done(testing.put_test_off(shop, "1b", "Mo", minutes=30))
    clock.advance(minutes=31)
    assert (stand(shop, 1).word, stand(shop, 2).word) == ("TEST", "TEST")
    done(lots.merge(shop, "1b", "Kit", "1"))
    assert stand(shop, 2).word == "TEST"
    last = part(shop, "1b").clock_step()
    assert last is not None
    assert (last.passed_at, last.passed_by) == (None, "")
    assert [opinion.passed for opinion in bench_view.read_bench(shop).find("1b").tests] == [False]  # type: ignore[union-attr]


def test_lots_that_are_not_equally_far_are_not_merged(shop: Shop, clock: ManualClock) -> None:
    lot(shop)
    lot(shop, 2, count=3)
    primer(shop)
    coat(shop, clock, "1")
    told = refused(lots.merge(shop, 1, "Kit", "2"))
    assert told.rule == "the stage is not the same"
    assert told.read == "Two-pack gloss 1 and Epoxy primer"


def test_lots_in_different_bands_are_not_merged(shop: Shop, clock: ManualClock) -> None:
    lot(shop)
    done(lots.split(shop, 1, "Mo", 2, stand=2))
    primer(shop)
    coat(shop, clock, "1")
    clock.advance(hours=30)
    primer(shop)
    coat(shop, clock, "1b")
    told = refused(lots.merge(shop, 1, "Kit", "1b"))
    assert (told.rule, told.read) == ("the band is not the same", "TEST and WAIT")


@pytest.mark.parametrize(
    ("more", "rule"),
    [
        ({"owner": "the rowing club"}, "the owner is not the same"),
        ({"job": "trolley 7"}, "the job is not the same"),
    ],
)
def test_what_belongs_to_somebody_else_stays_apart(
    shop: Shop, more: dict[str, str], rule: str
) -> None:
    lot(shop)
    lot(shop, 2, **more)
    assert refused(lots.merge(shop, 1, "Kit", "2")).rule == rule


def test_what_is_held_in_hand_or_in_rework_is_not_merged(shop: Shop, clock: ManualClock) -> None:
    lot(shop)
    lot(shop, 2)
    done(holds_and_rework.hold(shop, 2, "Mo", "damaged: look at it"))
    assert refused(lots.merge(shop, 1, "Kit", "2")).rule == "tag 2 is on hold"
    done(holds_and_rework.release(shop, 2, "Mo"))
    primer(shop)
    done(steps.begin(shop, 1, "Kit"))
    assert refused(lots.merge(shop, 2, "Kit", "1")).rule == "tag 1 is in progress"
    clock.advance(minutes=10)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    done(holds_and_rework.rework(shop, 1, "Mo", "run"))
    assert refused(lots.merge(shop, 1, "Kit", "2")).rule == "tag 1 is in rework"
    assert refused(lots.merge(shop, 1, "Kit", "1")).rule == "tag 1 with itself"
    assert refused(lots.merge(shop, 1, "Kit", "9")).rule == "no tag 9"


def test_bungs_and_contact_points_go_with_their_pieces(shop: Shop) -> None:
    lot(shop)
    done(lots.count_points(shop, 1, "Kit", bungs_in=28, contacts=14))
    done(lots.split(shop, 1, "Mo", 2))
    assert (part(shop).bungs, part(shop, "1b").bungs) == ((24, 0), (4, 0))
    assert (part(shop).contacts, part(shop, "1b").contacts) == ((12, 0), (2, 0))
    done(lots.merge(shop, 1, "Kit", "1b"))
    assert (part(shop).bungs, part(shop).contacts) == ((28, 0), (14, 0))


def test_bungs_that_do_not_go_up_stay_with_the_lot_and_it_says_so(shop: Shop) -> None:
    lot(shop)
    done(lots.count_points(shop, 1, "Kit", bungs_in=5))
    answer = done(lots.split(shop, 1, "Mo", 2))
    assert answer.notes == ("5 bungs in counted for tag 1 alone: count those of tag 1b again",)


@pytest.mark.parametrize(
    ("counts", "says"),
    [
        ({}, "nothing is counted: say how many bungs or contact points"),
        ({"bungs_in": -1}, "-1 bungs in: from 0 to 9999"),
        ({"bungs_in": 2, "bungs_out": 3}, "3 bungs out, but only 2 went in: count again"),
        (
            {"contacts_done": 1},
            "1 contact points touched up, but only 0 are there: count again",
        ),
    ],
)
def test_a_count_that_cannot_be_is_refused(shop: Shop, counts: dict[str, int], says: str) -> None:
    lot(shop)
    before = state(shop)
    assert str(refused(lots.count_points(shop, 1, "Kit", **counts))) == says
    assert state(shop) == before


def test_nothing_leaves_the_bench_with_a_bung_in_it_unless_somebody_says_why(
    shop: Shop, clock: ManualClock
) -> None:
    lot(shop, count=1)
    done(lots.count_points(shop, 1, "Kit", bungs_in=8, bungs_out=6, contacts=2))
    while (current := part(shop).current()) and current.step.kind != "cure":
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    off = done(placement.take_off(shop, 1, "Mo"))  # still curing: it stays on the bench's list
    assert off.notes == ("its clocks run on; it stays in the list until it has a stand again",)
    done(placement.move(shop, "1", "Mo", to=1))
    with shop.act("test", "Kit") as act:  # as if it were cured
        row = act.steps(act.row("1"))[-1]  # type: ignore[arg-type]
        row.status = "done"
        act.session.commit()
    told = refused(placement.take_off(shop, 1, "Mo"))
    assert (told.name, told.override) == ("left-on-part", "reason")
    assert told.read == "2 of 8 bungs are still in, 2 of 2 contact points are not touched up"
    answer = done(
        placement.take_off(
            shop, 1, "Mo", override=Override({"left-on-part": "they stay in on purpose"})
        )
    )
    assert answer.text.endswith(": they stay in on purpose")
    with shop.store.reading() as session:
        gone = session.exec(select(PartRow)).one()
        assert (gone.away, gone.left_at) == (True, clock.now())
