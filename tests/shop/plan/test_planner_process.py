"""The planner's process: what it answers, how it is ended, and what becomes of it alone."""

from __future__ import annotations

import errno
import os
import select
import signal
import subprocess
import sys
import textwrap
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from threading import Event

import pytest

from bench.shop.plan.planner_process import EARLY, Ended, PlannerProcess


@dataclass(frozen=True)
class Counting:
    """Tells so many numbers, and then what is to become of the process."""

    numbers: int
    then: str = ""

    def answer(self, tell: Callable[[object], bool]) -> None:
        print("what a library prints")
        for number in range(self.numbers):
            tell((number, os.getpid(), os.nice(0), os.getpgid(0), os.getsid(0)))
        if self.then == "fault":
            raise ValueError("slots")
        if self.then == "dies":
            os._exit(3)
        if self.then == "stays":
            Event().wait()


def test_each_answer_comes_in_turn_from_a_process_that_gives_way() -> None:
    *numbers, last = PlannerProcess(Counting(3)).wait()
    told, pids, nice, groups, sessions = zip(*numbers, strict=True)  # type: ignore[call-overload]
    assert told == (0, 1, 2)
    assert set(pids) != {os.getpid()}
    assert set(nice) == {os.nice(0) + 10}
    # In the session of the screen, where alone that counts, but beyond its keys: a group of its own.
    assert set(sessions) == {os.getsid(0)}
    assert set(groups) == set(pids)
    assert last == Ended()


def test_a_fault_is_told_after_what_came_before_it() -> None:
    for then, fault in (("fault", "a fault in the planner (ValueError: slots)"), ("dies", EARLY)):
        *numbers, last = PlannerProcess(Counting(2, then)).wait()
        assert len(numbers) == 2
        assert last == Ended(fault)


def test_it_is_ended_at_once_and_what_it_answered_can_still_be_read() -> None:
    process = PlannerProcess(Counting(1, "stays"))
    answers = process.wait()
    next(answers)
    assert process.come() == []
    process.end()
    process.end()
    assert [*answers] == [Ended(EARLY)]


def test_it_ends_when_the_process_that_asked_is_gone() -> None:
    asker = """
        from tests.shop.plan.test_planner_process import Counting
        from bench.shop.plan.planner_process import PlannerProcess
        print(next(PlannerProcess(Counting(1, "stays")).wait())[1], flush=True)
        import os; os._exit(0)
    """
    asked = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(asker)],
        stdout=subprocess.PIPE,
        check=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    planner = int(asked.stdout)
    with suppress(ProcessLookupError):  # it may be gone already
        select.select([os.pidfd_open(planner)], [], [])


def test_killed_from_outside_it_says_so_after_what_came_before() -> None:
    answers = PlannerProcess(Counting(1, "stays")).wait()
    first = next(answers)
    os.kill(first[1], signal.SIGKILL)  # type: ignore[index]
    assert [*answers] == [Ended(EARLY)]


def test_where_no_process_can_be_started_it_says_why(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_memory(*_: object, **__: object) -> None:
        raise OSError(errno.ENOMEM, os.strerror(errno.ENOMEM))

    monkeypatch.setattr(subprocess, "Popen", no_memory)
    process = PlannerProcess(Counting(1))
    assert [*process.wait()] == [Ended("the planner cannot be started: Cannot allocate memory")]
    process.end()
