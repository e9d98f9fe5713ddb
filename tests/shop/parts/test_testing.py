"""Two painters, two opinions of one coat: both kept, both seen, and waiting wins.

The waits are the shipped placeholders: common practice, no source.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from bench.process.actions.test_opinions import asks_for
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from bench.store.schema.tables import Painter
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import begin_over, done, part, refused, stand, state, told

pytestmark = pytest.mark.sqlite


@pytest.fixture
@done_once
def dry(shop: Shop, clock: ManualClock) -> Shop:
    """A blasted bracket with its epoxy on, its wait just over: TEST."""
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    opens = stand(shop).opens.at
    assert opens is not None
    clock.set(opens)
    assert stand(shop).word == "TEST"
    return shop


def said(shop: Shop) -> list[tuple[str, bool]]:
    placed = bench_view.read_bench(shop).find("1")
    assert placed is not None
    return [(opinion.painter, opinion.passed) for opinion in placed.tests]


def asks(shop: Shop) -> str:
    placed = bench_view.read_bench(shop).find("1")
    assert placed is not None
    now = shop.clock.now()
    return asks_for(placed.part, placed.state(now), placed.tests, now)


def test_while_one_says_not_yet_the_others_passed_is_written_down_and_it_waits(
    dry: Shop, clock: ManualClock
) -> None:
    done(testing.put_test_off(dry, 1, "Kit", minutes=15))
    clock.advance(minutes=5)
    answer = done(testing.pass_test(dry, 1, "Mo"))
    assert "passed, says Mo; written down, but Kit said not yet" in answer.text
    assert said(dry) == [("Kit", False), ("Mo", True)]
    assert (stand(dry).word, part(dry).clock_step().passed_by) == ("WAIT", "")  # type: ignore[union-attr]
    assert isinstance(refused(steps.begin(dry, 1, "Mo")).rule, str)


def test_when_its_time_is_over_the_test_is_due_again_and_anybody_may_pass_it(
    dry: Shop, clock: ManualClock
) -> None:
    done(testing.put_test_off(dry, 1, "Kit", minutes=15))
    done(testing.pass_test(dry, 1, "Mo"))
    clock.advance(minutes=14)
    assert stand(dry).word == "WAIT"
    clock.advance(minutes=1)
    assert stand(dry).word == "TEST", "an opinion of before is no new test"
    done(testing.pass_test(dry, 1, "Mo"))
    assert stand(dry).word == "OPEN"
    assert len(said(dry)) == 3


def test_who_said_not_yet_may_pass_it_before_its_time_is_over(
    dry: Shop, clock: ManualClock
) -> None:
    done(testing.put_test_off(dry, 1, "Kit", minutes=30))
    clock.advance(minutes=5)
    done(testing.pass_test(dry, 1, "kit "))
    assert stand(dry).word == "OPEN"
    record = part(dry).clock_step()
    assert record is not None
    assert (record.passed_by, record.not_before) == ("Kit", None)


def test_after_a_pass_anybody_puts_it_back_until_the_next_step_begins(
    dry: Shop, clock: ManualClock
) -> None:
    done(testing.pass_test(dry, 1, "Mo"))
    assert (stand(dry).word, asks(dry)) == ("OPEN", "passed")
    clock.advance(minutes=3)
    answer = done(testing.put_test_off(dry, 1, "Kit", minutes=15))
    assert "not yet, says Kit, though Mo passed it" in answer.text
    assert (stand(dry).word, asks(dry)) == ("WAIT", "held")
    assert said(dry) == [("Mo", True), ("Kit", False)]
    clock.advance(minutes=15)
    assert (stand(dry).word, asks(dry)) == ("TEST", "test")


def test_even_the_painter_who_passed_it_may_put_it_back(dry: Shop) -> None:
    done(testing.pass_test(dry, 1, "Mo"))
    done(testing.put_test_off(dry, 1, "Mo"))
    assert stand(dry).word == "WAIT"


def test_once_the_next_coat_is_begun_it_is_too_late_for_a_not_yet(dry: Shop) -> None:
    done(testing.pass_test(dry, 1, "Mo"))
    done(readings.take_reading(dry, "Kit", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(dry, "gloss", "Mo", known=MixStart(need_ml=200)))
    done(steps.begin(dry, 1, "Kit"))
    before = state(dry)
    assert "nothing to test now" in refused(testing.put_test_off(dry, 1, "Kit")).rule
    assert state(dry) == before


def test_two_who_say_not_yet_hold_it_each_for_its_own_time(dry: Shop, clock: ManualClock) -> None:
    done(testing.put_test_off(dry, 1, "Kit", minutes=15))
    clock.advance(minutes=5)
    done(testing.put_test_off(dry, 1, "Mo", minutes=30))
    clock.advance(minutes=2)
    answer = done(testing.pass_test(dry, 1, "Kit"))
    assert "but Mo said not yet" in answer.text
    assert stand(dry).word == "WAIT"
    left = stand(dry).seconds_left(dry.clock.now())
    assert left == 28 * 60
    done(testing.pass_test(dry, 1, "Mo"))
    assert stand(dry).word == "OPEN"


def test_the_shorter_of_two_never_shortens_the_longer(dry: Shop) -> None:
    done(testing.put_test_off(dry, 1, "Kit", minutes=30))
    done(testing.put_test_off(dry, 1, "Mo", minutes=15))
    assert stand(dry).seconds_left(dry.clock.now()) == 30 * 60


def test_passed_by_a_third_it_waits_for_the_longer_of_two_who_said_not_yet(dry: Shop) -> None:
    with dry.store.writing() as session:
        session.add(Painter(name="Una"))
        session.commit()
    done(testing.put_test_off(dry, 1, "Kit", minutes=30))
    done(testing.put_test_off(dry, 1, "Mo", minutes=15))
    assert "Kit and Mo said not yet" in done(testing.pass_test(dry, 1, "Una")).text
    assert stand(dry).seconds_left(dry.clock.now()) == 30 * 60


def test_one_painter_may_shorten_what_the_same_one_said(dry: Shop) -> None:
    done(testing.put_test_off(dry, 1, "Kit", minutes=30))
    done(testing.put_test_off(dry, 1, "Kit", minutes=15))
    assert stand(dry).seconds_left(dry.clock.now()) == 15 * 60


def test_a_pass_written_down_late_does_not_undo_a_later_not_yet(
    dry: Shop, clock: ManualClock
) -> None:
    tried = dry.clock.now()
    clock.advance(minutes=10)
    done(testing.put_test_off(dry, 1, "Kit", minutes=15))
    clock.advance(minutes=5)
    done(testing.pass_test(dry, 1, "Mo", at=tried + timedelta(minutes=5)))
    assert stand(dry).word == "WAIT"


def test_before_its_wait_is_over_there_is_nothing_to_say_of_it(
    shop: Shop, dry: Shop, clock: ManualClock
) -> None:
    early = dry.clock.now() - timedelta(minutes=1)
    assert "nothing to test now" in refused(testing.pass_test(dry, 1, "Mo", at=early)).rule
    assert "nothing to test now" in refused(testing.put_test_off(dry, 1, "Mo", at=early)).rule


def test_what_the_pieces_of_a_lot_were_told_goes_with_them(dry: Shop, clock: ManualClock) -> None:
    for _ in range(30):  # back to before it was placed, to place a lot
        if bench_view.read_bench(dry).on(1) is None:
            break
        done(undo.undo(dry, "Kit"))
    done(readings.take_reading(dry, "Kit", air_c=18, rh_pct=60, metal_c=18))
    done(placement.place(dry, 1, "Kit", route="steel-blasted", shape="bracket", count=14))
    while part(dry).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(dry, 1, "Kit", "already done"))
    done(pots.mix(dry, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    done(steps.begin(dry, 1, "Kit"))
    done(steps.finish(dry, 1, "Kit", all_faces=True))
    opens = stand(dry).opens.at
    assert opens is not None
    clock.set(opens)
    done(testing.put_test_off(dry, 1, "Kit", minutes=60))
    done(holds_and_rework.rework(dry, 1, "Mo", "run", count=2, stand=2))
    placed = bench_view.read_bench(dry).find("1b")
    assert placed is not None
    assert [(o.painter, o.passed) for o in placed.tests] == [("Kit", False)]
    assert check(dry).faults == ()


def test_every_case_is_undone_exactly(dry: Shop, clock: ManualClock) -> None:
    seen = [state(dry)]
    deeds = [
        lambda: testing.put_test_off(dry, 1, "Kit", minutes=15),
        lambda: testing.pass_test(dry, 1, "Mo"),
        lambda: testing.put_test_off(dry, 1, "Mo", minutes=30),
        lambda: testing.pass_test(dry, 1, "Kit"),
        lambda: testing.pass_test(dry, 1, "Mo"),
        lambda: testing.put_test_off(dry, 1, "Kit", minutes=15),
    ]
    for deed in deeds:
        done(deed())
        clock.advance(minutes=1)
        assert told(dry) == state(dry)
        seen.append(state(dry))
    for before in reversed(seen[:-1]):
        done(undo.undo(dry, "Mo"))
        assert state(dry) == before
        assert told(dry) == state(dry)


# --- the cure ------------------------------------------------------------------------------------


@pytest.fixture
@done_once
def curing(shop: Shop, clock: ManualClock) -> Shop:
    """A bracket whose aerosol has had the days its placeholder asks for."""
    done(readings.take_reading(shop, "Kit", air_c=20, rh_pct=50, metal_c=20))
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket"))
    while part(shop).current().step.name != "Aerosol top coat 2":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    clock.advance(minutes=5)
    done(steps.finish(shop, 1, "Kit", all_faces=True))
    clock.advance(days=40)
    assert (stand(shop).word, part(shop).current().step.kind) == ("TEST", "cure")  # type: ignore[union-attr]
    return shop


def test_a_cure_too_is_held_back_by_one_and_only_passed_by_that_one(
    curing: Shop, clock: ManualClock
) -> None:
    done(testing.put_test_off(curing, 1, "Kit", minutes=60))
    done(testing.pass_test(curing, 1, "Mo"))
    assert stand(curing).word == "CURE"
    done(testing.pass_test(curing, 1, "Kit"))
    assert stand(curing).word == "CURED"


def test_a_cure_began_with_the_last_face_and_ended_with_its_test(
    curing: Shop, clock: ManualClock
) -> None:
    below = part(curing).clock_step()
    assert below is not None
    assert below.last_at is not None
    passed = done(testing.pass_test(curing, 1, "Mo"))
    cure = part(curing).steps[-1]
    assert f": {cure.step.name} passed by Mo" in str(passed)
    assert (cure.first_at, cure.last_at) == (below.last_at, clock.now())


def test_a_part_that_was_cured_and_is_reworked_has_nothing_to_test(curing: Shop) -> None:
    done(testing.pass_test(curing, 1, "Mo"))
    done(holds_and_rework.rework(curing, 1, "Kit", "run"))
    assert "nothing to test now" in refused(testing.put_test_off(curing, 1, "Kit")).rule


def test_a_part_called_cured_is_curing_again_when_somebody_finds_it_soft(
    curing: Shop, clock: ManualClock
) -> None:
    done(testing.pass_test(curing, 1, "Mo"))
    before = state(curing)
    assert stand(curing).word == "CURED"
    done(testing.put_test_off(curing, 1, "Kit", minutes=60))
    assert stand(curing).word == "CURE"
    cure = part(curing).current()
    assert cure is not None
    assert (cure.status, cure.last_at, cure.painters) == ("todo", None, ())
    clock.advance(hours=1)
    assert stand(curing).word == "TEST"
    done(undo.undo(curing, "Mo"))
    assert state(curing) == before
    assert said(curing) == [("Mo", True)]


def test_what_has_left_the_bench_is_tested_no_more(curing: Shop) -> None:
    done(testing.pass_test(curing, 1, "Mo"))
    assert done(placement.take_off(curing, 1, "Mo")).notes == ()
    assert "has left the bench" in refused(testing.put_test_off(curing, "1", "Kit")).rule


def test_what_was_said_of_a_coat_is_not_shown_for_the_next(dry: Shop, clock: ManualClock) -> None:
    done(testing.put_test_off(dry, 1, "Kit", minutes=15))
    clock.advance(minutes=15)
    done(testing.pass_test(dry, 1, "Mo"))
    done(readings.take_reading(dry, "Kit", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(dry, "gloss", "Mo", known=MixStart(need_ml=200)))
    done(steps.begin(dry, 1, "Kit"))
    done(steps.finish(dry, 1, "Kit", all_faces=True))
    assert said(dry) == []
