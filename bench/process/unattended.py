"""What will be missed tonight: windows that shut and pots that go off with nobody in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from bench.process.attendance import Stay, nobody_in
from bench.process.part import Part
from bench.process.pots import Pot
from bench.process.spoken import clock_words
from bench.process.state import HARM, Clocks
from bench.process.temperature import Hours

_BECOMES = {"shut": "SHUT", "key": "KEY IT"}


@dataclass(frozen=True)
class Missed:
    """What goes by with nobody in. word: what a stand will say then; stand None: a pot, or off."""

    word: str
    at: datetime
    tag: str
    stand: int | None
    text: str


def unattended(
    parts: Iterable[tuple[Part, Clocks]], pots: Iterable[Pot], hours: Hours, now: datetime
) -> tuple[Missed, ...]:
    """What will be missed until somebody is in again, most harm first, then the soonest.

    now: in the shop's zone. Nothing where somebody always is.
    """
    away = nobody_in(hours, now)
    return () if away is None else missed_between(parts, pots, away, now)


def missed_between(
    parts: Iterable[tuple[Part, Clocks]], pots: Iterable[Pot], away: Stay, now: datetime
) -> tuple[Missed, ...]:
    """What goes by in a stretch of time, most harm first, then the soonest."""
    found = [missed for part, clocks in parts for missed in _of_part(part, clocks, away, now)]
    found += _of_pots(pots, away, now)
    return tuple(sorted(found, key=lambda missed: (HARM.index(missed.word), missed.at)))


def _of_part(part: Part, clocks: Clocks, away: Stay, now: datetime) -> Iterator[Missed]:
    record = part.current()
    if record is None:
        return
    called = f"{part.name}: {record.step.name}"
    if record.step.kind == "dwell" and record.status == "in hand":
        for mark in record.marks:
            if mark.begun_at is None or mark.done_at is not None:
                continue
            most = mark.begun_at + timedelta(seconds=record.step.most_s)
            if away[0] < most < away[1]:
                text = f"{called}: {mark.name} is to be rinsed by {clock_words(most, now)}"
                yield Missed("LATE", most, part.tag, part.stand, text)
    if record.step.kind != "coat" or record.status != "todo":
        return
    for span, after in pairwise(clocks.spans):
        ends = span.end
        if span.word == "open" and ends is not None and away[0] < ends < away[1]:
            word = _BECOMES.get(after.word, after.word.upper())
            again = f", until {clock_words(after.end, now)}" if after.end else ""
            text = f"{called} shuts {clock_words(ends, now)}, then {word}{again}"
            yield Missed(word, ends, part.tag, part.stand, text)


def _of_pots(pots: Iterable[Pot], away: Stay, now: datetime) -> Iterator[Missed]:
    for pot in pots:
        if pot.bin_by is not None and away[0] < pot.bin_by < away[1]:
            text = f"pot {pot.letter} {pot.name}: bin it by {clock_words(pot.bin_by, now)}"
            yield Missed("BIN", pot.bin_by, pot.letter, None, text)
