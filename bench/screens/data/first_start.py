"""The first start: open an empty shop, or look at the demo."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Input

from bench.process.refusals.refusal import Refusal
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.dialogs.questions import ask_whole
from bench.shop.seeds import seed_files
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.throwaway_demo import throwaway_demo
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
            line("   1   start empty: two painters and the stands", width, "bold"),
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
        names = await self.bench.push_screen_wait(Names())
        if names is None:
            return
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
        if self.tell(open_shop(self.bench.shop, shipped, names, numbers[0])):
            self.bench.show_bench()

    async def look_at_demo(self) -> None:
        """Open a throwaway demo shop."""
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


class Names(BenchScreen[tuple[str, ...] | None]):
    """The two painters' names, typed on a keyboard; Enter alone keeps what stands there."""

    TYPES_LETTERS = True
    TAKES_SCANS = True

    DEFAULT_CSS = """
    Names Input { width: 40; height: 3; margin-left: 3; }
    Names Canvas { height: 4; }
    """

    def compose(self) -> ComposeResult:
        """A line to read, and two to type in."""
        yield Canvas(self.bench.look)
        for number in (1, 2):
            field = Input(f"Painter {number}", id=f"name{number}", select_on_focus=True)
            field.cursor_blink = False
            yield field

    def on_mount(self) -> None:
        """The first name is typed first."""
        super().on_mount()
        self.query_one("#name1", Input).focus()

    def draw(self, width: int, height: int) -> list[Line]:
        """Say what to type."""
        del height
        return [
            *title_lines("Who are the two painters?", width),
            line("   Type a name, Enter. Enter alone keeps what stands there. Esc: back", width),
        ]

    def take_scan(self, text: str) -> None:
        """Put it where the cursor is."""
        next(field for field in self.query(Input) if field.has_focus).insert_text_at_cursor(text)

    def take(self) -> None:
        """Go on to the other field, or answer both names."""
        first, second = self.query(Input)
        if first.has_focus:
            second.focus()
        else:
            self.dismiss((first.value, second.value))

    KEYS = (
        KeyWord(("enter",), "Enter", "next", take),
        KeyWord(("escape",), "Esc", "back", BenchScreen.back),
    )
