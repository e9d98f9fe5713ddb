"""A key chosen by a picture does what was meant by it, or nothing: house rules."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.conflicts import SeenEntries
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import back_dating, holds_and_rework, lots, placement, steps, testing
from bench.shop.parts.route_exchange import change_route
from bench.shop.seeds.seed_text import sheet_lines
from bench.shop.seeds.sheet_editing import set_product
from bench.shop.stock import pots, tins
from bench.store.databases.database import open_store
from bench.store.queries import bench_rows
from bench.testing import ManualClock
from tests.living import done_once

from ..doing import begin_over, done, part, read_20c, refused, state

pytestmark = pytest.mark.sqlite

LOT = {"route": "steel-blasted", "shape": "bracket"}
Deed = Callable[[Shop], Outcome | Refusal]

ON_A_PART: dict[str, Deed] = {
    "begin": lambda shop: steps.begin(shop, "1", "Kit"),
    "finish": lambda shop: steps.finish(shop, "1", "Kit"),
    "hold": lambda shop: holds_and_rework.hold(shop, "1", "Kit", "weather"),
    "release": lambda shop: holds_and_rework.release(shop, "1", "Kit"),
    "skip": lambda shop: holds_and_rework.skip(shop, "1", "Kit", "weather"),
    "join": lambda shop: holds_and_rework.join_step(shop, "1", "Kit"),
    "one more coat": lambda shop: holds_and_rework.another_coat(shop, "1", "Kit"),
    "change route": lambda shop: change_route(shop, "1", "Kit", route="steel-hand-tool"),
    "rework": lambda shop: holds_and_rework.rework(shop, "1", "Kit", "runs", back_to=1),
    "earlier": lambda shop: back_dating.back_date(shop, "1", "Kit", 5),
    "passed": lambda shop: testing.pass_test(shop, "1", "Kit"),
    "not yet": lambda shop: testing.put_test_off(shop, "1", "Kit"),
    "move": lambda shop: placement.move(shop, "1", "Kit", to=5),
    "take off": lambda shop: placement.take_off(shop, "1", "Kit"),
    "swap with it": lambda shop: placement.move(shop, "2", "Kit", to=1, swap=True),
    "split": lambda shop: lots.split(shop, "1", "Kit", 2, stand=5),
    "merge with it": lambda shop: lots.merge(shop, "2", "Kit", "1"),
}


@pytest.fixture
def other(shop: Shop, data: Path, clock: ManualClock) -> Iterator[Shop]:
    """The same bench on another terminal, with Mo at its keys."""
    opened = Shop(open_store(str(data)), clock, "window")
    yield opened
    opened.store.close()


@pytest.fixture
@done_once
def brackets(shop: Shop) -> Shop:
    """Two lots of twelve, nothing done to either."""
    for stand in (1, 2):
        done(placement.place(shop, stand, "Kit", **LOT, count=12))
    return shop


def as_seen_now(shop: Shop) -> Shop:
    """The shop as it is handed to a deed by a screen that shows it as it is now."""
    return shop.as_seen(SeenEntries(bench_view.read_bench(shop).line))


def mixed(shop: Shop) -> Outcome:
    return done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))


@pytest.mark.parametrize("deed", ON_A_PART.values(), ids=ON_A_PART)
def test_of_two_painters_at_one_part_the_second_is_told_who_what_and_when_and_changes_nothing(
    brackets: Shop, other: Shop, clock: ManualClock, deed: Deed
) -> None:
    kits = as_seen_now(brackets)
    clock.advance(minutes=2)
    done(steps.begin(other, "1", "Mo"))
    before = state(brackets)
    told = refused(deed(kits))
    assert str(told) == (
        "Mo changed this at 07:32 (tag 1 Bracket: Degrease and rinse begun 07:32): check again"
    )
    assert told.override == "never"
    assert state(brackets) == before
    assert check(brackets).faults == ()


def test_having_looked_again_the_painter_goes_on(brackets: Shop, other: Shop) -> None:
    kits = as_seen_now(brackets)
    done(steps.begin(other, 1, "Mo"))
    refused(holds_and_rework.join_step(kits, 1, "Kit"))
    done(holds_and_rework.join_step(as_seen_now(brackets), 1, "Kit"))


@pytest.mark.sqlite(False)
def test_two_painters_tick_their_faces_at_once_and_one_does_not_finish_what_the_other_has(
    brackets: Shop, other: Shop
) -> None:
    while not part(brackets).current().marks:  # type: ignore[union-attr]
        done(holds_and_rework.skip(brackets, 1, "Kit", "already done"))
    done(begin_over(brackets, 1, "Kit"))
    kits = as_seen_now(brackets)
    done(steps.finish(other, 1, "Mo", mark="A"))
    done(steps.finish(kits, 1, "Kit", mark="B"))
    assert "face A is sprayed already" in str(refused(steps.finish(kits, 1, "Kit", mark="A")))
    assert "changed this at" in str(refused(steps.finish(kits, 1, "Kit", all_faces=True)))
    done(holds_and_rework.hold(other, 1, "Mo", "weather"))
    assert "Mo changed this" in str(refused(steps.finish(kits, 1, "Kit", mark="EDGE")))


@pytest.mark.sqlite(False)
def test_two_painters_brush_two_zones_at_once_and_neither_begins_what_comes_after(
    shop: Shop, other: Shop, clock: ManualClock
) -> None:
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    while part(shop).current().step.kind != "dwell":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    read_20c(shop)
    kits = as_seen_now(shop)
    done(steps.begin(other, 1, "Mo", zone="FRONT"))
    done(steps.begin(kits, 1, "Kit", zone="REAR"))
    assert "every zone is wet already" in str(refused(steps.begin(kits, 1, "Kit", zone="FRONT")))
    assert "changed this at" in str(refused(steps.begin(kits, 1, "Kit")))
    clock.advance(minutes=12)
    done(steps.finish(other, 1, "Mo", mark="FRONT"))
    done(steps.finish(other, 1, "Mo", mark="REAR"))
    done(testing.pass_test(other, 1, "Mo"))
    later = as_seen_now(shop)
    assert str(refused(steps.begin(later, 1, "Kit", zone="REAR"))).startswith("no zone 'REAR' in ")


def test_what_is_done_to_another_part_or_read_off_a_thermometer_is_no_conflict(
    brackets: Shop, other: Shop
) -> None:
    kits = as_seen_now(brackets)
    done(steps.begin(other, 2, "Mo"))
    done(readings.take_reading(other, "Mo", air_c=18.0))
    done(steps.begin(kits, 1, "Kit"))


def test_ones_own_deed_since_the_picture_is_known(brackets: Shop) -> None:
    seen = bench_view.read_bench(brackets).line
    begun = done(steps.begin(brackets, 1, "Kit"))
    refused(steps.finish(brackets.as_seen(SeenEntries(seen)), 1, "Kit"))
    done(steps.finish(brackets.as_seen(SeenEntries(seen, frozenset({begun.line}))), 1, "Kit"))


def test_an_undo_that_was_not_seen_is_somebodys_deed_too(brackets: Shop, other: Shop) -> None:
    done(steps.begin(brackets, 1, "Kit"))
    kits = as_seen_now(brackets)
    done(undo.undo(other, "Mo"))
    told = refused(steps.finish(kits, 1, "Kit"))
    assert "Mo changed this" in told.rule
    assert told.read.startswith("undone: tag 1 Bracket: Degrease and rinse begun")


def test_a_clock_that_was_set_is_nobodys_deed(
    brackets: Shop, other: Shop, clock: ManualClock
) -> None:
    done(steps.begin(brackets, 1, "Kit"))
    kits = as_seen_now(brackets)
    clock.step(hours=1)
    done(readings.take_reading(other, "Mo", air_c=18.0))
    clock.advance(minutes=5)
    done(steps.finish(kits, 1, "Kit"))


def test_on_the_command_line_there_is_no_picture_and_the_rules_decide_alone(
    brackets: Shop, other: Shop
) -> None:
    done(steps.begin(other, 1, "Mo"))
    assert refused(steps.begin(brackets, 1, "Kit")).rule != "Mo changed this at 07:30"


def test_a_pot_already_binned_is_told_with_who_and_when(shop: Shop, other: Shop) -> None:
    mixed(shop)
    kits = as_seen_now(shop)
    done(pots.bin_pot(other, "A", "Mo"))
    told = refused(pots.bin_pot(kits, "A", "Kit"))
    assert str(told) == "Mo changed this at 07:30 (pot A binned): check again"
    assert refused(pots.bin_pot(shop, "A", "Kit")).rule == "no open pot A"


def test_a_fresh_pot_under_the_letter_of_a_binned_one_is_not_binned_for_it(
    shop: Shop, other: Shop
) -> None:
    mixed(shop)
    kits = as_seen_now(shop)
    done(pots.bin_pot(other, "A", "Mo"))
    mixed(other)
    told = refused(pots.bin_pot(kits, "A", "Kit"))
    assert "pot A: 300 ml" in told.read
    assert [pot.letter for pot in bench_view.read_bench(shop).pots] == ["A"]


def test_a_pot_that_was_topped_up_unseen_is_neither_binned_nor_topped_up(
    shop: Shop, other: Shop
) -> None:
    mixed(shop)
    kits = as_seen_now(shop)
    done(pots.top_up(other, "A", "Mo", known=MixStart(need_ml=200)))
    assert "topped up" in refused(pots.bin_pot(kits, "A", "Kit")).read
    again = pots.top_up(kits, "A", "Kit", known=MixStart(need_ml=200))
    assert "topped up" in refused(again).read


def test_a_gun_already_flushed_is_told_with_who_and_when(shop: Shop, other: Shop) -> None:
    mixed(shop)
    with shop.store.writing() as session:
        bench_rows.open_pots(session)[0].in_gun = True
        session.commit()
    kits = as_seen_now(shop)
    done(pots.flush(other, "A", "Mo"))
    told = refused(pots.flush(kits, "A", "Kit"))
    assert str(told) == "Mo changed this at 07:30 (every gun of pot A flushed): check again"


@pytest.mark.sqlite(False)
def test_a_parts_revision_moves_with_whatever_of_it_was_changed_and_back_with_an_undo(
    brackets: Shop,
) -> None:
    def revision() -> int:
        with brackets.store.reading() as session:
            row = bench_rows.part_tagged(session, "1")
            assert row is not None
            return row.revision

    seen = [revision()]
    done(holds_and_rework.skip(brackets, 1, "Kit", "weather"))
    seen.append(revision())
    done(holds_and_rework.hold(brackets, 1, "Kit", "weather"))
    seen.append(revision())
    done(holds_and_rework.release(brackets, 1, "Kit"))
    seen.append(revision())
    assert seen == sorted(set(seen))
    done(undo.undo(brackets, "Mo"))
    assert revision() == seen[-2]
    done(undo.undo(brackets, "Mo"))
    assert revision() == seen[-3]
    assert check(brackets).faults == ()


def test_a_sheet_is_not_typed_over_one_that_the_other_has_just_typed(
    shop: Shop, other: Shop
) -> None:
    def typed(shop: Shop, by: str, name: str) -> Outcome | Refusal:
        lines = sheet_lines(
            replace(bench_view.read_bench(shop).products["epoxy-primer"], name=name)
        )
        return set_product(shop, by, "epoxy-primer", "\n".join(lines))

    kits = as_seen_now(shop)
    done(typed(other, "Mo", "Epoxy primer, grey"))
    told = refused(typed(kits, "Kit", "Epoxy primer, red"))
    assert told.rule == "Mo changed this at 07:30"
    assert bench_view.read_bench(shop).products["epoxy-primer"].name == "Epoxy primer, grey"
    done(typed(as_seen_now(shop), "Kit", "Epoxy primer, red"))


def test_a_tin_that_was_binned_or_poured_from_unseen_is_not_counted(
    shop: Shop, other: Shop
) -> None:
    done(tins.record_tin(shop, "epoxy-primer", "Kit", role="base", size_ml=1000.0))
    kits = as_seen_now(shop)
    done(tins.count_tin(other, 1, "Mo", left_ml=400))
    assert "400 ml left" in refused(tins.count_tin(kits, 1, "Kit", left_ml=900)).read
    assert "400 ml left" in refused(tins.bin_tin(kits, 1, "Kit")).read
