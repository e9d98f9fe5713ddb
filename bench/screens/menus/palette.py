"""Everything the list of the whole bench leads to, by its words: Textual's palette, on ctrl+p."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from rich.text import Text
from textual import on
from textual.command import CommandInput, CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.fuzzy import FuzzySearch
from textual.widgets import OptionList

from bench.screens.bench.whole_bench import WholeBench
from bench.screens.core.menu_action import Action
from bench.screens.menus.menu_list import ACTIONS

if TYPE_CHECKING:
    from bench.app import Paintbench


def places(bench: Paintbench) -> list[Action]:
    """Every action there is just now, and each of the sums."""
    return [*(action for action in ACTIONS if action.when(bench)), *_sums()]


def shown(action: Action, bench: Paintbench) -> str:
    """Its words, and the letter to learn for the next time."""
    words = action.words(bench)
    return f"{words}  ({action.letter})" if action.letter else words


def _sums() -> Iterator[Action]:
    from bench.screens.sums.sum_menu import solve  # not before somebody looks for something
    from bench.sums.model import Calculation
    from bench.sums.table import CALCULATIONS

    async def one(bench: Paintbench, calculation: Calculation) -> None:
        await solve(bench, calculation, bench.chosen_part)

    for each in CALCULATIONS:
        yield Action(f"sum: {each.title}", partial(one, calculation=each))


def score(typed: str, words: str) -> float:
    """How well what was typed fits, 0 where it does not. Each word must, in whatever order.

    Better where they stand as they were typed; of two such, the shorter.
    """
    search, typed_words = FuzzySearch(), typed.lower().split()
    scores = [search.match(word, words)[0] for word in typed_words]
    if not scores or not all(scores):
        return 0.0
    as_typed = " ".join(typed_words) in words.lower()
    return sum(scores) / len(scores) + as_typed + 1 / len(words)


class PaletteActions(Provider):
    """Finds them by their words, and begins the same flow as the menus and the letters."""

    @property
    def _bench(self) -> Paintbench:
        return cast("Paintbench", self.app)

    async def discover(self) -> Hits:
        """All of them, while nothing was typed."""
        for action in places(self._bench):
            words, go = self._shown(action)
            yield DiscoveryHit(words, go, text=action.words(self._bench))

    async def search(self, query: str) -> Hits:
        """List the actions that fit what is typed."""
        for action in places(self._bench):
            words, go = self._shown(action)
            if fits := score(query, action.words(self._bench)):
                yield Hit(fits, words, go, text=action.words(self._bench))

    def _shown(self, action: Action) -> tuple[Text, partial[None]]:
        """As text, for a painter's name may look like markup."""
        words = self._bench.look.shown(shown(action, self._bench))
        return Text(words, overflow="fold"), partial(_go, self._bench, action)


def _go(bench: Paintbench, action: Action) -> None:
    if bench.at_home:
        cast(WholeBench, bench.screen).ask(action.flow(bench))


class Palette(CommandPalette):
    """Textual's, in the two colours of plain text and with signs that every terminal has."""

    CSS: ClassVar[str] = """
    Palette { background: $background; }
    Palette #--container {
        visibility: visible; margin: 0; background: $background; border: ascii $foreground;
        border-title-color: $foreground; border-title-background: $background;
        border-title-style: none; border-subtitle-color: $foreground;
        border-subtitle-background: $background; border-subtitle-style: none;
    }
    Palette #--input { border: none; padding: 0 2; }
    Palette SearchIcon, Palette LoadingIndicator { display: none; }
    Palette CommandInput, Palette CommandInput:focus { border: none; height: 1; padding: 0; }
    Palette CommandInput > .input--placeholder { color: $foreground; }
    Palette #--results { margin-top: 1; overlay: none; height: 1fr; }
    Palette CommandList, Palette CommandList:focus {
        border: none; background: $background; max-height: 100%; scrollbar-size: 0 0;
    }
    Palette CommandList > .option-list--option,
    Palette CommandList > .option-list--option-disabled {
        color: $foreground; background: $background; text-style: none;
    }
    Palette CommandList > .option-list--option-highlighted {
        color: $background; background: $foreground; text-style: none;
    }
    Palette.plain CommandList > .option-list--option-highlighted { text-style: bold underline; }
    """

    def __init__(self) -> None:
        super().__init__([PaletteActions], placeholder="type a word of it")

    @property
    def _bench(self) -> Paintbench:
        return cast("Paintbench", self.app)

    def on_mount(self) -> None:
        """What it is, and its keys; nothing blinks."""
        self.set_class(not self._bench.profile.colours, "plain")
        # A screen that is ended as it opens has neither of them.
        for field in self.query(CommandInput):
            field.cursor_blink = False
        for box in self.query("#--container"):
            box.border_title = "Where to?"
            box.border_subtitle = "up, down: choose   Enter: open   Esc: back"

    @on(OptionList.OptionSelected)
    def only_once(self, event: OptionList.OptionSelected) -> None:
        """A second Enter that comes while the first one still closes it chooses nothing more."""
        if not self.is_current:
            event.prevent_default()

    def redraw(self) -> None:
        """At every tick: it gives way to what a painter has to see at once."""
        if not self._bench.quiet and self._bench.screen is self:
            self.dismiss(None)
