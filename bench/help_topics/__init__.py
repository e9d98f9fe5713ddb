"""The texts of ``paintbench help``: one Markdown file a topic, in ASCII, part of the program.

A file's name is the topic's; its first line is ``# `` and what the topic is about.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).parent

WIDTH = 78
"""Columns of the longest line: it fits on paper and beside the edge of a screen."""


@dataclass(frozen=True)
class Topic:
    """Holds one text: its name as it is typed, what it is about, and its lines below that."""

    name: str
    title: str
    lines: tuple[str, ...]


def topic_names() -> tuple[str, ...]:
    """Return the names of all topics, by the alphabet."""
    return tuple(sorted(file.stem for file in FOLDER.glob("*.md")))


def read_topic(name: str) -> Topic:
    """Return a topic. name: one of ``topic_names``; raises OSError where there is no such file."""
    title, *lines = (FOLDER / f"{name}.md").read_text(encoding="utf-8").splitlines()
    return Topic(name, title.removeprefix("# "), tuple(lines))
