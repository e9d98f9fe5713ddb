"""Who is signed in, the end of a shift, and what was done since somebody left."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from bench.process.attention.handover import HandoverBlock, pages
from bench.process.calendar.absence import LIKE, Absence
from bench.process.parts.log_entry import LogEntry
from bench.process.wording.time_text import format_clock
from bench.screens.core.keys import KeyWord, Method
from bench.screens.core.menu_action import Action, menu
from bench.screens.core.pages import PagedScreen
from bench.screens.dialogs.pin import do_signed
from bench.screens.dialogs.questions import ask_text, choose, choose_text, is_sure
from bench.shop.core.transaction import Outcome
from bench.shop.people import handover as handing
from bench.shop.people.away import absences, away
from bench.shop.people.handover import ChangesSince, HandOver, handover_of
from bench.shop.people.painters import add_painter, painter_gone, set_trained, training_words
from bench.widgets.lines import Line, ends, line, text_lines, wrapped

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
        Action("a painter comes or has left the shop", come_and_go),
        Action("who is away when", who_is_away),
    ]
    await menu(bench, "Who signs in?", actions)


async def come_and_go(bench: Paintbench) -> None:
    """Add a painter, or take one who left the shop off the lists."""
    names = bench.view.painters
    choices = [("a new painter", ""), *((f"{name} has left the shop", name) for name in names)]
    name = await choose(bench, "Painters come and go", choices)
    if name is None:
        return
    if not name:
        new = await ask_text(bench, "The new painter's name")
        if new is not None:
            bench.do(add_painter, bench.painter, new)
    elif await is_sure(bench, f"Has {name} left the shop?", ["The records keep the name."]):
        done = bench.do(painter_gone, bench.painter, name)
        if isinstance(done, Outcome) and name == bench.painter:
            bench.painter = bench.view.painters[0]


async def who_is_away(bench: Paintbench) -> None:
    """Record when a painter is away, or take one back."""
    known = absences(bench.shop)
    choices: list[tuple[str, Absence | str]] = [(name, name) for name in bench.view.painters]
    choices += [(f"{each.painter} is not away {each.words}", each) for each in known]
    notes = ["The plan counts on nobody who is away."]
    picked = await choose(bench, "Who is away?", choices, notes)
    if isinstance(picked, Absence):
        bench.do(away, bench.painter, picked.painter, picked.words, take_back=True)
    elif picked is not None:
        asked = ["Days, or hours of a day:", LIKE]
        span = await ask_text(bench, f"When is {picked} away?", "", asked)
        if span:
            bench.do(away, bench.painter, picked, span)


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
        return f"{name} (left {format_clock(left, bench.now())})"
    return f"{name} (now)" if name == bench.painter else name


async def comes(bench: Paintbench, name: str) -> None:
    """A painter comes to the keys; who had left is shown first what was done since."""
    bench.painter = name
    if name in bench.view.left:
        await since_left(bench)
    else:
        bench.tell(Outcome(f"{name} signed in"))


async def next_painter(bench: Paintbench) -> None:
    """The next of the painters signs in."""
    names = bench.view.painters
    await comes(bench, names[(names.index(bench.painter) + 1) % len(names)])


async def who_is_in(bench: Paintbench) -> None:
    """The signed-in painter has left: nothing is done in the name of somebody at home."""
    names = [(_named(bench, name), name) for name in bench.view.painters]
    notes = [f"{bench.painter} signed out. Who signs in?"]
    name = await choose(bench, "Who is in?", names, notes)
    if name is not None:
        await comes(bench, name)


async def since_left(bench: Paintbench) -> None:
    """What others did since; who had left is in by Enter."""
    changes = handing.changes_since(bench.shop, bench.painter)
    if not isinstance(changes, ChangesSince):
        bench.tell(changes)
    elif await bench.push_screen_wait(SinceYouLeft(changes)) and changes.left_at is not None:
        bench.do(handing.come_in, bench.painter)


async def hand_over(bench: Paintbench) -> None:
    """The page; leaving it by + goes home, and whoever is still in is signed in."""
    done = handing.done_today(bench.shop, bench.view, bench.now())
    if not await bench.push_screen_wait(HandOverPage(done)):
        return
    bench.do(handing.leave, bench.painter)
    left = bench.view.left
    there = [name for name in bench.view.painters if name not in left]
    if there and bench.painter in left:
        bench.painter = there[0]


class Sections(PagedScreen[bool]):
    """Sections by pages, none of their lines cut away. Answers True for what Enter or + says."""

    ANSWER_LINES = 0

    def heading(self) -> tuple[str, list[str]]:
        """The title, and what stands under it on every page."""
        raise NotImplementedError

    def sections(self, width: int) -> list[HandoverBlock]:
        """Every section: its title, and its items broken into rows of ``width``."""
        raise NotImplementedError

    def body(self, width: int, height: int) -> list[Line]:
        """Title with the page's number, the lines of the page."""
        title, notes = self.heading()
        under = text_lines(notes, width, "bold", indent=1)
        room = max(height - len(under) - 1, 3)
        page = self.page_of(pages(self.sections(width - 4), room))
        title = ends(f" {title}", f"{self.page_words()} ", width)
        rows = [line(f" {text}", width, "" if text.startswith(" ") else "bold") for text in page]
        return [line(title, width, "head"), *under, *rows]

    def say(self) -> None:
        """What the screen asks for."""
        self.dismiss(True)


class HandOverPage(Sections):
    """What the next shift starts with, what may be missed before it, and what was done today."""

    def __init__(self, done: Sequence[LogEntry]) -> None:
        super().__init__()
        self.done = done

    def _handover(self) -> HandOver:
        bench = self.bench
        return handover_of(bench.view, bench.now(), bench.alarms.known.up, self.done)

    def heading(self) -> tuple[str, list[str]]:
        """From now to when somebody is in again, and who is in now."""
        handover = self._handover()
        until = format_clock(handover.until, handover.now)
        return f"Hand-over, {handover.now:%a %H:%M} until {until}", [
            f"{handover.who}; {handover.room}"
        ]

    def sections(self, width: int) -> list[HandoverBlock]:
        """Every heading, with "nothing" where there is nothing."""
        return [
            (section.title, [wrapped([text], width, "- ") for text in section.lines])
            for section in self._handover().sections
        ]

    KEYS = (
        KeyWord(("9",), "9", "next page", Sections.turn),
        KeyWord(("+",), "+", "hand over and leave", Sections.say),
        KeyWord(("0", "/", "enter"), "0", "back", Sections.back),
    )


class SinceYouLeft(Sections):
    """The journal since somebody handed over, without what was their own."""

    def __init__(self, changes: ChangesSince) -> None:
        super().__init__()
        self.changes = changes

    def heading(self) -> tuple[str, list[str]]:
        """Whose page it is, and since when."""
        changes = self.changes
        left = f" {format_clock(changes.left_at, changes.now)}" if changes.left_at else ""
        return f"{changes.painter}: since you left{left}", []

    def sections(self, width: int) -> list[HandoverBlock]:
        """Line by line, the oldest first."""
        changes = self.changes
        notes = [
            f"{format_clock(entry.at, changes.now)} {entry.painter}: {entry.text}"
            f"{' (undone)' if entry.undone else ''}"
            for entry in changes.lines
        ]
        return [("DONE BY OTHERS", [wrapped([text], width, "- ") for text in notes])]

    def idle(self) -> set[Method]:
        """Who never left is in already."""
        idle = super().idle()
        if self.changes.left_at is None:
            idle.add(SinceYouLeft.say)
        return idle

    KEYS = (
        KeyWord(("9",), "9", "next page", Sections.turn),
        KeyWord(("enter",), "Enter", "seen: I am in", Sections.say),
        KeyWord(("0", "/"), "0", "back", Sections.back),
    )
