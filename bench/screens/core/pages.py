"""Screens of more than one page: which is shown, its number, the keys that turn it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar, TypeVar

from rich.cells import cell_len

from bench.screens.core.base import BenchScreen, ScreenResult
from bench.screens.core.keys import Flow, KeyWord, Method, active_keys
from bench.widgets.lines import Line, line, title_lines, wrapped

PageItem = TypeVar("PageItem")
Item = TypeVar("Item")

PageRow = tuple[str, str]
"""A line of text and its style."""

ON_A_PAGE = 8
"""As many items as there are digits to pick one by; 9 turns the page."""


def chunks(items: Sequence[Item], each: int) -> list[Sequence[Item]]:
    """Return the items by pages of ``each``; without any, one empty page."""
    return [items[first : first + each] for first in range(0, len(items), each)] or [items]


class PagedScreen(BenchScreen[ScreenResult]):
    """Shows one page of what one picture does not hold.

    The body of a subclass draws what ``page_of`` or ``part_of`` gives it. A key that would turn
    to no page, or pick nothing, is not named.
    """

    ROUND: ClassVar[bool] = True
    """After the last page comes the first; else minus turns back."""

    def __init__(self, page: int = 0) -> None:
        super().__init__()
        self.page, self.pages = page, 1
        self.count = 0
        """Items on this page that a digit picks from."""

    def page_of(self, pages: Sequence[PageItem]) -> PageItem:
        """Return the page that is shown; there is one at least."""
        self.pages = len(pages)
        self.page = self.page % self.pages if self.ROUND else min(self.page, self.pages - 1)
        return pages[self.page]

    def part_of(self, items: Sequence[Item], each: int = ON_A_PAGE) -> Sequence[Item]:
        """Return the items on this page, ``each`` to a page, for digits to pick from."""
        shown = self.page_of(chunks(items, each))
        self.count = len(shown)
        return shown

    def page_words(self) -> str:
        """Return which page it is of how many."""
        return f"page {self.page + 1} of {self.pages}"

    def numbered(self, title: str) -> str:
        """Return a title with the number of the page where there are more."""
        return f"{title}, {self.page_words()}" if self.pages > 1 else title

    @property
    def on_the_last(self) -> bool:
        """Whether no page comes after this one."""
        return self.page == self.pages - 1

    def idle(self) -> set[Method]:
        """Return the methods whose keys have nothing to do just now."""
        idle: set[Method] = set()
        if self.page == 0:
            idle.add(PagedScreen.turn_back)
        if self.on_the_last and (self.page == 0 or not self.ROUND):
            idle.add(PagedScreen.turn)
        return idle

    def keys_now(self) -> Sequence[KeyWord]:
        """The digits of this page; turning only where there is a page."""
        return active_keys(self.KEYS, self.idle(), {PagedScreen.pick: self.count})

    def turn(self) -> None:
        """Show the next page."""
        if self.ROUND or not self.on_the_last:
            self.turn_to((self.page + 1) % self.pages)

    def turn_back(self) -> None:
        """Show the page before."""
        if self.page:
            self.turn_to(self.page - 1)

    def turn_to(self, page: int) -> None:
        """Show that page."""
        self.page = page

    def pick(self, digit: str) -> Flow | None:
        """The item beside a digit, if there is one."""
        return self.picked(int(digit) - 1) if int(digit) <= self.count else None

    def picked(self, place: int) -> Flow | None:
        """Do what picking an item does. place: on this page, from 0."""
        raise NotImplementedError


class LongList(PagedScreen[None]):
    """A list that is read page by page: where the next begins is known once one is drawn."""

    ROUND = False

    def __init__(self) -> None:
        super().__init__()
        self.starts: list[int | None] = [None]
        """Where each page so far begins, and the next one; None for the top of the list."""

    def goes_on(self, start: int | None, *, after: int) -> None:
        """Note where the next page begins, None for nowhere, after so many on this one."""
        self.count = after
        self.starts[self.page + 1 :] = [] if start is None else [start]
        self.pages = len(self.starts)


class Pages(PagedScreen[None]):
    """Lines worked out once by ``find``: a title, and rows that are broken where they are long."""

    def __init__(self, find: Callable[[], tuple[str, Sequence[PageRow]]]) -> None:
        super().__init__()
        self.find = find
        self.heading, self.rows = find()

    def body(self, width: int, height: int) -> list[Line]:
        """One page; nothing is cut without a word."""
        rows = self.page_of(chunks(self._broken(width), max(height - 2, 1)))
        lines = title_lines(self.numbered(self.heading), width)
        return lines + [line(f" {text}", width, style) for text, style in rows]

    def _broken(self, width: int) -> list[PageRow]:
        broken: list[PageRow] = []
        for text, style in self.rows:
            inner = text.lstrip()
            indent = " " * (len(text) - len(inner))
            fits = cell_len(text) <= width - 2
            parts = [text] if fits else wrapped([inner], width - 2, indent)
            broken += [(part, style) for part in parts]
        return broken

    def again(self) -> None:
        """Work the lines out again."""
        self.heading, self.rows = self.find()
        self.page = 0

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("9", "enter"), "9", "more", PagedScreen.turn),
        KeyWord(("0", "/"), "0", "back", PagedScreen.back),
    )
