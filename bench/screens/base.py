"""What all screens share: one canvas, one table of keys, one way of asking and of answering."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar, cast

from textual import events
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.screen import Screen
from textual.worker import Worker

from bench.process.refusal import Refusal
from bench.screens.keys import KeyWord, cap, legend
from bench.shop.acting import Done
from bench.widgets.around import alarm_lines
from bench.widgets.canvas import Canvas
from bench.widgets.lines import Line, line, wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

Result = TypeVar("Result")


class BenchScreen(Screen[Result]):
    """A screen drawn as lines. Subclasses give KEYS, ``draw`` and the methods the keys name."""

    KEYS: ClassVar[Sequence[KeyWord]] = ()
    TYPES_LETTERS: ClassVar[bool] = False
    """Keys go to the fields of the screen, not to its table."""
    SHOWS_THE_BENCH: ClassVar[bool] = False
    """Draws what is so now; a question stands as it was asked."""
    FROM_A_KEYBOARD: ClassVar[Sequence[str]] = ()
    """Keys that come as fast as a keyboard gives them; a glove presses keypad keys."""

    def __init__(self) -> None:
        super().__init__()
        self._road: Worker[None] | None = None

    @property
    def asking(self) -> bool:
        """Whether a road of questions is being walked over this screen."""
        return self._road is not None

    @property
    def on_top(self) -> bool:
        """Whether nothing lies over it. Textual's ``is_current`` is true of a screen below, too."""
        return self.bench.screen is self

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Answer and close, once: a key that comes while it closes is for what lies below."""
        return super().dismiss(result) if self.on_top else AwaitComplete()

    def compose(self) -> ComposeResult:
        """One canvas over the whole screen."""
        yield Canvas(self.bench.look)

    @property
    def bench(self) -> Paintbench:
        """The program."""
        return cast("Paintbench", self.app)

    @property
    def canvas(self) -> Canvas:
        """What the screen is drawn on."""
        return self.query_one(Canvas)

    def draw(self, width: int, height: int) -> list[Line]:
        """The whole picture; at most ``height`` lines, each ``width`` cells."""
        raise NotImplementedError

    def redraw(self) -> None:
        """Draw the screen as it is now; a tick may come before it is put together, or after."""
        width, height = self.size
        if width and height and self.query(Canvas):
            with self.bench.data.minded():
                if self.SHOWS_THE_BENCH and self.on_top:
                    line_shown = self.bench.view.line
                    self.bench.seeing.shown(line_shown, self.bench.shop.clock.monotonic())
                self.canvas.show(self.picture(width, height)[:height], self.bench.look)

    def picture(self, width: int, height: int) -> list[Line]:
        """The screen, shorter by what is wrong with the data and the alarm nobody answered yet."""
        alarms = alarm_lines(self.bench.alarms.known, "Enter on the bench answers", width)
        above = [*self.bench.data.lines(width), *alarms]
        return [*above, *self.draw(width, height - len(above))]

    def on_mount(self) -> None:
        """First picture."""
        self.redraw()
        self.take_ahead()

    def on_resize(self) -> None:
        """The terminal changed its size."""
        self.redraw()

    def on_screen_suspend(self) -> None:
        """Another screen is over this one."""
        if self.SHOWS_THE_BENCH:
            self.bench.seeing.hidden(self.bench.shop.clock.monotonic())

    def on_screen_resume(self) -> None:
        """Back from another screen."""
        self.redraw()

    def on_key(self, event: events.Key) -> None:
        """Every key comes through here, named as on its cap; a glove's second press is dropped."""
        self.bench.alarms.key_pressed()
        pressed = cap(event.key, event.character)
        if pressed in ("ctrl+q", "ctrl+c") or (self.TYPES_LETTERS and event.key != "f1"):
            return
        event.stop()
        event.prevent_default()
        self.bench.pressed(pressed, gloved=pressed not in self.FROM_A_KEYBOARD)

    def was_pressed(self, pressed: str) -> None:
        """Do what a key does here, now or as soon as somebody listens again."""
        if self.asking:
            # Between two questions: the key belongs to the next one, which is not there yet.
            self.bench.ahead.append(pressed)
            return
        self.press(pressed)
        self.redraw()

    def take_ahead(self) -> None:
        """Give this screen the keys that were pressed before it was there."""
        while self.bench.ahead and self.on_top and not self.asking:
            self.press(self.bench.ahead.pop(0))
            self.redraw()

    def ask(self, road: Coroutine[Any, Any, None]) -> None:
        """Walk a road of questions, each a screen over this one."""
        self._road = self.run_worker(self._walk(road))

    async def _walk(self, road: Coroutine[Any, Any, None]) -> None:
        with self.bench.data.minded():
            await road
        self._road = None
        self.redraw()
        self.take_ahead()

    def stop_asking(self) -> None:
        """Leave the road of questions where it is."""
        if self._road is not None:
            self._road.cancel()
            self._road = None

    def press(self, pressed: str) -> None:
        """Do what the table of keys says; a key that is not in it does nothing.

        Escape leads home from everywhere, unless the screen has a use of its own for it.
        """
        if pressed == "?":
            self.bench.open_help(self)
            return
        for key in self.KEYS:
            if pressed in key.caps:
                action: Callable[..., None] = getattr(self, key.does)
                with self.bench.data.minded():
                    action(*((pressed,) if len(key.caps) > 1 else ()))
                return
        if pressed == "escape":
            self.home()

    def keys_line(self, width: int) -> Line:
        """The legend at the bottom."""
        return line(" " + legend(self.keys_now(), width - 1), width, "keys")

    def keys_now(self) -> Sequence[KeyWord]:
        """The keys that do something just now: what the legend and the help page show."""
        return self.KEYS

    def said_lines(self, width: int, most: int) -> list[Line]:
        """The last answer in as many lines as it needs, up to ``most``; at least one."""
        said = self.bench.said
        if said is None:
            return [line("", width)]
        refused = isinstance(said, Refusal)
        text = f"NO: {said}" if isinstance(said, Refusal) else said.text
        rows = wrapped([text], width - 2)
        if len(rows) > most:
            rows = [*rows[: most - 1], " ".join(rows[most - 1 :])]
        return [line(f" {row}", width, "refused" if refused else "said") for row in rows]

    def said_line(self, width: int) -> Line:
        """The last answer in one line."""
        return self.said_lines(width, 1)[0]

    def tell(self, answer: Done | Refusal) -> bool:
        """Show an answer; True when it was done."""
        self.bench.tell(answer)
        return isinstance(answer, Done)

    def home(self) -> None:
        """Back to the whole bench."""
        self.bench.go_home()

    def back(self) -> None:
        """One screen back."""
        self.dismiss(None)
