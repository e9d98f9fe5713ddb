"""What the keys do on the screen below, and how to read the bench."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from bench.help_topics import read_topic, topic_names
from bench.process.clocks.stand_state import HARM, SHAPES
from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import PagedScreen, PageRow, Pages, chunks
from bench.screens.dialogs.questions import choose, show
from bench.widgets.lines import Line, fit, line, wrapped

MEANS = {
    "RINSE NOW": "the wash is past its maximum",
    "BIN": "this pot is past its life",
    "RINSE": "rinse before this time is over",
    "CLOSING": "the window ends soon",
    "ABRADE": "window missed: abrade first",
    "KEEP OFF": "no coat now: see when it opens",
    "TEST": "time is up: test it, say who",
    "OPEN": "the next step can start",
    "HOLD": "put aside; its clocks run on",
    "WORKING": "somebody is on it",
    "SOAK": "under a wash, not long enough yet",
    "WET": "wet paint",
    "FLASH": "solvent leaving",
    "DRYING": "water leaving",
    "WAIT": "too soon for the next coat",
    "CURE": "curing; more days, no more coats",
    "CURED": "take it off the stand",
    "GUN": "paint goes hard in it: flush it",
    "COLD": "the coat is or will be too cold",
    "PLAN": "late by the agreed plan",
    "PROBE": "it jumped: say if it is right",
}


SIGNS = (
    "~ an estimate from temperatures;  ~old: the last of them over 4 h old",
    "? no figure of a data sheet, or clock wrong;  ! an alarm nobody answered",
    "Una is on it; (Una) was on it last",
    "strip:  = shop open,  - closed,  : night,  [ opens,  ] closes,  ? test,  x bin",
)
CARE = "It cannot see or smell: sheet, local rules and a qualified person decide."

KEYS_WIDE = 29
"""The column of keys; what is left holds every word with its meaning on 80 cells."""


def topic_page(name: str) -> tuple[str, list[PageRow]]:
    """Return a topic of ``paintbench help`` as the title and the rows of a page."""
    topic = read_topic(name)
    rows = [(text.removeprefix("## "), "head" * text.startswith("## ")) for text in topic.lines]
    return topic.title, rows[1:] if topic.lines[0] == "" else rows


class Help(PagedScreen[None]):
    """Two columns, keys and words with their shapes; what does not fit goes on a page more."""

    ANSWER_LINES = 0

    def __init__(self, table: Sequence[KeyWord]) -> None:
        super().__init__()
        self.table = [key for key in table if key.word]

    def body(self, width: int, height: int) -> list[Line]:
        """Keys on the left, words on the right, signs below."""
        rows = self._columns(width) + wrapped([*SIGNS, CARE], width - 2)
        shown = self.page_of(chunks(rows, max(height - 1, 1)))
        title = self.numbered("What the keys do here, and what the words mean")
        lines = [line(f" {title}", width, "head")]
        return lines + [line(f" {row}", width) for row in shown]

    def _columns(self, width: int) -> list[str]:
        home = KeyWord(("escape",), "Esc", "home, from anywhere")
        ordered = sorted((*self.table, home), key=lambda key: key.beside)
        keys = [f"{key.shown:>6}  {key.word}" for key in ordered]
        shown = [word for word in (*HARM, "GUN", "COLD", "PLAN", "PROBE") if word in MEANS]
        words = [f"{word:<9} {SHAPES[word]} {MEANS[word]}" for word in shown]
        if width < KEYS_WIDE + max(map(len, words)) + 1:
            return [*keys, "", *words]
        pairs = zip_longest(keys, words, fillvalue="")
        return [f"{fit(left, KEYS_WIDE)}{right}" for left, right in pairs]

    def keys_line(self, width: int) -> Line:
        """Help on help would show nothing else."""
        text = "  ".join(f"{key.shown} {key.word}" for key in self.legend_keys())
        return line(f" {text}", width, "keys")

    def open_help(self) -> None:
        """Show nothing: help has no help."""

    async def topics(self) -> None:
        """Show a text of its own: tins, the kiosk, troubles and so on."""
        titles = {read_topic(name).title: name for name in topic_names()}
        name = await choose(self.bench, "Topics to read", titles)
        if name is not None:
            await show(self.bench, Pages(lambda: topic_page(name)))

    KEYS = (
        KeyWord(("+",), "+", "topics to read", topics),
        KeyWord(("9",), "9", "more", PagedScreen.turn),
        KeyWord(("0", "enter", "/"), "0", "back", PagedScreen.back),
    )
