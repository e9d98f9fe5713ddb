"""Looking a part up by what somebody still knows of it: tag, job, owner, name, or when it was."""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date

from bench.process.refusals.refusal import Refusal

MOST_WORDS = 8
MOST_WORD = 60
"""Longer than any name that is kept."""

FIRST_YEAR, LAST_YEAR = 1990, 2099
"""Four figures within these may be a year as well as a number in a name."""

_YEAR_FIRST = re.compile(r"(\d{4})[-./](\d{1,2})(?:[-./](\d{1,2}))?")
_DAY_FIRST = re.compile(r"(?:(\d{1,2})[./])?(\d{1,2})[./](\d{4})")

DateSpan = tuple[date, date]
"""The first and the last day of a span."""


@dataclass(frozen=True)
class SearchQuery:
    """What is looked for. texts: each is somewhere in tag, job, owner or name, or, where a span
    stands beside it, work was done in it; spans: work was done in each of them too."""

    texts: tuple[tuple[str, DateSpan | None], ...] = ()
    spans: tuple[DateSpan, ...] = ()
    job: str = ""
    owner: str = ""

    @property
    def whole(self) -> str:
        """Return what was typed, where it is one word: it may be a tag."""
        return self.texts[0][0] if len(self.texts) == 1 else ""


def read_query(words: str, job: str = "", owner: str = "") -> SearchQuery | Refusal:
    """Read words as they are typed, dates among them: ``2019``, ``2019-05``, ``12.5.2019``."""
    texts: list[tuple[str, DateSpan | None]] = []
    spans: list[DateSpan] = []
    many = words.split()
    if len(many) > MOST_WORDS:
        return Refusal(f"{len(many)} words", "", f"at most {MOST_WORDS}")
    for word in (*many, job, owner):
        if len(word) > MOST_WORD:
            return Refusal("a word is too long", f"{len(word)} characters", f"at most {MOST_WORD}")
    for word in many:
        span = span_of(word)
        if isinstance(span, Refusal):
            return span
        if span is None or word.isdecimal():
            texts.append((word, span))
        else:
            spans.append(span)
    return SearchQuery(tuple(texts), tuple(spans), job.strip(), owner.strip())


def span_of(word: str) -> DateSpan | Refusal | None:
    """Return the days a word stands for; None where it is no date.

    >>> span_of("2024-02")
    (datetime.date(2024, 2, 1), datetime.date(2024, 2, 29))
    """
    if re.fullmatch(r"\d{4}", word) and FIRST_YEAR <= int(word) <= LAST_YEAR:
        return date(int(word), 1, 1), date(int(word), 12, 31)
    if match := _YEAR_FIRST.fullmatch(word):
        year, month, day = match.groups()
    elif match := _DAY_FIRST.fullmatch(word):
        day, month, year = match.groups()
    else:
        return None
    try:
        last = monthrange(int(year), int(month))[1] if day is None else int(day)
        return date(int(year), int(month), int(day or 1)), date(int(year), int(month), last)
    except ValueError:
        return Refusal("no such day", word, "such as 2019-05-12, 12.5.2019, 2019-05 or 2019")
