"""Readings in order of time, to which later ones are added without copying those before."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from itertools import pairwise
from operator import eq
from typing import overload

from bench.process.clocks.temperature import Reading


class Readings(Sequence[Reading]):
    """Readings, oldest first; of one instant, as they were written down.

    Several share one list, and each knows which of it are its own: nobody sees what was added
    after. Only the first to go on from the end of the list adds to it.
    """

    def __init__(self, readings: Iterable[Reading] = ()) -> None:
        self._shared = sorted(readings, key=_at)
        self._own = range(len(self._shared))

    @classmethod
    def of(cls, readings: Sequence[Reading]) -> Readings:
        """Return the readings as ``Readings``, unchanged where they are that already."""
        return readings if isinstance(readings, Readings) else cls(readings)

    def with_more(self, more: Sequence[Reading]) -> Readings:
        """Return these readings and more of them; some may be older."""
        rising = all(before.at <= after.at for before, after in pairwise((*self[-1:], *more)))
        if not rising or self._own.stop < len(self._shared):
            return Readings((*self, *more))
        self._shared.extend(more)
        return self._part(range(self._own.start, len(self._shared)))

    def _part(self, own: range) -> Readings:
        part = Readings()
        part._shared, part._own = self._shared, own
        return part

    def __len__(self) -> int:
        return len(self._own)

    @overload
    def __getitem__(self, place: int) -> Reading: ...
    @overload
    def __getitem__(self, place: slice) -> Readings: ...
    def __getitem__(self, place: int | slice) -> Reading | Readings:
        own = self._own[place]
        return self._part(own) if isinstance(own, range) else self._shared[own]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Sequence) or len(self) != len(other):
            return False
        return all(map(eq, self, other))

    def __hash__(self) -> int:
        return hash(tuple(self))

    def __repr__(self) -> str:
        return f"Readings({list(self)!r})"


def _at(reading: Reading) -> datetime:
    return reading.at
