"""What painters said of a test. Every opinion is kept, and waiting wins."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from bench.process.clocks.stand_state import StandState
from bench.process.parts.part import Part, StepRecord
from bench.process.wording.time_text import format_clock


@dataclass(frozen=True)
class Opinion:
    """Holds one answer to a test. wait_s: how long a "not yet" asks to wait."""

    at: datetime
    painter: str
    passed: bool
    wait_s: float = 0.0

    @property
    def until(self) -> datetime:
        """Return the hour until which a "not yet" asks to wait."""
        return self.at + timedelta(seconds=self.wait_s)


def holding_opinions(opinions: Iterable[Opinion], at: datetime) -> tuple[Opinion, ...]:
    """Return every "not yet" that still holds at ``at``: its time not over, and not taken back.

    Of each painter the last opinion counts.
    """
    last: dict[str, Opinion] = {}
    for opinion in sorted(opinions, key=lambda opinion: opinion.at):
        last[opinion.painter] = opinion
    return tuple(o for o in last.values() if not o.passed and o.until > at)


def tested_step(part: Part) -> StepRecord | None:
    """Return the step a test is about: the last one done; of a CURED part the one before its cure.

    Where all was skipped, as on a part that came painted, it is the cure itself; after a cure that
    is reworked there is none.
    """
    finished = [r for r in part.steps if r.status == "done"]
    if finished and finished[-1].step.kind == "cure":
        if part.current() is not None:
            return None
        finished.pop()
    if finished:
        return finished[-1]
    last = part.steps[-1]
    return last if last.step.kind == "cure" and part.current() in (None, last) else None


OFFERED_MIN = (15, 30, 60, 120, 240, 480, 24 * 60, 2 * 24 * 60, 4 * 24 * 60)
"""Minutes that a "not yet" may ask for at the keypad, in steps that people say."""


def waits_offered(part: Part, state: StandState) -> tuple[int, int]:
    """Return two waits in minutes for a "not yet": a tenth of the wait before the test, and more.

    A tenth: common practice, no source.
    """
    tested = tested_step(part)
    waited_s = 0.0
    if state.opens is not None and tested is not None and tested.last_at is not None:
        waited_s = (state.opens.at - tested.last_at).total_seconds()
    fits = [n for n, minutes in enumerate(OFFERED_MIN[:-1]) if minutes * 60 <= waited_s / 10]
    place = fits[-1] if fits else 0
    return OFFERED_MIN[place], OFFERED_MIN[place + 1]


Asks = Literal["", "test", "held", "passed"]
"""What painters can be asked: a test is due; a "not yet" holds; it is passed, to be put back."""


def asks_for(part: Part, state: StandState, opinions: Iterable[Opinion], now: datetime) -> Asks:
    """Return whether painters may say what they think of the last step just now."""
    record, tested = part.current(), tested_step(part)
    if state.test and state.word in ("TEST", "CLOSING"):
        return "test"
    if part.hold or record is None or tested is None or record.status != "todo":
        return ""
    if holding_opinions(opinions, now):
        return "held"
    return "passed" if tested.passed_at is not None and record.step.kind != "cure" else ""


def opinion_words(opinion: Opinion, now: datetime) -> str:
    """Say one painter's answer to a test and its hour. now: in the shop's zone."""
    hour = format_clock(opinion.at, now)
    if opinion.passed:
        return f"{opinion.painter}: passed {hour}"
    return f"{opinion.painter}: not yet {hour}, wait until {format_clock(opinion.until, now)}"
