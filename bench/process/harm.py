"""What to do next, what does most harm if it is left coming first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from bench.process.belief import jump_words
from bench.process.night import Cold, next_cold
from bench.process.part import Part
from bench.process.pots import FLUSH_SOON_S, Gun, Pot, gun_left_s, pot_word
from bench.process.shopunits import METRIC, ShopUnits
from bench.process.spoken import clock_words, span_words
from bench.process.state import HARM, StandState
from bench.process.temperature import Unanswered

WANTS_HANDS = ("RINSE NOW", "BIN", "RINSE", "CLOSING", "ABRADE", "TEST", "OPEN", "CURED")
"""Words that ask somebody to do something now."""


@dataclass(frozen=True)
class Want:
    """One line of the list: the stand it is on, and what to do."""

    word: str
    stand: int | None
    tag: str
    text: str


def wants(
    parts: Iterable[tuple[Part, StandState]],
    pots: Iterable[Pot],
    now: datetime,
    guns: Iterable[Gun] = (),
    cold: Iterable[tuple[Part, Sequence[Cold]]] = (),
) -> tuple[Want, ...]:
    """The list, in order of harm, then of how little time is left."""
    ranked: list[tuple[tuple[int, float], Want]] = []
    for part, state in parts:
        away = part.stand is None and state.word != "CURED"
        if state.word in WANTS_HANDS or away:
            ranked.append((harm_of(state, now), want_of(part, state, now)))
    for pot in pots:
        if pot_word(pot, now) == "BIN":
            ranked.append(((HARM.index("BIN"), 0.0), pot_want(pot)))
    for gun in guns:
        rank = gun_harm(gun, now)
        if rank is not None:
            ranked.append((rank, gun_want(gun, now)))
    for part, stretches in cold:
        ranked += [(cold_harm(c, now), cold_want(part, c, now)) for c in next_cold(stretches, now)]
    return tuple(want for _, want in sorted(ranked, key=lambda entry: entry[0]))


def harm_of(state: StandState, now: datetime) -> tuple[int, float]:
    """What sorts most harm first, then least time left."""
    left = state.seconds_left(now)
    return HARM.index(state.word), left if left is not None else float("inf")


def gun_harm(gun: Gun, now: datetime) -> tuple[int, float] | None:
    """The same for a gun: like a pot once it is due, like a window that closes shortly before."""
    left = gun_left_s(gun, now)
    if left is None or left > FLUSH_SOON_S:
        return None
    return HARM.index("BIN" if left <= 0 else "CLOSING"), left


def pot_want(pot: Pot) -> Want:
    """What a pot past its life wants."""
    return Want("BIN", None, pot.letter, f"pot {pot.letter} {pot.name}: bin it")


def gun_want(gun: Gun, now: datetime) -> Want:
    """What a gun with two-pack paint in it wants before it is lost."""
    left = gun_left_s(gun, now) or 0.0
    due = gun.end.words(now) if gun.end else ""
    when = f"by {due} ({span_words(left)})" if left > 0 else f"NOW, it was due {due}"
    return Want("GUN", None, gun.letter, f"flush the gun of pot {gun.letter} {gun.name} {when}")


def lingering_want(part: Part, state: StandState, now: datetime) -> Want:
    """What is asked of work that is in hand unusually long."""
    record = part.current()
    step = record.step.name if record else "done"
    begun = f" {clock_words(state.target, now)}" if state.target else ""
    text = f"{part.name}: {step} started{begun}: still working? If not, finish it"
    return Want(state.word, part.stand, part.tag, text)


def cold_harm(cold: Cold, now: datetime) -> tuple[int, float]:
    """The same for a coat in the cold: after windows that close; while it is ahead before OPEN."""
    return HARM.index("CLOSING" if cold.holds(now) else "TEST"), float("inf")


def cold_want(part: Part, cold: Cold, now: datetime) -> Want:
    """What a coat that is or will be too cold wants. now: in the shop's zone."""
    return Want("COLD", part.stand, part.tag, f"{part.name}: {cold.words(now)}")


def probe_want(jump: Unanswered, units: ShopUnits = METRIC) -> Want:
    """What a probe's jump wants that nobody answered."""
    return Want("PROBE", None, "", jump_words(jump, units))


def cold_wants(cold: Iterable[tuple[Part, Sequence[Cold]]], now: datetime) -> tuple[Want, ...]:
    """The coats that are, or within a day will be, too cold. now: in the shop's zone."""
    return tuple(
        cold_want(part, stretch, now)
        for part, stretches in cold
        for stretch in next_cold(stretches, now)
    )


def want_of(part: Part, state: StandState, now: datetime) -> Want:
    """What a part wants, in words."""
    record = part.current()
    step = record.step.name if record else "done"
    text = {
        "RINSE NOW": f"rinse {state.zone} NOW",
        "RINSE": f"rinse {state.zone}",
        "CLOSING": f"{step}: {state.note or 'start it'}",
        "ABRADE": f"abrade, then {step}",
        "KEEP OFF": f"{step}: keep off{_until(state, now)}",
        "TEST": f"test: {state.test}",
        "OPEN": f"{step} can start",
        "CURED": "take it off the stand",
    }.get(state.word, step)
    if state.word in ("RINSE", "CLOSING") and state.closes is not None:
        text += f" by {state.closes.words(now)} ({span_words(state.closes.left_s(now))})"
    if part.stand is None:
        seen = f"last on stand {part.last_stand}" if part.last_stand else "never on a stand"
        text += f"; on no stand, {seen}"
    return Want(state.word, part.stand, part.tag, f"{part.name}: {text}")


def _until(state: StandState, now: datetime) -> str:
    return f", opens {state.opens.words(now)}" if state.opens else ""
