"""Everything the list of the whole bench leads to, by its words: Textual's palette, on ctrl+p."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, ClassVar, cast

from rich.text import Text
from textual.command import CommandInput, CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.fuzzy import FuzzySearch

from bench.screens.bench import WholeBench
from bench.screens.keys import BY_LETTER
from bench.screens.shopmatters import ROADS, Road, itself, matters

if TYPE_CHECKING:
    from bench.app import Paintbench


@dataclass(frozen=True)
class Place:
    """Where a painter may go. letter: the key beside the keypad that leads there too, if any."""

    words: str
    road: Road
    letter: str = ""

    def shown(self) -> str:
        """The words, and the letter to learn for the next time."""
        return f"{self.words}  ({self.letter})" if self.letter else self.words


def places(bench: Paintbench) -> list[Place]:
    """Every road once: the lists, what only a letter leads to, and each of the sums."""
    letters = {road: letter for letter, road in ROADS.items()}
    listed = [Place(words, road, letters.get(road, "")) for words, road in _listed(bench)]
    there = {place.road for place in listed}
    only_letters = [
        Place(BY_LETTER[letter], road, letter)
        for letter, road in ROADS.items()
        if road not in there
    ]
    return [*listed, *only_letters, *_sums()]


def _listed(bench: Paintbench) -> Iterator[tuple[str, Road]]:
    yield from matters(bench)
    yield from itself(bench)


def _sums() -> Iterator[Place]:
    from bench.screens.sums.walk import solve  # not before somebody looks for something
    from bench.sums.model import Calculation
    from bench.sums.table import CALCULATIONS

    async def one(bench: Paintbench, calculation: Calculation) -> None:
        await solve(bench, calculation, bench.chosen_part)

    for each in CALCULATIONS:
        yield Place(f"sum: {each.title}", partial(one, calculation=each))


def score(typed: str, words: str) -> float:
    """How well what was typed fits, 0 where it does not. Each word must, in whatever order.

    Better where they stand as they were typed; of two such, the shorter.
    """
    search, typed_words = FuzzySearch(), typed.lower().split()
    found = [search.match(word, words)[0] for word in typed_words]
    if not found or not all(found):
        return 0.0
    as_typed = " ".join(typed_words) in words.lower()
    return sum(found) / len(found) + as_typed + 1 / len(words)


class Places(Provider):
    """Finds them by their words, and takes the same road as the list and the letters."""

    @property
    def _bench(self) -> Paintbench:
        return cast("Paintbench", self.app)

    async def discover(self) -> Hits:
        """All of them, while nothing was typed."""
        for place in places(self._bench):
            shown, go = self._shown(place)
            yield DiscoveryHit(shown, go, text=place.words)

    async def search(self, query: str) -> Hits:
        """Those that fit."""
        for place in places(self._bench):
            shown, go = self._shown(place)
            if fits := score(query, place.words):
                yield Hit(fits, shown, go, text=place.words)

    def _shown(self, place: Place) -> tuple[Text, partial[None]]:
        """As text, for a painter's name may look like markup."""
        shown = self._bench.look.shown(place.shown())
        return Text(shown, overflow="fold"), partial(_go, self._bench, place.road)


def _go(bench: Paintbench, road: Road) -> None:
    if bench.at_home:
        cast(WholeBench, bench.screen).ask(road(bench))


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
        super().__init__(placeholder="type a word of it")

    @property
    def _bench(self) -> Paintbench:
        return cast("Paintbench", self.app)

    def on_mount(self) -> None:
        """What it is, and its keys; nothing blinks."""
        self.set_class(not self._bench.profile.colours, "plain")
        self.query_one(CommandInput).cursor_blink = False
        box = self.query_one("#--container")
        box.border_title = "Where to?"
        box.border_subtitle = "up, down: choose   Enter: open   Esc: back"

    def on_input_changed(self) -> None:
        """Somebody is here."""
        self._bench.alarms.key_pressed()

    def redraw(self) -> None:
        """At every tick: it gives way to what a painter has to see at once."""
        if not self._bench.quiet and self._bench.screen is self:
            self.dismiss(None)
