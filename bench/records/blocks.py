"""What a page for people is made of, before it becomes text, Markdown or HTML.

Every string here is plain: the writers make whatever is in it harmless in their own form.
"""

from __future__ import annotations

from dataclasses import dataclass

from bench.records.air_picture import AirPicture
from bench.records.lanes_picture import LanesPicture


@dataclass(frozen=True)
class Title:
    """Head the page. beside: what stands at its right edge."""

    text: str
    beside: str = ""


@dataclass(frozen=True)
class Heading:
    """Head a section."""

    text: str


@dataclass(frozen=True)
class Facts:
    """List labels, each with its text."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Table:
    """Hold columns with their widths in text, and rows of as many cells."""

    heads: tuple[str, ...]
    widths: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Entry:
    """Group labelled lines under a small head of their own."""

    head: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Say:
    """Say something in a paragraph. weighty: it must not be overlooked."""

    text: str
    weighty: bool = False


@dataclass(frozen=True)
class SignatureLine:
    """Leave lines to sign on."""

    labels: tuple[str, ...]


Block = Title | Heading | Facts | Table | Entry | Say | SignatureLine | AirPicture | LanesPicture
Page = tuple[Block, ...]


def headed(page: Page, letterhead: tuple[str, ...]) -> Page:
    """Put a letterhead below the title of a page, for forms that have no other place for it."""
    title, *rest = page
    return (title, *(Say(line) for line in letterhead), *rest) if letterhead else page
