"""The full screen ended by a signal: the terminal is put back, one line is said, the log has it."""

from __future__ import annotations

import os
import signal
import termios
import time
from pathlib import Path

import pytest

from bench.commands.core.fault_log import FAULT_LOG

from .terminal import PATIENCE_S, Terminal, terminal

FLAGS = slice(0, 4)
"""Of what termios tells: how input, output, line and local modes are set."""


def shown(window: Terminal) -> None:
    window.wait_until(lambda p: "6  EMPTY" in p)


@pytest.mark.parametrize("number", [signal.SIGBUS, signal.SIGSEGV, signal.SIGKILL])
def test_a_screen_that_a_signal_ends_leaves_the_terminal_as_it_was_and_says_so(
    today: Path, number: signal.Signals
) -> None:
    with terminal(today) as window:
        before = termios.tcgetattr(window.child.fileno())[FLAGS]
        shown(window)
        assert termios.tcgetattr(window.child.fileno())[FLAGS] != before
        os.kill(window.pid, number)
        assert window.end() == 128 + number
        assert window.child.getecho()
    last = bytes(window.written).decode().rpartition("\x1b[?1049l")[2]
    assert "\x1b[?25h" in last
    log = today.parent / FAULT_LOG
    assert f"paintbench was ended by {number.name}: " in last
    assert f"what happened is in {log}" in last
    assert "Traceback" not in last
    told = log.read_text()
    assert told.startswith(f"ended by {number.name}\n")
    assert (number == signal.SIGKILL) or "File " in told


def test_an_index_cut_to_nothing_under_the_screen_is_said_too(today: Path) -> None:
    """The system sends SIGBUS for a page of a mapped file that is not there any more (mmap(2))."""
    with terminal(today) as window:
        shown(window)
        os.truncate(f"{today}-shm", 0)
        for _ in range(3):
            window.press("5")
        assert window.end() == 128 + signal.SIGBUS
    assert b"ended by SIGBUS" in window.written


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_who_ends_the_first_process_ends_the_bench_cleanly(
    today: Path, number: signal.Signals
) -> None:
    with terminal(today) as window:
        shown(window)
        os.kill(window.child.pid, number)
        assert window.end() == 0
    assert not (today.parent / FAULT_LOG).exists()


def test_the_bench_does_not_outlive_the_first_process(today: Path) -> None:
    with terminal(today) as window:
        shown(window)
        program = window.pid
        assert program != window.child.pid
        os.kill(window.child.pid, signal.SIGKILL)
        deadline = time.monotonic() + PATIENCE_S
        while Path(f"/proc/{program}/cmdline").exists() and time.monotonic() < deadline:
            time.sleep(0.05)
        assert not Path(f"/proc/{program}").exists()
