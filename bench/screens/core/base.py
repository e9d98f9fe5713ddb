"""What all screens share: one canvas, one table of keys, one way of asking and of answering."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, ClassVar, TypeVar, cast

from textual import events
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.geometry import Size
from textual.screen import Screen
from textual.worker import Worker

from bench.process.attention.alarms import Alarm
from bench.process.clocks.reading_doubts import jump_words
from bench.process.refusals.refusal import Refusal
from bench.screens.core.keys import ANSWER, HELP, Flow, KeyWord, cap, legend
from bench.shop.core.transaction import Outcome
from bench.widgets.canvas import Canvas
from bench.widgets.lines import Line, fill, line, wrapped
from bench.widgets.status_lines import air_line, alarm_lines

if TYPE_CHECKING:
    from bench.app import Paintbench

ScreenResult = TypeVar("ScreenResult")


class BenchScreen(Screen[ScreenResult]):
    """A screen drawn as lines. Subclasses give KEYS, ``body`` and the methods the keys name."""

    KEYS: ClassVar[Sequence[KeyWord]] = ()
    HELP_KEY: ClassVar[KeyWord] = HELP
    """The key that explains the others."""
    ASKS: ClassVar[bool] = False
    """A question over another screen."""
    TYPES_LETTERS: ClassVar[bool] = False
    """Keys that are not in the table of the screen go to its fields."""
    SHOWS_THE_BENCH: ClassVar[bool] = False
    """Draws what is so now; a question stands as it was asked."""
    FROM_A_KEYBOARD: ClassVar[Sequence[str]] = ()
    """Keys that come as fast as a keyboard gives them; a glove presses keypad keys."""
    ANSWER_LINES: ClassVar[int] = 1
    """As many lines above the keys as the last answer may take; 0 shows none there."""
    TAKES_SCANS: ClassVar[bool] = False
    """A line where what was scanned may be its text: ``take_scan``."""
    BARS_SCANS: ClassVar[bool] = False
    """Has to be answered before a scan opens anything."""
    ANSWER_UNTIL_A_KEY: ClassVar[bool] = False
    """Any key takes the last answer away before it does its own thing."""

    def __init__(self) -> None:
        super().__init__()
        self._flow: Worker[None] | None = None
        self._drawn_in: Size | None = None
        self._was_covered = False
        self.scanned = False
        """Whether a scan opened it: it leads back to what it lies over."""

    @property
    def asking(self) -> bool:
        """Whether a flow of questions is under way over this screen."""
        return self._flow is not None

    @property
    def on_top(self) -> bool:
        """Whether nothing lies over it. Textual's ``is_current`` is true of a screen below, too."""
        return self.bench.screen is self

    def dismiss(self, result: ScreenResult | None = None) -> AwaitComplete:
        """Answer and close, once: a key that comes while it closes is for what lies below."""
        return super().dismiss(result) if self.on_top else AwaitComplete()

    def compose(self) -> ComposeResult:
        """Put one canvas over the whole screen."""
        yield Canvas(self.bench.look)

    @property
    def bench(self) -> Paintbench:
        """Return the program."""
        return cast("Paintbench", self.app)

    @property
    def canvas(self) -> Canvas:
        """Return what the screen is drawn on."""
        return self.query_one(Canvas)

    def draw(self, width: int, height: int) -> list[Line]:
        """The whole picture; at most ``height`` lines, each ``width`` cells."""
        room = height - len(self.foot(width)) - 1
        body = fill(self.body(width, room), width, room)
        return [*body, *self.foot(width), self.keys_line(width)]

    def body(self, width: int, height: int) -> list[Line]:
        """Return what stands above the foot: filled with empty lines, cut after ``height``."""
        raise NotImplementedError

    def foot(self, width: int) -> list[Line]:
        """Return what stands between the body and the keys: the last answer."""
        return self.said_lines(width, self.ANSWER_LINES) if self.ANSWER_LINES else []

    def redraw(self) -> None:
        """Draw the screen as it is now; a tick may come before it is put together, or after."""
        width, height = self.size
        if width and height and self.query(Canvas):
            with self.bench.data.minded():
                if self.SHOWS_THE_BENCH and self.on_top:
                    line_shown = self.bench.view.line
                    self.bench.seeing.shown(line_shown, self.bench.shop.clock.monotonic())
                self.canvas.show(self.picture(width, height)[:height], self.bench.look)
                self._drawn_in = self.size

    def picture(self, width: int, height: int) -> list[Line]:
        """Return the screen, shorter by what is wrong with the data and by an open alarm."""
        above = [*self.bench.data.lines(width), *self.alarm_band(width)]
        return [*above, *self.draw(width, height - len(above))]

    def alarm_band(self, width: int) -> list[Line]:
        """Return the worst alarm and what Enter answers; no line when none is up."""
        alarms = self.bench.alarms
        return alarm_lines(alarms.known, alarms.to_answer(), width)

    def air_line(self, width: int) -> Line:
        """The last reading, what is wrong with the probes and what a painter is asked of them."""
        bench, view, now = self.bench, self.bench.view, self.bench.now()
        faults = bench.probes.faults(bench.shop.clock.monotonic())
        if (jump := view.house.hours.unanswered) is not None:
            faults = (*faults, jump_words(jump, view.house.units))
        air, units = view.conditions(now), view.house.units
        return air_line(air, now, width, faults, units, bench.probes.air_c)

    def show_far_after(self, idle: timedelta) -> None:
        """Show what is read from the doorway once no key was pressed as long as the shop wants."""
        after = self.bench.view.house.far_after
        if after is None or idle < after or self.asking or not self.SHOWS_THE_BENCH:
            return
        from bench.screens.bench.far_view import FarView

        self.bench.push_screen(FarView())

    def on_mount(self) -> None:
        """Draw the first picture."""
        self.redraw()
        self.take_ahead()

    def on_resize(self) -> None:
        """Draw it again in another size than that of the picture that is there."""
        if self.size != self._drawn_in:
            self.redraw()

    def on_screen_suspend(self) -> None:
        """Note that another screen lies over this one."""
        self._was_covered = True
        if self.SHOWS_THE_BENCH:
            self.bench.seeing.hidden(self.bench.shop.clock.monotonic())

    def on_screen_resume(self) -> None:
        """Draw it again once nothing lies over it any more."""
        if self._was_covered:
            self._was_covered = False
            self.redraw()

    def on_key(self, event: events.Key) -> None:
        """Every key comes through here, named as on its cap; a glove's second press is dropped."""
        pressed = cap(event.key, event.character)
        typed = self.TYPES_LETTERS and not any(pressed in key.caps for key in self.KEYS)
        if pressed in ("ctrl+q", "ctrl+c") or (typed and event.key != "f1"):
            return
        event.stop()
        event.prevent_default()
        self.bench.pressed(pressed, gloved=pressed not in self.FROM_A_KEYBOARD)

    def was_pressed(self, pressed: str) -> None:
        """Do what a key does here, now or as soon as somebody listens again.

        Enter answers first what has stood as an alarm long enough to be read, whatever the screen.
        """
        if pressed == "enter" and (answered := self.bench.alarms.answer()):
            if self.SHOWS_THE_BENCH and not self.asking:
                self._asked_by(answered)
            self.redraw()
            return
        if self.asking:
            # Between two questions: the key belongs to the next one, which is not there yet.
            self.bench.ahead.append(pressed)
            return
        self.press(pressed)
        if self.on_top:
            self.redraw()

    def _asked_by(self, answered: Sequence[Alarm]) -> None:
        """Go on to the question that an alarm is about."""
        from bench.screens.parts.part_flows import answer_jump

        if any(alarm.want.word == "PROBE" for alarm in answered):
            self.ask(answer_jump(self.bench))

    def take_ahead(self) -> None:
        """Give this screen the keys that were pressed before it was there."""
        while self.bench.ahead and self.on_top and not self.asking:
            self.press(self.bench.ahead.pop(0))
            self.redraw()

    def ask(self, flow: Flow) -> None:
        """Begin a flow of questions, each a screen over this one."""
        self._flow = self.run_worker(self._walk(flow))

    def open(self, screen: BenchScreen[None]) -> None:
        """Show a screen that answers nothing over this one."""
        self.ask(self._over_this(screen))

    async def _over_this(self, screen: BenchScreen[None]) -> None:
        await self.bench.push_screen_wait(screen)

    async def _walk(self, flow: Flow) -> None:
        with self.bench.data.minded():
            await flow
        self._flow = None
        self.redraw()
        self.take_ahead()

    def stop_asking(self) -> None:
        """Leave the flow of questions where it is."""
        if self._flow is not None:
            self._flow.cancel()
            self._flow = None

    def press(self, pressed: str) -> None:
        """Do, or begin, what the table of keys says; a key that is not in it does nothing.

        Escape leads home from everywhere, unless the screen has a use of its own for it.
        """
        if self.ANSWER_UNTIL_A_KEY:
            self.bench.said = None
        if pressed in self.HELP_KEY.caps:
            self.open_help()
            return
        for key in self.KEYS:
            if pressed in key.caps:
                with self.bench.data.minded():
                    flow = key.press(self, pressed)
                    if flow is not None:
                        self.ask(flow)
                return
        if pressed == "escape":
            self.home()

    def open_help(self) -> None:
        """Show what the keys do here."""
        from bench.screens.core.help import Help

        self.bench.push_screen(Help([*self.legend_keys(), *self.keys_beside(), *self._behind()]))

    def _behind(self) -> Sequence[KeyWord]:
        """Of a question: the keys of the screen below, where only over it they are explained."""
        stack = [screen for screen in self.bench.screen_stack if isinstance(screen, BenchScreen)]
        below = [screen for screen in stack if not screen.ASKS]
        if not self.ASKS or not below or below[-1].HELP_KEY.caps == HELP.caps:
            return ()
        return [KeyWord((), "", "behind it:"), *below[-1].keys_now()]

    def keys_line(self, width: int) -> Line:
        """Return the legend at the bottom."""
        return line(" " + legend(self.legend_keys(), width - 1, self.HELP_KEY), width, "keys")

    def keys_now(self) -> Sequence[KeyWord]:
        """Return the keys that do something just now on this screen."""
        return self.KEYS

    def legend_keys(self) -> Sequence[KeyWord]:
        """What the legend and the help page show: Enter answers while an alarm takes it."""
        if not self.bench.alarms.to_answer():
            return self.keys_now()
        return [ANSWER, *(key for key in self.keys_now() if key.shown != ANSWER.shown)]

    def keys_beside(self) -> Sequence[KeyWord]:
        """The keys beside the keypad that do something just now: what the help page adds."""
        return ()

    def said_lines(self, width: int, most: int) -> list[Line]:
        """The last answer in as many lines as it needs, up to ``most``; at least one."""
        answer = self.bench.said
        if answer is None:
            return [line("", width)]
        refused = isinstance(answer, Refusal)
        text = f"NO: {answer}" if isinstance(answer, Refusal) else answer.text
        rows = wrapped([text], width - 2)
        if len(rows) > most:
            rows = [*rows[: most - 1], " ".join(rows[most - 1 :])]
        return [line(f" {row}", width, "refused" if refused else "said") for row in rows]

    def tell(self, answer: Outcome | Refusal) -> bool:
        """Show an answer; True when it was done."""
        self.bench.tell(answer)
        return isinstance(answer, Outcome)

    def home(self) -> None:
        """Go back to the whole bench; from what a scan opened, to what that lies over."""
        self.bench.home()

    def asks_to_go(self, go: Callable[[], object]) -> bool:
        """Return whether it asks before it is closed; after a yes it does ``go``."""
        return False

    def take_scan(self, text: str) -> None:
        """Put what was scanned into the line; the painter's own Enter takes it."""

    def start_over(self) -> None:
        """Forget what was chosen here: whoever comes home chooses again."""

    def back(self) -> Flow | None:
        """Go one screen back, without an answer."""
        self.dismiss(None)
        return None
