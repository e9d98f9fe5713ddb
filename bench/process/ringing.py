"""What lies ahead of the bench by the hour: when a window opens or shuts, a pot is to be binned."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Literal

from bench.process.part import Part
from bench.process.pots import BIN_SOON_S, FLUSH_SOON_S, Gun, Pot
from bench.process.product import TOO_SOON
from bench.process.spoken import rounded_down, rounded_up
from bench.process.state import Clocks
from bench.process.windows import Span

Kind = Literal["opens", "shuts", "cured", "bin by", "flush by"]

WARNED: dict[Kind, tuple[timedelta, ...]] = {
    "opens": (timedelta(0),),
    "shuts": (timedelta(hours=1), timedelta(minutes=15)),
    "cured": (timedelta(0),),
    "bin by": (timedelta(seconds=BIN_SOON_S), timedelta(0)),
    "flush by": (timedelta(seconds=FLUSH_SOON_S),),
}
"""How long before it somebody is told (house rule)."""

BASIS = {"guess": "a guess", "outside": "outside the sheet", "between": "worked out"}


@dataclass(frozen=True)
class Ring:
    """One thing to be told of. key: the same for the same thing, whatever its hour has become."""

    key: str
    kind: Kind
    at: datetime
    title: str
    told: str


def rings_of(
    parts: Iterable[tuple[Part, Clocks]],
    pots: Iterable[Pot],
    guns: Iterable[Gun],
    now: datetime,
) -> tuple[Ring, ...]:
    """All that is ahead of ``now``, the first first. A wash is rinsed by the bench: too short."""
    found = [ring for part, clocks in parts for ring in _of_part(part, clocks)]
    found += [_of_pot(pot) for pot in pots if pot.bin_by is not None]
    found += [_of_gun(gun) for gun in guns if gun.flush_by is not None]
    return tuple(sorted((r for r in found if r.at > now), key=lambda r: (r.at, r.key)))


def _of_part(part: Part, clocks: Clocks) -> Iterator[Ring]:
    done, current = part.clock_step(), part.current()
    if done is None or current is None:
        return
    where = f"stand {part.stand}" if part.stand is not None else "on no stand"
    called = f"tag {part.tag} {part.name}"
    if current.step.kind == "cure":
        if clocks.cure is not None and clocks.cure.end is not None:
            told = f"{where}; test it, that decides: {clocks.test}{_rests_on(clocks.cure)}"
            at = _shown(clocks.cure, opening=True)
            yield Ring(f"{part.tag}/cure", "cured", at, f"{called}: full cure, TRY IT", told)
        return
    for place, (span, after) in enumerate(pairwise(clocks.spans)):
        key = f"{part.tag}/{done.number}/{place}"
        if span.end is None:
            return
        if after.word == "open" and current.status == "todo":
            soon = span.word in TOO_SOON
            test = f"; test it, that decides: {clocks.test}" if soon else ""
            told = f"{where}; opens for {current.step.name}{test}{_rests_on(span)}"
            title = f"{called}: opens, TRY IT" if soon else f"{called}: opens again"
            yield Ring(key, "opens", _shown(span, opening=True), title, told)
        elif span.word == "open" and current.step.kind == "coat":
            then = "then key it first" if after.word == "key" else "then nothing may go on"
            told = f"{where}; last face of {current.step.name} before it; {then}{_rests_on(span)}"
            at = _shown(span, opening=False)
            yield Ring(key, "shuts", at, f"{called}: SHUTS for {current.step.name}", told)


def _shown(span: Span, *, opening: bool) -> datetime:
    """As the bench shows it: what was worked out is rounded to the safe side."""
    assert span.end is not None
    if not span.aged:
        return span.end
    return rounded_up(span.end) if opening else rounded_down(span.end)


def _rests_on(span: Span) -> str:
    return f" ({BASIS[span.basis]})" if span.aged and span.basis in BASIS else ""


def _of_pot(pot: Pot) -> Ring:
    assert pot.bin_by is not None
    basis = f" ({BASIS[pot.basis]})" if pot.basis in BASIS else ""
    title = f"pot {pot.letter} {pot.name}: BIN BY"
    told = f"what is left in it is to be binned{basis}"
    return Ring(f"pot {pot.letter} {pot.mixed_at.isoformat()}", "bin by", pot.bin_by, title, told)


def _of_gun(gun: Gun) -> Ring:
    assert gun.flush_by is not None
    title = f"gun of pot {gun.letter} {gun.name}: FLUSH"
    told = "paint goes hard in it: flush it before"
    return Ring(f"gun {gun.letter} {gun.name}", "flush by", gun.flush_by, title, told)
