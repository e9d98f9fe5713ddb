"""Anything of the last ten minutes can be undone by anyone, as long as nothing later hangs on it."""

from __future__ import annotations

import random
from datetime import timedelta

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.records.as_text import text
from bench.records.job_record import sheet_page
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections.correction import correct
from bench.shop.corrections.part_facts import Naming
from bench.shop.corrections.pot_facts import FiguresOfReading, PoursOfPot
from bench.shop.corrections.step_facts import HourOfStep, PaintersOfStep
from bench.shop.corrections.undo import UNDO_FOR, undo, undo_line
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, notes, placement, steps
from bench.shop.queries.log import entry_at, log_page
from bench.shop.records.gathering import sheet_of
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests import simulation
from tests.living import done_once

from ..doing import begin_over, done, refused, state, told

pytestmark = pytest.mark.sqlite

FRAME = {"route": "zinc-new", "shape": "frame"}


def number_of(shop: Shop, text: str) -> int:
    """The newest line with these words in it."""
    return next(line.number for line in log_page(shop) if text in line.text)


@pytest.fixture
@done_once
def two(shop: Shop, clock: ManualClock) -> Shop:
    """Two frames: the first begun, then the second, then a reading."""
    done(placement.place(shop, 1, "Kit", **FRAME))
    done(placement.place(shop, 2, "Mo", **FRAME))
    done(steps.begin(shop, 1, "Kit"))
    clock.advance(minutes=2)
    done(steps.begin(shop, 2, "Mo"))
    done(readings.take_reading(shop, "Mo", air_c=18))
    return shop


def test_an_earlier_line_is_undone_and_what_came_after_it_stays(two: Shop) -> None:
    number = number_of(two, "tag 1 Frame: File")
    answer = done(undo_line(two, "Mo", number))
    assert answer.text.startswith("undone: tag 1 Frame: File the zinc spikes begun 07:30 (Kit")
    newest = log_page(two)[0]
    assert (newest.undoes, newest.painter) == (number, "Mo")
    line = entry_at(two, number)
    assert line is not None
    assert line.undone
    assert told(two) == state(two)
    assert check(two).faults == ()
    done(steps.begin(two, 1, "Kit"))


def test_ten_minutes_later_only_the_last_one_can_be(two: Shop, clock: ManualClock) -> None:
    first, last = number_of(two, "tag 1 Frame: File"), number_of(two, "reading")
    clock.advance(seconds=UNDO_FOR.total_seconds() - 120)
    clock.advance(seconds=1)
    answer = refused(undo_line(two, "Kit", first))
    assert answer.rule == "it was done 11 min ago"
    assert answer.remedy == "correct the fact, with a reason"
    clock.advance(days=1)
    done(undo_line(two, "Kit", last))


def test_the_limit_is_ten_minutes_to_the_second(two: Shop, clock: ManualClock) -> None:
    assert timedelta(minutes=10) == UNDO_FOR
    clock.advance(minutes=8)
    done(undo_line(two, "Kit", number_of(two, "tag 1 Frame: File")))


def test_what_something_later_touched_is_refused_and_the_later_line_is_named(two: Shop) -> None:
    done(steps.finish(two, 1, "Kit"))
    number = next(n.number for n in log_page(two) if n.tag == "1" and "begun" in n.text)
    answer = refused(undo_line(two, "Mo", number))
    assert answer.rule == "a later entry depends on it"
    assert "File the zinc spikes finished 07:32 (Kit, 07:32)" in answer.read
    # Undone in turn, the two are as if the later had never been.
    done(undo_line(two, "Mo", log_page(two)[0].number))
    done(undo_line(two, "Mo", number))
    assert told(two) == state(two)


def test_a_mix_that_a_coat_was_begun_with_is_not_taken_from_under_it(
    shop: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    for _ in range(2):
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    done(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "epoxy-primer", "Kit", known=MixStart(need_ml=300)))
    done(steps.begin(shop, 1, "Kit"))
    answer = refused(undo_line(shop, "Mo", number_of(shop, "pot A")))
    assert answer.rule == "a later entry depends on it"
    assert "Epoxy primer begun" in answer.read


def test_a_part_with_a_note_on_it_is_not_taken_from_under_the_note(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", **FRAME))
    done(notes.write_note(shop, "Mo", "bolt is loose", target=1))
    answer = refused(undo_line(shop, "Kit", number_of(shop, "tag 1 Frame placed")))
    assert answer.rule == "a later entry depends on it"
    assert "bolt is loose" in answer.read


def test_what_was_undone_since_hides_nothing_that_came_after_it(two: Shop) -> None:
    done(undo(two, "Mo"))
    done(steps.finish(two, 1, "Kit"))
    number = number_of(two, "tag 1 Frame: File the zinc spikes begun")
    answer = refused(undo_line(two, "Mo", number))
    assert answer.rule == "a later entry depends on it"


def test_a_stand_that_was_taken_since_is_not_taken_back(two: Shop) -> None:
    done(placement.move(two, 1, "Kit", to=3))
    done(placement.place(two, 1, "Mo", **FRAME))
    answer = refused(undo_line(two, "Kit", number_of(two, "moved from stand 1")))
    assert answer.rule == "something else is in its place by now"
    assert told(two) == state(two)
    assert check(two).faults == ()


@pytest.mark.sqlite(False)
def test_a_letter_that_was_given_away_since_is_not_given_twice(shop: Shop) -> None:
    done(pots.mix(shop, "epoxy-primer", "Kit", known=MixStart(need_ml=300)))
    done(pots.bin_pot(shop, "A", "Kit"))
    done(pots.mix(shop, "gloss", "Kit", known=MixStart(need_ml=330)))
    answer = refused(undo_line(shop, "Kit", number_of(shop, "pot A binned")))
    assert answer.rule == "another pot is called A by now"
    assert told(shop) == state(shop)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("undone:", "that entry is an undo"),
        ("tag 1 Frame placed", "that entry is undone already"),
        ("shop opened", "that cannot be undone"),
    ],
)
def test_what_cannot_be_undone_says_why(shop: Shop, text: str, why: str) -> None:
    done(placement.place(shop, 1, "Kit", **FRAME))
    done(undo(shop, "Kit"))
    numbers = {line.text: line.number for line in log_page(shop)}
    number = next(number for line, number in numbers.items() if line.startswith(text))
    assert refused(undo_line(shop, "Mo", number)).rule == why
    assert refused(undo_line(shop, "Mo", 999)).rule == "no entry 999 in the log"


@pytest.mark.sqlite(False)
@pytest.mark.parametrize("seed", range(8 if simulation.LONG else 2))
def test_whatever_is_undone_in_whatever_order_the_state_is_what_the_journal_says(
    shop: Shop, clock: ManualClock, seed: int
) -> None:
    dice = random.Random(seed)
    deeds = [
        lambda stand: placement.place(shop, stand, "Kit", route="steel-blasted", shape="bracket"),
        lambda stand: begin_over(shop, stand, "Kit", "other"),
        lambda stand: steps.finish(shop, stand, "Mo", all_faces=True),
        lambda stand: holds_and_rework.skip(shop, stand, "Mo", "already done"),
        lambda stand: holds_and_rework.hold(shop, stand, "Mo", "other"),
        lambda stand: holds_and_rework.release(shop, stand, "Mo"),
        lambda stand: holds_and_rework.rework(shop, stand, "Mo", "run"),
        lambda stand: placement.take_off(shop, stand, "Mo"),
        lambda stand: placement.move(shop, stand, "Mo", to=dice.randint(1, 3), swap=True),
        lambda stand: pots.mix(shop, "epoxy-primer", "Kit", known=MixStart(need_ml=300)),
        lambda stand: pots.bin_pot(shop, "A", "Kit"),
        lambda stand: readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=18),
        lambda stand: correct(
            shop,
            stand,
            "Kit",
            "other",
            HourOfStep(
                step=dice.randint(1, 6),
                edge="first" if dice.random() < 0.5 else "last",
                at=clock.now() - timedelta(minutes=dice.randint(0, 20)),
            ),
        ),
        lambda stand: correct(
            shop, stand, "Kit", "other", PaintersOfStep(step=dice.randint(1, 6), painters=["Mo"])
        ),
        lambda stand: correct(
            shop,
            stand,
            "Kit",
            "other",
            Naming(count=dice.randint(1, 3), tag=str(dice.randint(1, 30))),
        ),
        lambda stand: correct(
            shop, "", "Kit", "other", FiguresOfReading(1, {"air": dice.randint(1, 30)})
        ),
        lambda stand: correct(
            shop, "", "Kit", "other", PoursOfPot(1, {1: 100.0 * dice.randint(1, 9)})
        ),
    ]
    undone = 0
    for _ in range(80):
        clock.advance(seconds=20)
        if dice.random() < 0.75:
            dice.choice(deeds)(dice.randint(1, 3))
            continue
        before = state(shop)
        line = dice.choice(log_page(shop, 12))
        answer = undo_line(shop, "Mo", line.number)
        if isinstance(answer, Refusal):
            assert state(shop) == before
        else:
            assert isinstance(answer, Outcome)
            undone += 1
        told_sheet = sheet_of(shop, dice.randint(1, 3))
        assert isinstance(told_sheet, Refusal) or text(sheet_page(told_sheet))
    assert undone
    assert told(shop) == state(shop)
    assert check(shop).faults == ()
