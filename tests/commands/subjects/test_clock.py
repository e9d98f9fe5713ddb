"""The command line at a wrong clock: readers say so, writers are refused or mark what they write."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bench.shop.core.transaction import Outcome, Shop
from bench.shop.parts import placement, steps
from bench.testing import ManualClock

from ..running import Paintbench, Ran, run_main

HOLD = ("hold", "1", "--reason", "weather", "--by", "Kit")


@pytest.fixture
def wrong(shop: Shop, data: Path, clock: ManualClock) -> Paintbench:
    """The next start of the computer, an hour after the last line; its clock has lost its battery."""
    for answer in (
        placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"),
        steps.begin(shop, 1, "Kit"),
    ):
        assert isinstance(answer, Outcome), answer
    clock.advance(hours=1)
    started = ManualClock(
        datetime(1970, 1, 1, tzinfo=UTC), boot="the next start", up=timedelta(minutes=2)
    )

    def run(*words: str) -> Ran:
        return run_main(started, "--db", str(data), *words)

    return run


def test_with_the_clock_right_nothing_is_said(shop: Shop, paintbench: Paintbench) -> None:
    assert paintbench("status").err == ""
    assert paintbench("status", "--json").json()["clock"] == "ok"
    ran = paintbench("clock")
    assert ran.out == (
        "the shop goes by 07:30 on Mon 09 Jun 2025\n"
        "the computer's clock says 07:30 on Mon 09 Jun 2025\n"
    )


def test_readers_say_so_beside_their_answer_and_in_it(wrong: Paintbench) -> None:
    ran = wrong("status", "--json")
    assert ran.code == 0
    assert ran.err == (
        "CLOCK WRONG: the computer's clock says 01:00 on Thu 01 Jan 1970; "
        'earlier than this software; every time is "at least"\n'
    )
    bench = ran.json()
    assert bench["clock"] == "wrong"
    assert bench["now"] == "2025-06-09T06:32:00+00:00", (
        "the last line, and two minutes since the start"
    )
    table = wrong("status").out
    assert table.startswith("PAINT BENCH  CLOCK WRONG, at least Mon 09 Jun 2025 07:32")
    assert ">+2 min" in table
    assert wrong("journal", "--json").json()["clock"] == "wrong"


def test_what_is_wrong_and_what_would_be_asked_can_be_read_by_a_program(wrong: Paintbench) -> None:
    assert wrong("clock", "--json").json() == {
        "clock": "wrong",
        "now": "2025-06-09T06:32:00+00:00",
        "by_computer": "1970-01-01T00:00:00+00:00",
        "why": "earlier than this software",
        "asked": "2025-06-09T06:32:00+00:00",
    }
    assert "the shop goes by at least 07:32" in wrong("clock").out


def test_writers_are_refused_and_told_what_would_be_right(wrong: Paintbench) -> None:
    ran = wrong(*HOLD)
    assert (ran.code, ran.out) == (1, "")
    assert ran.err.startswith(
        "CLOCK WRONG (the computer's clock says 01:00 on Thu 01 Jan 1970; earlier than this "
        "software): answer the bench's question, or say the time: paintbench set-clock "
    )
    assert "hold" not in wrong("journal").out


def test_told_to_they_write_it_down_marked(wrong: Paintbench) -> None:
    ran = wrong(*HOLD, "--doubtful")
    assert ran.code == 0, ran.err
    told = wrong("journal", "--json").json()["journal"]
    assert [(line["action"], line["doubtful"]) for line in told[:2]] == [
        ("hold", True),
        ("clock wrong", True),
    ]
    assert "(clock wrong: at least that hour)" in wrong("journal", "--last", "1").out
    assert wrong("undo", "--by", "Kit", "--doubtful").code == 0
    assert wrong("check").code == 0


def test_saying_the_time_is_enough(wrong: Paintbench) -> None:
    ran = wrong("set-clock", "2025-06-09 08:30", "--by", "Kit")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("it is 08:30 on Mon 09 Jun 2025, says Kit")
    assert wrong(*HOLD).code == 0
    bench = wrong("status", "--json")
    assert (bench.err, bench.json()["clock"]) == ("", "ok")
    assert bench.json()["now"] == "2025-06-09T07:30:00+00:00", "the shop is in London"
    assert wrong("check").code == 0


@pytest.mark.parametrize("time", ["now", "08:30", "2025-6-9", "2025-06-09 8.30"])
def test_a_time_that_is_none_is_wrong_usage(wrong: Paintbench, time: str) -> None:
    ran = wrong("set-clock", time, "--by", "Kit")
    assert ran.code == 2
    assert "wanted a day and an hour, such as 2026-03-12 14:30" in ran.err


@pytest.mark.parametrize("time", ["2025-02-30 08:30", "1999-01-01 00:00", "2025-06-09 25:00"])
def test_a_day_that_cannot_be_is_refused(wrong: Paintbench, time: str) -> None:
    assert wrong("set-clock", time, "--by", "Kit").code == 1


def test_a_writer_after_a_step_moves_what_runs_before_it_writes(
    shop: Shop, data: Path, clock: ManualClock
) -> None:
    assert isinstance(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"), Outcome)
    assert isinstance(steps.begin(shop, 1, "Kit"), Outcome)
    clock.advance(minutes=30)
    clock.step(hours=3)
    ran = run_main(clock, "--db", str(data), "finish", "1", "--ago", "10min", "--by", "Mo")
    assert ran.code == 0, ran.err
    assert "finished 10:50" in ran.out
    lines = run_main(clock, "--db", str(data), "journal", "--json").json()["journal"]
    assert [line["action"] for line in lines[:2]] == ["finish", "clock stepped"]
    assert run_main(clock, "--db", str(data), "check").code == 0


def test_a_clock_that_is_believed_is_set_with_a_reason(shop: Shop, paintbench: Paintbench) -> None:
    at = ("set-clock", "2025-06-09 09:30", "--by", "Kit")
    ran = paintbench(*at)
    assert ran.code == 1
    assert ran.err.startswith("no reason why the clock is set, and it is believed: give the reason")
    assert "5 min slow" in paintbench(*at, "--reason", "the computer was 5 min slow").out
