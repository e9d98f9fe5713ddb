"""One question of a form: what stands there now, and how another value is typed or chosen."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Any

from bench import units
from bench.process.sheets.measurement_kinds import KINDS
from bench.screens.core.keys import KeyWord
from bench.screens.core.pages import ON_A_PAGE
from bench.screens.dialogs.choices import Choose, NumberQuestion
from bench.screens.dialogs.questions import ask_numbers, ask_text, choose
from bench.shop.seeds.form_questions import TIN, Question, row_words, shown_unit, value_words
from bench.shop.seeds.seed_text import UNIT_TEXT, number_text
from bench.trade.mixing import ROLES

if TYPE_CHECKING:
    from bench.app import Paintbench

PLACEHOLDER = "placeholder ?"
"""Where a figure is from that nobody took from a tin."""

TYPED_NOW = "typed now"
"""Where one is from that was typed into the form."""

TIME_UNITS = ("s", "min", "h", "d")
HOURS = 3
"""The number of hours among them, which Enter takes where no time stands there yet."""

CHANGE, TAKE_OUT, AS_IT_IS = "change it", "take it out", "the tin says the same"


class Other(Enum):
    """An answer that is no value."""

    KEEP = "keep it"
    BACK = "back to the list"
    TAKE_OUT = "take it out"
    CONFIRMED = "the tin says the same"


@dataclass(frozen=True)
class Form:
    """What a question is asked with: the title, and by key what can be chosen, with its words."""

    title: str
    options: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


Fill = Callable[["Paintbench", Form, Question, dict[str, Any]], Awaitable[dict[str, Any] | None]]
"""Asks for one row of several, such as a step, as a form of its own."""


class KeepOrChoose(Choose):
    """Choose one, or keep what stands there with Enter."""

    MOST_ALONE = ON_A_PAGE + 1

    def keep(self) -> None:
        """Answer the place behind the last choice."""
        self.dismiss(len(self.choices))

    KEYS = (
        KeyWord(tuple("123456789"), "1-9", "choose", each=Choose.pick),
        KeyWord(("9",), "9", "more", Choose.turn),
        KeyWord(("enter",), "Enter", "keep", keep),
        KeyWord(("0", "/"), "0", "back", Choose.back),
    )


class Rows(KeepOrChoose):
    """The rows of a list, to change or add to until Enter says that it is done."""

    KEYS = (
        *KeepOrChoose.KEYS[:2],
        KeyWord(("enter",), "Enter", "done", KeepOrChoose.keep),
        KeepOrChoose.KEYS[3],
    )


async def ask(
    bench: Paintbench,
    form: Form,
    question: Question,
    table: Mapping[str, Any],
    source: str,
    fill: Fill,
) -> Any:
    """Ask one question until there is an answer: a value of the text, or one of ``Other``.

    table: the values beside it; source: where the present one is from, empty where nobody asks.
    """
    present = table.get(question.key)
    words = value_words(question, present)
    from_there = f" ({source})" if source and present is not None else ""
    notes = [*([f"{question.says}."] if question.says else []), f"now: {words}{from_there}"]
    values = _values(form, question)
    extra = [] if question.must or present is None else [TAKE_OUT]
    extra += [AS_IT_IS] if source == PLACEHOLDER and present is not None else []
    while True:
        choices = [*(values.values() or [CHANGE]), *extra]
        title = f"{form.title}: {question.label}"
        place = await bench.push_screen_wait(KeepOrChoose(title, choices, notes))
        if place is None:
            return Other.BACK
        if place == len(choices):
            return Other.KEEP
        if choices[place] in extra:
            return Other.TAKE_OUT if choices[place] == TAKE_OUT else Other.CONFIRMED
        if values:
            return list(values)[place]
        answer = await _typed(bench, form, question, table, fill)
        if answer is not None:
            return answer


def _values(form: Form, question: Question) -> dict[Any, str]:
    """The values that a question is answered with by one key, if it is, with their words."""
    if question.kind == "yes":
        return {True: "yes", False: "no"}
    if question.kind == "text":
        return dict(form.options.get(question.key, {}))
    return {choice: choice for choice in question.choices if question.kind == "choice"}


async def _typed(
    bench: Paintbench, form: Form, question: Question, table: Mapping[str, Any], fill: Fill
) -> Any:
    """Another value, typed; None for back."""
    title, present = f"{form.title}: {question.label}", table.get(question.key)
    match question.kind:
        case "text":
            return await ask_text(bench, title, present or "", [question.says])
        case "texts" if question.key in form.options:
            return await _ticked(bench, title, form.options[question.key], present or [])
        case "texts":
            return await _rows(bench, title, present or [], str, _Line(bench, title).ask)
        case "times":
            return await _times(bench, title, present)
        case "until":
            return await _until(bench, title, question, present)
        case "rows":

            async def row(before: dict[str, Any] | None) -> dict[str, Any] | None:
                return await fill(bench, form, question, before or {})

            return await _rows(bench, title, present or [], lambda r: row_words(question, r), row)
        case "limits":
            return await _limits(bench, title, present or {})
        case "table":
            parts = _parts(question, table)
            found = await _figures(bench, title, parts, present or {})
            return None if found is None else {k: v for k, v in found.items() if v is not None}
    found = await _figures(bench, title, [question], table)
    return None if found is None else found[question.key]


def _parts(question: Question, table: Mapping[str, Any]) -> list[Question]:
    """The parts of a table; of tins only those that the product comes in."""
    roles = [role for role in ROLES if role in table.get("ratio", {})] or [TIN]
    roles += ["thinner"] * ("thinner" in table and "thinner" not in roles)
    by_role = {part.key for part in question.parts} >= {*ROLES, TIN}
    return [part for part in question.parts if not by_role or part.key in roles]


# --- figures -------------------------------------------------------------------------------------


async def _figures(
    bench: Paintbench, title: str, parts: Sequence[Question], present: Mapping[str, Any]
) -> dict[str, Any] | None:
    """Ask for one figure after the other, each of them as its text has it; None for back."""

    def asked(answers: Sequence[float | None]) -> list[NumberQuestion]:
        return [question for _, question in figures_asked(parts, present, answers)]

    numbers = await ask_numbers(bench, title, asked)
    return None if numbers is None else figures_read(parts, present, numbers)


def figures_asked(
    parts: Sequence[Question], present: Mapping[str, Any], answers: Sequence[float | None]
) -> list[tuple[Question, NumberQuestion]]:
    """Return the questions of some parts: of a time its figure, and then its unit."""
    asked: list[tuple[Question, NumberQuestion]] = []
    for part in parts:
        start, unit = _start(part, present.get(part.key))
        place = len(asked)
        shown = shown_unit(part.unit) if part.unit and part.kind != "time" else ""
        question = NumberQuestion(
            part.label, shown, start, must=part.must, choices=part.choices, empty="none"
        )
        asked.append((part, question))
        given = answers[place] if place < len(answers) else start
        if part.kind == "time" and given is not None:
            asked.append((part, NumberQuestion("in", "", float(unit), choices=TIME_UNITS)))
    return asked


def figures_read(
    parts: Sequence[Question], present: Mapping[str, Any], numbers: Sequence[float | None]
) -> dict[str, Any]:
    """Return the answers to ``figures_asked`` as the text has them, None for those left empty."""
    by_part: dict[str, list[float | None]] = {part.key: [] for part in parts}
    asked = figures_asked(parts, present, numbers)
    for (part, _), number in zip(asked, numbers, strict=True):
        by_part[part.key].append(number)
    return {part.key: _text(part, *by_part[part.key]) for part in parts}


def _start(part: Question, value: Any) -> tuple[float | None, int]:
    """The figure that stands there, or the place of a choice; and the number of a time's unit."""
    if value is None:
        return None, HOURS
    if part.choices:
        return float(part.choices.index(value) + 1), HOURS
    if part.kind == "time":
        return _time_of(value)
    return (units.read(value, part.unit) if part.unit else float(value)), HOURS


def _time_of(text: str) -> tuple[float, int]:
    """A time's figure and the number of its unit: "4 h" is 4 and 3."""
    written = re.fullmatch(r"([0-9.]+) (s|min|h|d)", text)
    if written is None:
        return units.read(text, "second"), 1
    return float(written[1]), TIME_UNITS.index(written[2]) + 1


def _text(part: Question, number: float | None, unit: float | None = None) -> Any:
    """A figure as the text has it."""
    if number is None:
        return None
    if part.choices:
        return part.choices[int(number) - 1]
    if part.kind == "time":
        return f"{number_text(number)} {TIME_UNITS[int(unit or HOURS) - 1]}"
    if not part.unit:
        return number
    return f"{number_text(number)} {UNIT_TEXT.get(part.unit) or shown_unit(part.unit)}"


_AT = Question("at", "", "figure", must=True, unit="degC")
_TIME = Question("time", "", "time", must=True, unit="second")


async def _times(bench: Paintbench, title: str, present: Any) -> dict[str, str] | None:
    """Times at temperatures, row by row."""

    async def row(before: tuple[str, str] | None) -> tuple[str, str] | None:
        start = {} if before is None else {"at": before[0], "time": before[1]}
        found = await _figures(bench, title, [_AT, _TIME], start)
        return None if found is None else (found["at"], found["time"])

    rows = list(present.items()) if isinstance(present, dict) else []
    found = await _rows(bench, title, rows, lambda each: f"{each[1]} at {each[0]}", row)
    return None if found is None else dict(found)


async def _until(bench: Paintbench, title: str, question: Question, present: Any) -> Any:
    """One time, which is one at 20 C, or times at temperatures."""
    ways = {"one time, as at 20 C": False, "times at temperatures": True}
    by_temperature = await choose(bench, title, ways)
    if by_temperature is None:
        return None
    if by_temperature:
        return await _times(bench, title, present)
    time = Question(question.key, "", "time", must=True, unit=question.unit)
    before = {question.key: present} if isinstance(present, str) else {}
    found = await _figures(bench, title, [time], before)
    return None if found is None else found[question.key]


async def _limits(bench: Paintbench, title: str, present: dict[str, Any]) -> dict[str, Any] | None:
    """Limits of readings, kind by kind."""

    async def row(before: tuple[str, Any] | None) -> tuple[str, Any] | None:
        kinds = {kind.name: key for key, kind in KINDS.items() if not kind.words}
        key = before[0] if before else await choose(bench, f"{title}: of what?", kinds)
        if key is None:
            return None
        unit = units.PINT[KINDS[key].unit] if KINDS[key].unit else ""
        ends = [Question(end, "", "figure", must=True, unit=unit) for end in ("least", "most")]
        start = dict(zip(("least", "most"), before[1], strict=True)) if before else {}
        found = await _figures(bench, f"{title}: {KINDS[key].name}", ends, start)
        return None if found is None else (key, [found["least"], found["most"]])

    def words(each: tuple[str, Any]) -> str:
        return f"{KINDS[each[0]].name}: {each[1][0]} to {each[1][1]}"

    found = await _rows(bench, title, list(present.items()), words, row)
    return None if found is None else dict(found)


# --- lists ---------------------------------------------------------------------------------------


async def _ticked(
    bench: Paintbench, title: str, names: Mapping[str, str], present: Sequence[str]
) -> list[str] | None:
    """Some of the names there are; those chosen bear a cross."""
    chosen, page = list(present), 0
    names = {**names, **{name: name for name in present if name not in names}}
    while True:
        choices = [f"[{'x' if name in chosen else ' '}] {words}" for name, words in names.items()]
        screen = Rows(title, choices, ["Each key puts a cross there, or takes it away."], page)
        place = await bench.push_screen_wait(screen)
        if place is None or place == len(names):
            return None if place is None else chosen
        name, page = list(names)[place], place // ON_A_PAGE
        chosen = [n for n in chosen if n != name] if name in chosen else [*chosen, name]


class _Line:
    """Asks for one line of text."""

    def __init__(self, bench: Paintbench, title: str) -> None:
        self.bench, self.title = bench, title

    async def ask(self, before: str | None) -> str | None:
        """The line; None where it was left, or nothing is in it."""
        return await ask_text(self.bench, self.title, before or "") or None


async def _rows(
    bench: Paintbench,
    title: str,
    rows: Sequence[Any],
    words: Callable[[Any], str],
    ask_row: Callable[[Any | None], Awaitable[Any | None]],
) -> list[Any] | None:
    """Rows to change, move, take out or add to; None for back."""
    rows, page = list(rows), 0
    while True:
        choices = [*map(words, rows), "another one"]
        place = await bench.push_screen_wait(Rows(title, choices, (), page))
        if place is None or place > len(rows):
            return None if place is None else rows
        page = place // ON_A_PAGE
        if place == len(rows):
            row = await ask_row(None)
            rows += [row] if row is not None else []
            continue
        what = {"change it": "change", "take it out": "out", "one more before it": "before"}
        what |= {"one place up": "up"} if place else {}
        match await choose(bench, f"{title}: {choices[place]}", what):
            case "change" if (row := await ask_row(rows[place])) is not None:
                rows[place] = row
            case "before" if (row := await ask_row(None)) is not None:
                rows.insert(place, row)
            case "out":
                del rows[place]
            case "up":
                rows.insert(place - 1, rows.pop(place))
