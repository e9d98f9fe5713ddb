"""The demo shop: what it shows when it opens, at any hour, and what is told when its file is broken.

The figures are the placeholders of the shipped products: common practice, no source.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bench.process.ahead.attendance import somebody_in
from bench.process.calendar.demo_start import MORNING
from bench.process.clocks.pots import pot_word
from bench.process.clocks.stand_state import HARM
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.shop.clock.timekeeping import start_clock
from bench.shop.core.bench_view import BenchView, read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.corrections import undo
from bench.shop.parts import steps, testing
from bench.shop.queries import log
from bench.shop.seeds import demo, seed_files
from bench.shop.seeds import throwaway_demo as throwaway
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import BadSeed
from bench.shop.seeds.throwaway_demo import throwaway_demo
from bench.store.databases.database import Store, open_store
from bench.testing import ManualClock
from bench.trade.air import dew_point_c

NOW = MORNING.replace(tzinfo=UTC)
SUNDAY_NIGHT = datetime(2026, 5, 10, 3, 0, tzinfo=UTC)

LONDON = ZoneInfo("Europe/London")
BACK = datetime(2026, 10, 25, 1, 0, tzinfo=UTC)
"""The instant at which London's clocks are put back in 2026."""

Opened = Callable[[datetime, Path], Shop]

FIRST_PAGE = {1: "TEST", 2: "RINSE", 3: "CLOSING", 4: "WAIT", 5: "WORKING", 6: "EMPTY"}


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file in which no shop was opened yet, to copy."""
    file = tmp_path_factory.mktemp("empty") / "empty.db"
    open_store(str(file)).close()
    return file


@pytest.fixture
def opened(empty: Path, tmp_path: Path) -> Iterator[Opened]:
    """Opens the demo of a folder of seeds at an instant, in a file of its own."""
    stores: list[Store] = []

    def open_it(now: datetime, root: Path) -> Shop:
        stores.append(open_store(str(shutil.copy(empty, tmp_path / "demo.db"))))
        shop = Shop(stores[-1], ManualClock(now), "test")
        answer = demo.open_demo(shop, root)
        assert isinstance(answer, Outcome), answer
        return shop

    yield open_it
    for store in stores:
        store.close()


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The user's cache, empty at first: the demo is made there once."""
    folder = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(folder))
        yield folder


@pytest.fixture(scope="module")
def shipped() -> seed_files.Seeds:
    return seed_files.load(seed_files.folder())


@pytest.fixture(scope="module")
def kept(cache: Path) -> Iterator[Shop]:
    """The demo as it opens, for tests that only look."""
    shop = throwaway_demo(ManualClock(SUNDAY_NIGHT))
    assert isinstance(shop, Shop)
    yield shop
    shop.store.close()


@pytest.fixture
def own(cache: Path, kept: Shop) -> Iterator[Shop]:
    """Another, for tests that work on it: a copy of what is kept."""
    shop = throwaway_demo(ManualClock(SUNDAY_NIGHT))
    assert isinstance(shop, Shop)
    yield shop
    shop.store.close()


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, shipped: seed_files.Seeds) -> Path:
    """The file of the demo alone, to break: what the other files hold is as shipped."""
    monkeypatch.setattr(seed_files, "load", lambda _: shipped)
    copy = tmp_path / "seeds"
    copy.mkdir()
    shutil.copy(seed_files.folder() / "demo.toml", copy)
    return copy


def words(view: BenchView, now: datetime) -> dict[int, str]:
    return {number: view.state(number, now).word for number, _ in view.stands}


def part(view: BenchView, tag: str) -> Part:
    placed = view.find(tag)
    assert placed is not None, tag
    return placed.part


# --- what it shows -------------------------------------------------------------------------------


def test_every_word_of_a_stand_is_on_the_bench_at_once(kept: Shop) -> None:
    shown = list(words(read_bench(kept), NOW).values())
    assert len(shown) == 18
    assert set(shown) == set(HARM) - {"BIN"}
    assert shown.count("EMPTY") == 2


def test_every_word_of_a_pot_is_there_too(kept: Shop) -> None:
    assert {pot_word(pot, NOW) for pot in read_bench(kept).pots} == {"REST", "USE", "BIN BY", "BIN"}


def test_no_pot_life_in_it_is_a_guess(kept: Shop) -> None:
    assert {pot.basis for pot in read_bench(kept).pots} == {"sheet"}


def test_the_first_page_tells_most(kept: Shop) -> None:
    view = read_bench(kept)
    assert {number: words(view, NOW)[number] for number in FIRST_PAGE} == FIRST_PAGE
    names = {n: (p.part.name, p.part.count) for n, p in view.stands if p is not None and n <= 3}
    assert names == {1: ("Trolley frame", 1), 2: ("Axle", 1), 3: ("Roller brackets", 14)}


def test_the_frame_waits_for_its_test_and_the_overrun_counts_up(kept: Shop) -> None:
    state = read_bench(kept).state(1, NOW)
    assert (state.word, state.counts) == ("TEST", "up")
    left = state.seconds_left(NOW)
    assert left is not None
    assert -3600 < left < 0


def test_two_painters_are_on_a_coat_with_some_faces_ticked(kept: Shop) -> None:
    placed = read_bench(kept).on(5)
    assert placed is not None
    record = placed.part.current()
    assert record is not None
    assert set(record.painters) == {"Una", "Bo"}
    assert 0 < len(record.open_marks()) < len(record.marks)


def test_two_pieces_of_a_lot_are_in_rework_and_on_no_stand(kept: Shop) -> None:
    view = read_bench(kept)
    assert [(p.part.tag, p.part.count, p.part.rework) for p in view.off_stand] == [
        ("4b", 2, "fish-eye")
    ]
    assert part(view, "4").count == 4


def test_a_whole_part_is_in_rework_and_on_hold(kept: Shop) -> None:
    dropped = part(read_bench(kept), "11")
    assert (dropped.rework, dropped.hold) == ("dropped", "damaged")


@pytest.mark.parametrize("tag", ["1", "3"])
def test_the_history_of_frame_and_brackets_has_no_gap(kept: Shop, tag: str) -> None:
    kept_steps = part(read_bench(kept), tag).steps
    statuses = [record.status for record in kept_steps]
    done = statuses.index("todo")
    assert done >= 2
    assert set(statuses[:done]) == {"done"}
    assert set(statuses[done:]) == {"todo"}
    assert all(r.first_at and r.last_at and r.painters for r in kept_steps[:done])
    assert all(mark.done_at and mark.by for r in kept_steps[:done] for mark in r.marks)


def test_no_rule_was_overridden_to_get_there(kept: Shop) -> None:
    view = read_bench(kept)
    everything = [placed for _, placed in view.stands if placed] + list(view.off_stand)
    flags = [flag for placed in everything for r in placed.part.steps for flag in r.flags]
    assert flags == []


def test_a_day_of_readings_each_3_c_over_its_dew_point_the_last_35_min_old(kept: Shop) -> None:
    read = read_bench(kept).around.readings
    ages = sorted(NOW - reading.at for reading in read)
    assert ages[0] == timedelta(minutes=35)
    assert sum(age < timedelta(days=1) for age in ages) >= 6
    for reading in read:
        assert reading.rh_pct is not None
        assert reading.metal_c is not None
        dew_c = dew_point_c(reading.air_c, reading.rh_pct)
        assert reading.metal_c - dew_c > 3


def test_all_text_is_plain_and_short(kept: Shop) -> None:
    view = read_bench(kept)
    assert (seed_files.folder() / "demo.toml").read_text(encoding="utf-8").isascii()
    placed = [p for _, p in view.stands if p] + list(view.off_stand)
    assert max(len(p.part.name) for p in placed) <= 22
    assert len(view.painters) == 2
    assert max(len(name) for name in view.painters) <= 4


def test_every_line_of_its_journal_bears_the_hour_of_the_deed(kept: Shop) -> None:
    written = log.log_page(kept, newest=1000)
    assert all(line.at <= NOW for line in written)
    assert [line.at for line in written] == sorted((line.at for line in written), reverse=True)
    assert written[-1].action == "open shop"


# --- what can be done with it --------------------------------------------------------------------


def test_a_newcomer_lays_a_coat_on_the_brackets_with_what_is_mixed(own: Shop) -> None:
    assert isinstance(steps.begin(own, 3, "Una"), Outcome)
    assert isinstance(steps.finish(own, 3, "Una", all_faces=True), Outcome)
    assert read_bench(own).state(3, NOW).word == "WAIT"


def test_the_frame_passes_its_test_and_takes_its_first_top_coat(own: Shop) -> None:
    assert isinstance(steps.begin(own, 1, "Bo"), Refusal)
    assert isinstance(testing.pass_test(own, 1, "Una"), Outcome)
    assert isinstance(steps.begin(own, 1, "Bo"), Outcome)
    assert isinstance(steps.finish(own, 1, "Bo", all_faces=True), Outcome)
    assert read_bench(own).state(1, NOW).word == "FLASH"


def test_the_light_board_needs_a_fresh_pot_first(own: Shop) -> None:
    answer = steps.begin(own, 10, "Una")
    assert isinstance(answer, Refusal)
    assert answer.remedy == "bin it and mix fresh"


def test_the_last_thing_in_it_can_be_undone(own: Shop) -> None:
    assert isinstance(undo.undo(own, "Bo"), Outcome)
    assert read_bench(own).state(14, NOW).word == "WORKING"


# --- at any hour of any day ----------------------------------------------------------------------


def test_it_shows_the_same_in_the_hour_that_comes_twice_in_autumn(
    kept: Shop, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = BACK + timedelta(minutes=30)
    monkeypatch.setenv("TZ", "Europe/London")
    time.tzset()
    shop = opened(now, seed_files.folder())
    view = read_bench(shop)
    assert view.local(now).utcoffset() == now.astimezone(LONDON).utcoffset()
    assert words(view, now) == words(read_bench(kept), NOW)
    assert [pot_word(pot, now) for pot in view.pots] == [
        pot_word(pot, NOW) for pot in read_bench(kept).pots
    ]


def test_at_three_on_a_sunday_it_shows_a_working_morning_and_the_same_as_on_any_other_day(
    kept: Shop, cache: Path
) -> None:
    clock = ManualClock(SUNDAY_NIGHT + timedelta(days=200))
    shop = throwaway_demo(clock)
    assert isinstance(shop, Shop)
    start_clock(shop)
    assert shop.clock.now() == kept.clock.now() == NOW
    view = read_bench(shop)
    assert somebody_in(view.house.hours, NOW)
    assert view == read_bench(kept), "a copy of the one that is kept"
    clock.advance(minutes=5)
    clock.step(days=3)
    start_clock(shop)
    assert shop.clock.now() == NOW + timedelta(minutes=5), "whatever the computer's clock is set to"
    assert not read_bench(shop).doubtful
    assert log.log_page(shop, 1)[0].action != "clock stepped"
    shop.store.close()


def test_a_kept_demo_that_is_damaged_is_made_again(
    kept: Shop, cache: Path, monkeypatch: pytest.MonkeyPatch, shipped: seed_files.Seeds
) -> None:
    (file,) = (cache / "paintbench").glob("demo-*.db")
    whole = file.read_bytes()
    file.write_bytes(whole[:5000])
    told: list[str] = []
    monkeypatch.setattr(
        throwaway, "open_demo", lambda shop, *_: open_shop(shop, shipped, ("Una",), 2)
    )
    shop = throwaway.throwaway_demo(ManualClock(SUNDAY_NIGHT), waits=told.append)
    assert isinstance(shop, Shop)
    assert told == ["making the demo shop: about 2 s"]
    assert len(read_bench(shop).stands) == 2, "made again"
    shop.store.close()
    told.clear()
    again = throwaway.throwaway_demo(ManualClock(SUNDAY_NIGHT), waits=told.append)
    assert isinstance(again, Shop)
    assert (told, len(read_bench(again).stands)) == ([], 2), "and kept in its place"
    again.store.close()
    file.write_bytes(whole)


# --- what is refused -----------------------------------------------------------------------------


def test_a_shop_that_is_open_already_is_left_alone(own: Shop) -> None:
    before = len(log.log_page(own, newest=1000))
    answer = demo.open_demo(own, seed_files.folder())
    assert isinstance(answer, Refusal)
    assert "open already" in str(answer)
    assert len(log.log_page(own, newest=1000)) == before


SHORT = """\
painters = ["Una", "Bo"]
stands = 2

[[part]]
tag = "1"
stand = 1
route = "zinc-new"
shape = "frame"
by = "Una"
ago = "2 h"
did = [
    { ago = "1 h", do = "begin", by = "Una" },
]
"""

BEGUN = '{ ago = "1 h", do = "begin", by = "Una" }'


def test_a_short_demo_opens(opened: Opened, root: Path) -> None:
    (root / "demo.toml").write_text(SHORT, encoding="utf-8")
    assert words(read_bench(opened(NOW, root)), NOW) == {1: "WORKING", 2: "EMPTY"}


@pytest.mark.parametrize(
    ("right", "wrong", "line", "told"),
    [
        ('do = "begin"', 'do = "polish"', 12, "do reads 'polish'; it is one of begin, finish"),
        ('do = "begin", ', "", 12, "do reads None; it is one of begin"),
        ('{ ago = "1 h", do', "{ do", 12, "tag 1 begin: 'ago' is missing; write ago ="),
        ('ago = "2 h"\n', "", 4, "tag 1 placed: 'ago' is missing"),
        ('ago = "1 h"', 'ago = "soon"', 12, "ago reads 'soon': it is a time in quotes"),
        ('ago = "1 h"', "ago = 60", 12, "ago reads '60': it is a time in quotes"),
        ('ago = "1 h"', 'ago = "-1 h"', 12, "ago reads '-1 h'"),
        ('ago = "1 h"', 'ago = "1 h 5"', 12, "ago reads '1 h 5'"),
        ('ago = "1 h"', 'ago = "3 kg"', 12, "wanted a time"),
        ('ago = "1 h"', 'ago = "400 d"', 12, "a year is the longest"),
        ('ago = "1 h"', 'ago = "3 h"', 12, "tag 1 begin is refused: no tag 1"),
        ('do = "begin", by = "Una"', 'do = "begin"', 12, "'by' is missing; add it"),
        ('do = "begin", by = "Una"', 'do = "begin", by = "Kim"', 12, "no painter 'Kim': one of"),
        ('do = "begin", by', 'do = "hold", by', 12, "'reason' is missing; add it"),
        ('do = "begin"', 'do = "finish"', 12, "tag 1 finish is refused"),
        ('do = "begin"', 'do = "pass"', 12, "there is nothing to test now"),
        (BEGUN, BEGUN.replace(" }", ", minutes = 5 }"), 12, "'minutes' does not belong here"),
        (BEGUN, BEGUN.replace(" }", ', at = "now" }'), 12, "'at' does not belong here"),
        ("stand = 1", "stand = 3", 4, "no stand 3: stands run from 1 to 2"),
        ("stand = 1", 'stand = "one"', 6, "stand reads 'one'"),
        (
            "stand = 1",
            "stand = 1\ncuont = 14",
            7,
            "'cuont' does not belong here; it is one of stand",
        ),
        ('tag = "1"\n', "", 4, "'tag' is missing"),
        ('route = "zinc-new"', 'route = "zinc-nwe"', 4, "no route 'zinc-nwe': one of"),
        ("did = [", "already_done = 9\ndid = [", 11, "curing cannot be skipped"),
        ("did = [", 'already_done = "all"\ndid = [', 11, "already_done reads 'all'"),
        ("stands = 2", "stands = 0", 1, "0 stands: from 1 to"),
        ('["Una", "Bo"]', '["Una", "una"]', 1, "one name each, all different"),
        ('["Una", "Bo"]', "2", 1, "painters reads '2'"),
        ("stands = 2", "stands = 2\n[[prat]]", 3, "'prat' does not belong here; it is one of"),
        ("stands = 2", 'stands = 2\nrest = { gloos = "5 min" }', 3, "'gloos' does not belong here"),
        ("stands = 2", 'stands = 2\nrest = { gloss = "a bit" }', 3, "gloss reads 'a bit'"),
        ("stands = 2", "stands = 2\nmix = 3", 3, "mix is a list"),
        ("stands = 2", "stands = 2\nbin = [3]", 3, "reads '3'; write key = value"),
        ("stands = 2", "stands = ", 2, "not TOML"),
    ],
)
def test_a_broken_demo_is_told_with_its_line_and_what_would_be_right(
    opened: Opened, root: Path, right: str, wrong: str, line: int, told: str
) -> None:
    assert right in SHORT
    file = root / "demo.toml"
    file.write_text(SHORT.replace(right, wrong), encoding="utf-8")
    with pytest.raises(BadSeed) as fault:
        opened(NOW, root)
    assert str(fault.value).startswith(f"{file}:{line}: ")
    assert told in str(fault.value)


def test_a_demo_without_its_file_is_told(opened: Opened, root: Path) -> None:
    (root / "demo.toml").unlink()
    with pytest.raises(BadSeed, match=r"demo\.toml: cannot be read"):
        opened(NOW, root)


# --- thrown away ---------------------------------------------------------------------------------


def test_a_throwaway_demo_leaves_nothing_behind(tmp_path: Path, cache: Path, kept: Shop) -> None:
    told = (
        "from bench.clock import SystemClock\n"
        "from bench.shop.core import bench_view\n"
        "from bench.shop.seeds.throwaway_demo import throwaway_demo\n"
        "shop = throwaway_demo(SystemClock())\n"
        "print(len(bench_view.read_bench(shop).stands), shop.store.place)"
    )
    ended = subprocess.run(
        [sys.executable, "-c", told],
        cwd=Path(__file__).parents[3],
        env={**os.environ, "TMPDIR": str(tmp_path)},
        check=True,
        capture_output=True,
        text=True,
    )
    stands, database = ended.stdout.split()
    assert stands == "18"
    assert not Path(database).parent.exists()
