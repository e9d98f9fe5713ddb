"""The shop's time zone: every zone there is, the computer's own however it is set, and its names.

Outside the project: the C library's own clock face (``time.localtime``) and Python's ``zoneinfo``,
two readers of the IANA time zone database. Hours in Dublin and Casablanca: that database, which
follows Ireland's Standard Time Acts of 1968 and 1971 and Morocco's decree 2.18.855; from memory.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import pairwise
from pathlib import Path
from zoneinfo import TZPATH, ZoneInfo, available_timezones

import pytest
import tzdata

from bench import zones
from bench.commands.core.fault_log import FAULT_LOG
from tests import clock_on_file
from tests.simulation import LONG
from tests.terminal import PATIENCE_S, terminal

FIRST, LAST = (int(datetime(year, 1, 1, tzinfo=UTC).timestamp()) for year in (2020, 2036))
WEEK_S = 7 * 24 * 3600
AROUND_S = (-3600, -1801, -1, 0, 1, 1801, 3600)
TZIF = Path(tzdata.__file__).parent.joinpath("zoneinfo/Etc/UTC").read_bytes()
EVERY = sorted(available_timezones())
NAMES = (
    EVERY if LONG else sorted({*EVERY[::12], "Europe/London", "Europe/Dublin", "Africa/Casablanca"})
)
"""In the normal run every twelfth, and those whose law is odd."""
KEPT_IN = (*TZPATH, str(Path(tzdata.__file__).parent / "zoneinfo"))

SetTo = Callable[[str | Path], None]

JANUARY = datetime(2026, 1, 15, 12, 0, tzinfo=UTC)
RAMADAN = datetime(2026, 3, 5, 12, 0, tzinfo=UTC)
JULY = datetime(2026, 7, 15, 12, 0, tzinfo=UTC)


def file_of(name: str) -> Path:
    """Where the zone is kept that zoneinfo reads by this name."""
    return next(file for folder in KEPT_IN if (file := Path(folder, name)).is_file())


def offset_s(at_s: int, zone: tzinfo) -> float:
    offset = datetime.fromtimestamp(at_s, zone).utcoffset()
    assert offset is not None
    return offset.total_seconds()


def changes(zone: tzinfo) -> Iterator[int]:
    """The seconds at which its clocks are put forward or back, 2020 to 2035."""
    for early, late in pairwise(range(FIRST, LAST, WEEK_S)):
        if (before := offset_s(early, zone)) != offset_s(late, zone):
            first, then = early, late
            while then - first > 1:
                middle = (first + then) // 2
                first, then = (
                    (middle, then) if offset_s(middle, zone) == before else (first, middle)
                )
            yield then


def instants(zone: tzinfo) -> list[int]:
    """Around each change of its clocks, and every twelve weeks."""
    around = [at + by for at in changes(zone) for by in AROUND_S]
    return [*around, *range(FIRST, LAST, 12 * WEEK_S)]


@pytest.fixture
def set_to(monkeypatch: pytest.MonkeyPatch) -> SetTo:
    """Set the computer's zone by TZ."""

    def put(text: str | Path) -> None:
        monkeypatch.setenv("TZ", str(text))
        time.tzset()

    return put


@pytest.fixture
def at_home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder with /etc/localtime and /etc/timezone of a computer where TZ is not set."""
    monkeypatch.delenv("TZ")
    monkeypatch.setattr(zones, "LOCALTIME", tmp_path / "localtime")
    monkeypatch.setattr(zones, "TIMEZONE", tmp_path / "timezone")
    return tmp_path


# --- the hours -----------------------------------------------------------------------------------


def test_in_every_zone_of_the_world_the_shop_shows_the_hour_that_the_computer_shows(
    set_to: SetTo,
) -> None:
    for name in NAMES:
        set_to(f":{file_of(name)}")
        zone = zones.computers_zone()
        assert str(zone) == name
        for at_s in instants(zone):
            at, there = datetime.fromtimestamp(at_s, UTC).astimezone(zone), time.localtime(at_s)
            assert at.timetuple()[:6] == there[:6], (name, at_s)
            assert at.utcoffset() == timedelta(seconds=there.tm_gmtoff), (name, at_s)


def test_a_zone_without_a_name_shows_the_same_hours_and_finds_its_instants_again(
    set_to: SetTo, tmp_path: Path
) -> None:
    for number, name in enumerate(NAMES):
        shutil.copyfile(file_of(name), tmp_path / str(number))
        set_to(f":{tmp_path / str(number)}")
        unnamed, zone = zones.computers_zone(), ZoneInfo(name)
        for at_s in instants(zone):
            at, right = (datetime.fromtimestamp(at_s, one) for one in (unnamed, zone))
            assert (at.replace(tzinfo=None), at.fold) == (right.replace(tzinfo=None), right.fold)
            assert at.utcoffset() == right.utcoffset(), (name, at_s)
            assert int(at.timestamp()) == at_s, (name, at_s)


@pytest.mark.parametrize(
    ("name", "at", "hour"),
    [
        ("Europe/Dublin", JANUARY, 12),
        ("Europe/Dublin", JULY, 13),
        ("Africa/Casablanca", JANUARY, 13),
        ("Africa/Casablanca", RAMADAN, 12),
        ("Africa/Casablanca", JULY, 13),
        ("Africa/El_Aaiun", RAMADAN, 12),
    ],
)
def test_ireland_in_winter_and_morocco_in_ramadan_go_by_the_hours_on_their_walls(
    name: str, at: datetime, hour: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert at.astimezone(zones.zone_of(name)).hour == hour
    monkeypatch.setenv("TZ", name)
    assert at.astimezone(zones.zone_of("")).hour == hour


@pytest.mark.parametrize(("at", "shown"), [(JANUARY, "12:00"), (JULY, "13:00")])
def test_in_dublin_the_command_line_shows_the_hour_on_the_wall(
    today: Path, tmp_path: Path, at: datetime, shown: str
) -> None:
    clock_on_file.put(at + timedelta(days=3650), 0.0, tmp_path / "hour")
    ran = subprocess.run(
        [sys.executable, "-m", "tests.clock_on_file", "--db", str(today), "status"],
        env={**os.environ, "TZ": "Europe/Dublin", clock_on_file.PLACE: str(tmp_path / "hour")},
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout.splitlines()[0].endswith(f" {shown}")


# --- where the computer's own is found -----------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Europe/Dublin", "Europe/Dublin"),
        (":Europe/Dublin", "Europe/Dublin"),
        ("/usr/share/zoneinfo/Europe/Dublin", "Europe/Dublin"),
        ("/usr/share/zoneinfo/posix/Europe/Dublin", "Europe/Dublin"),
        ("", "UTC"),
        ("GMT0BST,M3.5.0/1,M10.5.0", "GMT/BST"),
        ("<+01>-1", "+01"),
        ("Nowhere/At_all", "Nowhere"),
        ("../../etc/passwd", "without a name"),
    ],
)
def test_what_tz_says_is_the_zone(set_to: SetTo, text: str, words: str) -> None:
    set_to(text)
    zone = zones.computers_zone()
    assert str(zone) == words
    there = time.localtime(JULY.timestamp())
    assert JULY.astimezone(zone).utcoffset() == timedelta(seconds=there.tm_gmtoff)
    assert zones.computers_zone() is zone, "the same one for as long as nothing was set"


@pytest.mark.parametrize(
    "leads_to", ["/usr/share/zoneinfo/Europe/Dublin", "../usr/share/zoneinfo/Europe/Dublin"]
)
def test_the_link_in_etc_names_the_zone_even_where_the_system_has_none_of_its_own(
    at_home: Path, leads_to: str
) -> None:
    (at_home / "localtime").symlink_to(leads_to)
    assert str(zones.computers_zone()) == "Europe/Dublin"


def test_of_two_names_for_one_zone_the_one_that_was_set_is_said(at_home: Path) -> None:
    (at_home / "zoneinfo" / "Europe").mkdir(parents=True)
    (at_home / "zoneinfo/Europe/Oslo").symlink_to("Berlin")
    (at_home / "localtime").symlink_to("zoneinfo/Europe/Oslo")
    assert str(zones.computers_zone()) == "Europe/Oslo"


def test_a_copy_of_a_zone_has_its_hours_and_the_name_beside_it_if_that_is_right(
    at_home: Path,
) -> None:
    shutil.copyfile(file_of("Europe/Dublin"), at_home / "localtime")
    assert JULY.astimezone(zones.computers_zone()).hour == 13
    (at_home / "timezone").write_text("Europe/Dublin\n", encoding="utf-8")
    assert str(zones.computers_zone()) == "Europe/Dublin"
    (at_home / "timezone").write_text("Asia/Tokyo\n", encoding="utf-8")
    zone = zones.computers_zone()
    assert str(zone) == str(at_home / "localtime")
    assert JULY.astimezone(zone).hour == 13


def test_with_the_name_alone_the_name_holds(at_home: Path) -> None:
    (at_home / "timezone").write_text("Africa/Casablanca\n", encoding="utf-8")
    assert str(zones.computers_zone()) == "Africa/Casablanca"


@pytest.mark.parametrize(
    "text", [b"", b"\xff\xfe", b"no/where", b"TZif2 but no more", b"TZif2" + bytes(100), TZIF[:-5]]
)
def test_what_says_nothing_leaves_it_to_the_computer(at_home: Path, text: bytes) -> None:
    (at_home / "timezone").write_bytes(text)
    (at_home / "localtime").write_bytes(text)
    there = time.localtime(JULY.timestamp())
    at = JULY.astimezone(zones.computers_zone())
    assert at.utcoffset() == timedelta(seconds=there.tm_gmtoff)


def test_a_link_that_is_put_elsewhere_is_another_zone_at_once(at_home: Path) -> None:
    link = at_home / "localtime"
    for name in ("Europe/Dublin", "Asia/Tokyo", "Europe/Dublin"):
        link.unlink(missing_ok=True)
        link.symlink_to(f"/usr/share/zoneinfo/{name}")
        assert str(zones.computers_zone()) == name


# --- its file is replaced ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "hour"),
    [
        pytest.param(file_of("Asia/Tokyo").read_bytes(), "21:05", id="other rules"),
        pytest.param(TZIF[:-5], "12:05", id="cut short", marks=pytest.mark.long),
    ],
)
def test_a_zone_file_that_is_replaced_under_the_bench_counts_from_the_next_start(
    today: Path, tmp_path: Path, text: bytes, hour: str
) -> None:
    """One that cannot be read is none: then the hours are those of the computer's own, UTC here."""
    file = tmp_path / "zoneinfo/Europe/Dublin"
    file.parent.mkdir(parents=True)
    shutil.copyfile(file_of("Europe/Dublin"), file)
    at, clock = JULY + timedelta(days=3650), tmp_path / "hour"
    clock_on_file.put(at, 0.0, clock)
    program = (sys.executable, "-m", "tests.clock_on_file")
    places = {"PYTHONTZPATH": str(tmp_path / "zoneinfo"), clock_on_file.PLACE: str(clock)}

    def command(*words: str) -> str:
        return subprocess.run(
            [*program, "--db", today, *words],
            env={**os.environ, **places},
            capture_output=True,
            text=True,
            check=True,
            timeout=PATIENCE_S,
        ).stdout

    command("shop", "--zone", "Europe/Dublin", "--by", "Kit")
    with terminal(today, program=program, **places) as window:
        window.wait_until(lambda p: "13:00" in p)
        file.write_bytes(text)
        command("shop", "--cup", "500ml", "--by", "Mo")
        clock_on_file.put(at + timedelta(minutes=5), 300.0, clock)
        window.wait_until(lambda p: "13:05" in p)
        window.press("1")
        assert "13:0" in window.wait_until(lambda p: "EMPTY" in p)
        assert window.leave() == 0
    with terminal(today, program=program, **places) as window:
        assert hour in window.wait_until(lambda p: "EMPTY" in p)
    assert command("status").splitlines()[0].endswith(f" {hour}")
    assert not (today.parent / FAULT_LOG).exists()


# --- names ---------------------------------------------------------------------------------------


def test_a_name_is_taken_as_it_is_written_whatever_its_capitals() -> None:
    assert zones.setting_of(" europe/DUBLIN ") == "Europe/Dublin"
    assert zones.setting_of("america/new york") == "America/New_York"
    assert (zones.setting_of("local"), zones.setting_of("")) == ("", "")


@pytest.mark.parametrize(
    "typed", ["Dublin", "Europe", "../../etc/passwd", "zone.tab", "\0", "e" * 5000]
)
def test_what_is_no_name_of_a_zone_is_none(typed: str) -> None:
    assert zones.setting_of(typed) is None


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("dublin", "Europe/Dublin"),
        ("Europe/Dubln", "Europe/Dublin"),
        ("new york", "America/New_York"),
        ("Cassablanca", "Africa/Casablanca"),
    ],
)
def test_a_name_that_is_nearly_right_is_offered_first(typed: str, name: str) -> None:
    offered = zones.near(typed)
    assert offered[0] == name
    assert len(offered) <= zones.MOST_NEAR


def test_a_zone_this_computer_does_not_know_is_said_and_the_computers_own_holds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TZ", "Europe/Dublin")
    assert str(zones.zone_of("Mars/Plain")) == "Europe/Dublin"
    assert zones.zone_words("Mars/Plain") == (
        "Mars/Plain, not known here: the computer's own, Europe/Dublin"
    )
