"""How it looks: a dark and a light theme, in many colours and in sixteen, and none at all.

Colour only repeats what word and shape say. Every pair below reaches a contrast of 4.5 to 1 at
least (WCAG 2.2, level AA), and those of the far view 7 to 1 (AAA); the tests work it out, for the
sixteen with the values of the VGA.

The Linux console has eight colours to draw on, and draws bold letters in the bright colour of the
same number: bold black ones would be grey.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter
from textual.theme import Theme

from bench.settings import FULL, Glyphs, Profile

BLACK, WHITE = "#000000", "#ffffff"
SILVER, RED, GREEN, BROWN = "#aaaaaa", "#aa0000", "#00aa00", "#aa5500"
BLUE, MAGENTA, CYAN = "#0000aa", "#aa00aa", "#00aaaa"
"""Of the console's eight, as the VGA has them."""

Pair = tuple[str, str, bool]
"""Letters, what they are on, and whether they are bold."""

DARK: dict[str, Pair] = {
    "": ("#d0d0d0", BLACK, False),
    "dim": ("#a8a8a8", BLACK, False),
    "bold": (WHITE, BLACK, True),
    "head": (BLACK, "#c6c6c6", False),
    "keys": (WHITE, "#000087", False),
    "said": (WHITE, "#005f00", True),
    "refused": (WHITE, "#af0000", True),
    "chosen": (BLACK, WHITE, True),
    "alarm": (BLACK, WHITE, True),
    "ruined": (WHITE, "#af0000", True),
    "urgent": (BLACK, "#ffd700", True),
    "test": (BLACK, "#00d7d7", True),
    "open": (BLACK, "#00d700", True),
    "closed": (WHITE, "#870087", True),
    "hold": (WHITE, "#585858", True),
    "counts": (WHITE, "#000087", True),
    "cured": (BLACK, "#c6c6c6", True),
    "empty": ("#a8a8a8", BLACK, False),
    "far": (WHITE, BLACK, True),
    "far ruined": (BLACK, WHITE, True),
}

LIGHT: dict[str, Pair] = DARK | {
    "": (BLACK, WHITE, False),
    "dim": ("#4e4e4e", WHITE, False),
    "bold": (BLACK, WHITE, True),
    "head": (WHITE, "#444444", False),
    "chosen": (WHITE, BLACK, True),
    "alarm": (WHITE, BLACK, True),
    "empty": ("#4e4e4e", WHITE, False),
    "far": (BLACK, WHITE, True),
    "far ruined": (WHITE, BLACK, True),
}

DARK_16: dict[str, Pair] = {
    "": (SILVER, BLACK, False),
    "dim": (SILVER, BLACK, False),
    "bold": (WHITE, BLACK, True),
    "head": (BLACK, SILVER, False),
    "keys": (WHITE, BLUE, False),
    "said": ("#55ff55", BLACK, True),
    "refused": (WHITE, RED, True),
    "chosen": (BLACK, SILVER, False),
    "alarm": (BLACK, SILVER, False),
    "ruined": (WHITE, RED, True),
    "urgent": (WHITE, BROWN, True),
    "test": (BLACK, CYAN, False),
    "open": (BLACK, GREEN, False),
    "closed": (WHITE, MAGENTA, True),
    "hold": (WHITE, BLACK, True),
    "counts": (WHITE, BLUE, True),
    "cured": (BLACK, SILVER, False),
    "empty": (SILVER, BLACK, False),
    "far": (WHITE, BLACK, True),
    "far ruined": (BLACK, SILVER, False),
}

LIGHT_16: dict[str, Pair] = DARK_16 | {
    "": (BLACK, SILVER, False),
    "dim": (BLACK, SILVER, False),
    "bold": (BLACK, SILVER, False),
    "head": (WHITE, BLACK, False),
    "said": (BLACK, GREEN, False),
    "chosen": (WHITE, BLACK, True),
    "alarm": (WHITE, BLACK, True),
    "hold": (BLUE, SILVER, False),
    "empty": (BLACK, SILVER, False),
    "far": (BLACK, SILVER, False),
    "far ruined": (WHITE, BLACK, True),
}

PAIRS = {
    ("dark", False): DARK,
    ("light", False): LIGHT,
    ("dark", True): DARK_16,
    ("light", True): LIGHT_16,
}
"""Each theme, in many colours and in sixteen."""

TURNED_OVER = ("head", "keys", "refused", "chosen", "alarm", "ruined", "urgent", "far ruined")
PLAIN = ("", "dim", "empty")

FIELDS = """
Screen { background: $background; }
Input, Input:focus {
    border: ascii $foreground; background: $background; background-tint: 0%; color: $foreground;
}
Input > .input--cursor, Input > .input--selection {
    color: $foreground; background: $background; text-style: reverse;
}
"""
"""What a person types into: in the two colours of plain text, with signs every terminal has."""

WITHOUT_COLOUR: dict[str, Style] = {
    name: Style(bold=name not in PLAIN or None, reverse=name in TURNED_OVER or None)
    for name in DARK
}
"""The terminal's own two colours, turned over where it matters."""

CONSOLE_SIGNS = str.maketrans("▀▄", "■■")
"""Half blocks, which the kernel's own font has but none of Debian's Lat15 fonts (read from their
tables, console-setup 1.221), as the square in the middle of a cell, which all of them have."""

_ROUND = re.compile("▄(▀▀+)▄|▀(▄▄+)▀")
"""Corners that are round by half blocks; of squares, wide figures would have no sides."""


@dataclass(frozen=True)
class Look:
    """A terminal's styles by their names, its signs, and what typed fields are drawn with."""

    styles: Mapping[str, Style]
    glyphs: Glyphs
    theme: Theme

    def shown(self, text: str) -> str:
        """The text with signs that the terminal has, as wide as it was."""
        if self.glyphs == "ascii" and not text.isascii():
            return "".join(c if c.isascii() else "?" * cell_len(c) for c in text)
        if self.glyphs != "console":
            return text
        return _ROUND.sub(r"█\1\2█", text).translate(CONSOLE_SIGNS)


def look_of(profile: Profile, theme: str) -> Look:
    """What a terminal with this profile shows in the dark or the light theme."""
    few = 0 < profile.colours <= 16
    pairs = PAIRS[theme, few]
    styles = {
        name: Style(color=ink, bgcolor=paper, bold=bold)
        for name, (ink, paper, bold) in pairs.items()
    }
    ink, paper, _ = pairs[""]
    plain = Theme(
        name=f"bench-{theme}{'-16' * few}",
        primary=ink,
        foreground=ink,
        background=paper,
        surface=paper,
        panel=paper,
        dark=theme == "dark",
    )
    return Look(styles if profile.colours else WITHOUT_COLOUR, profile.glyphs, plain)


USUAL = look_of(FULL, "dark")

WORD_STYLES: dict[str, str] = {
    "RINSE NOW": "ruined",
    "BIN": "ruined",
    "RINSE": "urgent",
    "CLOSING": "urgent",
    "BIN BY": "urgent",
    "AIR": "urgent",
    "FREE": "open",
    "HELD": "hold",
    "GUN": "urgent",
    "ABRADE": "closed",
    "KEEP OFF": "closed",
    "TEST": "test",
    "OPEN": "open",
    "USE": "open",
    "COLD": "urgent",
    "PLAN": "urgent",
    "PROBE": "urgent",
    "HOLD": "hold",
    "WORKING": "hold",
    "CURED": "cured",
    "EMPTY": "empty",
}


def word_style(word: str) -> str:
    """The style of a stand's or a pot's word; whatever counts down has one of its own."""
    return WORD_STYLES.get(word, "counts")


@lru_cache(1024)
def _without(style: Style) -> Style:
    return style.without_color


class Colourless(LineFilter):
    """Takes every colour away and leaves bold and turned over.

    Textual's own filters for NO_COLOR make colours grey, or name the terminal's default ones.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the same line without colours."""
        return [
            Segment(text, _without(style) if style else style, control)
            for text, style, control in segments
        ]
