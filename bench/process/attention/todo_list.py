"""What to do next, what does most harm if it is left coming first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.ahead.cold_nights import Cold, next_cold
from bench.process.clocks.pots import FLUSH_SOON_S, Gun, Pot, gun_left_s, pot_word
from bench.process.clocks.reading_doubts import jump_words
from bench.process.clocks.stand_state import HARM, StandState
from bench.process.clocks.temperature import UnansweredJump
from bench.process.parts.part import Part
from bench.process.wording.display_units import METRIC, ShopUnits
from bench.process.wording.time_text import HOUR, format_clock, format_duration

WANTS_HANDS = ("RINSE NOW", "RINSE", "BIN", "CLOSING", "ABRADE", "TEST", "OPEN", "CURED")
"""Words that ask somebody to do something now."""


@dataclass(frozen=True)
class Task:
    """Holds one line of the list: the stand it is on, and what to do."""

    word: str
    stand: int | None
    tag: str
    text: str


def tasks(
    parts: Iterable[tuple[Part, StandState]],
    pots: Iterable[Pot],
    now: datetime,
    guns: Iterable[Gun] = (),
    cold: Iterable[tuple[Part, Sequence[Cold]]] = (),
    late: Iterable[Task] = (),
) -> tuple[Task, ...]:
    """Return the to-do list in order of harm, then of how little time is left.

    late: what the agreed plan has begun before now.
    """
    ranked: list[tuple[tuple[int, float], Task]] = []
    for part, state in parts:
        away = part.stand is None and state.word != "CURED"
        if state.word in WANTS_HANDS or away:
            ranked.append((urgency(state, now), task_of(part, state, now)))
    for pot in pots:
        if pot_word(pot, now) == "BIN":
            ranked.append(((HARM.index("BIN"), 0.0), pot_task(pot)))
    for gun in guns:
        rank = gun_urgency(gun, now)
        if rank is not None:
            ranked.append((rank, gun_task(gun, now)))
    for part, stretches in cold:
        ranked += [
            (cold_urgency(c, now), cold_task(part, c, now)) for c in next_cold(stretches, now)
        ]
    ranked += [((HARM.index("OPEN"), float("-inf")), want) for want in late]
    return tuple(want for _, want in sorted(ranked, key=lambda entry: entry[0]))


def is_near(state: StandState, now: datetime) -> bool:
    """Return whether the number of a stand is of this hour: of the next, or of the last."""
    left_s = state.seconds_left(now)
    return left_s is not None and abs(left_s) <= HOUR


def is_soon(state: StandState, now: datetime) -> bool:
    """Return whether a stand asks for hands now, or its countdown ends within the hour."""
    return state.word in WANTS_HANDS or (state.counts == "down" and is_near(state, now))


def urgency(state: StandState, now: datetime) -> tuple[int, float]:
    """Return a sort key: most harm first, then least time left."""
    left_s = state.seconds_left(now)
    return HARM.index(state.word), left_s if left_s is not None else float("inf")


def gun_urgency(gun: Gun, now: datetime) -> tuple[int, float] | None:
    """Return a gun's urgency: like a pot once it is due, like a closing window shortly before."""
    left_s = gun_left_s(gun, now)
    if left_s is None or left_s > FLUSH_SOON_S:
        return None
    return HARM.index("BIN" if left_s <= 0 else "CLOSING"), left_s


def pot_task(pot: Pot) -> Task:
    """Return the task of a pot past its life, or off its ratio: bin it."""
    why = f": {pot.off}" if pot.off else ""
    return Task("BIN", None, pot.letter, f"pot {pot.letter} {pot.name}: bin it{why}")


def gun_task(gun: Gun, now: datetime) -> Task:
    """Return the task of a gun with two-pack paint in it: flush it before it is lost."""
    left_s = gun_left_s(gun, now) or 0.0
    hour = gun.end.words(now) if gun.end else ""
    when = f"by {hour} ({format_duration(left_s)})" if left_s > 0 else f"NOW, it was due {hour}"
    return Task("GUN", None, gun.letter, f"flush every gun of pot {gun.letter} {gun.name} {when}")


def forgotten_task(part: Part, state: StandState, now: datetime) -> Task:
    """Return the question about work that is in hand unusually long."""
    record = part.current()
    step = record.step.name if record else "done"
    since = f" {format_clock(state.target, now)}" if state.target else ""
    text = f"{part.name}: {step} started{since}: still working? If not, finish it"
    return Task(state.word, part.stand, part.tag, text)


def cold_urgency(cold: Cold, now: datetime) -> tuple[int, float]:
    """Return a cold coat's urgency: after windows that close; while it is ahead, before OPEN."""
    return HARM.index("CLOSING" if cold.holds(now) else "TEST"), float("inf")


def cold_task(part: Part, cold: Cold, now: datetime) -> Task:
    """Return the task of a coat that is or will be too cold. now: in the shop's zone."""
    return Task("COLD", part.stand, part.tag, f"{part.name}: {cold.words(now)}")


def probe_want(jump: UnansweredJump, units: ShopUnits = METRIC) -> Task:
    """Return the question about a probe's jump that nobody answered."""
    return Task("PROBE", None, "", jump_words(jump, units))


def cold_tasks(cold: Iterable[tuple[Part, Sequence[Cold]]], now: datetime) -> tuple[Task, ...]:
    """Return the coats that are, or within a day will be, too cold. now: in the shop's zone."""
    return tuple(
        cold_task(part, stretch, now)
        for part, stretches in cold
        for stretch in next_cold(stretches, now)
    )


def task_of(part: Part, state: StandState, now: datetime) -> Task:
    """Return the task of a part, in words."""
    record = part.current()
    step = record.step.name if record else "done"
    cures = record is not None and record.step.kind == "cure"
    text = {
        "RINSE NOW": f"rinse {state.zone} NOW",
        "RINSE": f"rinse {state.zone}",
        "CLOSING": f"{step}: {state.note or 'start it'}",
        "ABRADE": f"abrade, then {step}",
        "KEEP OFF": f"{step}: keep off{_until(state, now)}",
        "TEST": f"test: {state.test}",
        "OPEN": f"{step}: {state.note}" if cures else f"{step} can start",
        "CURED": "take it off the stand",
    }.get(state.word, step)
    if state.word in ("RINSE", "CLOSING") and state.closes is not None:
        text += f" by {state.closes.words(now)} ({format_duration(state.closes.left_s(now))})"
    if part.stand is None:
        place = f"last on stand {part.last_stand}" if part.last_stand else "never on a stand"
        text += f"; on no stand, {place}"
    return Task(state.word, part.stand, part.tag, f"{part.name}: {text}")


def _until(state: StandState, now: datetime) -> str:
    return f", opens {state.opens.words(now)}" if state.opens else ""
