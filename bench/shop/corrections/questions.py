"""What a screen asks about the facts that can be corrected: plain values, as they are written down.

Each entry of the table of facts makes its own; a screen only shows them and hands back a
``Correction``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.wording.time_text import day_words
from bench.shop.corrections.correction import Correction


@dataclass(frozen=True)
class HourQuestion:
    """An hour of a day, to the minute. old: as it is, in the shop's zone."""

    old: datetime
    right: Callable[[datetime], Correction]


@dataclass(frozen=True)
class ChoiceQuestion:
    """A choice of these."""

    choices: Sequence[tuple[str, Correction]]


@dataclass(frozen=True)
class TextQuestion:
    """A line to type. notes: what to know of it."""

    old: str
    right: Callable[[str], Correction]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class FigureField:
    """One number. must: it may not be left out, else nobody read it; whole: of no fraction."""

    what: str
    unit: str = ""
    old: float | None = None
    must: bool = True
    whole: bool = False


@dataclass(frozen=True)
class FiguresQuestion:
    """Some numbers, one after the other."""

    figures: Sequence[FigureField]
    right: Callable[[Sequence[float | None]], Correction]


@dataclass(frozen=True)
class CorrectableFact:
    """A fact as it is written down: ``what`` of a ``thing``, such as the last face of a coat."""

    thing: str
    what: str
    old: str
    asked: HourQuestion | ChoiceQuestion | TextQuestion | FiguresQuestion

    @property
    def label(self) -> str:
        """The fact with its present value."""
        return f"{self.what}: {self.old}"

    @property
    def about(self) -> str:
        """The beginning of a question about the fact."""
        return f"{self.thing}, {self.what}" if self.thing else self.what


@dataclass(frozen=True)
class Menu:
    """Facts to choose from, and further menus."""

    label: str
    title: str
    facts: Sequence[CorrectableFact | Menu]


def hour_question(
    name: str, what: str, old: datetime, right: Callable[[datetime], Correction]
) -> CorrectableFact:
    """Return the question for an hour. old: in the shop's zone."""
    return CorrectableFact(name, what, day_words(old), HourQuestion(old, right))
