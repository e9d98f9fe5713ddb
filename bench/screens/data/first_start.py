"""The first start: open an empty shop, or look at the demo."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Input

from bench.process.calendar.week import Week, read_week, week_words
from bench.process.refusals.refusal import Refusal
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.questions import ask_whole
from bench.shop.core.transaction import Outcome
from bench.shop.people.painters import MOST_PAINTERS, names_of
from bench.shop.seeds import seed_files
from bench.shop.seeds.first_start import is_new, open_shop
from bench.shop.seeds.throwaway_demo import throwaway_demo
from bench.shop.settings.setting_list import WEEK
from bench.shop.settings.shop_settings import read_stored_week, stored_week
from bench.widgets.canvas import Canvas
from bench.widgets.lines import Line, line, title_lines

USUAL_STANDS = 6.0


class Opening(BenchScreen[None]):
    """One screen, two choices."""

    def keys_now(self) -> Sequence[KeyWord]:
        """A kiosk is not left: there is nowhere to go."""
        return self.KEYS[:-1] if self.bench.kiosk else self.KEYS

    def body(self, width: int, height: int) -> list[Line]:
        """Show the two choices and what the bench cannot do."""
        return [
            *title_lines("paintbench: there is no shop here yet", width),
            line("   1   start empty: the painters, the hours and the stands", width, "bold"),
            line("   2   look at the demo first (nothing is kept)", width, "bold"),
            line("", width),
            line("   The bench shows the age of what it was told. It cannot see, smell or", width),
            line(
                "   measure, and it is not a safety system: the data sheet, local rules and", width
            ),
            line("   a qualified person decide.", width),
        ]

    async def start_empty(self) -> None:
        """Ask for names and stands, and open an empty shop."""
        answer = await self.bench.push_screen_wait(Names())
        if answer is None:
            return
        names, week = answer
        title, questions = (
            "How many stands, hooks and rails?",
            [NumberQuestion("stands", "", USUAL_STANDS)],
        )
        numbers = await ask_whole(self.bench, title, questions)
        if numbers is None:
            return
        try:
            shipped = seed_files.load(seed_files.folder())
        except seed_files.BadSeed as fault:
            self.tell(Refusal("the starting data is broken", "", str(fault)))
            return
        opening_hours = {"week": stored_week(week)}
        self.tell(open_shop(self.bench.shop, shipped, names, numbers[0], opening_hours))
        if not is_new(self.bench.shop):
            self.bench.show_bench()

    async def look_at_demo(self) -> None:
        """Say that it is being made, which takes a second, and open a throwaway demo shop."""
        self.tell(Outcome("making the demo .."))
        self.redraw()
        shown = asyncio.Event()
        self.call_after_refresh(shown.set)
        await shown.wait()
        try:
            opened = throwaway_demo(self.bench.shop.clock)
        except seed_files.BadSeed as fault:
            opened = Refusal("the demo's data is broken", "", str(fault))
        if isinstance(opened, Refusal):
            self.tell(opened)
            return
        self.bench.use(opened, demo=True)
        self.bench.show_bench()

    def leave(self) -> None:
        """Close the program."""
        if not self.bench.kiosk:
            self.bench.exit(0)

    KEYS = (
        KeyWord(("1",), "1", "start empty", start_empty),
        KeyWord(("2",), "2", "look at the demo", look_at_demo),
        KeyWord(("0",), "0", "leave", leave),
    )


class Names(BenchScreen[tuple[tuple[str, ...], Week] | None]):
    """The painters' names and the shop's hours; Enter alone keeps what stands there."""

    TYPES_LETTERS = True
    TAKES_SCANS = True

    DEFAULT_CSS = """
    Names Input { width: 60; height: 3; margin-left: 3; }
    Names Canvas { height: 7; }
    """

    def compose(self) -> ComposeResult:
        """Give the words to read, and two fields to type in."""
        yield Canvas(self.bench.look)
        for offered in ("Painter 1, Painter 2", week_words(read_stored_week(WEEK))):
            field = Input(offered, select_on_focus=True)
            field.cursor_blink = False
            yield field

    def on_mount(self) -> None:
        """Put the cursor into the names."""
        super().on_mount()
        self.query(Input).first().focus()

    def draw(self, width: int, height: int) -> list[Line]:
        """Say what to type."""
        del height
        names = f"   One to {MOST_PAINTERS} names with commas between them, Enter."
        return [
            *title_lines("Who paints here, and when is the shop open?", width),
            line(names, width),
            line("   Then the hours. Enter alone keeps what stands there. Esc: back", width),
            *self.said_lines(width, 2),
        ]

    def take_scan(self, text: str) -> None:
        """Put it where the cursor is."""
        next(field for field in self.query(Input) if field.has_focus).insert_text_at_cursor(text)

    def take(self) -> None:
        """Go on to the hours, or answer both; what cannot be is said and typed again."""
        names, hours = self.query(Input)
        answer = names_of(names.value.split(","))
        if isinstance(answer, Refusal):
            self.tell(answer)
            names.focus()
        elif names.has_focus:
            hours.focus()
        else:
            try:
                self.dismiss((answer, read_week(hours.value)))
            except ValueError as fault:
                self.tell(Refusal("the hours", "", str(fault)))

    KEYS = (
        KeyWord(("enter",), "Enter", "next", take),
        KeyWord(("escape",), "Esc", "back", BenchScreen.back),
    )
