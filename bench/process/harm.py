"""What wants doing next, what does most harm if it is left coming first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from bench.process.part import Part
from bench.process.pots import Pot, pot_word
from bench.process.spoken import clock_words, span_words
from bench.process.state import HARM, StandState

WANTS_HANDS = ("LATE", "BIN", "RINSE", "SHUTS", "KEY IT", "TRY IT", "OPEN", "CURED")
"""Words that ask somebody to do something now."""


@dataclass(frozen=True)
class Want:
    """One line of the list: the stand it is on, and what to do."""

    word: str
    stand: int | None
    tag: str
    text: str


def wants(
    parts: Iterable[tuple[Part, StandState]], pots: Iterable[Pot], now: datetime
) -> tuple[Want, ...]:
    """The list, in order of harm, then of how little time is left."""
    ranked: list[tuple[int, float, Want]] = []
    for part, state in parts:
        away = part.stand is None and state.word != "CURED"
        if state.word in WANTS_HANDS or away:
            left = state.seconds_left(now)
            ranked.append((HARM.index(state.word), _pressing(left), _want(part, state, now)))
    for pot in pots:
        if pot_word(pot, now) == "BIN":
            want = Want("BIN", None, pot.letter, f"pot {pot.letter} {pot.name}: bin it")
            ranked.append((HARM.index("BIN"), 0.0, want))
    return tuple(want for _, _, want in sorted(ranked, key=lambda entry: entry[:2]))


def _pressing(left: float | None) -> float:
    return left if left is not None else float("inf")


def _want(part: Part, state: StandState, now: datetime) -> Want:
    record = part.current()
    step = record.step.name if record else "done"
    text = {
        "LATE": f"rinse {state.zone} NOW",
        "RINSE": f"rinse {state.zone}",
        "SHUTS": f"{step}: {state.note or 'begin it'}",
        "KEY IT": f"key it, then {step}",
        "TRY IT": f"test: {state.test}",
        "OPEN": f"{step} may begin",
        "CURED": "take it off the stand",
    }.get(state.word, step)
    if state.word in ("RINSE", "SHUTS") and state.shuts_at is not None:
        left = span_words((state.shuts_at - now).total_seconds())
        text += f" by {clock_words(state.shuts_at, now)} ({left})"
    if part.stand is None:
        seen = f"last on stand {part.last_stand}" if part.last_stand else "never on a stand"
        text += f"; on no stand, {seen}"
    return Want(state.word, part.stand, part.tag, f"{part.name}: {text}")
