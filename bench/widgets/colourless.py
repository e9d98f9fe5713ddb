"""A terminal without colours gets none, from no widget."""

from __future__ import annotations

from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter


@lru_cache(1024)
def _without(style: Style) -> Style:
    return style.without_color


class Colourless(LineFilter):
    """Takes every colour away and leaves bold and turned over.

    Textual's own filters for NO_COLOR make colours grey, or name the terminal's default ones.
    """

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same line without colours."""
        return [
            Segment(text, _without(style) if style else style, control)
            for text, style, control in segments
        ]
