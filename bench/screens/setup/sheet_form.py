"""A product's sheet or a route as a form: its questions with what stands there, asked one by one.

Nothing is written before the whole is saved, and what was answered stays where it is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import ON_A_PAGE
from bench.screens.dialogs.choices import Choose
from bench.screens.dialogs.questions import is_sure
from bench.screens.setup.sheet_questions import PLACEHOLDER, TYPED_NOW, Form, Other, ask
from bench.shop.seeds.form_questions import Question, value_words
from bench.widgets.lines import Line, fit, line

if TYPE_CHECKING:
    from bench.app import Paintbench

LABEL = 22
"""Columns of what is asked; the value stands behind it."""

Draft = dict[str, Any]


class FormPage(Choose):
    """The questions with their values: a digit asks one of them, Enter one after the other."""

    MOST_ALONE = ON_A_PAGE

    def choice_lines(self, digit: int, choice: str, width: int, height: int) -> list[Line]:
        """A question with its value, whole where there is room."""
        room = max((height - 4) // ON_A_PAGE, 1)
        first, *rest = _broken(choice, width - 8, room)
        rows = [f"   {digit}   {first}", *(f"       {part}" for part in rest)]
        return [line(row, width, "bold") for row in rows]

    def walk(self) -> None:
        """Ask one question after the other."""
        self.dismiss(len(self.choices))

    def finish(self) -> None:
        """Take the form as it is."""
        self.dismiss(len(self.choices) + 1)

    KEYS = (
        KeyWord(tuple("12345678"), "1-8", "ask", each=Choose.pick),
        KeyWord(("9",), "9", "more", Choose.turn),
        KeyWord(("enter",), "Enter", "ask one after the other", walk),
        KeyWord(("+",), "+", "save", finish),
        KeyWord(("0", "/"), "0", "back", Choose.back),
    )


class RowPage(FormPage):
    """The same of a step or a band: it is saved with the whole."""

    KEYS = (*FormPage.KEYS[:3], KeyWord(("+",), "+", "done", FormPage.finish), FormPage.KEYS[4])


def _broken(text: str, width: int, rows: int) -> list[str]:
    """A long line over several rows, the last one cut where there is no room."""
    parts = wrap(text, width, subsequent_indent=" " * (LABEL + 1), break_on_hyphens=False) or [""]
    if len(parts) > rows:
        parts = [*parts[: rows - 1], fit(" ".join([parts[rows - 1], *parts[rows:]]), width)]
    return parts


async def fill(
    bench: Paintbench,
    form: Form,
    questions: Sequence[Question],
    draft: Mapping[str, Any],
    *,
    kind: type[FormPage] = FormPage,
    source: Callable[[str], str] = lambda _: "",
    confirm: Callable[[str], None] = lambda _: None,
    saved: Mapping[str, Any] | None = None,
    notes: Sequence[str] = (),
) -> Draft | None:
    """Ask the questions until the form is finished; None where it is left.

    source: where the value of a key is from; confirm: told each key that was answered; saved: what
    leaving it would go back to, where that is not the draft; notes: what there is to know of what
    is saved. An empty draft is asked at once.
    """
    before = dict(draft if saved is None else saved)
    draft, at, walks = dict(draft), 0, len(draft) < 2
    while True:
        if walks and at == len(questions):
            walks, at = False, 0
        if walks:
            question = questions[at]
            answer = await ask(bench, form, question, draft, source(question.key), fill_row)
            walks, at = answer is not Other.BACK, at + 1
            _take(draft, question.key, answer, confirm)
            continue
        rows = [_row(question, draft, source(question.key)) for question in questions]
        page = kind(form.title, rows, notes, min(at, len(rows) - 1) // ON_A_PAGE)
        place = await bench.push_screen_wait(page)
        if place is None:
            notes = ["What was typed in it is gone then."]
            if draft == before or await is_sure(bench, f"{form.title}: leave it?", notes):
                return None
        elif place > len(rows):
            return draft
        elif place == len(rows):
            walks, at = True, page.page * ON_A_PAGE
        else:
            question, at = questions[place], place
            answer = await ask(bench, form, question, draft, source(question.key), fill_row)
            _take(draft, question.key, answer, confirm)


async def fill_row(bench: Paintbench, form: Form, question: Question, row: Draft) -> Draft | None:
    """Ask for one row of several: a step, or a band of a window."""
    title = f"{form.title}: {row.get('name') or question.label}"
    return await fill(bench, Form(title, form.options), question.parts, row, kind=RowPage)


def _take(draft: Draft, key: str, answer: Any, confirm: Callable[[str], None]) -> None:
    """Write an answer into the draft; one that another key keeps its order."""
    if answer is Other.CONFIRMED:
        confirm(key)
    elif answer is Other.TAKE_OUT:
        draft.pop(key, None)
    elif not isinstance(answer, Other) and answer != draft.get(key):
        draft[key] = answer
        confirm(key)


def _row(question: Question, draft: Mapping[str, Any], source: str) -> str:
    value = draft.get(question.key)
    words = value_words(question, value)
    if question.kind == "rows" and isinstance(value, list) and question.key == "step":
        words = f"{len(value)}: {words}"
    mark = {PLACEHOLDER: " ?", TYPED_NOW: "  (typed now)"}.get(source, "")
    return f"{question.label:<{LABEL}} {words}{mark if value is not None else ''}"
