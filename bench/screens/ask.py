"""Two ways of asking with a keypad: choose one of these, and type a number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from bench.screens.base import BenchScreen
from bench.screens.keys import KeyWord
from bench.widgets.lines import Line, line, wrapped

ON_A_PAGE = 8
"""Choices to a page; 9 turns it."""

MOST_FIGURES = 8


class Choose(BenchScreen[int | None]):
    """Pick one by its digit. Answers its place in the list, None for back."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(tuple("12345678"), "1-8", "choose", "pick"),
        KeyWord(("9",), "9", "more", "turn"),
        KeyWord(("0",), "0", "back", "back"),
        KeyWord(("escape",), "Esc", "", "back"),
    )

    def __init__(self, title: str, choices: Sequence[str], told: Sequence[str] = ()) -> None:
        super().__init__()
        self.heading, self.choices, self.told = title, list(choices), list(told)
        self.page = 0

    def draw(self, width: int, height: int) -> list[Line]:
        """Heading, what there is to know, choices, keys."""
        lines = [line(f" {self.heading}", width, "head"), line("", width)]
        lines += [line(f"  {text}", width) for text in wrapped(self.told, width - 4)]
        if self.told:
            lines.append(line("", width))
        shown = self.choices[self.page * ON_A_PAGE :][:ON_A_PAGE]
        for digit, choice in enumerate(shown, start=1):
            lines.append(line(f"   {digit}   {choice}", width, "bold"))
        if len(self.choices) > ON_A_PAGE:
            pages = -(-len(self.choices) // ON_A_PAGE)
            lines.append(line(f"   9   more (page {self.page + 1} of {pages})", width, "dim"))
        lines += [line("", width)] * (height - 2 - len(lines))
        return [*lines[: height - 2], self.said_line(width), self.keys_line(width)]

    def pick(self, digit: str) -> None:
        """The choice beside a digit."""
        place = self.page * ON_A_PAGE + int(digit) - 1
        if int(digit) <= len(self.choices[self.page * ON_A_PAGE :][:ON_A_PAGE]):
            self.dismiss(place)

    def turn(self) -> None:
        """The next page of choices."""
        pages = -(-len(self.choices) // ON_A_PAGE)
        self.page = (self.page + 1) % max(pages, 1)


@dataclass(frozen=True)
class Asked:
    """One number to type. start: what Enter on an empty line takes; must: it may not be empty."""

    what: str
    unit: str = ""
    start: float | None = None
    must: bool = True


class Numbers(BenchScreen[tuple[float | None, ...] | None]):
    """Type one number after the other. Answers them all, None for back."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(tuple("0123456789."), "0-9 .", "type", "type"),
        KeyWord(("+",), "+", "plus/minus", "sign"),
        KeyWord(("-", "backspace"), "-", "rub out", "rub_out"),
        KeyWord(("enter",), "Enter", "next", "take"),
        KeyWord(("/", "escape"), "/", "back", "leave"),
    )

    def __init__(self, title: str, asked: Sequence[Asked], told: Sequence[str] = ()) -> None:
        super().__init__()
        self.heading, self.asked, self.told = title, list(asked), list(told)
        self.answers: list[float | None] = []
        self.typed, self.below_nought, self.wrong = "", False, ""

    def draw(self, width: int, height: int) -> list[Line]:
        """Heading, what there is to know, the numbers typed so far, keys."""
        lines = [line(f" {self.heading}", width, "head"), line("", width)]
        lines += [line(f"  {text}", width) for text in wrapped(self.told, width - 4)]
        if self.told:
            lines.append(line("", width))
        for place, asked in enumerate(self.asked):
            lines.append(self._asked_line(place, asked, width))
        lines += [line("", width), line(f"   {self.wrong}", width, "bold")]
        lines += [line("", width)] * (height - 1 - len(lines))
        return [*lines[: height - 1], self.keys_line(width)]

    def _asked_line(self, place: int, asked: Asked, width: int) -> Line:
        if place < len(self.answers):
            answer = self.answers[place]
            shown = f"{answer:g} {asked.unit}" if answer is not None else "-"
            return line(f"   {asked.what:<34} {shown}", width)
        if place > len(self.answers):
            return line(f"   {asked.what}", width, "dim")
        sign = "-" if self.below_nought else ""
        typed = f"{sign}{self.typed}_ {asked.unit}"
        hint = f"   (Enter: {asked.start:g})" if asked.start is not None and not self.typed else ""
        if not asked.must and asked.start is None and not self.typed:
            hint = "   (Enter: not known)"
        return line(f"   {asked.what:<34} {typed}{hint}", width, "bold")

    def type(self, figure: str) -> None:
        """One figure more."""
        if len(self.typed) < MOST_FIGURES and not (figure == "." and "." in self.typed):
            self.typed += figure
        self.wrong = ""

    def sign(self) -> None:
        """Below nought, or not."""
        self.below_nought = not self.below_nought

    def rub_out(self, _: str) -> None:
        """One figure less; on an empty line, back to the number before."""
        if self.typed:
            self.typed = self.typed[:-1]
        elif self.answers:
            self.answers.pop()

    def take(self) -> None:
        """Keep this number and go on; after the last, answer."""
        asked = self.asked[len(self.answers)]
        if not self.typed or self.typed == ".":
            if asked.start is None and asked.must:
                self.wrong = f"{asked.what}: type a number"
                return
            self.answers.append(asked.start)
        else:
            number = float(self.typed)
            self.answers.append(-number if self.below_nought else number)
        self.typed, self.below_nought = "", False
        if len(self.answers) == len(self.asked):
            self.dismiss(tuple(self.answers))

    def leave(self, _: str) -> None:
        """Back without an answer."""
        self.dismiss(None)


class Sure(BenchScreen[bool]):
    """A second, different key before something that is hard to put back."""

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(("enter",), "Enter", "yes", "yes"),
        KeyWord(("0", "escape", "/"), "0", "no", "no"),
    )

    def __init__(self, title: str, told: Sequence[str]) -> None:
        super().__init__()
        self.heading, self.told = title, list(told)

    def draw(self, width: int, height: int) -> list[Line]:
        """The question and what it means."""
        lines = [line(f" {self.heading}", width, "head"), line("", width)]
        lines += [line(f"  {text}", width, "bold") for text in wrapped(self.told, width - 4)]
        lines += [line("", width)] * (height - 1 - len(lines))
        return [*lines[: height - 1], self.keys_line(width)]

    def yes(self) -> None:
        """Do it."""
        self.dismiss(True)

    def no(self, _: str) -> None:
        """Leave it."""
        self.dismiss(False)
