"""Notes: what one painter wants the others to know, in a few trade words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bench.process.wording.time_text import format_clock

MOST_ON_BENCH = MOST_ON_PART = 3
"""More than three nobody reads."""

PART_PHRASES = (
    "do not turn it yet",
    "a face is still wet: mind it",
    "contact points to touch up",
    "a bung is missing: look for it",
    "threads to be cleared",
    "its coupon hangs beside it",
    "the owner comes to look at it",
)
BENCH_PHRASES = (
    "receiver is not drained",
    "mask filters to be changed",
    "hardener runs short",
    "thinner runs short",
    "heater stays on tonight",
    "keep the door closed: dust",
    "wipe the floor before spraying",
)
"""Usual sentences, one key each; anything else is typed on a keyboard."""


@dataclass(frozen=True)
class Note:
    """A note. tag: of the part it is about, empty for the bench; struck: no longer so."""

    number: int
    at: datetime
    painter: str
    text: str
    tag: str = ""
    struck: bool = False


def note_words(note: Note, now: datetime) -> str:
    """Return the note, who wrote it and when. now: in the shop's zone."""
    return f"{note.text} ({note.painter} {format_clock(note.at, now)})"
