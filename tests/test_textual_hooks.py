"""Whatever a terminal sends, the program goes on; whatever fails in it is one plain line."""

from __future__ import annotations

import asyncio
import os
import random
import signal
import sys
from codecs import getincrementaldecoder
from collections.abc import Callable
from pathlib import Path

import pytest
from textual import events
from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual._xterm_parser import XTermParser
from textual.message import Message

from bench import textual_hooks
from bench.commands.core.fault_log import FAULT_LOG
from bench.screens.core.keys import know_every_keypad
from bench.textual_hooks import PASTE_ENDS_TICKS, HookedApp, SteadyParser

from .simulation import LONG
from .terminal import terminal

EveryInstant = Callable[[float], None]


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch) -> EveryInstant:
    """What the parser takes for the time, in seconds; it stands still until it is set."""
    know_every_keypad()

    def set_to(seconds: float) -> None:
        monkeypatch.setattr("textual._parser.get_time", lambda: seconds)

    set_to(0)
    return set_to


def keys(messages: list[Message]) -> list[str]:
    return [message.key for message in messages if isinstance(message, events.Key)]


def read(parser: XTermParser, sent: str) -> list[str]:
    return keys(list(parser.feed(sent)))


def after_a_pause(parser: SteadyParser, at: EveryInstant) -> None:
    """Nothing comes for so long that what was begun is over."""
    at(10)
    for _ in range(PASTE_ENDS_TICKS):
        list(parser.tick())
    at(0)


MANY_BYTES = 3_000_000 if LONG else 200_000


def test_after_many_random_bytes_the_next_key_is_read(
    at: EveryInstant, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Textual writes every key out for a log that is not kept: half the time of this test.
    monkeypatch.setattr(events.Key, "__str__", lambda key: key.key)
    draw = random.Random(1)
    sent, parser = draw.randbytes(MANY_BYTES), SteadyParser()
    decode = getincrementaldecoder("utf-8")("replace").decode
    begin = 0
    while begin < len(sent):
        end = begin + draw.randint(1, 4096)
        for message in [*parser.feed(decode(sent[begin:end])), *parser.tick()]:
            if isinstance(message, events.Key):
                assert "\ufffd" not in f"{message.key}{message.character}"
        begin = end
    list(parser.feed(decode(b"", final=True)))
    after_a_pause(parser, at)
    assert read(parser, "5") == ["5"]


SMALL = range(300) if LONG else sorted({*range(0, 300, 23), 1, 2, 3, 13, 27, 48, 57, 200, 201, 256})
"""In the normal run every so many, and those with a meaning of their own: 200~ begins a paste."""
ENDS = "u~ABCDEFHPQRSZcmnty"
HUGE = [55295, 55296, 57343, 57344, 65533, 1114111, 1114112, 10**9, 10**12, 10**19, 10**40]
"""Around what is no letter (Unicode 16, 3.9: surrogates), the last letter there is, and far past it."""


@pytest.mark.parametrize("end", ENDS)
@pytest.mark.parametrize("form", ["{n}", "{n};5", "97;{n}", "97;;{n}", "{n};{n};{n};{n}", "?{n}"])
def test_after_any_numbered_sequence_the_next_key_is_read_and_its_figures_are_no_keys(
    at: EveryInstant, form: str, end: str
) -> None:
    parser = SteadyParser()
    for number in [*SMALL, *HUGE]:
        sent = f"\x1b[{form.format(n=number)}{end}"
        found = read(parser, sent + "5")
        after_a_pause(parser, at)  # a pasted text may have been begun
        found = found or read(parser, "5")
        assert found[-1] == "5"
        assert len(found) <= 2, sent
        for key in found:
            key.encode()


@pytest.mark.parametrize(
    "sent", ["\x1b[", "\x1b[12", "\x1b[[", "\x1b[M!", "\x1bO", "\x1b", "\x1b\x1b", "\x1b[999999999"]
)
def test_after_a_sequence_that_was_cut_off_the_next_key_is_read(
    at: EveryInstant, sent: str
) -> None:
    parser = SteadyParser()
    list(parser.feed(sent))
    after_a_pause(parser, at)
    assert read(parser, "5") == ["5"]


def test_a_sequence_that_is_no_key_is_not_read_as_its_letters(at: EveryInstant) -> None:
    parser = SteadyParser()
    assert read(parser, "\x1b[=9~1\x1b[?9;9x2\x1bOz3\x1b[" + "9" * 60 + "u4") == [*"1234"]


def test_every_sequence_that_textual_knows_is_read_as_textual_reads_it(at: EveryInstant) -> None:
    for sequence in ANSI_SEQUENCES_KEYS:
        if "\x1b" in sequence[1:]:
            continue  # Escape before another key
        theirs, ours = XTermParser(), SteadyParser()
        expected = read(theirs, sequence + "5")
        assert read(ours, sequence + "5") == expected, repr(sequence)


def test_a_pasted_text_is_one_paste_and_one_without_an_end_does_not_hold_the_keys(
    at: EveryInstant,
) -> None:
    parser = SteadyParser()
    (pasted,) = parser.feed("\x1b[200~Frame \x1b[31m~ 12\0\x1b[201~")
    assert isinstance(pasted, events.Paste)
    assert pasted.text == "Frame \x1b[31m~ 12"
    assert read(parser, "1\x1b[200~23") == ["1"]
    after_a_pause(parser, at)
    assert read(parser, "4") == ["4"]


def test_a_size_that_no_window_has_and_a_mouse_are_not_handed_on(at: EveryInstant) -> None:
    parser = SteadyParser()
    (resized,) = parser.feed("\x1b[48;24;80;480;800t")
    assert isinstance(resized, events.Resize)
    for sent in ("\x1b[<0;5;5M", "\x1b[<0;5;5m", "\x1b[48;99999;99999;1;1t", "\x1b[48;0;0;0;0t"):
        assert list(parser.feed(sent)) == []


# -- in a real terminal -----------------------------------------------------------------------------


def test_in_a_real_terminal_no_byte_ends_the_program_and_the_next_key_works(today: Path) -> None:
    """An e-acute of a Latin-1 terminal before a figure, a byte of no UTF-8, and letters there are none of."""
    with terminal(today) as window:
        window.wait_until(lambda p: "6  EMPTY" in p)
        for sent in (b"\xe91", b"\xff", b"\x1b[1114112u", b"\x1b[999999999999u"):
            window.child.send(sent)
            window.press("?")
            window.wait_until(lambda p: "6  EMPTY" not in p)
            window.press("0")
            window.wait_until(lambda p: "6  EMPTY" in p)
        assert window.leave() == 0


FAULTS = {
    "input thread": (
        "def broken(self, message): raise ValueError('out of paint')\n"
        "hooks.SteadyDriver.process_message = broken\n"
    ),
    "other thread": (
        "def failing(): raise ValueError('out of paint')\n"
        "app.Paintbench.tick = lambda self: threading.Thread(target=failing).start()\n"
    ),
    "handler": (
        "def failing(self): raise ValueError('out of paint')\napp.Paintbench.tick = failing\n"
    ),
    "panic": "app.Paintbench.tick = lambda self: self.panic('out of paint')\n",
    "fatal error": (
        "def failing(self):\n"
        "    try: raise ValueError('out of paint')\n"
        "    except ValueError: self._fatal_error()\n"
        "app.Paintbench.tick = failing\n"
    ),
}


@pytest.mark.parametrize("where", FAULTS)
def test_a_fault_anywhere_is_one_line_and_an_entry_in_the_log_and_the_terminal_is_put_back(
    today: Path, where: str
) -> None:
    script = (
        "import sys, threading\n"
        "import bench.app as app, bench.textual_hooks as hooks\n"
        "from bench.__main__ import main\n"
        "app.TICK_S = 0.1\n"
        f"{FAULTS[where]}"
        "sys.exit(main())\n"
    )
    with terminal(today, program=(sys.executable, "-c", script)) as window:
        window.child.send("5")
        assert window.end() == 1
        assert window.child.getecho()
    last = bytes(window.written).decode().rpartition("\x1b[?1049l")[2]
    log = today.parent / FAULT_LOG
    (told,) = [line for line in last.splitlines() if any(letter.isalpha() for letter in line[12:])]
    kind = "RuntimeError" if where == "panic" else "ValueError"
    assert f"paintbench stopped: {kind}: out of paint; what happened is in {log}" in told
    assert "Traceback" not in last
    assert "out of paint" in log.read_text()


def test_a_terminal_that_goes_away_ends_the_program_without_a_fault(today: Path) -> None:
    with terminal(today) as window:
        window.wait_until(lambda p: "6  EMPTY" in p)
        window.child.ptyproc.fileobj.close()
        window.child.ptyproc.wait()
        assert window.child.ptyproc.exitstatus == 0
    assert not (today.parent / FAULT_LOG).exists()


async def test_a_stop_that_is_lost_is_told_again(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(textual_hooks, "STOP_AGAIN_S", 0.01)
    app, told = HookedApp(), asyncio.Event()

    def exit_at_last(code: int) -> None:
        if told.is_set():
            HookedApp.exit(app, code)
        told.set()

    async with app.run_test():
        monkeypatch.setattr(app, "exit", exit_at_last)
        app.stop_on_signals()
        os.kill(os.getpid(), signal.SIGTERM)
        async with asyncio.timeout(20):
            await told.wait()
            while app.is_running:
                await asyncio.sleep(0)
    assert app.return_value == 0
    for number in (signal.SIGTERM, signal.SIGHUP):
        asyncio.get_running_loop().remove_signal_handler(number)
