"""When it does not go to plan: rework, keying, one more coat, putting a time right."""

from __future__ import annotations

import pytest
from sqlmodel import col, select

from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.environment import readings
from bench.shop.parts import back_dating, holds_and_rework, placement, steps, testing
from bench.shop.queries.log import log_page
from bench.shop.stock import pots
from bench.store.log import journal
from bench.store.schema.tables import JournalRow
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import begin_over, stand

pytestmark = pytest.mark.sqlite


def done(answer: Outcome | Refusal) -> Outcome:
    assert isinstance(answer, Outcome), answer
    return answer


def part(shop: Shop, tag: str = "1") -> Part:
    found = bench_view.read_bench(shop).find(tag)
    assert found is not None
    return found.part


def word(shop: Shop, stand: int = 1) -> str:
    return bench_view.read_bench(shop).state(stand, shop.clock.now()).word


def read(shop: Shop) -> None:
    """Fit to coat in, and no warmer than the shop's usual day."""
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))


def placed_before(shop: Shop, step: str) -> None:
    """A zinc bracket with everything before a step done already, and the air read."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    while part(shop).current().step.name != step:  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read(shop)


@done_once
def primed(shop: Shop, clock: ManualClock, count: int = 1) -> None:
    """Bare steel brackets with their epoxy on, first face to last in twenty minutes."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", count=count))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))


def state(shop: Shop) -> object:
    with shop.store.reading() as session:
        return journal.present(session)


def told(shop: Shop) -> object:
    with shop.store.reading() as session:
        return journal.replay(session.exec(select(JournalRow).order_by(col(JournalRow.id))).all())


def test_two_of_fourteen_brackets_go_to_rework_with_their_own_tag_and_clock(
    shop: Shop, clock: ManualClock
) -> None:
    primed(shop, clock, count=14)
    before = part(shop)
    done(holds_and_rework.rework(shop, 1, "Mo", "fish-eye", count=2, stand=2))
    kept, parted = part(shop), part(shop, "1b")
    assert (kept.count, parted.count) == (12, 2)
    assert kept.steps == before.steps, "the twelve keep their clock"
    assert parted.rework == "fish-eye"
    current = parted.current()
    assert current is not None
    assert current.step.name == holds_and_rework.REPAIR
    assert parted.stand == 2


def test_all_pieces_of_a_lot_go_back_as_the_lot_they_are(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock, count=14)
    done(holds_and_rework.rework(shop, 1, "Mo", "run", count=14))
    assert (part(shop).count, bench_view.read_bench(shop).find("1b")) == (14, None)


@pytest.mark.parametrize("count", [0, 15, -1])
def test_a_lot_gives_no_more_than_it_has(shop: Shop, clock: ManualClock, count: int) -> None:
    primed(shop, clock, count=14)
    before = state(shop)
    assert isinstance(holds_and_rework.rework(shop, 1, "Mo", "run", count=count), Refusal)
    assert state(shop) == before


def test_rework_keeps_what_was_done_and_does_it_again(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock)
    steps_before = len(part(shop).steps)
    done(holds_and_rework.rework(shop, 1, "Mo", "run"))
    assert len(part(shop).steps) == steps_before + 2
    assert [r.step.name for r in part(shop).steps].count("Epoxy primer") == 2


def test_after_a_defect_the_fix_is_said_once_at_the_next_coat(
    shop: Shop, clock: ManualClock
) -> None:
    primed(shop, clock)
    done(holds_and_rework.rework(shop, 1, "Mo", "dry spray"))
    clock.advance(days=2)
    assert stand(shop).test == "sand an edge of it: the paper dusts and does not clog"
    done(testing.pass_test(shop, 1, "Mo"))
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit"))
    read(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    begun = done(steps.begin(shop, 1, "Kit"))
    assert any("5 cm closer" in note for note in begun.notes)
    assert part(shop).rework == ""


def test_a_missed_window_is_keyed_and_the_keying_stands_in_the_route(
    shop: Shop, clock: ManualClock
) -> None:
    primed(shop, clock)
    clock.advance(days=1)
    done(testing.pass_test(shop, 1, "Mo"))
    clock.advance(days=8)
    assert word(shop) == "ABRADE"
    done(steps.begin(shop, 1, "Kit"))
    current = part(shop).current()
    assert current is not None
    assert (current.step.name, word(shop)) == ("abrade", "WORKING")
    done(steps.finish(shop, 1, "Kit"))
    assert word(shop) == "OPEN"


def test_everything_undoes_after_keying_and_rework(shop: Shop, clock: ManualClock) -> None:
    primed(shop, clock, count=14)
    clock.advance(days=1)
    done(testing.pass_test(shop, 1, "Mo"))
    clock.advance(days=8)
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit"))
    done(holds_and_rework.rework(shop, 1, "Mo", "run", count=3))
    for _ in log_page(shop, newest=100)[:-1]:
        done(undo.undo(shop, "Kit"))
    assert told(shop) == state(shop)
    assert bench_view.read_bench(shop).on(1) is None


def test_rework_when_the_mist_was_skipped_starts_at_the_build(
    shop: Shop, clock: ManualClock
) -> None:
    placed_before(shop, "Etch primer, build")
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    answer = done(holds_and_rework.rework(shop, 1, "Mo", "run"))
    assert "again from Etch primer, build" in answer.text


def test_back_dating_moves_the_window_and_never_past_the_event_before(
    shop: Shop, clock: ManualClock
) -> None:
    primed(shop, clock)
    opens = bench_view.read_bench(shop).state(1, clock.now()).opens.at
    assert opens is not None
    done(back_dating.back_date(shop, 1, "Mo", 15))
    moved = bench_view.read_bench(shop).state(1, clock.now()).opens.at
    assert moved is not None
    assert moved < opens
    refused = back_dating.back_date(shop, 1, "Mo", 30)
    assert isinstance(refused, Refusal)
    assert "before" in str(refused)


@pytest.mark.parametrize("minutes", [0, 7, -5, 8 * 24 * 60])
def test_times_are_put_right_in_steps_of_five_minutes(
    shop: Shop, clock: ManualClock, minutes: int
) -> None:
    primed(shop, clock)
    assert isinstance(back_dating.back_date(shop, 1, "Mo", minutes), Refusal)


def test_one_more_coat_obeys_the_window_below(shop: Shop, clock: ManualClock) -> None:
    placed_before(shop, "Aerosol top coat 2")
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=10)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(hours=2)
    assert word(shop) == "KEEP OFF"
    done(holds_and_rework.another_coat(shop, 1, "Mo"))
    refused = steps.begin(shop, 1, "Mo")
    assert isinstance(refused, Refusal)
    assert "the coat below may wrinkle" in str(refused)
    clock.advance(hours=95)
    if word(shop) == "TEST":
        done(testing.pass_test(shop, 1, "Mo"))
    read(shop)
    done(steps.begin(shop, 1, "Mo"))
    assert word(shop) == "WORKING"


def test_one_more_of_a_build_is_a_coat_of_its_own_and_not_wet_into_the_last(
    shop: Shop, clock: ManualClock
) -> None:
    placed_before(shop, "Etch primer, mist")
    done(pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=300)))
    for _ in ("mist", "build"):
        done(steps.begin(shop, 1, "Kit"))
        clock.advance(minutes=10)
        done(steps.finish(shop, 1, "Kit", all_faces=True))
        clock.advance(minutes=15)
        if word(shop) == "TEST":
            done(testing.pass_test(shop, 1, "Kit"))
    clock.advance(minutes=30)
    while part(shop).current().step.kind != "cure":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "not wanted"))
    below = part(shop).clock_step()
    assert below is not None
    assert below.step.continues
    done(holds_and_rework.another_coat(shop, 1, "Mo"))
    assert not part(shop).is_mist(part(shop).done_coats()[-1])
    refused = steps.begin(shop, 1, "Mo")
    assert isinstance(refused, Refusal)
    assert "too-soon" in (refused.name, *(each.name for each in refused.also))


def test_a_cure_cannot_be_skipped(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    while part(shop).current().step.kind != "cure":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    assert isinstance(holds_and_rework.skip(shop, 1, "Kit", "weather"), Refusal)


def test_a_two_pack_step_wants_a_pot_that_is_not_resting_and_not_past_its_life(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read(shop)
    none = steps.begin(shop, 1, "Kit")
    assert isinstance(none, Refusal)
    assert "no pot of" in str(none)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    clock.advance(hours=5)
    read(shop)
    late = steps.begin(shop, 1, "Kit")
    assert isinstance(late, Refusal)
    assert "past its life" in str(late)
    went_on = done(begin_over(shop, 1, "Kit", "the data sheet allows it"))
    assert went_on
    current = part(shop).current()
    assert current is not None
    assert "the data sheet allows it" in current.flags[0]
