"""One line of the journal, as screens, commands and sheets read it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class LogEntry:
    """One line of the journal, as it is read. undoes: the line that it undid."""

    number: int
    at: datetime
    action: str
    painter: str
    terminal: str
    tag: str
    text: str
    undone: bool
    doubtful: bool
    undoes: int | None = None
