"""What the simulations and their making found, each as the shortest thing a painter could press.

The figures are the placeholders of the shipped products: common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.stand_state import stand_state
from bench.process.clocks.temperature import Reading
from bench.process.parts.part import Part, StepRecord
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.route import Step
from bench.process.stock.mixing import MixStart
from bench.shop.core.bench_view import PlacedPart, read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.environment import readings
from bench.shop.parts import back_dating, holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.process.making import MON, after, around, band, coated, product
from tests.shop.doing import begin_over, over


def done(answer: Outcome | Refusal) -> Outcome:
    assert isinstance(answer, Outcome), answer
    return answer


def placed(shop: Shop, tag: str) -> PlacedPart:
    found = read_bench(shop).find(tag)
    assert found is not None, f"tag {tag} is nowhere on the bench"
    return found


def read(shop: Shop, air_c: float = 18) -> None:
    done(readings.take_reading(shop, "Mo", air_c=air_c, rh_pct=55, metal_c=air_c))


def before_its_first_coat(shop: Shop, route: str, stand: int = 1) -> str:
    """A bracket with everything before its first coat done elsewhere."""
    tag = done(placement.place(shop, stand, "Kit", route=route, shape="bracket")).tag
    while placed(shop, tag).part.current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, tag, "Kit", "already done"))
    return tag


def coat(shop: Shop, clock: ManualClock, tag: str, why: str = "") -> None:
    """Twenty minutes from the first face to the last; then it flashes off."""
    done(over(lambda override: steps.begin(shop, tag, "Kit", override=override), why))
    clock.advance(minutes=20)
    done(steps.finish(shop, tag, "Kit", all_faces=True))
    clock.advance(minutes=30)


def cured(shop: Shop, clock: ManualClock) -> str:
    """A lot of brackets in two-pack gloss, cured and taken off its stand."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", count=14))
    while placed(shop, "1").part.current().step.name != "Two-pack gloss 2":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, "1", "Kit", "already done"))
    read(shop)
    done(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    coat(shop, clock, "1")
    clock.advance(days=30)
    done(testing.pass_test(shop, "1", "Kit"))
    done(placement.take_off(shop, "1", "Kit"))
    return "1"


# --- parts that come back ------------------------------------------------------------------------


def test_a_cured_part_that_comes_back_for_rework_is_on_the_bench_again(
    shop: Shop, clock: ManualClock
) -> None:
    tag = cured(shop, clock)
    assert read_bench(shop).find(tag) is None, "it left the bench"
    done(holds_and_rework.rework(shop, tag, "Mo", "dropped"))
    assert placed(shop, tag).part.rework == "dropped"


def test_two_pieces_that_come_back_are_on_the_bench_and_the_other_twelve_are_not(
    shop: Shop, clock: ManualClock
) -> None:
    tag = cured(shop, clock)
    done(holds_and_rework.rework(shop, tag, "Mo", "dropped", count=2, stand=3))
    assert read_bench(shop).find(tag) is None
    parted = placed(shop, "1b").part
    assert (parted.count, parted.stand) == (2, 3)


# --- tags ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("tag", "as_typed"), [("\u00c4 1", "\u00e4 1"), ("\u0416", "\u0436")])
def test_capitals_do_not_matter_in_a_tag_of_any_alphabet(
    shop: Shop, tag: str, as_typed: str
) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket", tag=tag))
    for spelled in (tag, as_typed):
        taken = placement.place(shop, 2, "Kit", route="zinc-new", shape="bracket", tag=spelled)
        assert isinstance(taken, Refusal)
        assert "is taken" in str(taken)
        done(steps.begin(shop, spelled, "Kit"))
        done(undo.undo(shop, "Kit"))


def test_a_tag_of_eight_nines_does_not_use_up_the_tags(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket", tag="9" * 8))
    done(placement.place(shop, 2, "Kit", route="zinc-new", shape="bracket", tag="7"))
    assert done(placement.place(shop, 3, "Kit", route="zinc-new", shape="bracket")).tag == "8"


# --- clocks --------------------------------------------------------------------------------------


def test_a_coat_that_never_dried_in_a_winter_is_not_dry_because_its_readings_are_old(
    shop: Shop, clock: ManualClock
) -> None:
    tag = before_its_first_coat(shop, "steel-blasted")
    read(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    coat(shop, clock, tag)
    read(shop, 4)
    for _ in range(100):
        clock.advance(days=1)
        read(shop, 4)
        state = placed(shop, tag).state(clock.now())
        assert (state.word, state.note) == ("WAIT", "too cold: it is not drying")


def test_the_overrun_of_a_part_left_for_months_does_not_jump(
    shop: Shop, clock: ManualClock
) -> None:
    tag = before_its_first_coat(shop, "steel-blasted")
    read(shop, 12)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    coat(shop, clock, tag)
    clock.advance(days=3)
    read(shop, 12)
    clocks = placed(shop, tag).clocks
    clock.advance(days=3)
    read(shop, 20)
    clock.advance(days=66)
    assert placed(shop, tag).clocks.spans == clocks.spans


def hours_at(temp_c: float) -> float:
    """24 h at 10 C, 16 h at 20 C (a generic data sheet), ln t linear in 1/T between them."""
    cold, hot, here = (1 / (t + 273.15) for t in (10.0, 20.0, temp_c))
    return math.exp(math.log(24) + (here - cold) / (hot - cold) * (math.log(16) - math.log(24)))


def test_nights_are_cold_in_the_fourth_month_of_a_coat_too() -> None:
    """Too cold to dry until a warm noon of June; that noon says nothing of the night after it."""
    paint = product(band("wait", c10=24, c20=16), band("open"))
    paint = replace(paint, limits=replace(paint.limits, metal_least_c=10.0))
    noon = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
    cold = [Reading(MON + timedelta(days=n), 4.0) for n in range(91)]
    wait = clocks_of(coated(MON, MON), around(paint, *cold, Reading(noon, 18.0))).spans[0]
    # Summer time: the shop closes at 16:30 UTC and opens at 06:30.
    left = 1 - 4.5 / hours_at(18) - 14 / hours_at(11)
    opens = noon.replace(day=2, hour=6, minute=30) + timedelta(hours=left * hours_at(18))
    assert wait.end is not None
    assert abs(wait.end - opens) < timedelta(seconds=1)


def test_a_build_coat_after_keying_is_as_old_as_its_own_first_face() -> None:
    """The mist was left past its window and keyed: a keyed mist is a ground, not half of a coat."""
    paint = product(band("wait", 60), band("open", 600), band("key"))
    mist = StepRecord(1, Step("mist", "coat", "p"), "done", MON, after(5))
    keyed = StepRecord(2, Step("abrade", "work"), "done", after(3000), after(3100))
    build = Step("build", "coat", "p", continues=True)
    built = StepRecord(3, build, "done", after(3200), after(3210))
    top = StepRecord(4, Step("top", "coat", "p"))
    part = Part("1", "b", 1, "", "", "steel", "plain", 1, 1, (mist, keyed, built, top))
    _, is_open, _ = clocks_of(part, around(paint)).spans
    assert is_open.end == after(3200 + 600)


def test_nought_is_try_it_even_where_keying_is_what_comes_next() -> None:
    """As in a cold week: the wait ends after the window that would have followed it."""
    paint = product(band("wait", c10=24, c20=16), band("open", 60), band("key"), test="thumb")
    part = coated(MON, MON)
    clocks = clocks_of(part, around(paint))
    assert [span.word for span in clocks.spans] == ["wait", "key"]
    end = clocks.spans[0].end
    assert end is not None
    state = stand_state(part, clocks, end)
    assert (state.word, state.test, state.target) == ("TEST", "thumb", end)
    coat_, todo = part.steps
    passed = replace(part, steps=(replace(coat_, passed_at=end, passed_by="Kit"), todo))
    assert stand_state(passed, clocks, end + timedelta(minutes=1)).word == "ABRADE"


def test_soft_paint_past_its_window_is_not_keyed_before_somebody_tried_it(
    shop: Shop, clock: ManualClock
) -> None:
    tag = before_its_first_coat(shop, "steel-blasted")
    read(shop)
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    coat(shop, clock, tag)
    read(shop, 4)
    clock.advance(days=9)
    read(shop, 20)
    clock.advance(days=1)
    assert placed(shop, tag).state(clock.now()).word == "TEST"
    refused = steps.begin(shop, tag, "Kit")
    assert isinstance(refused, Refusal)
    assert "nobody has passed the test" in str(refused)


def test_a_part_that_came_painted_can_be_cured_all_the_same(shop: Shop, clock: ManualClock) -> None:
    tag = before_its_first_coat(shop, "steel-blasted")
    while placed(shop, tag).part.current().step.kind != "cure":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, tag, "Kit", "already done"))
    state = placed(shop, tag).state(clock.now())
    assert (state.word, bool(state.test)) == ("CURE", True)
    done(testing.pass_test(shop, tag, "Kit"))
    assert placed(shop, tag).state(clock.now()).word == "CURED"
    done(testing.put_test_off(shop, tag, "Mo"))
    assert placed(shop, tag).state(clock.now()).word == "CURE"
    done(undo.undo(shop, "Kit"))
    done(undo.undo(shop, "Kit"))
    assert placed(shop, tag).state(clock.now()).word == "CURE"


def test_what_is_said_to_be_earlier_after_a_not_yet_is_the_not_yet(
    shop: Shop, clock: ManualClock
) -> None:
    tag = before_its_first_coat(shop, "steel-blasted")
    coat(shop, clock, tag, why="other")
    clock.advance(days=2)
    done(testing.put_test_off(shop, tag, "Kit", minutes=30))
    before = placed(shop, tag)
    done(back_dating.back_date(shop, tag, "Kit", 10))
    after = placed(shop, tag)
    assert after.part.clock_step().last_at == before.part.clock_step().last_at  # type: ignore[union-attr]
    opens = after.state(clock.now()).opens.at
    assert opens == clock.now() + timedelta(minutes=20)
    assert after.tests[-1].at == clock.now() - timedelta(minutes=10)


def test_a_passed_test_that_was_earlier_is_kept_as_earlier_for_the_second_opinion_too(
    shop: Shop, clock: ManualClock
) -> None:
    tag = before_its_first_coat(shop, "steel-blasted")
    coat(shop, clock, tag, why="other")
    clock.advance(days=2)
    done(testing.pass_test(shop, tag, "Kit"))
    done(back_dating.back_date(shop, tag, "Kit", 10))
    record = placed(shop, tag).part.clock_step()
    assert record is not None
    assert record.passed_at == placed(shop, tag).tests[-1].at == clock.now() - timedelta(minutes=10)


def test_the_humidity_a_part_counts_on_does_not_hang_on_another_part(
    shop: Shop, clock: ManualClock
) -> None:
    """Blasted steel in damp air, or unread, has 2 h, else 4 h: what was read ten days ago is no
    reading of today."""
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=40))
    old = before_its_first_coat(shop, "zinc-weathered", stand=2)
    coat(shop, clock, old, why="other")
    clock.advance(days=10)
    done(readings.take_reading(shop, "Mo", air_c=18))
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", tag="9"))
    done(holds_and_rework.skip(shop, "9", "Kit", "already done"))
    done(steps.begin(shop, "9", "Kit"))
    done(steps.finish(shop, "9", "Kit"))
    assert placed(shop, "9").state(clock.now()).closes.at == clock.now() + timedelta(hours=2)


# --- rework --------------------------------------------------------------------------------------


def to_do(shop: Shop, tag: str) -> list[str]:
    return [record.step.name for record in placed(shop, tag).part.steps if record.status == "todo"]


def glossed(shop: Shop, clock: ManualClock) -> dict[str, int]:
    """A bracket with epoxy and two coats of gloss: the numbers of its coats by their names."""
    tag = before_its_first_coat(shop, "steel-blasted")
    for _ in range(3):
        coat(shop, clock, tag, why="tested on the coupon")
    return {record.step.name: record.number for record in placed(shop, tag).part.steps}


BOTH = ["repair", "Two-pack gloss 1", "Two-pack gloss 2", "Cure"]


def test_a_second_rework_before_the_first_is_begun_asks_for_no_coat_twice(
    shop: Shop, clock: ManualClock
) -> None:
    number = glossed(shop, clock)
    done(holds_and_rework.rework(shop, 1, "Mo", "run"))
    assert to_do(shop, "1") == ["repair", "Two-pack gloss 2", "Cure"]
    done(holds_and_rework.rework(shop, 1, "Mo", "dropped", back_to=number["Two-pack gloss 1"]))
    assert to_do(shop, "1") == BOTH
    done(holds_and_rework.rework(shop, 1, "Mo", "stripes"))
    assert to_do(shop, "1") == BOTH
    right = placed(shop, "1").part.current()
    assert right is not None
    assert [told.split(":")[0] for told in right.step.reminders] == ["run", "dropped", "stripes"]


def test_a_rework_while_it_is_put_right_asks_for_no_coat_twice(
    shop: Shop, clock: ManualClock
) -> None:
    number = glossed(shop, clock)
    done(holds_and_rework.rework(shop, 1, "Mo", "run"))
    done(begin_over(shop, 1, "Mo", "other"))
    done(holds_and_rework.rework(shop, 1, "Mo", "dropped", back_to=number["Two-pack gloss 1"]))
    assert to_do(shop, "1") == BOTH


def test_a_rework_back_to_a_coat_that_was_done_again_since_does_each_once(
    shop: Shop, clock: ManualClock
) -> None:
    number = glossed(shop, clock)
    done(holds_and_rework.rework(shop, 1, "Mo", "run", back_to=number["Two-pack gloss 1"]))
    done(begin_over(shop, 1, "Mo", "other"))
    done(steps.finish(shop, 1, "Mo"))
    for _ in range(2):
        coat(shop, clock, "1", why="other")
    done(holds_and_rework.rework(shop, 1, "Mo", "run", back_to=number["Two-pack gloss 1"]))
    assert to_do(shop, "1") == BOTH


def test_one_more_coat_of_the_same_is_done_again_too(shop: Shop, clock: ManualClock) -> None:
    number = glossed(shop, clock)
    done(holds_and_rework.another_coat(shop, 1, "Mo"))
    coat(shop, clock, "1", why="other")
    done(holds_and_rework.rework(shop, 1, "Mo", "run", back_to=number["Two-pack gloss 1"]))
    assert to_do(shop, "1") == [*BOTH[:-1], "Two-pack gloss 2", "Cure"]


def test_a_step_that_was_left_out_stays_behind_when_rework_comes(
    shop: Shop, clock: ManualClock
) -> None:
    tag = before_its_first_coat(shop, "steel-blasted")
    for _ in range(2):
        coat(shop, clock, tag, why="other")
    done(holds_and_rework.skip(shop, tag, "Mo", "no material"))
    done(holds_and_rework.rework(shop, tag, "Mo", "run"))
    words = [record.status for record in placed(shop, tag).part.steps]
    assert words == sorted(words, key=lambda word: word == "todo")
    assert to_do(shop, tag) == ["repair", "Two-pack gloss 1", "Cure"]


def test_a_part_is_not_sent_to_rework_while_acid_is_on_it(shop: Shop, clock: ManualClock) -> None:
    """Struck out with its step, the zone would never be said to be late."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame", count=2))
    for _ in range(2):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Kit", air_c=20, metal_c=20))
    done(steps.begin(shop, 1, "Kit", zone="REAR"))
    wash = placed(shop, "1").part.current()
    assert wash is not None
    for count in (None, 1):
        refused = holds_and_rework.rework(shop, 1, "Mo", "other", back_to=wash.number, count=count)
        assert isinstance(refused, Refusal)
        assert str(refused) == "tag 1 Frame: REAR wet with acid: rinse first"
    clock.advance(minutes=12)
    done(steps.finish(shop, 1, "Kit"))
    done(holds_and_rework.rework(shop, 1, "Mo", "other", back_to=wash.number))
