"""Two ways of asking with a keypad: choose one of these, and type a number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import zip_longest
from typing import ClassVar

from bench.process.wording.display_units import (
    METRIC,
    ShopUnits,
    format_figures,
    from_shop_unit,
    quantity,
    shop_unit,
)
from bench.screens.core.base import BenchScreen
from bench.screens.core.keys import Flow, KeyWord, active_keys
from bench.screens.core.pages import ON_A_PAGE, PagedScreen
from bench.screens.dialogs.number_input import is_written, number
from bench.screens.dialogs.typed_line import TypedLine
from bench.widgets.lines import Line, fit, line, text_lines, title_lines, wrapped


class Choose(PagedScreen[int | None]):
    """Pick one by its digit. Answers its place in the list, None for back."""

    ASKS = True
    MOST_ALONE: ClassVar[int] = ON_A_PAGE + 1
    """So many are on one page, where the key that would turn it picks the last."""

    def __init__(
        self, title: str, choices: Sequence[str], notes: Sequence[str] = (), page: int = 0
    ) -> None:
        super().__init__(page)
        self.heading, self.choices, self.notes = title, list(choices), list(notes)

    def body(self, width: int, height: int) -> list[Line]:
        """Heading, what there is to know, choices."""
        lines = _above(self.heading, self.notes, width)
        alone = len(self.choices) <= self.MOST_ALONE
        each = self.MOST_ALONE if alone else ON_A_PAGE
        for digit, choice in enumerate(self.part_of(self.choices, each), start=1):
            lines += self.choice_lines(digit, choice, width, height)
        if self.pages > 1:
            lines.append(line(f"   9   more ({self.page_words()})", width, "dim"))
        return lines

    def choice_lines(self, digit: int, choice: str, width: int, height: int) -> list[Line]:
        """One of them beside its digit."""
        return [line(f"   {digit}   {choice}", width, "bold")]

    def picked(self, place: int) -> None:
        """Answer its place in the whole list."""
        self.dismiss(self.page * ON_A_PAGE + place)

    def pick(self, digit: str) -> Flow | None:
        """The choice beside a digit, or the next page by the last of them."""
        if digit == "9" and self.pages > 1:
            self.turn()
            return None
        return super().pick(digit)

    def keys_now(self) -> Sequence[KeyWord]:
        """The digits of this page; turning only where there is a page."""
        return active_keys(self.KEYS, self.idle(), {Choose.pick: self.count})

    KEYS: ClassVar[Sequence[KeyWord]] = (
        KeyWord(tuple("123456789"), "1-9", "choose", each=pick),
        KeyWord(("9",), "9", "more", PagedScreen.turn),
        KeyWord(("0", "/"), "0", "back", PagedScreen.back),
    )


def _above(heading: str, notes: Sequence[str], width: int) -> list[Line]:
    """What stands above a question: its heading, and what there is to know."""
    lines = title_lines(heading, width) + text_lines(notes, width, indent=2)
    return [*lines, line("", width)] if notes else lines


TYPED_DECIMALS = 6
"""Past these a number typed in another unit is rounding of floats."""


@dataclass(frozen=True)
class NumberQuestion:
    """One number to type.

    unit: as it is shown; start: what Enter on an empty line takes, and known_from where that figure
    comes from; must: it may not be empty, else ``empty`` says what that means; such_as: an example,
    never taken; choices: one of these by its number, from 1; whole: no fraction.
    """

    what: str
    unit: str = ""
    start: float | None = None
    must: bool = True
    known_from: str = ""
    such_as: float | None = None
    choices: tuple[str, ...] = ()
    whole: bool = False
    empty: str = "not known"

    def shown(self, answer: float | None, units: ShopUnits = METRIC) -> str:
        """An answer in words, in the shop's units."""
        if answer is None:
            return "-"
        if self.choices:
            return self.choices[int(answer) - 1]
        return quantity(answer, self.unit, units).strip()

    def read(self, text: str, units: ShopUnits = METRIC) -> float:
        """What was typed, as a number in ``unit``; bare figures are in the shop's unit.

        Raises ValueError saying what would be right.
        """
        like = self.start if self.such_as is None else self.such_as
        other = shop_unit(self.unit, units)
        if other == self.unit:
            value = number(text, self.unit, like)
        else:
            words = None if like is None else float(format_figures(like, self.unit, units))
            value = round(
                from_shop_unit(number(text, other, words), self.unit, units), TYPED_DECIMALS
            )
        most = len(self.choices)
        if most and value not in range(1, most + 1):
            raise ValueError(f"read {text}; wanted the number of a choice, 1 to {most}")
        if self.whole and value != int(value):
            raise ValueError(f"read {text}; wanted a whole number")
        return value


def date_questions(at: date, *parts: str) -> list[NumberQuestion]:
    """Return the questions for parts of a day or hour, as ``year``: Enter takes that of ``at``."""
    return [NumberQuestion(part, start=float(getattr(at, part)), whole=True) for part in parts]


NextQuestions = Callable[[Sequence[float | None]], Sequence[NumberQuestion]]
"""From the answers so far to all that is asked, where a later question hangs on an earlier one."""


class Numbers(TypedLine[tuple[float | None, ...]]):
    """Type one number after the other. Answers them all, None for back.

    before: the answers of the last time; Enter takes them again as long as nothing was changed.
    """

    ASKS = True

    def __init__(
        self,
        title: str,
        questions: Sequence[NumberQuestion] | NextQuestions,
        notes: Sequence[str] = (),
        before: Sequence[float | None] = (),
    ) -> None:
        super().__init__()
        self.heading, self.notes, self.before = title, list(notes), tuple(before)
        self._asked: NextQuestions = questions if callable(questions) else lambda _: questions
        self.answers: list[float | None] = []
        self.asked = list(self._asked(()))
        self.below_zero = False

    @property
    def _question(self) -> NumberQuestion | None:
        """The one that is asked now; None once all are answered."""
        return self.asked[len(self.answers)] if len(self.answers) < len(self.asked) else None

    def keys_now(self) -> Sequence[KeyWord]:
        """No sign for the number of a choice, letters only for what has a unit."""
        question = self._question
        idle = [] if self.typed or self.answers else [Numbers.rub_out]
        idle += [Numbers.sign] if question and question.choices else []
        return self.keys_for(idle, question.unit if question else "-")

    def body(self, width: int, height: int) -> list[Line]:
        """Heading, what there is to know, the numbers typed so far, choices."""
        lines = _above(self.heading, self.notes, width)
        below = [line(f"   {text}", width, "bold") for text in wrapped([self.wrong], width - 4)]
        below = [line("", width), *below, *self._choice_lines(width)]
        return lines + self._asked_lines(width, height - len(lines) - len(below)) + below

    def _asked_lines(self, width: int, room: int) -> list[Line]:
        """As many of the numbers as there is room for, the one that is asked among them."""
        lines = [self._asked_line(n, question, width) for n, question in enumerate(self.asked)]
        room = max(room, 1)
        first = max(min(len(self.answers) + 2 - room, len(lines) - room), 0)
        return lines[first : first + room]

    def _asked_line(self, place: int, question: NumberQuestion, width: int) -> Line:
        if place < len(self.answers):
            return line(
                f"   {question.what:<34} {question.shown(self.answers[place], self._units)}", width
            )
        if place > len(self.answers):
            return line(f"   {question.what}", width, "dim")
        sign = "-" if self.below_zero else ""
        unit = "" if is_written(self.typed) else f" {shop_unit(question.unit, self._units)}"
        hint = "" if self.typed else self._hint(question)
        return line(f"   {question.what:<34} {sign}{self.typed}_{unit}{hint}", width, "bold")

    def _hint(self, question: NumberQuestion) -> str:
        """Say what Enter would take."""
        start, known_from = self._start(question)
        if start is not None:
            words = f" {question.shown(start)}" if question.choices else ""
            text = f", {known_from}" if known_from else ""
            return f"   (Enter: {format_figures(start, question.unit, self._units)}{words}{text})"
        if not question.must:
            return f"   (Enter: {question.empty})"
        if question.such_as is None:
            return ""
        return f"   (such as {format_figures(question.such_as, question.unit, self._units)})"

    def _start(self, question: NumberQuestion) -> tuple[float | None, str]:
        """What Enter takes, and where that is known from."""
        place = len(self.answers)
        unchanged = self.before[:place] == tuple(self.answers)
        if unchanged and place < len(self.before) and self.before[place] is not None:
            return self.before[place], "as before"
        return question.start, question.known_from

    def _choice_lines(self, width: int) -> list[Line]:
        """What the number asked for stands for, in two columns where there are many."""
        question = self._question
        if question is None or not question.choices:
            return []
        labels = [f"{n:>5}  {choice}" for n, choice in enumerate(question.choices, start=1)]
        if len(labels) <= ON_A_PAGE:
            return [line(text, width) for text in labels]
        rows, half = -(-len(labels) // 2), width // 2
        pairs = zip_longest(labels[:rows], labels[rows:], fillvalue="")
        return [line(fit(left, half) + fit(right, width - half), width) for left, right in pairs]

    def press(self, pressed: str) -> None:
        """Once the last number is taken a key belongs to what comes next."""
        if len(self.answers) == len(self.asked):
            self.bench.ahead.append(pressed)
        else:
            super().press(pressed)

    def sign(self) -> None:
        """Turn the number below zero, or back; no choice has a number below zero."""
        question = self._question
        self.below_zero = not self.below_zero and not (question and question.choices)

    def rub_out(self) -> None:
        """One sign less; on an empty line, back to the number before."""
        self.wrong = ""
        if self.typed:
            self.typed = self.typed[:-1]
        elif self.answers:
            self.answers.pop()
            self.asked = list(self._asked(tuple(self.answers)))

    def take(self) -> None:
        """Keep this number and go on; after the last, answer."""
        question, text = self.asked[len(self.answers)], self.typed.strip()
        if text in ("", "."):
            answer, _ = self._start(question)
            if answer is None and question.must:
                self.wrong = f"{question.what}: type a number"
                return
        else:
            try:
                answer = question.read(f"-{text}" if self.below_zero else text, self._units)
            except ValueError as fault:
                self.wrong = f"{question.what}: {fault}"
                return
        self.answers.append(answer)
        self.typed, self.below_zero, self.wrong = "", False, ""
        self.asked = list(self._asked(tuple(self.answers)))
        if len(self.answers) == len(self.asked):
            self.dismiss(tuple(self.answers))

    KEYS = (
        *TypedLine.SIGNS,
        KeyWord(("+",), "+", "plus/minus", sign),
        KeyWord(("-", "backspace"), "-", "rub out", rub_out),
        KeyWord(("enter",), "Enter", "next", take),
        TypedLine.LEAVE,
    )


class Sure(BenchScreen[bool]):
    """A second, different key before something that is hard to put back."""

    ASKS = True
    ANSWER_LINES = 0

    def __init__(self, title: str, notes: Sequence[str]) -> None:
        super().__init__()
        self.heading, self.notes = title, list(notes)

    def body(self, width: int, height: int) -> list[Line]:
        """The question and what it means."""
        return title_lines(self.heading, width) + text_lines(self.notes, width, "bold", indent=2)

    def yes(self) -> None:
        """Answer yes."""
        self.dismiss(True)

    def no(self) -> None:
        """Answer no."""
        self.dismiss(False)

    NO = KeyWord(("0", "/"), "0", "no", no)
    KEYS = (KeyWord(("enter",), "Enter", "yes", yes), NO)


class SureAfterEnter(Sure):
    """The same where Enter led to it: an Enter too many, meant for an alarm say, is no yes."""

    KEYS = (KeyWord(("+",), "+", "yes", Sure.yes), Sure.NO)
