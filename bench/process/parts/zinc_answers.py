"""What painters answered about the zinc on a part: the day it was galvanised, and how."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final, Literal

from bench.process.refusals.refusal import Refusal

NOT_KNOWN: Final = "not known"
ZincAnswer = date | bool | Literal["not known"]
"""A day, or yes or no, or that nobody knows."""

OLDEST_YEARS = 100
"""Galvanised longer ago than this is a slip of the finger (no source)."""


@dataclass(frozen=True)
class Galvanised:
    """What is known of the zinc on a part; None where nobody knows.

    galvanised: the day it came out of the bath; quenched: in water; passivated: with anything, such
    as chromate; white_rust: seen on it as it is now.
    """

    galvanised: date | None = None
    quenched: bool | None = None
    passivated: bool | None = None
    white_rust: bool | None = None

    @property
    def answers(self) -> dict[str, ZincAnswer]:
        """Return every answer by its field, in the order they are asked for."""
        fields = {what: getattr(self, what) for what in QUESTIONS}
        return {w: NOT_KNOWN if answer is None else answer for w, answer in fields.items()}


QUESTIONS: Mapping[str, str] = {
    "galvanised": "galvanised",
    "quenched": "quenched in water",
    "passivated": "passivated",
    "white_rust": "white rust",
}
"""Each field of it in words."""

YES_OR_NO = ("quenched", "passivated", "white_rust")

CHANGES = ("white_rust",)
"""What may be another on another day; the rest happened once, and only a correction changes it."""


def day_of(year: int, month: int, day: int) -> date | Refusal:
    """Return a day of the calendar, or why it is none."""
    try:
        return date(year, month, day)
    except ValueError:
        return Refusal(f"no day {year}-{month}-{day}", "", "such as 2026-03-12")


def with_answers(
    before: Galvanised | None, answers: Mapping[str, ZincAnswer], today: date
) -> Galvanised | Refusal:
    """Return what is known with some answers written over it. today: in the shop's zone.

    A day to come, or one over a hundred years ago, is refused.
    """
    day = answers.get("galvanised")
    if isinstance(day, date):
        if day > today:
            today_text = f"today is {today}"
            return Refusal(
                f"galvanised on {day}, which is to come", today_text, "look at the day again"
            )
        if today.year - day.year > OLDEST_YEARS:
            return Refusal(f"galvanised on {day}", "over 100 years ago", "look at the year again")
    new: dict[str, Any] = {w: None if a == NOT_KNOWN else a for w, a in answers.items()}
    return replace(before or Galvanised(), **new)


def answer_words(answer: ZincAnswer) -> str:
    """Say one answer.

    >>> [answer_words(answer) for answer in (date(2026, 3, 2), False, "not known")]
    ['2026-03-02', 'no', 'not known']
    """
    if isinstance(answer, bool):
        return "yes" if answer else "no"
    return str(answer)


def answers_words(answers: Mapping[str, ZincAnswer]) -> str:
    """Say some answers, each with its question.

    >>> answers_words({"galvanised": date(2026, 3, 2), "white_rust": False})
    'galvanised 2026-03-02, white rust no'
    """
    return ", ".join(f"{QUESTIONS[what]} {answer_words(a)}" for what, a in answers.items())


def merge_zinc_answers(first: Galvanised | None, other: Galvanised | None) -> Galvanised | None:
    """Return what is known of two lots together: only what was answered alike of both."""
    if first is None or other is None:
        return None
    both = zip(first.answers.items(), other.answers.values(), strict=True)
    alike: dict[str, Any] = {w: getattr(first, w) for (w, answer), again in both if answer == again}
    return Galvanised(**alike)
