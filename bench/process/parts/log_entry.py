"""An entry of the log, as screens, commands and sheets read it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class LogEntry:
    """Holds an entry of the log. undoes: the entry that it undid."""

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
