"""Choose by a number that belongs to the choice for good; Enter takes the likeliest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from bench.screens.core.keys import KeyWord, only
from bench.screens.core.pages import PagedScreen
from bench.widgets.lines import Line, line, text_lines, title_lines

if TYPE_CHECKING:
    from bench.app import Paintbench

FIGURES = tuple("0123456789")


class TypedNumber:
    """A number that is being typed, figure by figure, out of some that there are."""

    def __init__(self) -> None:
        self.figures = ""

    def fitting(self, numbers: Sequence[int]) -> list[int]:
        """Give the numbers that begin with what is typed."""
        return [number for number in numbers if str(number).startswith(self.figures)]

    def next_figures(self, numbers: Sequence[int]) -> list[str]:
        """Give the figures that lead on to one of the numbers, in order."""
        place = len(self.figures)
        return sorted(
            {f"{number}"[place] for number in self.fitting(numbers) if number >= 10**place}
        )

    def typed(self, figure: str, numbers: Sequence[int]) -> int | None:
        """Take a figure; give the number once no other begins with it. One too many is dropped."""
        if figure not in self.next_figures(numbers):
            return None
        self.figures += figure
        fitting = self.fitting(numbers)
        return self.taken(numbers) if len(fitting) == 1 else None

    def taken(self, numbers: Sequence[int]) -> int | None:
        """Give the number that is typed whole, None where it is none of them."""
        whole = int(self.figures or "0")
        return whole if whole in numbers else None


class ChooseByNumber(PagedScreen[int | None]):
    """Answers the number that was chosen, None for back.

    choices: their texts by number; likeliest: what Enter takes while no figure is typed.
    """

    ASKS = True

    def __init__(
        self,
        title: str,
        choices: Mapping[int, str],
        likeliest: int | None = None,
        notes: Sequence[str] = (),
    ) -> None:
        super().__init__()
        self.heading, self.notes, self.likeliest = title, list(notes), likeliest
        self.choices = dict(sorted(choices.items()))
        self.number = TypedNumber()

    @property
    def _numbers(self) -> list[int]:
        return list(self.choices)

    def body(self, width: int, height: int) -> list[Line]:
        """Heading, what there is to know, choices; dim those that no longer fit what is typed."""
        lines = title_lines(self.heading, width) + text_lines(self.notes, width, indent=2)
        fitting = self.number.fitting(self._numbers)
        for number in self.part_of(self._numbers, max(height - len(lines) - 1, 1)):
            enter = "   Enter" if number == self.likeliest and not self.number.figures else ""
            text = f"   {number:<3} {self.choices[number]}{enter}"
            lines.append(line(text, width, "bold" if number in fitting else "dim"))
        if self.number.figures:
            lines.append(line(f"   {self.number.figures}_", width, "bold"))
        elif self.pages > 1:
            lines.append(line(f"   {self.page_words()}", width, "dim"))
        return lines

    def keys_now(self) -> Sequence[KeyWord]:
        """The figures that lead on to a choice; back by the key that is no figure just then."""
        figure, take, rub_out, more, slash, zero = self.KEYS
        figures = only(figure, self.number.next_figures(self._numbers))
        if self.number.figures:
            whole = self.number.taken(self._numbers) is not None
            return [*figures, *([take] if whole else []), rub_out, slash]
        likeliest = [replace(take, word="likeliest")] if self.likeliest is not None else []
        return [*figures, *likeliest, *([more] if self.pages > 1 else []), zero]

    def write(self, figure: str) -> None:
        """Take a figure more; a zero before any leads back."""
        if figure == "0" and not self.number.figures:
            self.back()
        elif (number := self.number.typed(figure, self._numbers)) is not None:
            self.dismiss(number)

    def take(self) -> None:
        """Answer the number that is typed, or the likeliest where none is."""
        number = self.number.taken(self._numbers) if self.number.figures else self.likeliest
        if number is not None:
            self.dismiss(number)

    def rub_out(self) -> None:
        """Take the last figure away."""
        self.number.figures = self.number.figures[:-1]

    KEYS = (
        KeyWord(FIGURES, "0-9", "number", each=write),
        KeyWord(("enter",), "Enter", "take", take),
        KeyWord(("-", "backspace"), "-", "rub out", rub_out),
        KeyWord(("+",), "+", "more", PagedScreen.turn),
        KeyWord(("/",), "/", "back", PagedScreen.back),
        KeyWord(("0",), "0", "back", PagedScreen.back),
    )


async def choose_key(
    bench: Paintbench,
    title: str,
    names: Mapping[str, str],
    numbers: Mapping[str, int],
    likeliest: str | None = None,
    notes: Sequence[str] = (),
) -> str | None:
    """Ask for one of some keys, offered as ``names`` by their numbers; None for back.

    likeliest: the key that Enter takes, if it is one of them.
    """
    keys = {numbers[key]: key for key in names}
    texts = {number: names[key] for number, key in keys.items()}
    likely = numbers[likeliest] if likeliest in names and likeliest is not None else None
    number = await bench.push_screen_wait(ChooseByNumber(title, texts, likely, notes))
    return None if number is None else keys[number]
