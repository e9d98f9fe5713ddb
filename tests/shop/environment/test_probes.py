"""Probes read beside the bench: written down in their time, told when at fault, never waited for."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest

from bench.process.clocks.conditions import conditions_against
from bench.process.clocks.reading_doubts import jump_words
from bench.process.clocks.temperature import stretches
from bench.process.sheets.product import Limits
from bench.shop.core import bench_view
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.environment import readings
from bench.shop.environment.probe_text import ProbeFault, ProbeQuantity, Probes
from bench.shop.environment.probes import PROBE, ProbePolling, ask_probes, read_probe
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from bench.widgets.status_lines import air_line
from tests.conftest import MONDAY
from tests.shop.doing import done, refused, state, told

pytestmark = pytest.mark.sqlite

EVERY = timedelta(minutes=10)


def here(job: Callable[[], None]) -> None:
    """Instead of on a thread of its own."""
    job()


class Bus:
    """A folder with the files of three probes, and what polls them."""

    def __init__(self, folder: Path, shop: Shop, clock: ManualClock) -> None:
        self.folder, self.shop, self.clock = folder, shop, clock
        self.polling = ProbePolling(here)
        self.files: dict[ProbeQuantity, Path] = {
            "air": folder / "temp1_input",
            "metal": folder / "w1_slave",
            "humidity": folder / "in_humidityrelative_input",
        }
        self.says(air="18250", metal=slave(16500), humidity="61500")

    def says(self, **texts: str) -> None:
        for what, text in texts.items():
            self.files[what].write_text(text, encoding="utf-8")  # type: ignore[index]

    @property
    def probes(self) -> Probes:
        return Probes({what: str(path) for what, path in self.files.items()}, EVERY)

    def tick(self, **span: float) -> None:
        if span:
            self.clock.advance(**span)
        self.polling.tick(self.shop, self.probes)

    def faults(self) -> tuple[str, ...]:
        return self.polling.faults(self.clock.monotonic())

    def written(self) -> list[tuple[float, float | None, float | None]]:
        read = bench_view.read_bench(self.shop).around.readings
        return [(r.air_c, r.rh_pct, r.metal_c) for r in read]


def slave(milli_c: int, verdict: str = "YES") -> str:
    data = "51 01 4b 46 7f ff 0f 10 c4"
    return f"{data} : crc=c4 {verdict}\n{data} t={milli_c}\n"


@pytest.fixture
def bus(tmp_path: Path, shop: Shop, clock: ManualClock) -> Bus:
    folder = tmp_path / "bus"
    folder.mkdir()
    return Bus(folder, shop, clock)


def test_what_the_probes_say_is_written_down_as_a_reading_of_the_probe(bus: Bus) -> None:
    bus.tick()
    assert bus.written() == [(18.25, 61.5, 16.5)]
    last = undo.last_action(bus.shop)
    assert last is not None
    assert (last.painter, last.action) == (PROBE, "reading")
    assert told(bus.shop) == state(bus.shop)


def test_it_is_written_down_no_more_often_than_the_shop_says(bus: Bus) -> None:
    for _ in range(61):
        bus.tick()
        bus.tick(seconds=10)
    times = [reading.at for reading in bench_view.read_bench(bus.shop).around.readings]
    assert len(times) == 2
    assert times[1] - times[0] >= EVERY


def test_two_terminals_with_the_same_probes_write_one_reading(bus: Bus, data: Path) -> None:
    other = Shop(open_store(str(data)), bus.clock, "other")
    second = ProbePolling(here)
    for _ in range(30):
        bus.tick(minutes=1)
        second.tick(other, bus.probes)
    assert len(bus.written()) == 3
    other.store.close()


def test_after_a_restart_the_interval_is_still_kept(bus: Bus) -> None:
    bus.tick()
    bus.polling = ProbePolling(here)
    bus.tick(minutes=5)
    assert len(bus.written()) == 1


def test_a_fault_is_told_with_how_long_it_has_lasted(bus: Bus) -> None:
    bus.says(metal=slave(16500, "NO"))
    bus.tick()
    assert bus.faults() == ("metal probe: CRC not right, 1 min",)
    for _ in range(12):
        bus.tick(minutes=1)
    assert bus.faults() == ("metal probe: CRC not right, 12 min",)


def test_a_moments_fault_holds_the_reading_back_until_the_probe_is_well(bus: Bus) -> None:
    bus.says(metal=slave(16500, "NO"))
    bus.tick()
    bus.tick(minutes=1)
    assert bus.written() == [], "the metal is not taken to be as warm as the air"
    bus.says(metal=slave(16500))
    bus.tick(minutes=1)
    assert bus.written() == [(18.25, 61.5, 16.5)]
    assert bus.faults() == ()


def test_a_fault_that_lasts_leaves_the_rest_to_be_written_down(bus: Bus) -> None:
    bus.files["metal"].unlink()
    for _ in range(12):
        bus.tick(minutes=1)
    assert bus.written() == [(18.25, 61.5, None)]
    assert bus.faults() == ("metal probe: no such file or directory, 11 min",)


def test_the_good_probes_figure_stays_and_the_fault_says_which_file_and_what_to_do(
    bus: Bus,
) -> None:
    bus.tick()
    assert bus.polling.air_c is None
    bus.files["metal"].unlink()
    bus.says(air="19000")
    bus.tick(minutes=10)
    assert bus.polling.air_c == 19.0
    assert bus.polling.remedies() == (
        f"metal probe {bus.files['metal']}: no such file or directory: see that it is plugged in, "
        "else give its file in the settings",
    )
    bus.says(metal=slave(16500))
    bus.tick(minutes=1)
    assert (bus.polling.air_c, bus.polling.remedies()) == (None, ())


def test_without_the_air_nothing_is_written_down(bus: Bus) -> None:
    bus.says(air="85000")
    for _ in range(30):
        bus.tick(minutes=1)
    assert bus.written() == []
    assert bus.faults() == ("air probe: 85 C is outside -30 to 50 C, 29 min",)


def test_nought_degrees_is_a_figure_and_not_a_silence(bus: Bus) -> None:
    bus.says(air="0", metal=slave(0))
    bus.tick()
    assert bus.written() == [(0.0, 61.5, 0.0)]


def test_probes_taken_out_of_the_settings_are_forgotten(bus: Bus) -> None:
    bus.says(metal="x")
    bus.tick()
    assert bus.faults() != ()
    bus.polling.tick(bus.shop, None)
    assert bus.faults() == ()


def test_a_file_that_hangs_is_asked_once_and_told_as_giving_no_answer(bus: Bus) -> None:
    started: list[Callable[[], None]] = []
    bus.polling = ProbePolling(started.append)
    bus.tick()
    assert len(started) == 3
    for job in started[::2]:  # air and humidity answer, the metal does not
        job()
    bus.tick(seconds=9)
    assert (bus.written(), bus.faults()) == ([], ())
    bus.tick(seconds=1)
    assert bus.faults() == ("metal probe: no answer, 1 min",)
    bus.tick(minutes=1)
    assert len(started) == 5, "only those that answered are asked again"


def test_an_answer_that_comes_after_its_round_is_not_taken_for_a_new_one(bus: Bus) -> None:
    started: list[Callable[[], None]] = []
    bus.polling = ProbePolling(started.append)
    bus.tick()
    bus.tick(seconds=10)
    for job in started:
        job()
    bus.tick(seconds=1)
    assert bus.written() == []
    bus.tick(minutes=1)
    assert len(started) == 6
    for job in started[3:]:
        job()
    bus.tick(seconds=1)
    assert bus.written() == [(18.25, 61.5, 16.5)]


# --- what is not believed at once ----------------------------------------------------------------


def test_a_probe_that_jumps_is_not_believed_and_moves_nothing(bus: Bus) -> None:
    bus.tick()
    bus.says(air="48000")
    bus.tick(minutes=10)
    assert bus.written() == [(18.25, 61.5, 16.5)]
    assert bus.faults() == ("air probe: 48 C, not believed",)
    bus.says(air="18250")
    bus.tick(minutes=2)
    assert bus.faults() == ()
    assert [air_c for air_c, _, _ in bus.written()] == [18.25, 18.25]


def test_a_second_reading_minutes_later_that_agrees_makes_the_jump_believed(bus: Bus) -> None:
    bus.tick()
    bus.says(air="28000", metal=slave(27000))
    bus.tick(minutes=10)
    for _ in range(2):
        bus.tick(minutes=1)
    assert len(bus.written()) == 1
    bus.tick(minutes=1)
    assert bus.written()[1:] == [(28.0, 61.5, 27.0)]
    assert bus.faults() == ()


def jumps(bus: Bus, to_c: int = 30, air_c: int | None = None) -> None:
    """The probes jump, the air's to another figure if one is given; a second reading agrees."""
    bus.says(air=f"{to_c if air_c is None else air_c}000", metal=slave(to_c * 1000))
    bus.tick(minutes=10)
    for _ in range(4):
        bus.tick(minutes=1)


@pytest.mark.sqlite(False)
def test_until_a_painter_answers_a_confirmed_jump_to_warmer_opens_nothing_earlier(bus: Bus) -> None:
    bus.tick()
    jumps(bus)
    house, around = bench_view.read_bench(bus.shop).house, bench_view.read_bench(bus.shop).around
    assert bus.written()[-1] == (30.0, 61.5, 30.0)
    assert house.hours.unanswered is not None
    drawn = stretches(around.readings, house.hours, MONDAY)
    assert max(each.temp_c for each in drawn["opening"]) <= 18.25, "openings keep the later hour"
    assert max(each.temp_c for each in drawn["closing"]) == 30.0, "closings come sooner at once"
    done(readings.answer_jump(bus.shop, "Kit", right=True))
    hours = bench_view.read_bench(bus.shop).house.hours
    assert hours.unanswered is None
    drawn = stretches(around.readings, hours, MONDAY)
    assert max(each.temp_c for each in drawn["opening"]) == 30.0
    assert "no probe" in refused(readings.answer_jump(bus.shop, "Kit", right=True)).rule


def test_a_jump_to_colder_is_asked_about_too_and_until_then_closes_nothing_later(bus: Bus) -> None:
    bus.says(air="30000", metal=slave(30000))
    bus.tick()
    jumps(bus, to_c=15)
    house, around = bench_view.read_bench(bus.shop).house, bench_view.read_bench(bus.shop).around
    assert house.hours.unanswered is not None
    drawn = stretches(around.readings, house.hours, MONDAY)
    assert drawn["closing"][-1].temp_c == 30.0, "closings keep the sooner hour"
    assert max(each.temp_c for each in drawn["opening"][-9:]) <= 15.0


@pytest.mark.sqlite(False)
def test_a_jump_that_a_painter_says_is_wrong_leaves_no_reading(bus: Bus) -> None:
    bus.tick()
    jumps(bus)
    done(readings.answer_jump(bus.shop, "Kit", right=False))
    assert bus.written() == [(18.25, 61.5, 16.5)]
    assert told(bus.shop) == state(bus.shop)


@pytest.mark.sqlite(False)
def test_a_surface_far_off_the_air_with_none_read_before_is_asked_about_with_the_airs_figure(
    bus: Bus,
) -> None:
    del bus.files["metal"]
    bus.tick()
    bus.files["metal"] = bus.folder / "w1_slave"
    jumps(bus, to_c=5, air_c=18)
    jump = bench_view.read_bench(bus.shop).house.hours.unanswered
    assert jump is not None
    assert jump_words(jump) == "metal probe 5 C, the air was 18 C: right? / 2 ."


def test_a_probe_that_jumps_to_and_fro_is_never_believed(bus: Bus) -> None:
    bus.tick()
    bus.tick(minutes=9)
    for place in range(20):
        bus.says(air="48000" if place % 2 else "30000")
        bus.tick(minutes=1)
    assert len(bus.written()) == 1


@pytest.mark.sqlite(False)
def test_a_typed_jump_is_asked_about_once_and_then_believed(bus: Bus) -> None:
    bus.tick()
    bus.clock.advance(minutes=5)
    question = refused(readings.type_reading(bus.shop, "Kit", air_c=48)).rule
    assert question == "air 48 C? it was 18.25 C at 07:30"
    done(readings.type_reading(bus.shop, "Kit", air_c=48, sure=True))
    last = undo.last_action(bus.shop)
    assert last is not None
    assert (last.painter, last.text) == ("Kit", "reading 07:35: air 48 C")


def test_a_probe_pulled_out_for_an_hour_is_a_fault_moves_nothing_and_is_said_when_it_is_back(
    bus: Bus,
) -> None:
    bus.tick()
    drawn = stretches(
        bench_view.read_bench(bus.shop).around.readings,
        bench_view.read_bench(bus.shop).house.hours,
        MONDAY,
    )
    bus.files["air"].unlink()
    for _ in range(61):
        bus.tick(minutes=1)
    view, now = bench_view.read_bench(bus.shop), bus.shop.clock.now()
    assert stretches(view.around.readings, view.house.hours, MONDAY) == drawn, (
        "clocks go on as before"
    )
    assert view.alarming(now) == (), "a silence does no harm yet"
    assert bus.faults() == ("air probe: no such file or directory, 51 min",)
    line = "".join(piece.text for piece in air_line(view.conditions(now), now, 132, bus.faults()))
    assert "air probe: no such file or directory, 51 min  air 18.25 C" in line
    assert "read 1 h 01 min ago" in line
    bus.says(air="18500")
    bus.tick(minutes=1)
    assert bus.faults() == ("air probe: back after 52 min",)
    assert bus.written()[1:] == [(18.5, 61.5, 16.5)]
    newest = undo.last_action(bus.shop)
    assert newest is not None
    assert newest.text == (
        "reading 08:32: air 18.5 C, 61.5 %, surface 16.5 C; air probe: back after 52 min"
    )
    for _ in range(9):
        bus.tick(minutes=1)
    bus.tick(seconds=59)
    assert bus.faults() == ("air probe: back after 52 min",), "for ten minutes"
    bus.tick(seconds=1)
    assert bus.faults() == ()
    again = undo.last_action(bus.shop)
    assert again is not None
    assert "back after" not in again.text, "it is written down once"


def test_a_probe_at_fault_is_tried_again_after_a_minute_and_no_sooner(bus: Bus) -> None:
    bus.tick()
    bus.files["air"].unlink()
    bus.tick(minutes=10)
    bus.says(air="18500")
    bus.tick(seconds=59)
    assert len(bus.written()) == 1
    bus.tick(seconds=1)
    assert [row[0] for row in bus.written()[1:]] == [18.5]


def test_how_long_a_probe_is_silent_goes_by_no_clock_that_somebody_sets(bus: Bus) -> None:
    bus.tick()
    bus.files["air"].unlink()
    for _ in range(30):
        bus.tick(minutes=1)
    bus.clock.step(hours=5)
    for _ in range(31):
        bus.tick(minutes=1)
    assert bus.faults() == ("air probe: no such file or directory, 51 min",)
    bus.says(air="18500")
    bus.tick(minutes=1)
    assert bus.faults() == ("air probe: back after 52 min",)
    assert len(bus.written()) == 2


def test_a_probe_silent_for_over_four_hours_leaves_the_last_reading_old(bus: Bus) -> None:
    bus.tick()
    bus.files["air"].unlink()
    for _ in range(25):
        bus.tick(minutes=10)
    now = bus.shop.clock.now()
    known = bench_view.read_bench(bus.shop).conditions(now)
    line = "".join(piece.text for piece in air_line(known, now, 132, bus.faults()))
    assert "read OLD, 4 h 10 min ago" in line
    (old,) = conditions_against(known, Limits(), now)
    assert old.rule == "the last reading is too old"


# --- the files themselves ------------------------------------------------------------------------


def test_a_file_that_is_not_there_or_may_not_be_read_is_a_fault_in_words(tmp_path: Path) -> None:
    assert read_probe(str(tmp_path / "no"), "air") == ProbeFault("no such file or directory")
    assert read_probe(str(tmp_path), "air") == ProbeFault("is a directory")
    assert read_probe("a\0b", "air") == ProbeFault("that is no path")
    odd = tmp_path / "odd"
    odd.write_bytes(b"\xff\xfe\x00")
    assert isinstance(read_probe(str(odd), "air"), ProbeFault)
    endless = read_probe("/dev/zero", "air")
    assert isinstance(endless, ProbeFault)


@contextmanager
def silent_pipe(path: Path) -> Iterator[None]:
    """A path that nobody ever writes to: whoever opens it waits."""
    os.mkfifo(path)
    try:
        yield
    finally:
        # Let go of the thread that waits.
        os.close(os.open(path, os.O_RDWR | os.O_NONBLOCK))


def test_on_real_threads_one_that_hangs_keeps_the_others_from_nothing(tmp_path: Path) -> None:
    (tmp_path / "air").write_text("18.5", encoding="utf-8")
    with silent_pipe(tmp_path / "metal"):
        probes = Probes({"metal": str(tmp_path / "metal"), "air": str(tmp_path / "air")})
        said = ask_probes(probes, wait_s=0.2)
    assert said == {"metal": ProbeFault("no answer"), "air": 18.5}
    waiting = [thread for thread in threading.enumerate() if thread.name == "probe"]
    assert all(thread.daemon for thread in waiting), "none of them keeps the program from ending"


# --- the name ------------------------------------------------------------------------------------


def test_the_probe_is_no_painter(shop: Shop) -> None:
    done(readings.take_reading(shop, PROBE, air_c=18))
    assert "no painter" in refused(undo.undo(shop, PROBE)).rule
    assert PROBE not in bench_view.read_bench(shop).painters
    done(undo.undo(shop, "Kit"))
    assert bench_view.read_bench(shop).reading() is None


def test_a_painter_may_write_a_reading_down_at_any_time(bus: Bus) -> None:
    bus.tick()
    done(readings.take_reading(bus.shop, "Kit", air_c=17))
    done(readings.take_reading(bus.shop, "Kit", air_c=17))
    assert len(bus.written()) == 3


def test_a_star_stands_for_a_number_that_changes_at_every_start(tmp_path: Path) -> None:
    """The number follows the order in which the kernel finds its sensors (common practice, no source)."""
    asked = str(tmp_path / "1-0048/hwmon/hwmon*/temp1_input")
    for number in (0, 3):
        folder = tmp_path / f"1-0048/hwmon/hwmon{number}"
        folder.mkdir(parents=True)
        (folder / "temp1_input").write_text("18250\n")
        assert read_probe(asked, "air") == 18.25
        if number == 0:
            (folder / "temp1_input").unlink()
            assert read_probe(asked, "air") == ProbeFault("no files by that name: one is wanted")
    (tmp_path / "1-0048/hwmon/hwmon0/temp1_input").write_text("19000\n")
    assert read_probe(asked, "air") == ProbeFault("2 files by that name: one is wanted")
    (tmp_path / "28-0").mkdir()
    (tmp_path / "28-0/w1_slave").write_text(slave(16500))
    assert read_probe(str(tmp_path / "28-*/w1_slave"), "metal") == 16.5
