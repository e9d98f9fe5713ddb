"""A clock that was set, or that comes up wrong: what runs keeps its elapsed time. House rules."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from shutil import copy

import pytest
from sqlmodel import col, select

from bench.clock import StillClock
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.clock import timekeeping
from bench.shop.clock.timekeeping import instant_typed, set_clock
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.corrections.correction import correct
from bench.shop.corrections.pot_facts import FiguresOfReading, reading_of_line
from bench.shop.data.opening import check
from bench.shop.environment import readings
from bench.shop.parts import back_dating, holds_and_rework, placement, steps
from bench.shop.parts.measuring import Readings, record_readings
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.store.log import journal
from bench.store.schema.tables import JournalRow
from bench.testing import ManualClock
from tests.conftest import MONDAY, WEDNESDAY, open_copy
from tests.living import done_once

pytestmark = pytest.mark.sqlite

LOT = {"route": "steel-blasted", "shape": "bracket"}
STEPS = [{"hours": 3}, {"hours": -3}, {"seconds": 6}]


def done(answer: Outcome | Refusal) -> Outcome:
    assert isinstance(answer, Outcome), answer
    return answer


def primed(shop: Shop, clock: ManualClock, stand: int = 1) -> None:
    """A bracket whose epoxy is on, and its pot and gun."""
    done(placement.place(shop, stand, "Kit", **LOT))
    for _ in range(2):
        done(holds_and_rework.skip(shop, stand, "Kit", "already done"))
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    clock.advance(minutes=15)
    done(steps.begin(shop, stand, "Kit"))
    clock.advance(minutes=20)
    done(steps.finish(shop, stand, "Kit", all_faces=True))
    done(record_readings(shop, stand, "Kit", Readings("wft", {"": [120]})))


def elapsed(shop: Shop) -> object:
    """Everything that counts, as the screens and the command line see it: no hours of the day."""
    view, now = bench_view.read_bench(shop), shop.clock.now()
    states = [view.state(number, now) for number, _ in view.stands]
    stands = [(state.word, round(state.seconds_left(now) or 0)) for state in states]
    spans = [
        (span.word, since(span.start, now), since(span.end, now))
        for _, placed in view.stands
        if placed
        for span in placed.clocks.spans
    ]
    held = [(p.mixed_at - now, p.use_from - now, p.bin_by and p.bin_by - now) for p in view.pots]
    room = view.room(now)
    on, until = room.on, room.until
    reading = view.reading()
    measured = [now - each.at for placed in view.everything() for each in placed.measurements]
    return stands, spans, held, on, until and until - now, reading and now - reading.at, measured


def since(at: datetime | None, now: datetime) -> int | None:
    return None if at is None else round((now - at).total_seconds())


def lines(shop: Shop) -> list[JournalRow]:
    with shop.store.reading() as session:
        return list(session.exec(select(JournalRow).order_by(col(JournalRow.id))).all())


def state(shop: Shop) -> object:
    with shop.store.reading() as session:
        return journal.present(session)


def restarted(shop: Shop, now: datetime, up: timedelta = timedelta(minutes=1)) -> Shop:
    """The computer was off; its clock comes up showing ``now``."""
    return Shop(shop.store, ManualClock(now, boot="the next start", up=up), "test")


def hands(shop: Shop) -> ManualClock:
    clock = shop.clock.computer
    assert isinstance(clock, ManualClock)
    return clock


def open_warm(place: Path | str, seeds: Seeds) -> None:
    """Open a shop that is as warm by night as by day: no estimate of a night moves with the hour."""
    opened = Shop(open_store(str(place)), ManualClock(MONDAY), "test")
    done(open_shop(opened, seeds, ("Kit", "Mo"), 6, {"zone": "Europe/London", "night_c": 18.0}))
    opened.store.close()


@pytest.fixture(scope="module")
def warm(tmp_path_factory: pytest.TempPathFactory, seeds: Seeds) -> Path:
    """The file of such a shop, to be copied."""
    file = tmp_path_factory.mktemp("warm") / "shop.db"
    open_warm(file, seeds)
    return file


@pytest.fixture
def shop(data: Path | str, clock: ManualClock, seeds: Seeds, warm: Path) -> Iterator[Shop]:
    """As warm by night as by day."""
    if isinstance(data, Path):
        store = open_copy(copy(warm, data))
    else:
        open_warm(data, seeds)
        store = open_store(data)
    opened = Shop(store, clock, "test")
    yield opened
    opened.store.close()


@pytest.fixture
def running(shop: Shop, clock: ManualClock) -> Shop:
    """A program that watches, with something on every kind of clock."""
    put_to_work(shop, clock)
    timekeeping.start_clock(shop)  # what was copied is watched from here on
    return shop


@done_once
def put_to_work(shop: Shop, clock: ManualClock) -> None:
    timekeeping.start_clock(shop)
    primed(shop, clock)
    done(placement.place(shop, 2, "Kit", route="zinc-new", shape="frame"))
    done(steps.begin(shop, 2, "Mo"))
    clock.advance(minutes=10)
    done(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))


# -- while the program runs ------------------------------------------------------------


@pytest.mark.parametrize("step", STEPS)
def test_a_step_changes_no_elapsed_time_and_is_a_line_of_its_own(
    running: Shop, clock: ManualClock, step: dict[str, float]
) -> None:
    before, number = elapsed(running), len(lines(running))
    clock.step(**step)
    assert timekeeping.was_stepped(running)
    timekeeping.move_running_clocks(running)
    assert elapsed(running) == before
    assert running.clock.now() == clock.now(), "the bench goes by the new time"
    assert [line.action for line in lines(running)[number:]] == ["clock stepped"]
    assert not lines(running)[-1].doubtful
    assert check(running).faults == (), "and the journal alone tells the same"
    assert not timekeeping.was_stepped(running)


@pytest.mark.sqlite(False)
@pytest.mark.parametrize("step", STEPS)
def test_a_pot_alone_topped_up_and_corrected_is_as_old_after_a_step_as_before(
    shop: Shop, clock: ManualClock, step: dict[str, float]
) -> None:
    timekeeping.start_clock(shop)
    done(readings.take_reading(shop, "Mo", air_c=20))
    done(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=400)))
    clock.advance(minutes=30)
    line = done(readings.take_reading(shop, "Mo", air_c=35)).line
    clock.advance(minutes=10)
    done(pots.top_up(shop, "A", "Mo", known=MixStart(need_ml=400)))
    number = reading_of_line(shop, line)
    assert isinstance(number, int)
    done(correct(shop, "", "Mo", "misread", FiguresOfReading(number, {"air": 22.0})))
    before = elapsed(shop)
    clock.step(**step)
    timekeeping.move_running_clocks(shop)
    assert elapsed(shop) == before
    assert check(shop).faults == ()


@pytest.mark.parametrize("seconds", [4, -4])
def test_four_seconds_are_no_step(running: Shop, clock: ManualClock, seconds: int) -> None:
    before = state(running)
    clock.step(seconds=seconds)
    assert not timekeeping.was_stepped(running)
    timekeeping.move_running_clocks(running)
    assert state(running) == before


def test_a_suspended_computer_has_aged_everything_and_nothing_is_a_fault(
    running: Shop, clock: ManualClock
) -> None:
    number = len(lines(running))
    clock.advance(hours=9)
    assert not timekeeping.was_stepped(running)
    timekeeping.move_running_clocks(running)
    assert len(lines(running)) == number
    assert bench_view.read_bench(running).state(2, running.clock.now()).word == "WORKING"


@pytest.mark.sqlite(False)
def test_there_and_back_again_leaves_every_row_as_it_was(running: Shop, clock: ManualClock) -> None:
    before = state(running)
    for hours in (3, -3):
        clock.step(hours=hours)
        timekeeping.move_running_clocks(running)
    assert state(running) == before


def test_in_1970_the_bench_goes_on_by_the_counter_and_marks_what_is_done(
    running: Shop, clock: ManualClock
) -> None:
    before, now = elapsed(running), running.clock.now()
    clock.step(days=-20454)
    assert clock.now().year == 1969
    timekeeping.move_running_clocks(running)
    assert running.clock.now() == now
    view = bench_view.read_bench(running)
    assert view.doubtful
    assert view.clock.why == "earlier than this software"
    clock.advance(minutes=2)
    done(holds_and_rework.hold(running, 1, "Kit", "weather"))
    assert [line.doubtful for line in lines(running)[-2:]] == [True, True]
    done(holds_and_rework.release(running, 1, "Kit"))
    done(set_clock(running, "Kit", running.clock.now()))
    clock.advance(minutes=-2)
    assert elapsed(running) == before
    done(holds_and_rework.hold(running, 1, "Kit", "weather"))
    assert not lines(running)[-1].doubtful
    assert check(running).faults == ()


def test_the_first_action_after_a_step_finds_it_before_it_writes(
    running: Shop, clock: ManualClock
) -> None:
    clock.step(hours=3)
    done(steps.finish(running, 2, "Mo"))
    stepped, finished = lines(running)[-2:]
    assert (stepped.action, finished.action) == ("clock stepped", "finish")
    assert finished.at == clock.now()
    assert check(running).faults == ()


def test_what_was_asked_for_before_the_step_happened_then(
    running: Shop, clock: ManualClock
) -> None:
    ten_ago = running.clock.now() - timedelta(minutes=5)
    clock.step(hours=3)
    done(steps.finish(running, 2, "Mo", at=ten_ago))
    view = bench_view.read_bench(running)
    placed = view.on(2)
    assert placed is not None
    finished = placed.part.clock_step()
    assert finished is not None
    assert finished.last_at == running.clock.now() - timedelta(minutes=5)


@pytest.mark.sqlite(False)
def test_of_two_terminals_one_writes_the_step_down(
    running: Shop, clock: ManualClock, data: Path
) -> None:
    other = Shop(open_store(str(data)), clock, "window")
    timekeeping.start_clock(other)
    before, number = elapsed(running), len(lines(running))
    clock.step(hours=3)
    assert timekeeping.was_stepped(running)
    assert timekeeping.was_stepped(other)
    assert timekeeping.move_running_clocks(other) != ""
    assert timekeeping.move_running_clocks(running) == ""
    assert len(lines(running)) == number + 1
    assert elapsed(running) == elapsed(other) == before
    other.store.close()


def test_a_reader_shows_the_elapsed_time_though_it_may_not_write(
    running: Shop, clock: ManualClock, data: Path
) -> None:
    before, number = elapsed(running), len(lines(running))
    clock.step(hours=3)
    reader = Shop(open_store(str(data)), clock, "reader")
    assert elapsed(reader) == before
    assert len(lines(running)) == number
    assert not bench_view.read_bench(reader).doubtful
    reader.store.close()


def test_the_demo_keeps_its_clocks_too(demo_file: Path, tmp_path: Path) -> None:
    clock = ManualClock(WEDNESDAY)
    demo = Shop(open_store(str(copy(demo_file, tmp_path / "demo.db"))), clock, "demo")
    timekeeping.start_clock(demo)
    before = elapsed(demo)
    clock.step(minutes=-30)
    timekeeping.move_running_clocks(demo)
    after = elapsed(demo)
    # The hours of the coming night are nearer or further now; what has gone by has not changed.
    assert [word for word, _ in after[0]] == [word for word, _ in before[0]]  # type: ignore[index]
    assert after[2:] == before[2:]  # type: ignore[index]
    assert check(demo).faults == ()
    demo.store.close()


# -- undo --------------------------------------------------------------------------------


def test_time_that_has_gone_by_is_not_undone(running: Shop, clock: ManualClock) -> None:
    done(holds_and_rework.hold(running, 1, "Kit", "weather"))
    clock.step(hours=3)
    timekeeping.move_running_clocks(running)
    last = undo.last_action(running)
    assert last is not None
    assert last.action == "hold", "the step itself is no action"


def test_what_wrote_no_hour_is_undone_exactly_across_a_step(
    running: Shop, clock: ManualClock
) -> None:
    done(holds_and_rework.hold(running, 1, "Kit", "weather"))
    before = elapsed(running)
    clock.step(hours=3)
    timekeeping.move_running_clocks(running)
    done(undo.undo(running, "Kit"))
    assert elapsed(running) != before
    done(holds_and_rework.hold(running, 1, "Kit", "weather"))
    assert elapsed(running) == before
    assert check(running).faults == ()


def test_what_wrote_an_hour_before_a_step_is_refused_in_words(
    running: Shop, clock: ManualClock
) -> None:
    clock.step(hours=3)
    timekeeping.move_running_clocks(running)
    before = state(running)
    answer = undo.undo(running, "Kit")
    assert isinstance(answer, Refusal)
    assert "the clock was set since" in str(answer)
    assert state(running) == before
    done(steps.finish(running, 2, "Mo"))
    done(undo.undo(running, "Mo"))
    assert state(running) == before, "and what came after it is undone as ever"


# -- at a start --------------------------------------------------------------------------


def test_after_a_power_cut_with_the_clock_right_everything_has_aged(running: Shop) -> None:
    was = running.clock.now()
    again = restarted(running, was + timedelta(minutes=41))
    assert (
        timekeeping.start_clock(again) == "computer started, 40 min after the last line; clock OK"
    )
    assert again.clock.now() == was + timedelta(minutes=41)
    assert not bench_view.read_bench(again).doubtful
    assert lines(again)[-1].action == "clock started"
    assert check(again).faults == ()


@pytest.mark.parametrize("shown", [timedelta(hours=-3), timedelta(days=-20454), timedelta(days=40)])
def test_a_clock_that_cannot_be_right_is_at_least_the_last_line(
    running: Shop, shown: timedelta
) -> None:
    last = lines(running)[-1].at
    again = restarted(running, last + shown)
    timekeeping.start_clock(again)
    view = bench_view.read_bench(again)
    assert view.doubtful
    assert again.clock.now() == last + timedelta(minutes=1), "it has been on for a minute"
    placed = view.on(1)
    assert placed is not None
    assert placed.state(again.clock.now()).doubtful
    assert lines(again)[-1].action == "clock wrong"
    assert lines(again)[-1].doubtful


def test_a_shop_may_say_how_long_is_long(data: Path, clock: ManualClock, seeds: Seeds) -> None:
    opened = Shop(open_store(str(data)), clock, "test")
    done(open_shop(opened, seeds, ("Kit", "Mo"), 6, {"clock_far_days": 7}))
    again = restarted(opened, clock.now() + timedelta(days=8))
    assert timekeeping.state_in_use(again).why == "no entry for 8 days before"
    opened.store.close()


@pytest.mark.sqlite(False)
def test_a_zone_is_rinsed_when_it_was_said_to_be_across_a_step(
    running: Shop, clock: ManualClock
) -> None:
    done(placement.place(running, 3, "Kit", route="zinc-new", shape="bracket"))
    for _ in range(2):
        done(holds_and_rework.skip(running, 3, "Kit", "already done"))
    done(steps.begin(running, 3, "Kit"))
    clock.advance(minutes=14)
    two_ago = running.clock.now() - timedelta(minutes=2)
    clock.step(hours=3)
    done(steps.finish(running, 3, "Kit", at=two_ago))
    placed = bench_view.read_bench(running).on(3)
    assert placed is not None
    rinsed = placed.part.clock_step()
    assert rinsed is not None
    assert rinsed.flags == (), "after twelve minutes"
    assert rinsed.last_at == running.clock.now() - timedelta(minutes=2)


def test_the_other_terminal_and_the_next_program_ask_no_second_time_for_the_same(
    running: Shop,
) -> None:
    again = restarted(running, datetime(1970, 1, 1, tzinfo=UTC))
    timekeeping.start_clock(again)
    number = len(lines(again))
    other = Shop(again.store, again.clock.computer, "window")
    timekeeping.start_clock(other)
    assert len(lines(other)) == number
    assert bench_view.read_bench(other).doubtful


def test_the_answer_puts_right_what_was_written_meanwhile_and_nothing_older(running: Shop) -> None:
    last = lines(running)[-1].at
    again = restarted(running, datetime(1970, 1, 1, tzinfo=UTC))
    timekeeping.start_clock(again)
    done(steps.finish(again, 2, "Mo"))
    hands(again).advance(minutes=4)
    done(back_dating.back_date(again, 2, "Mo", 5))
    hands(again).advance(minutes=10)
    older = bench_view.read_bench(again).on(1)
    really = last + timedelta(hours=3)
    done(set_clock(again, "Kit", really))
    assert again.clock.now() == really
    view = bench_view.read_bench(again)
    assert not view.doubtful
    newer = view.on(2)
    assert newer is not None
    record = newer.part.clock_step()
    assert record is not None
    assert record.last_at == really - timedelta(minutes=19), "five before the fourteen"
    now_older = view.on(1)
    assert now_older is not None
    assert older is not None
    assert now_older.part == older.part, "the power was off for it too"
    assert check(again).faults == ()


def test_the_network_moves_only_what_was_written_under_the_late_clock(running: Shop) -> None:
    """A computer without a clock battery comes up where it was, and is put right minutes later."""
    last = lines(running)[-1].at
    again = restarted(running, last + timedelta(minutes=1))
    timekeeping.start_clock(again)
    assert not bench_view.read_bench(again).doubtful, "nothing is wrong to be seen"
    older = bench_view.read_bench(again).on(1)
    pot = bench_view.read_bench(again).pots[0]
    done(steps.finish(again, 2, "Mo", at=last - timedelta(minutes=5)))
    hands(again).advance(minutes=1)
    hands(again).step(hours=3)
    timekeeping.move_running_clocks(again)
    view = bench_view.read_bench(again)
    newer, now_older = view.on(2), view.on(1)
    assert newer is not None
    assert now_older is not None
    assert older is not None
    finished = newer.part.clock_step()
    assert finished is not None
    assert finished.first_at is not None
    assert finished.first_at < last, "begun before the power went"
    assert finished.last_at == last + timedelta(hours=3, minutes=-5)
    assert now_older.part == older.part
    assert view.pots[0] == pot, "the pot is three hours older, as it really is"
    assert check(again).faults == ()


def test_pieces_taken_out_of_a_lot_keep_their_older_hours(shop: Shop, clock: ManualClock) -> None:
    done(placement.place(shop, 1, "Kit", **LOT, count=14))
    done(steps.begin(shop, 1, "Kit"))
    done(steps.finish(shop, 1, "Kit"))
    done(record_readings(shop, 1, "Kit", Readings("ph", {"": [7]})))
    clock.advance(minutes=30)
    again = restarted(shop, clock.now())
    timekeeping.start_clock(again)
    done(holds_and_rework.rework(again, 1, "Mo", "other", count=2, back_to=1))
    hands(again).step(hours=3)
    timekeeping.move_running_clocks(again)
    view = bench_view.read_bench(again)
    lot, pieces = view.find("1"), view.find("1b")
    assert lot is not None
    assert pieces is not None
    (read,) = pieces.measurements
    assert (
        pieces.part.steps[0].last_at
        == lot.part.steps[0].last_at
        == read.at
        == clock.now() - timedelta(minutes=30)
    )


def test_an_answer_before_the_last_line_puts_everything_back(running: Shop) -> None:
    last = lines(running)[-1].at
    again = restarted(running, last - timedelta(hours=3))
    timekeeping.start_clock(again)
    before = elapsed(again)
    done(set_clock(again, "Kit", last - timedelta(hours=3)))
    now = again.clock.now()
    assert now == last - timedelta(hours=3)
    assert elapsed(again)[0] == before[0]  # type: ignore[index]
    placed = bench_view.read_bench(again).on(1)
    assert placed is not None
    assert all(at <= now for s in placed.part.steps for at in (s.first_at, s.last_at) if at)
    assert check(again).faults == ()


def test_a_correction_is_dropped_when_the_network_comes_and_is_not_counted_twice(
    running: Shop,
) -> None:
    last = lines(running)[-1].at
    again = restarted(running, datetime(1970, 1, 1, tzinfo=UTC))
    timekeeping.start_clock(again)
    done(set_clock(again, "Kit", last + timedelta(hours=3)))
    done(steps.finish(again, 2, "Mo"))
    finished = again.clock.now()
    hands(again).step(days=(finished - hands(again).now()) / timedelta(days=1), minutes=2)
    timekeeping.move_running_clocks(again)
    assert again.clock.now() == hands(again).now()
    newer = bench_view.read_bench(again).on(2)
    assert newer is not None
    record = newer.part.clock_step()
    assert record is not None
    assert record.last_at is not None
    assert abs(record.last_at - again.clock.now()) < timedelta(seconds=1)
    assert "correction of it is dropped" in lines(again)[-1].text


def test_the_corrected_hour_is_asked_about_at_the_next_start(running: Shop) -> None:
    again = restarted(running, datetime(1970, 1, 1, tzinfo=UTC))
    timekeeping.start_clock(again)
    done(set_clock(again, "Kit", lines(running)[-1].at + timedelta(hours=3)))
    third = Shop(
        again.store,
        ManualClock(again.clock.now() + timedelta(hours=1), boot="third", up=timedelta(minutes=1)),
    )
    timekeeping.start_clock(third)
    assert bench_view.read_bench(third).clock.why == "it was wrong when the computer was last on"


def test_a_new_shop_at_a_wrong_clock_says_so_and_comes_right(tmp_path: Path, seeds: object) -> None:
    del seeds
    computer = ManualClock(
        datetime(1970, 1, 1, 0, 1, tzinfo=UTC), boot="1", up=timedelta(minutes=1)
    )
    new = Shop(open_store(str(tmp_path / "new.db")), computer, "test")
    timekeeping.start_clock(new)
    assert timekeeping.state_in_use(new).nothing_known
    computer.step(days=20600)
    timekeeping.move_running_clocks(new)
    assert not timekeeping.state_in_use(new).doubtful
    assert new.clock.now() == computer.now()
    new.store.close()


# -- what a painter types -----------------------------------------------------------------


@pytest.fixture
def wrong(running: Shop) -> Shop:
    again = restarted(running, datetime(1970, 1, 1, tzinfo=UTC))
    timekeeping.start_clock(again)
    return again


def test_a_day_before_the_program_was_made_is_refused(wrong: Shop) -> None:
    answer = set_clock(wrong, "Kit", datetime(1970, 1, 1, tzinfo=UTC))
    assert "it cannot be 01 Jan 1970" in str(answer)


def test_the_line_that_sets_the_clock_is_written_by_a_clock_that_is_believed(wrong: Shop) -> None:
    done(readings.take_reading(wrong, "Kit", air_c=18, rh_pct=60, metal_c=18))
    done(set_clock(wrong, "Kit", datetime(2025, 7, 1, tzinfo=UTC)))
    with wrong.store.reading() as session:
        newest = session.exec(select(JournalRow).order_by(col(JournalRow.id).desc())).all()
    assert [line.doubtful for line in newest[:2]] == [False, True]


def test_an_unknown_painter_sets_nothing(wrong: Shop) -> None:
    answer = set_clock(wrong, "nobody", datetime(2025, 7, 1, tzinfo=UTC))
    assert "no painter 'nobody'" in str(answer)
    assert bench_view.read_bench(wrong).doubtful


def test_a_day_that_is_not_is_refused() -> None:
    answer = instant_typed(30, 2, 2026, 14, 30, UTC, datetime(2026, 1, 1, tzinfo=UTC))
    assert str(answer).startswith("there is no 30.2.2026 14:30")


def test_of_the_hour_that_comes_twice_it_is_the_one_still_to_come(shop: Shop) -> None:
    zone = bench_view.read_bench(shop).house.hours.zone
    first = datetime(2025, 10, 26, 0, 30, tzinfo=UTC)
    before, between = first - timedelta(minutes=10), first + timedelta(minutes=40)
    assert instant_typed(26, 10, 2025, 1, 30, zone, before) == first
    again = instant_typed(26, 10, 2025, 1, 30, zone, between)
    assert isinstance(again, datetime)
    assert again.astimezone(UTC) == first + timedelta(hours=1)


def test_the_clock_of_some_time_ago_is_of_the_same_start(clock: ManualClock) -> None:
    then = StillClock(clock, clock.now() - timedelta(hours=2))
    assert then.now() == clock.now() - timedelta(hours=2)
    assert then.started() + then.up() == then.now()
    assert then.boot == clock.boot
