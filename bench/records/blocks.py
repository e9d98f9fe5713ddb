"""What a page for people is made of, before it becomes text, Markdown or HTML.

Every string here is plain: the writers make whatever is in it harmless in their own form.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Title:
    """The head of the page. beside: what stands at its right edge."""

    text: str
    beside: str = ""


@dataclass(frozen=True)
class Heading:
    """The head of a section."""

    text: str


@dataclass(frozen=True)
class Facts:
    """Labels, each with what is so."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Table:
    """Columns with their widths in text, and rows of as many cells."""

    heads: tuple[str, ...]
    widths: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Entry:
    """One thing under its own small head, with labelled lines."""

    head: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Say:
    """A paragraph. weighty: it must not be passed over."""

    text: str
    weighty: bool = False


@dataclass(frozen=True)
class SignatureLine:
    """A line to write on."""

    labels: tuple[str, ...]


Block = Title | Heading | Facts | Table | Entry | Say | SignatureLine
Page = tuple[Block, ...]
