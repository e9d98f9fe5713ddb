"""The full screen in a process of its own, beside one that outlives it.

A signal such as SIGBUS, where the system takes a page of a mapped file away, ends Python at once:
the terminal stays raw, in its second picture, without a cursor. Who waits for it puts that back.
"""

from __future__ import annotations

import faulthandler
import os
import signal
import sys
import termios
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import IO

from bench.commands.core.fault_log import write_fault
from bench.commands.core.plain_text import write_line

HANDED_ON = (signal.SIGTERM, signal.SIGHUP)
"""What asks the program to end, by whichever of both processes it is known."""

QUIET = (*HANDED_ON, signal.SIGINT)

AS_BEFORE = "\x1b[?1049l\x1b[?25h\x1b[?2004l\x1b[<u\x1b[0m"
"""The first picture, a cursor, no marks around what is pasted, keys and colours as ever."""


def run_apart(program: Callable[[], int], place: str) -> int:
    """Run a program in a process of its own and give its exit code, 128 and more for a signal's.

    Where no terminal is, it is run in this one. place: of the data, beside which the fault log is.
    """
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return program()
    terminal = termios.tcgetattr(sys.stdin)
    report = _file_without_a_name()
    here, there = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(there)
        threading.Thread(target=_ends_with, args=(here,), daemon=True).start()
        faulthandler.enable(report)
        return program()
    os.close(here)

    def hand_on(number: int, _frame: object) -> None:
        with suppress(ProcessLookupError):
            os.kill(child, number)

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for number in HANDED_ON:
        signal.signal(number, hand_on)
    code = os.waitstatus_to_exitcode(_ended(child))
    if code >= 0:
        return code
    _put_back(terminal)
    if -code not in QUIET:
        _say(signal.Signals(-code), report, place)
    return 128 - code


def _file_without_a_name() -> IO[bytes]:
    if hasattr(os, "memfd_create"):
        return open(os.memfd_create("faults"), "r+b", buffering=0)
    from tempfile import TemporaryFile

    return TemporaryFile(buffering=0)


def _ends_with(parent: int) -> None:
    """End this process as a closed terminal does once the other end of a pipe is gone."""
    os.read(parent, 1)
    os.kill(os.getpid(), signal.SIGHUP)


def _ended(child: int) -> int:
    """Wait for the program's end. Where it is stopped from the keyboard, so is this process."""
    while True:
        _, status = os.waitpid(child, os.WUNTRACED)
        if not os.WIFSTOPPED(status):
            return status
        if os.WSTOPSIG(status) == signal.SIGTSTP:
            os.kill(os.getpid(), signal.SIGSTOP)
            os.kill(child, signal.SIGCONT)


def _put_back(terminal: list[object]) -> None:
    from bench.screens.core.keys import KEYS_REPEAT

    sys.stderr.write(AS_BEFORE + KEYS_REPEAT)
    sys.stderr.flush()
    # To set it from behind whoever is at the terminal now must not stop us.
    signal.signal(signal.SIGTTOU, signal.SIG_IGN)
    termios.tcsetattr(sys.stdin, termios.TCSANOW, terminal)  # type: ignore[arg-type]


def _say(number: signal.Signals, report: IO[bytes], place: str) -> None:
    report.seek(0)
    text = report.read().decode("utf-8", errors="replace")
    log = write_fault(f"ended by {number.name}\n{text}\n", place)
    where = f"; what happened is in {log}" if log else ""
    line = f"paintbench was ended by {number.name}: what it showed as done is kept, start it again"
    write_line(sys.stderr, f"{line}{where}")
