"""Who is on a part, by keypad: take it, help, hand it over, give it back, share faces; notes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from bench.process.parts.notes import note_words
from bench.process.parts.part import Part, StepRecord, assign_faces
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, only
from bench.screens.core.menu_action import Action, BenchFlow, doing, menu
from bench.screens.dialogs.questions import choose_text
from bench.screens.setup.equipment_and_notes import note_actions
from bench.shop.parts import assignment, holds_and_rework
from bench.widgets.lines import Line, line, title_lines
from bench.widgets.stand import part_words

if TYPE_CHECKING:
    from bench.app import Paintbench


async def on_it(bench: Paintbench, part: Part) -> None:
    """What may be done about who is on it, and its notes."""
    placed = bench.view.find(part.tag)
    there = placed.notes if placed else ()
    notes = note_actions(there, part, WRITE_NOTE)
    who = " and ".join(part.on_it())
    rows = [f"on it: {who}" if who else "nobody is on it"]
    rows += [note_words(note, bench.now()) for note in there]
    title = f"Tag {part.tag} {part_words(part)}: who has it, notes"
    await menu(bench, title, [*_sharing(bench, part), *notes], rows)


TAKE, HELP, HAND_OVER, RETURN, SHARE, WRITE_NOTE = 1, 2, 3, 4, 5, 6
"""Each action's number, whoever is on the part."""


def _sharing(bench: Paintbench, part: Part) -> list[Action]:
    """What there is to do for who is signed in, each by its own number."""
    me, there, tag = bench.painter, part.on_it(), part.tag
    others = [name for name in bench.view.painters if name not in there]
    mine = me in there
    actions = []
    if not there and part.current() is not None:
        actions.append(Action(f"{me} takes it", doing(assignment.take_part, tag, me), number=TAKE))
    if there and (helpers := others if mine else [me]):
        helps = partial(_by_one_of, title="Who helps?", names=helpers, act=_helps(tag))
        actions.append(Action(f"{_one_of(helpers)} helps", helps, number=HELP))
    if there and (to := others if mine else [me] if len(there) == 1 else []):
        hands = partial(_by_one_of, title="Hand it to whom?", names=to, act=_hands(tag, me))
        words = f"hand it to {_one_of(to)}" if mine else f"{there[0]} hands it to {me}"
        actions.append(Action(words, hands, number=HAND_OVER))
    if mine or len(there) == 1:
        returns = doing(assignment.give_part_back, tag, me)
        who = me if mine else there[0]
        actions.append(Action(f"{who} returns it", returns, number=RETURN))
    record = part.current()
    if record is not None and record.step.kind == "coat" and record.open_marks():
        share = partial(_share, part=part, record=record)
        actions.append(Action("share the faces between two", share, number=SHARE))
    return actions


def _helps(tag: str) -> Callable[[str], BenchFlow]:
    return lambda name: doing(holds_and_rework.join_step, tag, name)


def _hands(tag: str, me: str) -> Callable[[str], BenchFlow]:
    return lambda name: doing(assignment.hand_to, tag, me, name)


def _one_of(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else "another painter"


async def _by_one_of(
    bench: Paintbench, title: str, names: Sequence[str], act: Callable[[str], BenchFlow]
) -> None:
    """What one of some painters does; asked which where there are more than one."""
    name = names[0] if len(names) == 1 else await choose_text(bench, title, names)
    if name is not None:
        await act(name)(bench)


async def _share(bench: Paintbench, part: Part, record: StepRecord) -> None:
    every = dict.fromkeys([*part.on_it(), bench.painter, *bench.view.painters])
    faces = await bench.push_screen_wait(ShareFaces(part, record, list(every)))
    if faces is not None:
        bench.do(assignment.share_faces, part.tag, bench.painter, faces)


class ShareFaces(BenchScreen[dict[str, list[str]] | None]):
    """Who sprays which face. Answers painter's name to faces, None for back."""

    ANSWER_LINES = 0

    def __init__(self, part: Part, record: StepRecord, painters: Sequence[str]) -> None:
        super().__init__()
        self.part, self.record, self.painters = part, record, list(painters)
        self.faces = assign_faces(record, self.painters[:2])

    def body(self, width: int, height: int) -> list[Line]:
        """Every face in the order it is sprayed, with whose it is."""
        title = f"Tag {self.part.tag} {self.part.name}: who sprays what of {self.record.step.name}"
        lines = title_lines(title, width)
        for digit, mark in enumerate(self.record.marks, start=1):
            if mark.done_at is not None:
                by = f" by {mark.by}" if mark.by else ""
                lines.append(line(f"       {mark.name:<10} sprayed{by}", width, "dim"))
            else:
                who = self.faces[mark.name]
                lines.append(line(f"   {digit}   {mark.name:<10} {who}", width, "bold"))
        text = "A face shows the painter listed here, whoever ticks it."
        return [*lines, line("", width), line(f"   {text}", width, "dim")]

    def keys_now(self) -> Sequence[KeyWord]:
        """The digits of the faces that are not sprayed yet."""
        marks = enumerate(self.record.marks[:9], start=1)
        row, *rest = self.KEYS
        return [*only(row, [str(digit) for digit, mark in marks if mark.name in self.faces]), *rest]

    def change(self, digit: str) -> None:
        """Give the face to the next painter."""
        place = int(digit) - 1
        marks = self.record.marks
        if place < len(marks) and marks[place].name in self.faces:
            name = marks[place].name
            now = self.painters.index(self.faces[name])
            self.faces[name] = self.painters[(now + 1) % len(self.painters)]

    def take(self) -> None:
        """Save who sprays what."""
        shared: dict[str, list[str]] = {}
        for face, name in self.faces.items():
            shared.setdefault(name, []).append(face)
        self.dismiss(shared)

    KEYS = (
        KeyWord(tuple("123456789"), "1-9", "swap painter", each=change),
        KeyWord(("enter",), "Enter", "save", take),
        KeyWord(("0", "/"), "0", "back", BenchScreen.back),
    )
