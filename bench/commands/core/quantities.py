"""Reading what was typed after a word: a stand, a count, a time, a temperature, an amount.

Each raises ArgumentTypeError saying what was read and what would be right, which argparse shows
as wrong usage.
"""

from __future__ import annotations

import re
import shlex
from argparse import ArgumentTypeError
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Generic, TypeVar

from bench import units
from bench.process.calendar.demo_start import demo_start
from bench.process.parts.zinc_answers import NOT_KNOWN, ZincAnswer

MOST_AGO_S = 366 * 86400.0
"""Nobody remembers further back to the minute: a slip of the fingers."""

_WHOLE = re.compile(r"[+-]?[0-9]{1,9}")
_DAY_AND_HOUR = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})[ T]([0-9]{1,2}):([0-9]{2})")

UNKNOWN = "unknown"
"""How it is typed that nobody knows."""

DayAndHour = tuple[int, int, int, int, int]
Value = TypeVar("Value")


@dataclass(frozen=True)
class Number(Generic[Value]):
    """Read what starts with a minus, as -5C; argparse would take that for an option."""

    read: Callable[[str], Value]

    def __call__(self, text: str) -> Value:
        """Read the text."""
        return self.read(text)


def unreadable(text: str, expected: str) -> ArgumentTypeError:
    """Return the refusal of a text: what was read, and what would be right."""
    return ArgumentTypeError(f"read {text[:40]!r}; wanted {expected}")


def whole(what: str) -> Number[int]:
    """Return a reader of whole numbers; whether the number fits is for the rules to say."""

    def reader(text: str) -> int:
        if not _WHOLE.fullmatch(text.strip()):
            raise unreadable(text, f"{what}, a whole number such as 3")
        return int(text)

    return Number(reader)


def right_or_wrong(text: str) -> bool:
    """Read whether a figure that was asked about is right."""
    if text not in ("right", "wrong"):
        raise unreadable(text, "right or wrong")
    return text == "right"


def quantity(unit: str) -> Number[float]:
    """Return a reader of a number with its unit."""

    def reader(text: str) -> float:
        try:
            return units.read(text, unit)
        except ValueError as fault:
            raise ArgumentTypeError(str(fault)) from fault

    return Number(reader)


def ago_s(text: str) -> float:
    """Read how long ago something happened, in seconds. Less than zero is left to the rules."""
    seconds = quantity("second")(text)
    if abs(seconds) > MOST_AGO_S:
        raise unreadable(text, "a time within a year, such as 20 min")
    return seconds


def day_and_hour(text: str) -> DayAndHour:
    """Read a day and a time of day: year, month, day, hour, minute."""
    match = _DAY_AND_HOUR.fullmatch(text.strip())
    if match is None:
        raise unreadable(text, "a day and an hour, such as 2026-03-12 14:30")
    year, month, day, hour, minute = (int(part) for part in match.groups())
    return year, month, day, hour, minute


def demo_hour(text: str) -> datetime:
    """Read when the demo's clock starts."""
    try:
        return demo_start(text)
    except ValueError as wanted:
        raise unreadable(text, str(wanted)) from None


def pour(text: str) -> tuple[int, float]:
    """Read which pour is meant and how much it really was, as in ``1=420ml``; in ml."""
    place, equals, amount = text.partition("=")
    if not equals or not _WHOLE.fullmatch(place.strip()):
        raise unreadable(text, "pour=amount, such as 1=420ml")
    return int(place), quantity("millilitre")(amount.strip())


def day(text: str) -> date:
    """Read a day, as in ``2026-03-12``."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError as fault:
        raise unreadable(text, "a day, such as 2026-03-12") from fault


def day_or_unknown(text: str) -> ZincAnswer:
    """Read a day, as in ``2026-03-12``, or ``unknown``."""
    if text.strip() == UNKNOWN:
        return NOT_KNOWN
    try:
        return date.fromisoformat(text.strip())
    except ValueError as fault:
        raise unreadable(text, f"a day, such as 2026-03-12, or {UNKNOWN}") from fault


def yes_no_unknown(text: str) -> ZincAnswer:
    """Read ``yes``, ``no`` or ``unknown``."""
    answers: dict[str, ZincAnswer] = {"yes": True, "no": False, UNKNOWN: NOT_KNOWN}
    if text.strip() not in answers:
        raise unreadable(text, "yes, no or unknown")
    return answers[text.strip()]


def week(text: str) -> tuple[tuple[time, time] | None, ...]:
    """Read the shop's hours, as in ``Mon-Fri 07:30-17:30, Sat 08:00-12:30``."""
    from bench.process.calendar.week import read_week

    try:
        return read_week(text)
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from fault


def minutes(text: str) -> int:
    """Read minutes: a bare whole number, or a time that is a whole number of them."""
    if _WHOLE.fullmatch(text.strip()):
        return int(text)
    exact = ago_s(text) / 60
    if exact != int(exact):
        raise unreadable(text, "whole minutes, such as 15")
    return int(exact)


def amounts_ml(text: str) -> dict[str, float]:
    """Read amounts by part, as in ``base=340ml,hardener=70ml``, in millilitres."""
    amounts: dict[str, float] = {}
    # A comma may be a decimal one: only the comma before the next part's name divides.
    for piece in re.split(r",(?=\s*[a-z]+\s*=)", text):
        role, equals, amount = piece.partition("=")
        role = role.strip()
        if not equals or not role:
            raise unreadable(piece, "part=amount, such as base=340ml")
        if role in amounts:
            raise ArgumentTypeError(f"read {role[:20]!r} twice; wanted each part once")
        amounts[role] = quantity("millilitre")(amount.strip())
    return amounts


def words(text: str) -> list[str]:
    """Split a command as a shell would, though no shell ever sees it."""
    try:
        return shlex.split(text)
    except ValueError as fault:
        raise ArgumentTypeError(f"read {text[:40]!r}: {fault}") from fault


def names(text: str) -> tuple[str, ...]:
    """Read names with commas between them."""
    return tuple(name.strip() for name in text.split(","))
