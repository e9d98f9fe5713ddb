"""All that reaches into Textual's own parts, which an update of it may move.

The terminal's input is read so that no byte can end the program. Whatever fails, in a handler, in
the input thread or in another thread, ends the screen as one fault that the command line tells.
"""

from __future__ import annotations

import asyncio
import os
import re
import selectors
import signal
import sys
import threading
from codecs import getincrementaldecoder
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, ClassVar, cast

from rich.console import RenderableType
from textual import events
from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual._compositor import ChopsUpdate
from textual._time import get_time
from textual._xterm_parser import BRACKETED_PASTE_END, BRACKETED_PASTE_START, XTermParser
from textual.app import App
from textual.driver import Driver
from textual.message import Message
from textual.worker import WorkerFailed

if TYPE_CHECKING:
    from textual.screen import Screen

__all__ = ["LEADS_OUT", "ChopsUpdate", "HookedApp", "SteadyParser", "teach_sequences"]

ESCAPE = "\x1b"

WHOLE_SEQUENCE = re.compile(r"\x1b(?:\[(?![\[M])[0-?]*[ -/]*[@-~]|O[@-~])")
"""A control sequence that has its last byte (ECMA-48 5.4), or a key of three bytes (SS3). What the
Linux console sends for F1 to F5, ``ESC [ [ A``, and what an old mouse sends go on after theirs."""

LONGEST_SEQUENCE = 32
"""Letters; no terminal's key is longer."""

WIDEST_CELLS = 1000
"""What says that the window is larger, in either direction, comes from no terminal."""

PASTE_ENDS_TICKS = 30
"""A pasted text whose end has not come after so long without a byte (3 s) is dropped."""

TICK_S = 0.1

STOP_AGAIN_S = 1.0
"""A program that was told to stop and still runs hears it again after so long."""

LEADS_OUT = frozenset({"quit", "help_quit", "suspend_process", "screenshot"})
"""Textual's own actions that end at a shell or in a file."""


def teach_sequences(sequences: Mapping[str, Any]) -> None:
    """Have Textual read more of what terminals send, as keys."""
    cast("dict[str, Any]", ANSI_SEQUENCES_KEYS).update(sequences)


class SteadyParser(XTermParser):
    """Reads what a terminal sends, and goes on whatever it was.

    A sequence that is no key, or that cannot be parsed, is dropped: it is not read as the letters
    and figures it consists of. The next key is read as ever.
    """

    def __init__(self, debug: bool = False) -> None:
        super().__init__(debug)
        self._sequence = ""
        self._too_long = False
        self._pasted: list[str] | None = None
        self._silent_ticks = 0

    def feed(self, data: str) -> Iterable[Message]:
        """Return what the letters of ``data`` are, as far as they are whole."""
        self._silent_ticks = 0
        for letter in data:
            if self._pasted is not None:
                yield from self._paste(letter)
            elif not self._is_rest(letter):
                yield from self._read(letter)

    def tick(self) -> Iterable[Message]:
        """Return what is whole because nothing came after it: Escape. Call it every 0.1 s."""
        self._too_long = False
        self._silent_ticks += 1
        if self._silent_ticks >= PASTE_ENDS_TICKS:
            self._pasted = None
        yield from self._steadily(super().tick())

    def _paste(self, letter: str) -> Iterator[Message]:
        assert self._pasted is not None
        self._pasted.append(letter)
        end = len(BRACKETED_PASTE_END)
        if (
            letter == BRACKETED_PASTE_END[-1]
            and "".join(self._pasted[-end:]) == BRACKETED_PASTE_END
        ):
            text = "".join(self._pasted[:-end]).replace("\0", "")
            self._pasted = None
            yield events.Paste(text)

    def _is_rest(self, letter: str) -> bool:
        """Whether a letter still belongs to a sequence that was dropped for its length."""
        if not self._too_long:
            return False
        self._too_long = " " <= letter <= "?"
        return self._too_long or "@" <= letter <= "~"

    def _read(self, letter: str) -> Iterator[Message]:
        self._sequence = letter if letter == ESCAPE else self._sequence + letter
        if self._sequence == BRACKETED_PASTE_START:
            self._start_over()
            self._pasted = []
            return
        yield from self._steadily(super().feed(letter))
        if WHOLE_SEQUENCE.fullmatch(self._sequence):
            self._start_over()
        elif len(self._sequence) >= LONGEST_SEQUENCE:
            self._start_over()
            self._too_long = True

    def _steadily(self, messages: Iterable[Message]) -> Iterator[Message]:
        try:
            yield from filter(_is_sound, messages)
        except Exception:
            self._start_over()
        if self._awaiting.timeout is None:
            self._sequence = ""

    def _start_over(self) -> None:
        """Forget what was begun: a generator that has failed does not go on."""
        self._tokens.clear()
        self._gen = self.parse(self._tokens.append)
        self._awaiting = next(self._gen)
        self._timeout_time = None
        self._sequence = ""


def _is_sound(message: Message) -> bool:
    """Whether the program can use it. There is no mouse; half a letter is no key."""
    if isinstance(message, events.Key):
        return not any(
            sign == "\ufffd" or "\ud800" <= sign <= "\udfff"
            for sign in f"{message.key}{message.character or ''}"
        )
    if isinstance(message, events.Resize):
        return all(0 < cells <= WIDEST_CELLS for cells in message.size)
    return not isinstance(message, events.MouseEvent)


_STEADY: dict[type[Driver], type[Driver]] = {}
"""By Textual's own driver, the one with our input."""

if sys.platform != "win32":
    from textual.drivers.linux_driver import LinuxDriver

    class SteadyDriver(LinuxDriver):
        """Textual's driver, with an input thread that no byte ends."""

        def _run_input_thread(self) -> None:
            try:
                self.run_input_thread()
            except Exception as error:
                cast("HookedApp", self._app).end_with(error)

        def run_input_thread(self) -> None:
            """Hand on what is pressed until the screen ends, or the terminal is gone."""
            parser = SteadyParser(self._debug)
            decode = getincrementaldecoder("utf-8")("replace").decode
            with selectors.SelectSelector() as selector:
                selector.register(self.fileno, selectors.EVENT_READ)
                while not self.exit_event.is_set():
                    if selector.select(TICK_S):
                        if not (sent := self._sent()):
                            return
                        self._hand_on(parser.feed(decode(sent)))
                    self._hand_on(parser.tick())

        def _hand_on(self, messages: Iterable[Message]) -> None:
            for message in messages:
                if isinstance(message, events.Key):
                    cast("HookedApp", self._app).last_read_s = message.time
                self.process_message(message)

        def _sent(self) -> bytes:
            """Return what came; nothing where nothing can come any more, which ends the program."""
            try:
                sent = os.read(self.fileno, 4096)
            except OSError:
                sent = b""
            if not sent and self.input_tty:
                self._app.exit(0)
            return sent

    _STEADY[LinuxDriver] = SteadyDriver


class HookedApp(App[int]):
    """A full-screen program that a fault ends with exit code 1, and that tells which it was.

    fault: what failed first, for whoever ran it to tell. UPDATE: how changed cells are written.
    """

    UPDATE: ClassVar[Callable[..., ChopsUpdate]] = ChopsUpdate

    def __init__(self) -> None:
        super().__init__()
        self.fault: BaseException | None = None
        self.last_read_s = float("-inf")
        """When the input thread read the newest key, by the computer's counter."""

    def get_driver_class(self) -> type[Driver]:
        """Return Textual's own for this system; for Linux or a Mac, with our input."""
        usual = super().get_driver_class()
        return _STEADY.get(usual, usual)

    def _display(self, screen: Screen[Any], renderable: RenderableType | None) -> None:
        if isinstance(renderable, ChopsUpdate):
            renderable = self.UPDATE(renderable.chops, renderable.spans, renderable.chop_ends)
        super()._display(screen, renderable)

    async def on_event(self, event: events.Event) -> None:
        """Take every key first, whichever screen or field it is for."""
        if isinstance(event, events.Key) and not event.is_forwarded:
            await self.hand_on(self.key_came(event))
        else:
            await super().on_event(event)

    def counter_s(self) -> float:
        """Count the seconds by the counter that the input thread stamps keys with."""
        return get_time()

    async def hand_on(self, keys: Iterable[events.Key]) -> None:
        """Give keys to the screen or field they are for."""
        for key in keys:
            await super().on_event(key)

    def key_came(self, key: events.Key) -> list[events.Key]:
        """Return the keys to hand on now."""
        return [key]

    def to_the_terminal(self, sequence: str) -> None:
        """Send a control sequence past the picture."""
        if self._driver is not None:
            self._driver.write(sequence)
            self._driver.flush()

    def stop_on_signals(self) -> None:
        """End the program cleanly at a closed terminal or a shutdown."""
        loop = asyncio.get_running_loop()

        def stop() -> None:
            self.exit(0)
            # What comes while a screen opens can be lost with it.
            loop.call_later(STOP_AGAIN_S, stop)

        for name in ("SIGTERM", "SIGHUP"):
            if hasattr(signal, name):
                loop.add_signal_handler(getattr(signal, name), stop)

    def run_to_its_end(self) -> int:
        """Show it until it is closed and give the exit code. Raises what made it fail."""
        with self.minding_threads():
            code = self.run(mouse=False) or 0
        if self.fault is not None:
            raise self.fault
        return code

    # -- faults ----------------------------------------------------------------

    def end_with(self, error: BaseException) -> None:
        """End the screen, from any thread, because of this; the first such counts."""
        if self.fault is None:
            # A road of questions runs in a worker, whose failure says nothing; what failed does.
            self.fault = error.error if isinstance(error, WorkerFailed) else error
            self.exit(1)

    def _handle_exception(self, error: Exception) -> None:
        """Under test Textual's own way is kept, which fails the test."""
        if self.is_headless:
            super()._handle_exception(error)
        else:
            self.end_with(error)

    def panic(self, *renderables: RenderableType) -> None:
        """End the screen: what failed is shown as any fault is, not as a traceback."""
        if self.is_headless:
            super().panic(*renderables)
        else:
            text = " ".join(str(each) for each in renderables if isinstance(each, str))
            self.end_with(sys.exc_info()[1] or RuntimeError(text or "no reason was given"))

    def _fatal_error(self) -> None:
        if self.is_headless:
            super()._fatal_error()
        else:
            self.panic()

    @contextmanager
    def minding_threads(self) -> Iterator[None]:
        """End the screen too when something fails in any thread, while it lasts."""

        def failed(failure: threading.ExceptHookArgs) -> None:
            # At the end threads find closed what they lean on: that is no fault.
            if isinstance(failure.exc_value, Exception) and not self._exit:
                self.end_with(failure.exc_value)

        before, threading.excepthook = threading.excepthook, failed
        try:
            yield
        finally:
            threading.excepthook = before
