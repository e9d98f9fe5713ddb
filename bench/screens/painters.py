"""Who is at the keys, the end of a shift, and what was done since somebody left."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from bench.process.handover import pages
from bench.process.spoken import clock_words
from bench.screens.actions import Action, menu
from bench.screens.base import BenchScreen
from bench.screens.keys import KeyWord
from bench.screens.pin import do_signed
from bench.screens.questions import choose, choose_text
from bench.shop import handover as handing
from bench.shop.acting import Done
from bench.shop.handover import Since, handover_of
from bench.shop.training import set_trained, training_words
from bench.widgets.lines import Line, ends, line, wrapped

if TYPE_CHECKING:
    from bench.app import Paintbench

TRAINED = {"yes": True, "no": False, "nobody knows": None}


async def painters(bench: Paintbench) -> None:
    """Everybody by name, the hand-over page, and what was done since."""
    actions = [
        Action(_named(bench, name), partial(comes, name=name)) for name in bench.view.painters
    ]
    actions += [
        Action("the hand-over page; leaving", hand_over),
        Action(f"what others did since {bench.painter} left", since_left),
        Action("who is trained for isocyanate", training),
    ]
    await menu(bench, "Who is at the keys?", actions)


async def training(bench: Paintbench) -> None:
    """Record who is trained for isocyanate."""
    trained = bench.view.trained
    names = [(training_words(name, trained[name]), name) for name in bench.view.painters]
    name = await choose(bench, "Trained for isocyanate: who?", names)
    if name is None:
        return
    title = f"Is {name} trained for isocyanate?"
    answer = await choose_text(bench, title, TRAINED)
    if answer is not None:
        await do_signed(bench, set_trained, bench.painter, name, TRAINED[answer])


def _named(bench: Paintbench, name: str) -> str:
    left = bench.view.left.get(name)
    if left is not None:
        return f"{name} (left {clock_words(left, bench.now())})"
    return f"{name} (now)" if name == bench.painter else name


async def comes(bench: Paintbench, name: str) -> None:
    """A painter comes to the keys; who had left is shown first what was done since."""
    bench.painter = name
    if name in bench.view.left:
        await since_left(bench)
    else:
        bench.tell(Done(f"{name} is at the keys"))


async def next_painter(bench: Paintbench) -> None:
    """The next of the painters is at the keys."""
    names = bench.view.painters
    await comes(bench, names[(names.index(bench.painter) + 1) % len(names)])


async def who_is_in(bench: Paintbench) -> None:
    """Whoever was at the keys has left: nothing is done in the name of somebody at home."""
    names = [(_named(bench, name), name) for name in bench.view.painters]
    told = [f"{bench.painter} left. Who is at the keys now?"]
    name = await choose(bench, "Who is in?", names, told)
    if name is not None:
        await comes(bench, name)


async def since_left(bench: Paintbench) -> None:
    """What others did since; who had left is in by Enter."""
    found = handing.since(bench.shop, bench.painter)
    if not isinstance(found, Since):
        bench.tell(found)
    elif await bench.push_screen_wait(SinceYouLeft(found)) and found.left_at is not None:
        bench.do(handing.come_in, bench.painter)


async def hand_over(bench: Paintbench) -> None:
    """The page; leaving it by + goes home, and whoever is still in is at the keys."""
    if not await bench.push_screen_wait(HandOverPage()):
        return
    bench.do(handing.leave, bench.painter)
    left = bench.view.left
    there = [name for name in bench.view.painters if name not in left]
    if there and bench.painter in left:
        bench.painter = there[0]


class Paged(BenchScreen[bool]):
    """Lines by pages, none of them cut away. Answers True for what Enter or + says."""

    def __init__(self) -> None:
        super().__init__()
        self.page, self.pages = 0, 1

    def heading(self) -> tuple[str, list[str]]:
        """The title, and what stands under it on every page."""
        raise NotImplementedError

    def paged(self, width: int, room: int) -> list[list[str]]:
        """The lines by pages of ``room`` lines."""
        raise NotImplementedError

    def draw(self, width: int, height: int) -> list[Line]:
        """Title with the page's number, the lines, keys."""
        title, told = self.heading()
        under = wrapped(told, width - 2)
        found = self.paged(width, max(height - len(under) - 2, 3))
        self.pages = len(found)
        self.page %= self.pages
        number = f"page {self.page + 1} of {len(found)} "
        lines = [line(ends(f" {title}", number, width), width, "head")]
        lines += [line(f" {text}", width, "bold") for text in under]
        for text in found[self.page]:
            lines.append(line(f" {text}", width, "" if text.startswith(" ") else "bold"))
        lines += [line("", width)] * (height - 1 - len(lines))
        return [*lines[: height - 1], self.keys_line(width)]

    def keys_now(self) -> Sequence[KeyWord]:
        """There is a next page only where one does not hold it all."""
        return [key for key in self.KEYS if key.does != "turn" or self.pages > 1]

    def turn(self) -> None:
        """The next page."""
        self.page += 1

    def say(self) -> None:
        """What the screen asks for."""
        self.dismiss(True)

    def leave(self, _: str) -> None:
        """Back."""
        self.dismiss(False)


class HandOverPage(Paged):
    """What the night and the next shift have to know."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("9",), "9", "next page", "turn"),
        KeyWord(("+",), "+", "hand over and leave", "say"),
        KeyWord(("0", "/", "enter"), "0", "back", "leave"),
    )

    def heading(self) -> tuple[str, list[str]]:
        """From now to when somebody is in again, and who is in now."""
        found = handover_of(self.bench.view, self.bench.now())
        until = clock_words(found.until, found.now)
        who = f"{found.who}; at the keys: {self.bench.painter}; room: {found.room}"
        return f"Hand-over, {found.now:%a %H:%M} until {until}", [who]

    def paged(self, width: int, room: int) -> list[list[str]]:
        """Every heading, with "nothing" where there is nothing."""
        found = handover_of(self.bench.view, self.bench.now())
        blocks = [
            (section.title, [wrapped([text], width - 4, "- ") for text in section.lines])
            for section in found.sections
        ]
        return pages(blocks, room)


class SinceYouLeft(Paged):
    """The journal since somebody handed over, without what was their own."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("9",), "9", "next page", "turn"),
        KeyWord(("enter",), "Enter", "seen: I am in", "say"),
        KeyWord(("0", "/"), "0", "back", "leave"),
    )

    def __init__(self, found: Since) -> None:
        super().__init__()
        self.found = found

    def heading(self) -> tuple[str, list[str]]:
        """Whose page it is, and since when."""
        found = self.found
        left = f" {clock_words(found.left_at, found.now)}" if found.left_at else ""
        return f"{found.painter}: since you left{left}", []

    def paged(self, width: int, room: int) -> list[list[str]]:
        """Line by line, the oldest first."""
        found = self.found
        told = [
            f"{clock_words(entry.at, found.now)} {entry.painter}: {entry.text}"
            f"{' (undone)' if entry.undone else ''}"
            for entry in found.lines
        ]
        return pages(
            [("DONE BY OTHERS", [wrapped([text], width - 4, "- ") for text in told])], room
        )

    def keys_now(self) -> Sequence[KeyWord]:
        """Who never left is in already."""
        keys = super().keys_now()
        return [key for key in keys if key.does != "say" or self.found.left_at is not None]
