"""Who is on a part, by keypad: take it, help, hand it over, give it back, share faces; notes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from bench.process.parts.part import Part, StepRecord, assign_faces
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import KeyWord, only
from bench.screens.core.menu_action import Action, doing, menu
from bench.screens.setup.equipment_and_notes import note_actions
from bench.shop.parts import assignment, holds_and_rework
from bench.widgets.lines import Line, line, title_lines
from bench.widgets.stand import part_words

if TYPE_CHECKING:
    from bench.app import Paintbench


async def on_it(bench: Paintbench, part: Part) -> None:
    """What may be done about who is on it, and its notes."""
    placed = bench.view.find(part.tag)
    notes = note_actions(bench, placed.notes if placed else (), part)
    who = " and ".join(part.on_it())
    rows = [f"on it: {who}" if who else "nobody is on it"]
    title = f"Tag {part.tag} {part_words(part)}: who has it, notes"
    await menu(bench, title, [*_sharing(bench, part), *notes], rows)


def _sharing(bench: Paintbench, part: Part) -> list[Action]:
    """What there is to do for who is signed in, the obvious first."""
    me, there, tag = bench.painter, part.on_it(), part.tag
    gives_back = doing(assignment.give_part_back, tag, me)
    actions = []
    if not there and part.current() is not None:
        actions.append(Action(f"{me} takes it", doing(assignment.take_part, tag, me)))
    elif me in there:
        for name in bench.view.painters:
            if name not in there:
                hands = doing(assignment.hand_to, tag, me, name)
                actions.append(Action(f"hand it to {name}", hands))
                actions.append(
                    Action(f"{name} helps", doing(holds_and_rework.join_step, tag, name))
                )
        actions.append(Action(f"{me} returns it", gives_back))
    elif there:
        actions.append(Action(f"{me} helps", doing(holds_and_rework.join_step, tag, me)))
        if len(there) == 1:
            hands = doing(assignment.hand_to, tag, me, me)
            actions.append(Action(f"{there[0]} hands it to {me}", hands))
            actions.append(Action(f"{there[0]} returns it", gives_back))
    record = part.current()
    if record is not None and record.step.kind == "coat" and record.open_marks():
        share = partial(_share, part=part, record=record)
        actions.append(Action("share the faces between two", share))
    return actions


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
