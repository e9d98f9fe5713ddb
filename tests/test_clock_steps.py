"""The computer's clock is set, under the real program in a real terminal, and before its start.

libfaketime (Debian's package faketime) stands between the program and the clock; the counter since the
computer was started is left alone, as the kernel leaves it alone when somebody sets the clock.
"""

from __future__ import annotations

import json
import os
import re
import sqlite3
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from bench.clock import SystemClock
from bench.process.refusals.overrides import Override
from bench.process.refusals.refusal import Refusal
from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.shop.parts import holds_and_rework, placement, steps
from bench.shop.stock import pots
from bench.store.databases.database import open_store
from bench.store.log.checksum_chain import chain

from .forks import Forks, forks
from .terminal import PATIENCE_S, Terminal, terminal

LIBRARIES = sorted(
    library
    for folders in ("faketime", "*/faketime")  # of Debian, on any kind of processor
    for library in Path("/usr/lib").glob(f"{folders}/libfaketimeMT.so.1")
)

ROUNDED_S = 1
"""What a countdown in whole seconds is off by, at most."""

SMALL = {"width": 70, "height": 20}
"""A window in which the numbers are plain text."""


@pytest.fixture(autouse=True)
def _library() -> None:
    if LIBRARIES:
        return
    if os.environ.get("CI"):
        pytest.fail("libfaketime is not installed: apt-get install faketime")
    pytest.skip("libfaketime is not installed (Debian's package faketime)")


class FakeTime:
    """What the clock shows to programs started with ``environment``, changed under their hands."""

    program: Forks
    """What runs commands at the hour that it shows."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / "faketime"
        self.environment = {
            "LD_PRELOAD": str(LIBRARIES[0]) if LIBRARIES else "",
            "FAKETIME_TIMESTAMP_FILE": str(self._file),
            "FAKETIME_NO_CACHE": "1",
            "FAKETIME_DONT_FAKE_MONOTONIC": "1",
        }
        self.as_it_is("UTC")

    def as_it_is(self, zone: str) -> None:
        """It shows the true time, in this zone."""
        self.environment["TZ"] = zone
        self.set("+0")

    def at(self, now: datetime) -> None:
        """It shows this, and goes on from there."""
        self.set(f"{(now - datetime.now(UTC)).total_seconds():+.1f}")

    def set(self, words: str) -> None:
        """In libfaketime's words: ``+3h``, ``-4``, or ``@1970-01-01 00:00:10``."""
        new = self._file.with_suffix(".new")
        new.write_text(words + "\n", encoding="ascii")
        new.replace(self._file)


@pytest.fixture(scope="module")
def one_clock(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FakeTime]:
    """A faked clock, and the program loaded under it."""
    fake = FakeTime(tmp_path_factory.mktemp("clock"))
    with forks(fake.environment) as fake.program:
        yield fake


@pytest.fixture
def fake(one_clock: FakeTime) -> FakeTime:
    one_clock.as_it_is("UTC")
    return one_clock


MEASURED = Override({"no-reading": "measured at the part"})


@pytest.fixture
def soaking(today: Path) -> Path:
    """A frame under its mordant wash for two minutes, of ten to fifteen; and a pot."""
    shop = Shop(open_store(str(today)), SystemClock(), "test")
    for answer in (
        placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"),
        holds_and_rework.skip(shop, 1, "Kit", "already done"),
        holds_and_rework.skip(shop, 1, "Kit", "already done"),
        steps.begin(shop, 1, "Kit", at=shop.clock.now() - timedelta(minutes=2), override=MEASURED),
        pots.mix(shop, "etch-primer", "Mo", known=MixStart(need_ml=300)),
    ):
        assert not isinstance(answer, Refusal), answer
    shop.store.close()
    return today


def command(data: Path, fake: FakeTime, *words: str) -> subprocess.CompletedProcess[str]:
    """The real program's command line, at the faked hour."""
    return fake.program.run({**os.environ, **fake.environment}, "--db", str(data), *words)


def status(data: Path, fake: FakeTime) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(command(data, fake, "status", "--json").stdout)
    return found


def journal(data: Path, fake: FakeTime) -> list[dict[str, Any]]:
    """Oldest first."""
    ran = command(data, fake, "journal", "--json")
    return list(reversed(json.loads(ran.stdout)["journal"]))


def clock_lines(data: Path, fake: FakeTime) -> list[str]:
    return [line["action"] for line in journal(data, fake) if line["action"].startswith("clock")]


@dataclass(frozen=True)
class Counted:
    """What is left of a dwell and of a pot, and between which moments of the counter it was read."""

    soak_s: int
    pot_s: int
    after_s: float
    before_s: float


def counted(data: Path, fake: FakeTime) -> Counted:
    """As the command line says it."""
    after_s = time.monotonic()
    bench = status(data, fake)
    before_s = time.monotonic()
    (soak, pot) = (bench[many][0] for many in ("stands", "pots"))
    assert soak["state"] == "soak"
    return Counted(soak["seconds_left"], pot["seconds_left"], after_s, before_s)


@contextmanager
def counting(data: Path, fake: FakeTime, window: Terminal | None = None) -> Iterator[None]:
    """What is done inside changes no elapsed time, on the screen or on the command line.

    How slow the computer is does not matter: when a command read its clock is known to lie between
    its start and its end, and a picture is looked at until it is one of now.
    """
    first = counted(data, fake)
    yield
    last = counted(data, fake)
    least_s = last.after_s - first.before_s - ROUNDED_S
    most_s = last.before_s - first.after_s + ROUNDED_S
    assert least_s <= first.soak_s - last.soak_s <= most_s
    assert least_s <= first.pot_s - last.pot_s <= most_s

    def of_now(picture: str) -> bool:
        gone_s = first.soak_s - soak_left(picture)
        may_be_gone_s = time.monotonic() - first.after_s + ROUNDED_S
        return first.soak_s - last.soak_s - ROUNDED_S <= gone_s <= may_be_gone_s

    if window:
        window.wait_until(of_now)


def soak_left(picture: str) -> int:
    """Seconds to the least dwell, as the list of a small window shows them."""
    found = re.search(r"SOAK.* [<>]?(\d+) min (\d\d)", picture)
    assert found, picture
    return int(found[1]) * 60 + int(found[2])


def shown(hours: int) -> str:
    """How the header shows the hour, so many hours from the true one."""
    return f"{datetime.now(UTC) + timedelta(hours=hours):%a %d %b  %H:}"


def is_whole(data: Path) -> bool:
    shop = Shop(open_store(str(data)), SystemClock(), "test")
    found = check(shop).faults
    shop.store.close()
    return not found


def some_ticks(window: Terminal) -> None:
    """The program has looked at its clock: its countdown went on."""
    window.catch_up()
    now = soak_left(window.picture())
    window.wait_until(lambda p: soak_left(p) <= now - 2)


# -- while the program runs ---------------------------------------------------------------


@pytest.mark.parametrize("hours", [pytest.param(-3, marks=pytest.mark.long), 3])
def test_three_hours_forward_or_back_change_no_elapsed_time_and_are_written_down_once(
    soaking: Path, fake: FakeTime, hours: int
) -> None:
    """At two terminals; the four seconds before them are nothing at all."""
    with (
        terminal(soaking, **SMALL, **fake.environment) as window,
        terminal(soaking, **SMALL, **fake.environment) as other,
    ):
        for each in (window, other):
            each.wait_until(lambda p: "SOAK" in p and shown(0) in p)
        with counting(soaking, fake, window):
            for seconds in ("+4", "-0"):
                fake.set(seconds)
                some_ticks(window)
            assert clock_lines(soaking, fake) == []
            fake.set(f"{hours:+d}h")
            way = "forward" if hours > 0 else "back"
            for each in (window, other):
                each.wait_until(lambda p: shown(hours) in p)
            assert "CLOCK WRONG" not in window.picture()
        some_ticks(other)
        assert clock_lines(soaking, fake) == ["clock stepped"]
        assert f"running clocks are moved 3 h {way}" in journal(soaking, fake)[-1]["text"]
        for keys, seen in (
            ("1", ">1 "),
            ("/", "hold it"),
            ("1", "why?"),
            ("1", "on hold by Kit"),
        ):
            window.press(keys)
            window.wait_until(lambda p, seen=seen: seen in p)  # type: ignore[misc]
    last = journal(soaking, fake)[-1]
    assert (last["action"], last["doubtful"]) == ("hold", False)
    assert is_whole(soaking)


def test_1970_is_asked_about_and_the_bench_goes_on_by_the_counter(
    soaking: Path, fake: FakeTime
) -> None:
    with terminal(soaking, **SMALL, **fake.environment) as window:
        window.wait_until(lambda p: "SOAK" in p)
        with counting(soaking, fake):
            # One clock for the program and the commands; "@1970..." would begin again with each.
            fake.at(datetime(1970, 1, 1, 0, 0, 10, tzinfo=UTC))
            window.wait_until(
                lambda p: (
                    "CLOCK WRONG" in p
                    and "on Thu 01 Jan 1970" in p
                    and f"Is it {datetime.now(UTC):%H:}" in p
                )
            )
        ran = command(soaking, fake, "status")
        wrong = r"CLOCK WRONG: the computer's clock says 00:\d\d on Thu 01 Jan 1970"
        assert re.match(wrong, ran.stderr)
        assert status(soaking, fake)["clock"] == "wrong"
        window.press("0")
        window.wait_until(
            lambda p: "CLOCK WRONG >=" in p and re.search(r"SOAK.* <\d min", p) is not None
        )
        window.press("c")
        window.wait_until(lambda p: "Enter   yes" in p)
        window.press("\r")
        window.wait_until(lambda p: "SOAK" in p and "CLOCK WRONG" not in p and shown(0) in p)
        assert status(soaking, fake)["clock"] == "ok"
        # The network puts it right: the correction is dropped, and not counted twice.
        with counting(soaking, fake, window):
            fake.set("+0")
            some_ticks(window)
    assert clock_lines(soaking, fake) == ["clock wrong", "clock set", "clock stepped"]
    assert is_whole(soaking)


@pytest.mark.parametrize(
    ("turn", "before", "after"),
    [
        (datetime(2026, 10, 25, 1, tzinfo=UTC), "Sun 25 Oct  01:5", "Sun 25 Oct  01:0"),
        pytest.param(
            *(datetime(2026, 3, 29, 1, tzinfo=UTC), "Sun 29 Mar  00:5", "Sun 29 Mar  02:0"),
            marks=pytest.mark.long,
        ),
        pytest.param(
            *(datetime(2027, 1, 1, tzinfo=UTC), "Thu 31 Dec  23:5", "Fri 01 Jan  00:0"),
            marks=pytest.mark.long,
        ),
    ],
)
def test_summer_time_and_new_year_are_nothing(
    tmp_path: Path, fake: FakeTime, turn: datetime, before: str, after: str
) -> None:
    fake.as_it_is("Europe/London")
    with begun_before(turn, before, tmp_path, fake) as (data, window, lead_s):
        # Minutes in hand, not an hour.
        picture = window.wait_until(
            lambda p: after in p and re.search(r"WORKING.* \d+ min", p) is not None,
            lead_s + PATIENCE_S,
        )
        assert "CLOCK" not in picture
    assert clock_lines(data, fake) == []


LEADS_S = (6, 30, 120, 500)
"""How long before the turn of the hour a step is begun: longer where the computer was too slow."""


@contextmanager
def begun_before(
    turn: datetime, before: str, folder: Path, fake: FakeTime
) -> Iterator[tuple[Path, Terminal, int]]:
    """A step in hand, a window that was seen by it before the turn, and how long before."""
    for lead_s in LEADS_S:
        fake.at(turn - timedelta(seconds=lead_s))
        data = folder / f"{lead_s}.db"
        begin_a_wash(data, fake)
        with terminal(data, **SMALL, **fake.environment) as window:
            if before in window.wait_until(lambda p: "WORKING" in p):
                yield data, window, lead_s
                return
    raise AssertionError(f"too slow to begin {lead_s} s before {turn}")


def begin_a_wash(data: Path, fake: FakeTime) -> None:
    """A new shop, and a frame under its first step in it."""
    for words in (
        ("open", "--painters", "Kit,Mo", "--stands", "6"),
        ("place", "1", "--route", "zinc-new", "--shape", "frame", "--by", "Kit"),
        ("begin", "1", "--by", "Kit"),
    ):
        assert command(data, fake, *words).returncode == 0


# -- at the start ---------------------------------------------------------------------------


OFF = timedelta(hours=3)
"""How long the power was off."""


@pytest.fixture
def switched_off(tmp_path: Path, fake: FakeTime) -> Path:
    """A wash that was begun under an earlier start of the computer; then the power was off."""
    data = tmp_path / "before.db"
    fake.at(datetime.now(UTC) - SystemClock().up() - OFF)
    begin_a_wash(data, fake)
    raw = sqlite3.connect(data)
    for table, column, where in (
        ("setting", "value = json_set(value, '$.boot', 'before')", "key = 'clock'"),
        ("journal", "changes = replace(changes, :now, 'before')", "1"),
    ):
        raw.execute(f"UPDATE {table} SET {column} WHERE {where}", {"now": SystemClock().boot})
    raw.commit()
    raw.close()
    store = open_store(str(data))
    with store.writing() as session:
        chain(session.connection())  # the log is as whole as under that other start
        session.commit()
    store.close()
    fake.set("+0")
    return data


def in_hand_for(picture: str, span: timedelta) -> bool:
    """Whether stand 1 shows it, as near as its number goes: over a hundred hours whole ones."""
    found = re.search(r"WORKING.* >?(\d+) (min|h|d)(?: (\d\d))?\b", picture)
    if found is None:
        return False
    big_s, small_s = {"min": (60, 1), "h": (3600, 60), "d": (86400, 3600)}[found[2]]
    shown_s, seconds = int(found[1]) * big_s + int(found[3] or 0) * small_s, span.total_seconds()
    return abs(shown_s - seconds) <= (3600 if seconds > 100 * 3600 else 120)


def test_a_start_four_seconds_out_is_nothing_and_three_hours_on_a_step_if_the_computer_was_on(
    soaking: Path, fake: FakeTime
) -> None:
    with counting(soaking, fake):
        # A command starts as the screen does, and looks at the clock by the same road.
        for seconds in ("+4", "-4"):
            fake.set(seconds)
            assert clock_lines(soaking, fake) == []
        fake.set("+3h")
        with terminal(soaking, **SMALL, **fake.environment) as window:
            window.wait_until(lambda p: "SOAK" in p and shown(3) in p)
    assert clock_lines(soaking, fake) == ["clock stepped"]


def test_a_start_three_hours_on_is_three_hours_if_the_computer_was_off(
    switched_off: Path, fake: FakeTime
) -> None:
    with terminal(switched_off, **SMALL, **fake.environment) as window:
        told = "computer started, 3 h after the last line; clock OK"
        window.wait_until(
            lambda p: told in p and shown(0) in p and in_hand_for(p, SystemClock().up() + OFF)
        )
    assert clock_lines(switched_off, fake) == ["clock started"]
    assert is_whole(switched_off)


@pytest.mark.parametrize(
    "words",
    [
        "-3h",
        *(
            pytest.param(words, marks=pytest.mark.long)
            for words in ("@1970-01-01 00:00:10", "+40d")
        ),
    ],
)
def test_a_start_before_the_last_line_or_long_after_it_stops_on_clock_wrong(
    soaking: Path, fake: FakeTime, words: str
) -> None:
    fake.set(words)
    ran = command(soaking, fake, "hold", "1", "--reason", "weather", "--by", "Kit")
    assert ran.returncode == 1
    assert ran.stderr.startswith("CLOCK WRONG")
    assert "--doubtful" in ran.stderr
    with terminal(soaking, **fake.environment) as window:
        window.wait_until(lambda p: "####  #      ####" in p and "Is it" in p)
        window.press("0")
        window.wait_until(lambda p: "CLOCK WRONG >=" in p and "SOAK" in p)
        # The network puts it right: nothing was lost and nothing is older than it is.
        fake.set("+0")
        window.wait_until(lambda p: "CLOCK WRONG" not in p and shown(0) in p)
    bench = status(soaking, fake)
    assert bench["clock"] == "ok"
    assert bench["stands"][0]["state"] == "soak"
    assert clock_lines(soaking, fake) == ["clock wrong", "clock stepped"]


@pytest.mark.parametrize(
    "shown_first",
    [
        "1970",
        *(
            pytest.param(first, marks=pytest.mark.long)
            for first in ("three hours before the last line", "far ahead")
        ),
    ],
)
def test_after_a_power_cut_with_a_dead_battery_it_is_at_least_the_last_line(
    switched_off: Path, fake: FakeTime, shown_first: str
) -> None:
    written = datetime.now(UTC) - SystemClock().up() - OFF
    first = {
        "three hours before the last line": written - timedelta(hours=3),
        "1970": datetime(1970, 1, 1, 0, 0, 10, tzinfo=UTC),
        "far ahead": datetime.now(UTC) + timedelta(days=40),
    }
    fake.at(first[shown_first])
    with terminal(switched_off, **SMALL, **fake.environment) as window:
        window.wait_until(lambda p: "CLOCK WRONG" in p and "Is it" in p)
        window.press("0")
        window.wait_until(lambda p: "CLOCK WRONG >=" in p and in_hand_for(p, SystemClock().up()))
        fake.set("+0")
        window.wait_until(
            lambda p: (
                "CLOCK WRONG" not in p
                and shown(0) in p
                and in_hand_for(p, SystemClock().up() + OFF)
            )
        )
    assert clock_lines(switched_off, fake) == ["clock wrong", "clock stepped"]
    assert is_whole(switched_off)


def test_the_command_line_writes_it_down_all_the_same_if_told_to_and_marks_it(
    soaking: Path, fake: FakeTime
) -> None:
    # One clock for all the commands; "@1970..." would begin again with each.
    fake.at(datetime(1970, 1, 1, 0, 0, 10, tzinfo=UTC))
    words = ("hold", "1", "--reason", "weather", "--by", "Kit")
    assert command(soaking, fake, *words, "--doubtful").returncode == 0
    assert "clock wrong: at least that hour" in command(soaking, fake, "journal").stdout
    now = datetime.now(UTC)
    assert (
        command(soaking, fake, "set-clock", f"{now:%Y-%m-%d %H:%M}", "--by", "Kit").returncode == 0
    )
    assert command(soaking, fake, "release", "1", "--by", "Kit").returncode == 0
    marks = {line["action"]: line["doubtful"] for line in journal(soaking, fake)}
    assert (marks["hold"], marks["release"]) == (True, False)
    assert is_whole(soaking)
