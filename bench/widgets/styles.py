"""Which of the named styles a word bears. The styles themselves are in ``looks.py``."""

from __future__ import annotations

WORD_STYLES: dict[str, str] = {
    "LATE": "ruined",
    "BIN": "ruined",
    "RINSE": "urgent",
    "SHUTS": "urgent",
    "BIN BY": "urgent",
    "AIR": "urgent",
    "FREE": "open",
    "HELD": "hold",
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
