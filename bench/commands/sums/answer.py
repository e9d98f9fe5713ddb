"""What a sum is on the command line, what it answers, and how figures are written."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

_DECIMALS = 6
"""What is past these in JSON is rounding of floats, and no painter's figure."""


class WrongUsage(ValueError):
    """Options that are right one by one but do not go together."""


@dataclass(frozen=True)
class Answer:
    """What a sum gives: ``data`` as JSON, ``lines`` as plain text."""

    data: dict[str, Any]
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Sum:
    """A sum's word, what it tells in one line, the words of a worked line, its options, itself."""

    name: str
    told: str
    worked: str
    add: Callable[[ArgumentParser], None]
    work: Callable[[Namespace], Answer]


def tidy(data: Any) -> Any:
    """The data with the rounding of floats taken off, all the way down.

    >>> tidy({"ml": 0.1 + 0.2})
    {'ml': 0.3}
    """
    if isinstance(data, dict):
        return {key: tidy(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [tidy(value) for value in data]
    return round(data, _DECIMALS) + 0.0 if isinstance(data, float) else data


def hours(seconds: float) -> str:
    """A time in hours and minutes, in days too where it is long.

    >>> hours(5040), hours(180000)
    ('1:24 h', '2 d 2:00 h')
    """
    days, minutes = divmod(round(seconds / 60), 24 * 60)
    told = f"{minutes // 60}:{minutes % 60:02d} h"
    return f"{days} d {told}" if days else told


def listed(pairs: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """What each figure is, and the figure, one a line and one below the other.

    >>> listed([("wet film", "153 um"), ("dry", "60 um")])
    ('wet film  153 um', 'dry       60 um')
    """
    width = max(len(what) for what, _ in pairs)
    return tuple(f"{what:<{width}}  {told}" for what, told in pairs)
