"""The full-screen program: it owns the screens and the tick, and hands keys to the shop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, ClassVar, Concatenate, ParamSpec

from textual import events
from textual.binding import BindingType
from textual.filter import LineFilter
from textual.screen import Screen

from bench.clock import OffsetClock
from bench.process.parts.part import Part
from bench.process.refusals.refusal import Refusal
from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.alarm_watch import AlarmWatch
from bench.screens.core.base import BenchScreen
from bench.screens.core.data_guard import DataGuard
from bench.screens.core.keys import KEYS_REPEAT, NUMERIC_KEYPAD, Keypad, know_every_keypad
from bench.screens.core.scanner import ScanReader
from bench.screens.core.seen_tracker import SeenTracker
from bench.screens.core.start import preload, show_first, start_fault
from bench.screens.data.clock_wrong import ClockWatch
from bench.screens.data.no_data import NoData
from bench.settings import FULL, Profile
from bench.shop.core.bench_view import BenchView, ChangeWatch, read_bench
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data.background import BackgroundJob, on_a_thread
from bench.shop.environment.probes import ProbePolling
from bench.shop.settings.kiosk_limits import ANYTHING, KioskLimits
from bench.textual_hooks import LEADS_OUT, ChopsUpdate, HookedApp
from bench.widgets.canvas import ChangedCells
from bench.widgets.theme import FIELDS, Colourless, Look, look_of

TICK_S = 1.0

OWN_CLOCK = "DEMO CLOCK"
"""How a demo is marked whose clock is not the computer's."""

LATEST_KEY_S = 1.0
"""A key that was read, and has not come after so long, is not waited for."""

Answer = Outcome | Refusal
P = ParamSpec("P")
Start = Callable[[BackgroundJob], object]
"""Starts a job in the background."""


class Paintbench(HookedApp):
    """The bench on one terminal.

    allowed: on a kiosk whoever started the program starts it again, so no key closes it
    (``is_kiosk``).
    """

    BINDINGS: ClassVar[list[BindingType]] = []
    CSS = FIELDS
    UPDATE: ClassVar[Callable[..., ChopsUpdate]] = ChangedCells

    def __init__(
        self,
        shop: Shop,
        *,
        demo: bool = False,
        allowed: KioskLimits = ANYTHING,
        profile: Profile = FULL,
        start: Start = on_a_thread,
    ) -> None:
        know_every_keypad()
        super().__init__()
        self.shop = shop.within(allowed)
        self.demo: bool = demo
        self.kiosk: bool = allowed.kiosk
        self.profile = profile
        self.look = look_of(profile, "dark")
        self.animation_level = "none"
        self.said: Answer | None = None
        self.painter = ""
        self.ahead: list[str] = []
        self.alarms = AlarmWatch(self)
        self.data = DataGuard(self, start)
        self.clock_watch = ClockWatch(self)
        self.probes = ProbePolling()
        self._keypad = Keypad(self.key_meant, self.set_timer)
        self._scans = ScanReader(lambda: self._view.house.scan_prefix if self._view else "")
        self.seeing = SeenTracker(0)
        self._view: BenchView | None = None
        self._tick_at: datetime | None = None
        self._watch = ChangeWatch(self.shop)
        self._put_on(self.look)

    def on_mount(self) -> None:
        """Show the bench, or the first-start screen of a shop nobody opened yet."""
        self.stop_on_signals()
        self.to_the_terminal(NUMERIC_KEYPAD)
        self.set_interval(TICK_S, self.tick)
        self.begin()
        self.call_after_refresh(preload)

    def begin(self) -> None:
        """Show the shop; where its data cannot be read, say so until it can."""
        with self.data.minded():
            self._begin()
        if self.data.fault is not None:
            self.push_screen(NoData())
        elif self.shop.store.unwritable is not None:
            self.data.struck(self.shop.store.unwritable)

    def _begin(self) -> None:
        self.clock_watch.begin(lambda: show_first(self))
        self.said = start_fault(self.profile, self.shop.allowed) or self.said

    def go_on(self) -> None:
        """Go on once the data can be read again: with the bench, or from the beginning."""
        if isinstance(self.screen, NoData):
            self.screen.dismiss(None)
        if self.has_view:
            with self.data.minded():
                self.look_again()
                self.seeing = SeenTracker(self.view.line)
        else:
            self.begin()

    def show_bench(self) -> None:
        """Show the whole bench, with the first painter who is in, signed in."""
        self.look_again()
        self.seeing = SeenTracker(self.view.line)
        names, left = self.view.painters, self.view.left
        self.painter = next((name for name in names if name not in left), names[0])
        self.alarms.begin()
        self.push_screen(WholeBench())
        if self.demo_mark == OWN_CLOCK:
            self.tell(Outcome(f"demo clock {self.now():%a %d %b %H:%M}, runs as yours"))

    def use(self, shop: Shop, *, demo: bool) -> None:
        """Go on with another shop's data (the demo, from the first-start screen)."""
        self.shop, self.demo = shop.within(self.shop.allowed), demo
        self._watch = ChangeWatch(self.shop)

    @property
    def demo_mark(self) -> str:
        """How the demo is marked beside the hour, empty where this is none."""
        own_clock = isinstance(self.shop.clock.computer, OffsetClock)
        return (OWN_CLOCK if own_clock else "DEMO") if self.demo else ""

    @property
    def has_view(self) -> bool:
        """Whether the bench was read at all."""
        return self._view is not None

    @property
    def view(self) -> BenchView:
        """Return the bench as it was last read."""
        if self._view is None:
            self._view = read_bench(self.shop)
        return self._view

    def look_again(self) -> None:
        """Read the bench again, and take the theme that is set for this terminal."""
        self._view = read_bench(self.shop)
        theme = self._view.house.theme_on(self.shop.terminal)
        if (wanted := look_of(self.profile, theme)).theme.name != self.look.theme.name:
            self._put_on(wanted)

    def _put_on(self, wanted: Look) -> None:
        self.look = wanted
        self.register_theme(wanted.theme)
        self.theme = wanted.theme.name

    @property
    def ascii_only(self) -> bool:
        """Whether nothing but ASCII may be drawn."""
        return self.profile.glyphs == "ascii"

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Add ours on a terminal without colours: no widget shows any."""
        mine = () if self.profile.colours else (Colourless(),)
        return [*super().get_line_filters(), *mine]

    def now(self) -> datetime:
        """Return the instant in the shop's zone; the same for all of one tick."""
        return self._tick_at or self.view.local(self.shop.clock.now())

    def tick(self) -> None:
        """Pick up the other terminal's work and draw what changed, once a second."""
        if not self.screen_stack:
            return  # the last screen is gone, and the program is about to end
        if self.data.fault is None:
            with self.data.minded():
                self.clock_watch.tick()
                self._pick_up()
        self.data.tick()
        if self._view is None:
            self._draw()
            return
        self._tick_at = self.now()
        try:
            self.alarms.watch()
            if isinstance(self.screen, BenchScreen):
                self.screen.show_far_after(self.alarms.without_a_key())
            self._draw()
        finally:
            self._tick_at = None

    def _pick_up(self) -> None:
        if self._view is not None:
            self.probes.tick(self.shop, self._view.house.probes)
            if self._watch.changed():
                self.look_again()

    @property
    def at_home(self) -> bool:
        """Whether the painter is done with what was open."""
        return isinstance(self.screen, WholeBench) and not self.screen.asking

    @property
    def quiet(self) -> bool:
        """Whether nothing on the bench has to be seen or answered first."""
        held = self.alarms.known.up or self.data.fault is not None or self.view.doubtful
        return not held and self.painter not in self.view.left

    @property
    def finds_places(self) -> bool:
        """Whether the palette opens. In a kiosk no key that is held with ctrl does anything."""
        return not self.kiosk and self.at_home and self.quiet

    def _draw(self) -> None:
        redraw = getattr(self.screen, "redraw", None)
        if redraw is not None:
            redraw()

    def do(
        self, act: Callable[Concatenate[Shop, P], Answer], *args: P.args, **kwargs: P.kwargs
    ) -> Answer:
        """Call a function of shop with the shop and what else it takes, and keep its answer.

        On a part or a pot that somebody did something to meanwhile nothing is done.
        """
        seen = self.seeing.seen(self.shop.clock.monotonic())
        answer = self.data.write(lambda: act(self.shop.as_seen(seen), *args, **kwargs))
        if isinstance(answer, Outcome):
            self.seeing.did(answer.line)
        if self.data.fault is None:
            with self.data.minded():
                self.look_again()
            self.alarms.watch()
        return self.tell(answer)

    @property
    def chosen_part(self) -> Part | None:
        """Return what is on the stand that is chosen on the bench."""
        benches = (screen for screen in self.screen_stack if isinstance(screen, WholeBench))
        return next((bench.chosen_part for bench in benches), None)

    def tell(self, answer: Answer) -> Answer:
        """Show an answer on the next picture."""
        self.said = answer
        return answer

    def key_came(self, key: events.Key) -> list[events.Key]:
        """Note that somebody is here, and hold back what may be a scanner's until it is known.

        How soon it came is what the input thread noted: a busy computer takes keys late.
        """
        from bench.screens.parts.scanned import open_scanned

        self.alarms.key_pressed()
        at_s = self.shop.clock.monotonic() if self.is_headless else key.time
        keys, scan = self._scans.came(key, at_s)
        if scan is not None:
            open_scanned(self, scan)
            self._draw()
        self._look_for_more()
        return keys

    @property
    def holds_keys(self) -> bool:
        """Whether a key is held back that may be a scanner's."""
        return self._scans.holds

    def _look_for_more(self) -> None:
        if self._scans.holds:
            self.set_timer(self._scans.gap_s, self._give_due)

    async def _give_due(self) -> None:
        """Hand on what was a hand's, unless the next key was read and is on its way."""
        at_s = self.shop.clock.monotonic() if self.is_headless else self.counter_s()
        coming = self.last_read_s > self._scans.last_s > at_s - LATEST_KEY_S
        if not coming:
            await self.hand_on(self._scans.due(at_s))
        self._look_for_more()

    async def give_held(self) -> None:
        """Hand on at once what is held back: no scanner sent it."""
        await self.hand_on(self._scans.let_go())

    @property
    def opens_scans(self) -> bool:
        """Whether the bench is there, and nothing has to be answered before a scan is."""
        stack = self.screen_stack
        barred = any(isinstance(each, BenchScreen) and each.BARS_SCANS for each in stack)
        return any(isinstance(each, WholeBench) for each in stack) and not barred

    def pressed(self, key: str, *, gloved: bool = True) -> None:
        """Give a key, named as on its cap, to the screen on top; a glove's second press to none."""
        self._keypad.pressed(key, self.shop.clock.monotonic(), gloved=gloved)

    def key_meant(self, key: str) -> None:
        """Have the screen on top do what a key does there."""
        if isinstance(self.screen, BenchScreen):
            self.screen.was_pressed(key)

    def go_home(self) -> None:
        """Close everything over the whole bench, or over the first screen before there is one.

        What was asked is not asked on: nothing that was begun and not answered is done.
        """
        screens = enumerate(self.screen_stack)
        benches = [n for n, screen in screens if isinstance(screen, WholeBench)]
        home = self.screen_stack[benches[0] if benches else 1]
        self.close_above(home)
        if isinstance(home, BenchScreen):
            home.start_over()
            home.redraw()
            home.take_ahead()

    def close_above(self, screen: Screen[Any]) -> None:
        """Close everything over a screen. What was asked is not asked on."""
        while self.screen is not screen:
            if isinstance(self.screen, BenchScreen):
                self.screen.stop_asking()
            self.screen.dismiss(None)
        if isinstance(screen, BenchScreen):
            screen.stop_asking()

    def leave(self, go: Callable[[], object], down_to: BenchScreen[Any] | None = None) -> None:
        """Go home, or out, once no screen on the way has something to ask first.

        down_to: the last screen on the way; without it, all are.
        """
        screens = [screen for screen in self.screen_stack if isinstance(screen, BenchScreen)]
        on_the_way = screens[screens.index(down_to) :] if down_to is not None else screens
        if not any(screen.asks_to_go(go) for screen in on_the_way):
            go()

    def home(self) -> None:
        """Go home, or from what a scan opened over something else back to that."""
        page = self._scanned_over_something()
        if page is None:
            self.leave(self.go_home)
        else:
            self.leave(lambda: self._close(page), page)

    def _scanned_over_something(self) -> BenchScreen[Any] | None:
        """The topmost page that a scan opened while something other than the bench was shown."""
        stack = self.screen_stack
        for below, screen in zip(reversed(stack[:-1]), reversed(stack), strict=False):
            if isinstance(screen, BenchScreen) and screen.scanned:
                rests = isinstance(below, WholeBench) and not below.asking
                return None if rests else screen
        return None

    def _close(self, screen: BenchScreen[Any]) -> None:
        self.close_above(screen)
        screen.dismiss(None)

    async def action_quit(self) -> None:
        """Leave the program."""
        self.leave(self.exit)

    def action_command_palette(self) -> None:
        """Open our palette, with nothing in it of Textual's own, such as other themes."""
        from bench.screens.menus.palette import Palette

        self.said = None
        self.push_screen(Palette())

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Refuse, on a terminal of the bench's own, every key that leads out of it."""
        if self.kiosk and action in LEADS_OUT:
            return False
        if action == "command_palette" and not self.finds_places:
            return False
        return super().check_action(action, parameters)

    def on_unmount(self) -> None:
        """Stop the alarm command and give the terminal its keys back."""
        self.to_the_terminal(KEYS_REPEAT)
        self.alarms.stop()
