"""Looking ahead before a mix or a trigger: both ends of the window a step would create.

The ends are judged against the hours with somebody in, holidays and the nights that are expected.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from statistics import median

from bench.process.attendance import holidays_between, somebody_in, stays, time_attended
from bench.process.calendar import Surroundings
from bench.process.part import Part, StepRecord
from bench.process.spoken import clock_words, rounded_down, rounded_up
from bench.process.state import Clocks, stand_state
from bench.process.windows import Span, Weather, spans_of
from bench.trade.ageing import Basis, is_guess

USUAL_COAT = timedelta(minutes=30)
"""How long a coat is taken to last where none is known (common practice, no source)."""

SHORTEST_KNOWN_S = 60.0
"""First and last face nearer than this: one time was known of it, not how long it took."""

SEARCHED_DAYS = 14
SEARCH_STEP_MIN = 15

_NOT_YET = ("WET", "FLASH", "DRYING", "WAIT", "SHUT")
"""Words of a stand whose next step may not begin yet."""


@dataclass(frozen=True)
class Length:
    """How long a step is taken to last, and from how many earlier coats; none: it is assumed."""

    lasts: timedelta = USUAL_COAT
    known_from: int = 0


@dataclass(frozen=True)
class End:
    """One end of a window. attended: somebody is in then. basis: the weakest figure behind it."""

    at: datetime
    attended: bool
    basis: Basis = "sheet"
    aged: bool = False


@dataclass(frozen=True)
class Ahead:
    """The window a step would create if it were begun at ``begins``.

    at_once: begins is now, or with ``mixed`` as soon as the pot has rested; else it is the first
    moment it may begin. keyed: after keying what lies below. opens None: at these temperatures it
    never would. shuts None: it stays open. attended: how much of the window somebody is in for,
    None where it does not end. last: only its cure comes after, so that nobody has to be there.
    until: when the window it would begin in shuts. earliest: the first start, without keying what
    needs none now, that has somebody in at both ends; None: none in the days that were searched.
    """

    step: str
    length: Length
    begins: datetime
    at_once: bool
    mixed: bool
    keyed: bool
    opens: End | None
    shuts: End | None
    attended: timedelta | None
    last: bool
    earliest: datetime | None
    until: datetime | None
    holidays: tuple[date, ...]
    always_in: bool

    @property
    def both_attended(self) -> bool:
        """Whether begun so, somebody is in at both ends."""
        return _both_attended(self.opens, self.shuts)


def usual_length(seconds: Iterable[float]) -> Length:
    """The median of earlier coats of the shape, first face to last; 30 min where none is known."""
    known = [s for s in seconds if s >= SHORTEST_KNOWN_S]
    return Length(timedelta(seconds=median(known)), len(known)) if known else Length()


def look_ahead(
    part: Part,
    clocks: Clocks,
    around: Surroundings,
    now: datetime,
    length: Length,
    rest: timedelta | None = None,
) -> Ahead | None:
    """What comes of beginning the part's next step, None where there is nothing to begin.

    rest: how long a pot that is mixed now has to stand; None: nothing is mixed for it. A step whose
    time has not come is taken to begin when it has, one on hold as if it were released.
    """
    record = part.current()
    if record is None or record.step.kind == "cure" or _in_hand(record):
        return None
    free, soonest = replace(part, hold=""), now.astimezone(UTC) + (rest or timedelta(0))
    begins = _first_moment(free, clocks, soonest)
    if begins is None:
        return None
    road = _Road(free, record, clocks, around, begins, length.lasts)
    opens, shuts = road.ends(begins)
    nobody_needed = road.last or around.hours.always_in
    edge = shuts or opens
    return Ahead(
        step=record.step.name,
        length=length,
        begins=begins,
        at_once=begins == soonest,
        mixed=rest is not None,
        keyed=road.keyed,
        opens=opens,
        shuts=shuts,
        attended=time_attended(around.hours, opens.at, shuts.at) if opens and shuts else None,
        last=road.last,
        earliest=begins if nobody_needed else road.earliest(),
        until=road.until,
        holidays=holidays_between(around.hours, begins, edge.at) if edge else (),
        always_in=around.hours.always_in,
    )


def _in_hand(record: StepRecord) -> bool:
    """Begun, and no zone of it is still dry."""
    dry = record.step.kind == "dwell" and any(mark.begun_at is None for mark in record.marks)
    return record.status == "in hand" and not dry


def _first_moment(part: Part, clocks: Clocks, at: datetime) -> datetime | None:
    """The first moment from ``at`` on when the step may begin, its test once passed."""
    state = stand_state(part, clocks, at)
    while state.word in _NOT_YET:
        if state.opens_at is None or state.opens_at <= at:
            return None
        at = state.opens_at.astimezone(UTC)
        state = stand_state(part, clocks, at)
    return at


@dataclass(frozen=True)
class _Road:
    """The step about to begin, with everything that decides what becomes of it."""

    part: Part
    record: StepRecord
    clocks: Clocks
    around: Surroundings
    begins: datetime
    lasts: timedelta

    def word(self, at: datetime) -> str:
        """What the stand says at an instant."""
        return stand_state(self.part, self.clocks, at).word

    @cached_property
    def keyed(self) -> bool:
        """Its window was missed: what lies below is keyed first."""
        return self.word(self.begins) == "KEY IT"

    @cached_property
    def after(self) -> str:
        """The kind of the step after it."""
        later = (r for r in self.part.steps if r.number > self.record.number)
        return next((r.step.kind for r in later if r.status == "todo"), "cure")

    @property
    def last(self) -> bool:
        """Nothing but the cure comes after it."""
        return self.after == "cure"

    @cached_property
    def until(self) -> datetime | None:
        """When the window it would begin in shuts; a missed one is keyed and has no end."""
        if self.record.step.kind != "coat" or self.keyed:
            return None
        ends = (s.end for s in self.clocks.spans if s.word == "open" and s.end)
        return next((end for end in ends if self.begins < end), None)

    @cached_property
    def weather(self) -> Weather:
        """Temperatures drawn once, from the first face a window could count from."""
        known = self.around.weather(self.begins)
        mist = self.part.coat_first_at(self.record)
        drawn = known.temperatures(min(self.begins, mist or self.begins))
        return Weather(lambda _: drawn, known.rh_pct)

    def ends(self, start: datetime) -> tuple[End | None, End | None]:
        """Both ends of the window that beginning at ``start`` would create."""
        step = self.record.step
        if step.kind == "dwell":
            least, most = (start + timedelta(seconds=s) for s in (step.least_s, step.most_s))
            return self._end(least, None), self._end(most, None)
        done = replace(
            self.record,
            status="done",
            first_at=start,
            last_at=start + self.lasts,
            passed_at=None,
            not_before=None,
        )
        product = self.around.products.get(step.product)
        return self._of(spans_of(self.part, done, product, self.weather))

    def _of(self, spans: tuple[Span, ...]) -> tuple[End | None, End | None]:
        """The first stretch in which the next step may go on, keyed first if there is no other.

        Only a coat can come too late for what lies under it.
        """
        waited: Span | None = None
        for span in spans:
            if span.word in ("open", "key"):
                binds = span.end is not None and self.after in ("coat", "cure")
                shuts = self._end(span.end, span) if binds and span.end else None
                return self._end(span.start, waited), shuts
            if span.never:
                break
            waited = span
        return None, None

    def _end(self, at: datetime, why: Span | None) -> End:
        """An end, with the span whose figure it rests on; without any reading it is a guess."""
        attended = somebody_in(self.around.hours, at)
        if why is None:
            return End(at, attended)
        unread = why.aged and not self.around.readings
        return End(at, attended, "guess" if unread else why.basis, why.aged)

    def earliest(self) -> datetime | None:
        """The first start in hours, its own window open, with somebody in at both ends."""
        shut_out = _NOT_YET if self.keyed else (*_NOT_YET, "KEY IT")
        for start in self._starts():
            if self.word(start) not in shut_out and _both_attended(*self.ends(start)):
                return start
        return None

    def _starts(self) -> Iterator[datetime]:
        """The first moment itself, then every quarter of an hour; begun and finished in hours."""
        for opened, closed in stays(self.around.hours, self.begins, SEARCHED_DAYS + 1):
            start = max(opened, self.begins)
            last = min(closed - self.lasts, self.begins + timedelta(days=SEARCHED_DAYS))
            while start <= last:
                yield start
                start = rounded_up(start + timedelta(seconds=1), SEARCH_STEP_MIN)


def _both_attended(opens: End | None, shuts: End | None) -> bool:
    return opens is not None and opens.attended and (shuts is None or shuts.attended)


# --- in words ------------------------------------------------------------------------------------


def ahead_words(ahead: Ahead, now: datetime) -> str:
    """One line. now: in the shop's zone."""
    begun = _begun_words(ahead, now)
    if ahead.opens is None:
        return f"{begun}: at these temperatures it would not open."
    opens, shuts = ahead.opens, ahead.shuts
    minded = not (ahead.last or ahead.always_in)
    nobody = minded and not ahead.both_attended and ahead.attended == timedelta(0)
    told = f"{begun}: opens {_clock(opens, now, up=True)}"
    if minded and not nobody and not opens.attended:
        told += " (nobody in)"
    if shuts is not None:
        told += f", shuts {_clock(shuts, now, up=False)}"
        if minded and not nobody and not shuts.attended:
            told += " (nobody in)"
    told += ": nobody in." if nobody else "."
    if ahead.last:
        return f"{told} After it only the cure."
    if minded and ahead.holidays:
        told += f" {_holiday_words(ahead.holidays)}"
    if minded and not ahead.both_attended:
        told += f" {_advice(ahead, now)}"
    return told


def length_words(length: Length) -> str:
    """How long the step was taken to last, and why."""
    lasts = f"it is taken to last {length.lasts.total_seconds() / 60:.0f} min"
    if not length.known_from:
        return f"{lasts}: assumed"
    coats = "coat" if length.known_from == 1 else "coats"
    return f"{lasts}: the middle of {length.known_from} earlier {coats} of this shape"


def _begun_words(ahead: Ahead, now: datetime) -> str:
    at = clock_words(ahead.begins, now)
    keyed = "keyed and " if ahead.keyed else ""
    if not ahead.at_once:
        return f"if {keyed}begun when it may, {at}"
    return f"if mixed now and {keyed}begun {at}" if ahead.mixed else f"if {keyed}begun now"


def _advice(ahead: Ahead, now: datetime) -> str:
    if ahead.earliest is not None:
        return f"Begin after {clock_words(ahead.earliest, now)}."
    if ahead.until is not None and ahead.until <= ahead.begins + timedelta(days=SEARCHED_DAYS):
        return f"No start before it shuts {clock_words(ahead.until, now)} has both in hours."
    return f"No start in {SEARCHED_DAYS} days has both in hours."


def _holiday_words(holidays: tuple[date, ...]) -> str:
    days = ", ".join(f"{day:%a %d %b}" for day in holidays[:3])
    return f"Holiday: {days}{' ...' if len(holidays) > 3 else ''}."


def _clock(end: End, now: datetime, *, up: bool) -> str:
    """The hour, an estimate rounded to the safe side and a guess called one."""
    rounded = rounded_up(end.at) if up else rounded_down(end.at)
    mark = " (a guess)" if is_guess(end.basis) else ""
    return clock_words(rounded if end.aged else end.at, now) + mark
