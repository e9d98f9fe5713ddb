"""The answer of a sum: what was given, the few figures that matter big, the rest a line each."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from bench.process.sheets.product import Product
from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import PagedScreen, chunks
from bench.screens.dialogs.choices import NumberQuestion
from bench.screens.sums.input_questions import Refused, Solved
from bench.screens.sums.known_values import ShopFacts
from bench.sums.answer_text import SumRow, rows
from bench.sums.model import Calculation
from bench.widgets.digits import TALL, TALL_FROM, big
from bench.widgets.lines import Line, Piece, fit, line, text_lines, wrapped

ACROSS = 3
"""Big figures side by side."""

LABEL_WIDTH = 32

SHEET_DECIDES = "placeholder figures: the tin's own sheet decides; type it in"


class SumResult(PagedScreen[bool | None]):
    """An answer, or why there is none. Answers True for other numbers."""

    ANSWER_LINES = 0

    def __init__(
        self,
        calculation: Calculation,
        questions: Sequence[NumberQuestion],
        answers: Sequence[float | None],
        end: Solved | Refused,
        facts: ShopFacts,
    ) -> None:
        super().__init__()
        self.calculation, self.end = calculation, end
        units = facts.view.house.units
        pairs = zip(questions, answers, strict=True)
        self.given = [
            f"{each.what}: {each.shown(answer, units)}"
            for each, answer in pairs
            if answer is not None
        ]
        self.rows: tuple[SumRow, ...] = ()
        if isinstance(end, Solved):
            self.rows = rows(calculation, end.answer, end.given, units, facts.now)

    def body(self, width: int, height: int) -> list[Line]:
        """Heading, given, figures, verdict with its reasons, guesses, cautions."""
        lines = [line(f"   {text}", width, "dim") for text in _side_by_side(self.given, width - 6)]
        lines.append(line("", width))
        if isinstance(self.end, Refused):
            lines += text_lines(["NO: " + self.end.why], width, "refused")
        else:
            lines += self._figures(width, height) + _words(self.calculation, self.end, width)
        shown = self.page_of(chunks(lines, max(height - 1, 1)))
        title = self.calculation.title[0].upper() + self.calculation.title[1:]
        return [line(f" {title}", width, "head"), *shown]

    def _figures(self, width: int, height: int) -> list[Line]:
        few = [each for each in self.rows if each.big and _fits(each, (width - 3) // ACROSS)]
        lines = []
        for first in range(0, len(few), ACROSS):
            lines += self._big(
                few[first : first + ACROSS], width, TALL if height >= TALL_FROM else 3
            )
        for each in self.rows:
            if each not in few:
                lines += _figure_lines(each, width)
        return lines

    def _big(self, row: Sequence[SumRow], width: int, rows: int) -> list[Line]:
        """Figures side by side, each under its name and unit."""
        across = (width - 3) // ACROSS
        names = [f"{each.label}, {each.unit}" if each.unit else each.label for each in row]
        drawn = [
            big(each.value, rows, across - 1, ascii_only=self.bench.ascii_only) for each in row
        ]
        lines = [_beside([fit(name, across - 1) for name in names], width, "")]
        lines += [_beside([each[y] for each in drawn], width, "bold") for y in range(rows)]
        return [*lines, line("", width)]

    def again(self) -> None:
        """The same sum with other numbers."""
        self.dismiss(True)

    KEYS = (
        KeyWord(("-", "backspace"), "-", "other numbers", again),
        KeyWord(("9",), "9", "more", PagedScreen.turn),
        KeyWord(("0", "/"), "0", "back", PagedScreen.back),
    )


def _fits(each: SumRow, across: int) -> bool:
    """Whether a figure is short enough to be big: three cells a sign and one between."""
    return sum(2 if sign in ".:" else 4 for sign in each.value) <= across


def _side_by_side(texts: Sequence[str], width: int) -> list[str]:
    """Short texts after one another, none broken at the end of a line if it fits on one."""
    lines: list[str] = []
    for text in texts:
        if lines and cell_len(lines[-1]) + 3 + cell_len(text) <= width:
            lines[-1] += f";  {text}"
        else:
            lines += wrapped([text], width)
    return lines


def _beside(texts: Sequence[str], width: int, style: str) -> Line:
    return (Piece(fit("   " + " ".join(texts), width), style),)


def _figure_lines(each: SumRow, width: int) -> list[Line]:
    """What it is, then the figure; a long one goes on below itself."""
    rest = wrapped([each.words], width - LABEL_WIDTH - 5)
    lines = [f"   {each.label:<{LABEL_WIDTH}} {rest[0]}"]
    lines += [f"   {'':<{LABEL_WIDTH}} {text}" for text in rest[1:]]
    return [line(text, width, "bold") for text in lines]


def _words(calculation: Calculation, solved: Solved, width: int) -> list[Line]:
    """The verdict, its reasons, what to doubt, the cautions."""
    answer = solved.answer
    lines: list[Line] = []
    if answer.verdict:
        mark = "[ ]" if answer.good else "[X]"
        text = fit(f" {mark} {answer.verdict} ", min(len(answer.verdict) + 6, width - 3))
        rest = " " * (width - 3 - len(text))
        style = "open" if answer.good else "refused"
        lines.append((Piece("   "), Piece(text, style), Piece(rest)))
    lines += text_lines(answer.why, width, "bold")
    lines += text_lines((*_doubts(solved.product), *answer.doubts), width, bullet="? ")
    if calculation.cautions:
        lines += [line("", width), *text_lines(calculation.cautions, width, bullet="! ")]
    return lines


def _doubts(product: Product | None) -> tuple[str, ...]:
    return (SHEET_DECIDES,) if product is not None and product.doubt else ()
