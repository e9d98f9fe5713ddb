"""The hour at which something opens or closes: made once, shown the same wherever it stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from bench.process.clocks.conditions import is_old
from bench.process.clocks.windows import Span, side_of
from bench.process.parts.film_thickness import longer_words
from bench.process.wording.time_text import doubt_mark, format_clock, round_down, round_up
from bench.trade.ageing import Basis, Side, is_guess

SAFE_MIN = 5
"""An estimate is shown to the full five minutes: closer it would claim what nobody knows."""

_FIGURES: dict[Basis, str] = {
    "sheet": "a figure of the data sheet",
    "between": "an estimate between two figures of the data sheet",
    "guess": "an estimate from one figure of the data sheet",
    "none": "colder for a while than any estimate from the data sheet goes",
}
_BEYOND: dict[Side, str] = {
    "opening": "colder than the data sheet lists, so longer than its slope",
    "closing": "warmer than the data sheet lists, so shorter than its slope",
}
"""Beyond the data sheet an opening is on its cold side, a closing on its warm one."""


@dataclass(frozen=True)
class Edge:
    """An instant at which something opens or closes, with what it rests on.

    at: exact, to compare and to count with, never to show. aged: worked out from temperatures;
    old: and the last of them was read too long ago; unconfirmed: it rests on a placeholder, or the
    clock is wrong; times: so many times as long as the data sheet says, the coat being heavy.
    """

    at: datetime
    side: Side
    basis: Basis = "sheet"
    aged: bool = False
    old: bool = False
    unconfirmed: bool = False
    times: float = 1.0

    @property
    def shown(self) -> datetime:
        """Return the hour people see: an opening never too early, a closing never too late.

        An estimate to the full five minutes, what is fixed to the minute.
        """
        minutes = SAFE_MIN if self.aged else 1
        return (round_up if self.side == "opening" else round_down)(self.at, minutes)

    @property
    def figure_words(self) -> str:
        """Return where its figure comes from, in words."""
        figure = _BEYOND[self.side] if self.basis == "outside" else _FIGURES[self.basis]
        heavy = f", {longer_words(self.times)} for a heavy coat" if self.times > 1 else ""
        return f"{figure}{heavy}"

    @property
    def by_rule(self) -> bool:
        """Return whether a rule of thumb made it what it is, not its data sheet alone."""
        return is_guess(self.basis) or self.times > 1

    def words(self, now: datetime, *, weekday: bool = True) -> str:
        """Return the hour people see with its marks, and its date beyond tomorrow.

        now: in the shop's zone; weekday: beside a date, where there is room.
        """
        return self.marked(format_clock(self.shown, now, weekday=weekday))

    def marked(self, hour: str) -> str:
        """Give an hour with the marks of this edge: ``~`` an estimate, ``?`` not from a data sheet.

        >>> from datetime import UTC
        >>> Edge(datetime(2026, 3, 12, tzinfo=UTC), "opening", "guess", aged=True).marked("14:05")
        '~14:05?'
        """
        about = "~old " if self.old else "~" if self.aged else ""
        return f"{about}{hour}{self.doubt}"

    @property
    def doubt(self) -> str:
        """Return ``?`` where its figure is of no data sheet or the clock is wrong, else nothing."""
        return doubt_mark(self.unconfirmed or self.by_rule)

    def is_over(self, now: datetime) -> bool:
        """Return whether it has gone by, also by the hour that is shown."""
        return now >= max(self.at, self.shown)

    def left_s(self, now: datetime) -> float:
        """Return the seconds to the hour that is shown; below zero once it has gone by."""
        return (self.shown - now).total_seconds()


@dataclass(frozen=True)
class Turn:
    """Where a coat opens or closes. place: of the band that ends there, ``before``."""

    place: int
    before: Span
    after: Span
    edge: Edge


def edge_of(span: Span, now: datetime, read_at: datetime | None, *, doubtful: bool) -> Edge | None:
    """Return the edge at which a band ends, None where it has no end.

    read_at: when a thermometer was last read; doubtful: the clock is wrong.
    """
    if span.end is None:
        return None
    old = span.aged and span.end > now and read_at is not None and is_old(read_at, now)
    unconfirmed = span.placeholder or doubtful
    side = side_of(span.word)
    return Edge(span.end, side, span.basis, span.aged, old, unconfirmed, span.times)


def turns_of(
    spans: tuple[Span, ...],
    now: datetime,
    read_at: datetime | None,
    *,
    doubtful: bool,
) -> tuple[Turn, ...]:
    """Give every place where the next step becomes possible, keyed or not, or impossible, in order.

    A wait that only leads to the next wait, or to the closed middle of a window, is none.
    """
    turns = []
    for place, (before, after) in enumerate(pairwise(spans)):
        edge = edge_of(before, now, read_at, doubtful=doubtful)
        if edge is None:
            break
        if before.word == "open" or after.word in ("open", "key"):
            turns.append(Turn(place, before, after, edge))
    return tuple(turns)


def next_turn(turns: Iterable[Turn], side: Side, since: datetime) -> Turn | None:
    """Return the first opening, or closing, after an instant."""
    return next((t for t in turns if t.edge.side == side and t.edge.at > since), None)


def next_edge(turns: Iterable[Turn], side: Side, since: datetime) -> Edge | None:
    """Return the first edge of a side after an instant."""
    turn = next_turn(turns, side, since)
    return turn.edge if turn else None
