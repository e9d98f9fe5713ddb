"""What raises an alarm, what comes first, and when an answered one comes back.

Six words of a stand alarm, work in hand for unusually long, BIN of a pot, a gun with two-pack paint
in it shortly before it must be flushed and again when it should have been, COLD: a coat not
yet through its wait that is under its minimum or through the dew point, and PROBE: a probe's jump
that a painter is asked about. Harm orders them, never the
time that is left.
What only ends a wait is quiet: OPEN and CURED (nothing spoils), BIN BY (the pot is still good, and
its line says so), and the end of the clearance time (there only "too early" does harm, and the
bench must not be what tells somebody to take a mask off). A hold stops the nagging, not the clocks:
its word is HOLD, and only a wash goes on as RINSE or RINSE NOW.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from bench.process.ahead.cold_nights import Cold
from bench.process.attention.todo_list import (
    Task,
    cold_task,
    cold_urgency,
    forgotten_task,
    gun_task,
    gun_urgency,
    pot_task,
    probe_want,
    task_of,
    urgency,
)
from bench.process.clocks.pots import FLUSH_SOON_S, Gun, Pot, pot_word
from bench.process.clocks.stand_state import (
    HARM,
    StandState,
    closed_middle_before,
    closing_notice,
    span_at,
)
from bench.process.clocks.temperature import UnansweredJump
from bench.process.clocks.windows import Span
from bench.process.parts.part import Part
from bench.process.wording.display_units import METRIC, ShopUnits

ALARMS = ("RINSE NOW", "RINSE", "BIN", "CLOSING", "ABRADE", "KEEP OFF", "TEST")
"""The words of stands and pots that alarm, most harm first."""

RUINING = ("RINSE NOW", "BIN")
"""Being ruined now: dangerous if late."""

AGAIN_S: Mapping[str, float] = {
    "RINSE NOW": 2 * 60,
    "BIN": 2 * 60,
    "RINSE": 2 * 60,
    "CLOSING": 10 * 60,
    "GUN": 10 * 60,
    "COLD": 30 * 60,
    "TEST": 30 * 60,
    "PROBE": 30 * 60,
    "WORKING": 60 * 60,
}
"""How long after its answer an alarm comes back if nothing was done (common practice, no source).

ABRADE and KEEP OFF are answered once: the window is gone already, and waiting makes it no worse.
"""

JUST_ASKED_S = 10 * 60
"""So long the test of a step that leaves nothing to wait for is quiet: whoever ended the step is
looking at it (common practice, no source)."""

AWAY_S = 10 * 60
"""Nobody pressed a key for so long: nobody was there (common practice, no source)."""


@dataclass(frozen=True)
class Cause:
    """Tells one alarm from another: whose clock, its word, and the instant that clock began.

    The clock's beginning and not the hour it ran out: that hour moves with every new reading, and a
    window that closes a minute sooner than thought is no second alarm.
    """

    who: str
    word: str
    clock_began: datetime


@dataclass(frozen=True)
class Alarm:
    """Holds one alarm: the word that raised it. since: when the word was reached."""

    cause: Cause
    want: Task
    since: datetime

    @property
    def place(self) -> str:
        """Return the stand's number, else the pot, the gun or the air, else where it is not."""
        if self.want.stand is not None:
            return str(self.want.stand)
        if self.want.word == "PROBE":
            return "air"
        kind = {"BIN": "pot", "GUN": "gun"}.get(self.want.word)
        return f"{kind} {self.want.tag}" if kind else "no stand"

    @property
    def where(self) -> str:
        """Return its place as it stands in a sentence."""
        return self.place if self.want.stand is None else f"stand {self.place}"


@dataclass(frozen=True)
class Alarms:
    """Holds what one terminal knows of alarms, in memory only: after a restart all come again.

    up: raised and not answered, most harm first; answered_s: when, in seconds of a counter that
    never jumps; away: those of ``up`` that were reached while nobody was there.
    """

    up: tuple[Alarm, ...] = ()
    answered_s: Mapping[Cause, float] = field(default_factory=dict)
    away: frozenset[Cause] = frozenset()

    def while_away(self) -> tuple[Alarm, ...]:
        """Return the list for whoever comes back, most harm first."""
        return tuple(alarm for alarm in self.up if alarm.cause in self.away)

    def next_answered(self, stood: Collection[Cause]) -> tuple[Alarm, ...]:
        """Return what one key answers: the topmost, or the whole away list if the topmost is on it.

        stood: what has stood long enough to be read; the rest is not answered.
        """
        readable = tuple(alarm for alarm in self.up if alarm.cause in stood)
        if readable and readable[0].cause in self.away:
            return tuple(alarm for alarm in readable if alarm.cause in self.away)
        return readable[:1]


def current_alarms(
    parts: Iterable[tuple[Part, StandState]],
    pots: Iterable[Pot],
    now: datetime,
    guns: Iterable[Gun] = (),
    question_times: Mapping[str, datetime] | None = None,
    cold: Iterable[tuple[Part, Sequence[Cold]]] = (),
    jump: UnansweredJump | None = None,
    units: ShopUnits = METRIC,
) -> tuple[Alarm, ...]:
    """Return every alarm that holds at ``now``, answered or not, most harm first.

    question_times: when the bench asks about work in hand, by the part's tag; jump: of a probe,
    that a painter is asked about; units: the shop's own.
    """
    ranked: list[tuple[tuple[int, float], Alarm]] = []
    for part, state in parts:
        if state.word in ALARMS and not _is_quiet(part, state, now):
            ranked.append((urgency(state, now), _alarm(part, state, now)))
        since = (question_times or {}).get(part.tag)
        if state.word == "WORKING" and since is not None and now >= since:
            ranked.append((urgency(state, now), _lingers(part, state, since, now)))
    for pot in pots:
        if pot_word(pot, now) == "BIN" and pot.bin_by is not None:
            cause = Cause(f"pot {pot.letter}", "BIN", pot.mixed_at)
            left_s = (pot.bin_by - now).total_seconds()
            ranked.append(((HARM.index("BIN"), left_s), Alarm(cause, pot_task(pot), pot.bin_by)))
    for gun in guns:
        rank = gun_urgency(gun, now)
        if rank is not None and gun.flush_by is not None:
            overdue = now >= gun.flush_by
            since = gun.flush_by if overdue else gun.flush_by - timedelta(seconds=FLUSH_SOON_S)
            who = f"gun {gun.letter}{' overdue' if overdue else ''}"
            ranked.append((rank, Alarm(Cause(who, "GUN", gun.flush_by), gun_task(gun, now), since)))
    for part, stretches in cold:
        for stretch in stretches:
            if stretch.holds(now):
                ranked.append((cold_urgency(stretch, now), _is_cold(part, stretch, now)))
    if jump is not None:
        asks = Alarm(Cause("probe", "PROBE", jump.since), probe_want(jump, units), jump.since)
        ranked.append(((HARM.index("TEST"), float("inf")), asks))
    return tuple(alarm for _, alarm in sorted(ranked, key=lambda entry: entry[0]))


def _is_quiet(part: Part, state: StandState, now: datetime) -> bool:
    """Return whether a word raises no alarm: nothing was missed, or the test is only just due."""
    if state.word == "KEEP OFF":
        # A window went by only where a coat was to go on: else KEEP OFF is how the sheet goes on.
        return state.missed is None
    finished = part.clock_step()
    asked_at = finished.last_at if finished is not None and state.word == "TEST" else None
    if asked_at is None or state.target != asked_at:
        return False
    return now < asked_at + timedelta(seconds=JUST_ASKED_S)


def _alarm(part: Part, state: StandState, now: datetime) -> Alarm:
    finished = part.clock_step()
    since = _since(state, now)
    who, clock_began = f"tag {part.tag}", (finished.last_at if finished else None) or since
    if state.word == "TEST" and closed_middle_before(
        [span for span in state.spans if _over(span, now)]
    ):
        who += " after its closed middle"
    if state.zone:
        record = part.current()
        beginnings = [m.begun_at for m in record.marks if m.name == state.zone] if record else []
        who, clock_began = f"{who} {state.zone}", next((at for at in beginnings if at), since)
    return Alarm(Cause(who, state.word, clock_began), task_of(part, state, now), since)


def _is_cold(part: Part, stretch: Cold, now: datetime) -> Alarm:
    """Return the alarm of a fresh coat in the cold.

    Its hour starts again with a reading, the coat's clock does not.
    """
    current, finished = part.current(), part.clock_step()
    coat = current if current is not None and current.status == "in hand" else finished
    since = stretch.begins.at
    clock_began = (part.coat_first_at(coat) if coat is not None else None) or since
    cause = Cause(f"tag {part.tag} {stretch.limit}", "COLD", clock_began)
    return Alarm(cause, cold_task(part, stretch, now), since)


def _over(span: Span, now: datetime) -> bool:
    return span.end is not None and span.end <= now


def _lingers(part: Part, state: StandState, since: datetime, now: datetime) -> Alarm:
    """Work that is in hand for so long that it was perhaps only forgotten to say it is done."""
    began_at = state.target or since
    cause = Cause(f"tag {part.tag}", state.word, began_at)
    return Alarm(cause, forgotten_task(part, state, now), since)


def _since(state: StandState, now: datetime) -> datetime:
    """Return when the word was reached."""
    if state.word == "RINSE":
        return state.opens.at if state.opens else now
    here = span_at(state.spans, now)
    if state.word == "CLOSING" and here is not None and here.end is not None:
        return max(here.start, here.end - closing_notice(here))
    if state.word == "KEEP OFF" and here is not None:
        return here.start
    return state.target or now


def update_alarms(
    previous: Alarms, holding: tuple[Alarm, ...], now: datetime, at_s: float, gone_s: float | None
) -> tuple[Alarms, tuple[Alarm, ...]]:
    """Give the alarms at ``now``, and those among them that were just raised, for bell and sounder.

    holding: what ``current_alarms`` found. at_s: the counter that never jumps. gone_s: for how long
    nobody was there, None while somebody is. An answer is forgotten when its alarm holds no longer,
    so the same word reached again is a new alarm.
    """
    causes_now = {alarm.cause for alarm in holding}
    answered_s = {cause: s for cause, s in previous.answered_s.items() if cause in causes_now}
    up = tuple(alarm for alarm in holding if _is_due(alarm.cause, answered_s, at_s))
    before, causes = ({alarm.cause for alarm in alarms} for alarms in (previous.up, up))
    risen = tuple(alarm for alarm in up if alarm.cause not in before)
    away = previous.away & causes
    if gone_s is not None:
        away |= {
            alarm.cause
            for alarm in up
            if alarm.cause not in answered_s and (now - alarm.since).total_seconds() <= gone_s
        }
    return Alarms(up, answered_s, away), risen


def _is_due(cause: Cause, answered_s: Mapping[Cause, float], at_s: float) -> bool:
    if cause not in answered_s:
        return True
    again_s = AGAIN_S.get(cause.word)
    return again_s is not None and at_s - answered_s[cause] >= again_s


def answer_alarms(alarms: Alarms, answered: Iterable[Alarm], at_s: float) -> Alarms:
    """Return the alarms with these answered: they come back later if they still hold."""
    causes = {alarm.cause for alarm in answered}
    return replace(
        alarms,
        up=tuple(alarm for alarm in alarms.up if alarm.cause not in causes),
        answered_s={**alarms.answered_s, **dict.fromkeys(causes, at_s)},
        away=alarms.away - causes,
    )
