"""Named styles. Colour only repeats what word and shape say already."""

from __future__ import annotations

from rich.style import Style

BLACK, WHITE = "#000000", "#ffffff"

STYLES: dict[str, Style] = {
    "": Style(color="#d0d0d0", bgcolor=BLACK),
    "dim": Style(color="#a8a8a8", bgcolor=BLACK),
    "bold": Style(color=WHITE, bgcolor=BLACK, bold=True),
    "head": Style(color=BLACK, bgcolor="#c0c0c0"),
    "keys": Style(color=WHITE, bgcolor="#000080"),
    "said": Style(color=WHITE, bgcolor="#005f00", bold=True),
    "refused": Style(color=WHITE, bgcolor="#b00000", bold=True),
    "chosen": Style(color=BLACK, bgcolor=WHITE, bold=True),
    "alarm": Style(color=BLACK, bgcolor=WHITE, bold=True),
    "ruined": Style(color=WHITE, bgcolor="#b00000", bold=True),
    "urgent": Style(color=BLACK, bgcolor="#ffd700", bold=True),
    "try": Style(color=BLACK, bgcolor="#00d7d7", bold=True),
    "open": Style(color=BLACK, bgcolor="#00d700", bold=True),
    "shut": Style(color=WHITE, bgcolor="#870087", bold=True),
    "hold": Style(color=WHITE, bgcolor="#585858", bold=True),
    "counts": Style(color=WHITE, bgcolor="#000080", bold=True),
    "cured": Style(color=BLACK, bgcolor="#c0c0c0", bold=True),
    "empty": Style(color="#a8a8a8", bgcolor=BLACK),
}
"""Pairs that stay apart when a terminal has only 16 colours."""

WORD_STYLES: dict[str, str] = {
    "LATE": "ruined",
    "BIN": "ruined",
    "RINSE": "urgent",
    "SHUTS": "urgent",
    "BIN BY": "urgent",
    "GUN": "urgent",
    "KEY IT": "shut",
    "SHUT": "shut",
    "TRY IT": "try",
    "OPEN": "open",
    "USE": "open",
    "HOLD": "hold",
    "IN HAND": "hold",
    "CURED": "cured",
    "EMPTY": "empty",
}


def word_style(word: str) -> str:
    """The style of a stand's or a pot's word; whatever counts down has one of its own."""
    return WORD_STYLES.get(word, "counts")
