"""Looking ahead before a mix or a trigger: both ends of the window a step would create.

The ends are judged against the hours with somebody in, holidays and the nights that are expected.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import cached_property

from bench.process.ahead.attendance import holidays_between, somebody_in, stays, time_attended
from bench.process.ahead.cold_nights import Cold, cold_stretches, dew_point_of, next_cold
from bench.process.clocks.edges import Edge, next_edge
from bench.process.clocks.part_clocks import Environment, clocks_after
from bench.process.clocks.stand_state import Clocks, stand_state
from bench.process.clocks.temperature import Hours
from bench.process.clocks.windows import SHIFT, Weather, leaves_no_window
from bench.process.parts.durations import Length
from bench.process.parts.part import Part, StepRecord, step_as_finished
from bench.process.refusals import rules
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import round_up
from bench.trade.ageing import Side

USUAL_COAT = timedelta(minutes=30)
"""How long a coat is taken to last where none is known (common practice, no source)."""

MIXING = timedelta(minutes=30)
"""How long the next coat's mixing is taken to last (common practice, no source)."""

NO_WINDOW = rules.NO_WINDOW.refuses(
    "No window at this temperature", "", "warm the shop or type the sheet's figures"
)
"""Said where what a step leaves would close before it opens, or never open."""

SEARCHED_DAYS = 14
SEARCH_STEP_MIN = 15

_NOT_YET = ("WET", "FLASH", "DRYING", "WAIT", "KEEP OFF")
"""Words of a stand whose next step may not begin yet."""


@dataclass(frozen=True)
class End:
    """Holds one end of a window. attended: somebody is in then."""

    edge: Edge
    attended: bool


@dataclass(frozen=True)
class Ahead:
    """The window a step would create if it were begun at ``begins``.

    at_once: begins is now, or with ``mixed`` as soon as the pot has rested; else it is where the
    step opens, at the minute people see. keyed: after keying what lies below. dwell: a wash, whose
    window is for rinsing it. opens None: at these temperatures it
    never would; no_window: for that reason, or because it would close before it opens. closes None:
    it stays open. attended: how much of the window somebody is in for, None where it does not end;
    enough: that leaves time for the next step. last: only its cure comes after, so that nobody has
    to be there. until: where the window it would begin in closes. cold: the cold stretches ahead of
    a coat that is begun so. earliest: the first start, without keying what needs none now, that
    leaves enough; None: none in the days that were searched.
    """

    step: str
    length: Length
    begins: Edge
    at_once: bool
    mixed: bool
    keyed: bool
    dwell: bool
    opens: End | None
    closes: End | None
    no_window: bool
    attended: timedelta | None
    enough: bool
    last: bool
    earliest: Edge | None
    until: Edge | None
    holidays: tuple[date, ...]
    always_in: bool
    cold: tuple[Cold, ...] = ()


def look_ahead(
    part: Part,
    clocks: Clocks,
    around: Environment,
    now: datetime,
    length: Length,
    rest: timedelta | None = None,
) -> Ahead | None:
    """Return what comes of beginning the part's next step, None where there is nothing to begin.

    rest: how long a pot that is mixed now has to stand; None: nothing is mixed for it. A step whose
    time has not come is taken to begin when it has, one on hold as if it were released.
    """
    road = _road(part, clocks, around, now, length, rest)
    if road is None:
        return None
    record, begins = road.record, road.begins
    at_once = begins.at == _soonest(now, rest)
    opens, closes = road.ends(begins.at if at_once else begins.shown)
    nobody_needed = road.last or around.hours.always_in or record.step.kind == "dwell"
    end = closes or opens
    return Ahead(
        step=record.step.name,
        length=length,
        begins=begins,
        at_once=at_once,
        mixed=rest is not None,
        keyed=road.keyed,
        dwell=record.step.kind == "dwell",
        opens=opens,
        closes=closes,
        no_window=road.has_no_window(begins.at),
        attended=_attended(around.hours, opens, closes),
        enough=nobody_needed or road.leaves_enough(opens, closes),
        last=road.last,
        earliest=begins if nobody_needed else road.earliest(),
        until=road.until,
        holidays=holidays_between(around.hours, begins.at, end.edge.at) if end else (),
        always_in=around.hours.always_in,
        cold=road.cold(),
    )


def _road(
    part: Part,
    clocks: Clocks,
    around: Environment,
    now: datetime,
    length: Length,
    rest: timedelta | None,
) -> _Road | None:
    record = part.current()
    if record is None or record.step.kind == "cure" or _in_hand(record):
        return None
    free = replace(part, hold="")
    begins = _first_moment(free, clocks, _soonest(now, rest), now)
    if begins is None:
        return None
    return _Road(free, record, clocks, around, now, begins, length.lasts)


def _soonest(now: datetime, rest: timedelta | None) -> datetime:
    return now.astimezone(UTC) + (rest or timedelta(0))


def leaves_a_window(
    part: Part,
    clocks: Clocks,
    around: Environment,
    now: datetime,
    length: Length,
    rest: timedelta | None = None,
) -> bool:
    """Return whether the part's next step, begun as in ``look_ahead``, would leave a window."""
    road = _road(part, clocks, around, now, length, rest)
    return road is None or not road.has_no_window(road.begins.at)


def window_against(
    part: Part, record: StepRecord, around: Environment, start: datetime, lasts: timedelta
) -> tuple[Refusal, ...]:
    """Return why not to begin a step at ``start``: it leaves no window. Empty where it leaves one.

    lasts: from its first face to its last.
    """
    return (NO_WINDOW,) if _is_without(part, record, around, start, lasts) else ()


def mix_against(windows: Iterable[bool]) -> tuple[Refusal, ...]:
    """Return why not to mix: no coat that waits for it would leave a window. Empty where one does.

    windows: for each part that waits for the mix, whether its coat would leave one.
    """
    leaves_window = list(windows)
    return (NO_WINDOW,) if leaves_window and not any(leaves_window) else ()


def _is_without(
    part: Part,
    record: StepRecord,
    around: Environment,
    start: datetime,
    lasts: timedelta,
    weather: Weather | None = None,
) -> bool:
    """Return whether a step begun at ``start``, or a build that continues it, leaves no window.

    weather: the temperatures it has, where they are drawn already.
    """
    if record.step.kind == "dwell":
        return False
    for each in part.coat_to_come(record):
        clocks = clocks_after(
            part, step_as_finished(each, start, start + lasts), around, weather=weather
        )
        product = around.products.get(each.step.product)
        if leaves_no_window(part, each, product, clocks.spans):
            return True
    return False


def _attended(hours: Hours, opens: End | None, closes: End | None) -> timedelta | None:
    return time_attended(hours, opens.edge.at, closes.edge.at) if opens and closes else None


def _in_hand(record: StepRecord) -> bool:
    """Return whether it is begun with no zone of it still dry."""
    dry = record.step.kind == "dwell" and any(mark.begun_at is None for mark in record.marks)
    return record.status == "in hand" and not dry


def _first_moment(part: Part, clocks: Clocks, at: datetime, now: datetime) -> Edge | None:
    """Return when the step opens, its test once passed; ``at`` itself where it is open."""
    edge = clocks.fixed(at, "opening")
    while stand_state(part, clocks, edge.at).word in _NOT_YET:
        opens = next_edge(clocks.turns(now), "opening", edge.at)
        if opens is None:
            return None
        edge = replace(opens, at=opens.at.astimezone(UTC))
    return edge


@dataclass(frozen=True)
class _Road:
    """The step about to begin, with everything that decides what becomes of it."""

    part: Part
    record: StepRecord
    clocks: Clocks
    around: Environment
    now: datetime
    begins: Edge
    lasts: timedelta

    def word(self, at: datetime) -> str:
        """Return what the stand says at an instant."""
        return stand_state(self.part, self.clocks, at).word

    @cached_property
    def keyed(self) -> bool:
        """Return whether its window was missed, so that what lies below is abraded first."""
        return self.word(self.begins.at) == "ABRADE"

    @property
    def after(self) -> str:
        """Return the kind of the step after it."""
        return self.part.kind_after(self.record)

    @property
    def last(self) -> bool:
        """Return whether nothing but the cure comes after it."""
        return self.after == "cure"

    @cached_property
    def until(self) -> Edge | None:
        """Return where the window it would begin in closes; a missed window has no end."""
        if self.record.step.kind != "coat" or self.keyed:
            return None
        return next_edge(self.clocks.turns(self.now), "closing", self.begins.at)

    @cached_property
    def weather(self) -> Weather:
        """Return the temperatures drawn once, from the first face a window could count from."""
        begins = self.begins.at
        product = self.around.products.get(self.record.step.product)
        is_coat = product is not None and self.record.step.kind == "coat"
        weather = self.around.weather(product.limits if product and is_coat else None)
        mist = self.part.coat_first_at(self.record)
        first = min(begins, mist or begins)
        return Weather(lambda _, side: weather.temperatures(first, side), weather.dry_until)

    def ends(self, start: datetime) -> tuple[End | None, End | None]:
        """Return both ends of the window that beginning at ``start`` would create."""
        step = self.record.step
        if step.kind == "dwell":
            least, most = (start + timedelta(seconds=s) for s in (step.least_s, step.most_s))
            return self._fixed(least, "opening"), self._fixed(most, "closing")
        return self._of(self._clocks(start))

    def has_no_window(self, start: datetime) -> bool:
        """Give whether the step that comes next would find nothing between opening and closing."""
        return _is_without(self.part, self.record, self.around, start, self.lasts, self.weather)

    def cold(self) -> tuple[Cold, ...]:
        """Return the cold stretches a coat begun at the first moment would stand in."""
        if self.record.step.kind != "coat":
            return ()
        start = self.begins.at
        coat, dew = self._as_finished(start), dew_point_of(self.around, self.now)
        stretches = cold_stretches(coat, self._clocks(start), start, self.around, dew, self.now)
        return next_cold(stretches, start)

    def _as_finished(self, start: datetime) -> StepRecord:
        return step_as_finished(self.record, start, start + self.lasts)

    def _clocks(self, start: datetime) -> Clocks:
        """Return the clocks of the step as if it were begun then and finished."""
        record = self._as_finished(start)
        return clocks_after(
            self.part, record, self.around, weather=self.weather, doubtful=self.clocks.doubtful
        )

    def _of(self, clocks: Clocks) -> tuple[End | None, End | None]:
        """Return both ends of the first window of the next step, keyed first if there is no other.

        Only a coat can come too late for what lies under it.
        """
        words = [span.word for span in clocks.spans]
        place = next((n for n, word in enumerate(words) if word in ("open", "key")), None)
        if place is None:
            return None, None
        binds = self.after in ("coat", "cure")
        closes = clocks.edge(clocks.spans[place], self.now) if binds else None
        return self._end(clocks.began(place, self.now)), self._end(closes) if closes else None

    def _fixed(self, at: datetime, side: Side) -> End:
        return self._end(self.clocks.fixed(at, side))

    def _end(self, edge: Edge) -> End:
        return End(edge, somebody_in(self.around.hours, edge.at))

    def leaves_enough(self, opens: End | None, closes: End | None) -> bool:
        """Give whether somebody is in for as long as the next step takes, or for the whole window.

        A shift is always enough.
        """
        attended = _attended(self.around.hours, opens, closes)
        if attended is None or opens is None or closes is None:
            return opens is not None
        takes = max(self.lasts, USUAL_COAT) + MIXING
        return attended >= min(SHIFT, takes, closes.edge.at - opens.edge.at)

    def earliest(self) -> Edge | None:
        """Return the first start in open hours that leaves time for the next step in its window."""
        too_late = _NOT_YET if self.keyed else (*_NOT_YET, "ABRADE")
        for start in self._starts():
            if self.word(start) not in too_late and self.leaves_enough(*self.ends(start)):
                begins = start == self.begins.at
                return self.begins if begins else self.clocks.fixed(start, "opening")
        return None

    def _starts(self) -> Iterator[datetime]:
        """Yield the first moment, then each quarter of an hour that lies in open hours."""
        first = self.begins.at
        for opened, closed in stays(self.around.hours, first, SEARCHED_DAYS + 1):
            start = max(opened, first)
            last = min(closed - self.lasts, first + timedelta(days=SEARCHED_DAYS))
            while start <= last:
                yield start
                start = round_up(start + timedelta(seconds=1), SEARCH_STEP_MIN)


# --- in words ------------------------------------------------------------------------------------


def ahead_words(ahead: Ahead, now: datetime) -> str:
    """Return both ends of the window, then the night ahead. now: in the shop's zone."""
    cold = "".join(f" {_sentence(stretch.words(now))}" for stretch in ahead.cold)
    return f"{_window_words(ahead, now)}{cold}"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _window_words(ahead: Ahead, now: datetime) -> str:
    beginning = _begun_words(ahead, now)
    if ahead.opens is None or ahead.no_window:
        return f"{beginning}: {NO_WINDOW}."
    opens, closes = ahead.opens, ahead.closes
    minded = not (ahead.last or ahead.always_in)
    nobody = minded and ahead.attended == timedelta(0)
    first, then = ("rinse", " to") if ahead.dwell else ("opens", ", closes")
    text = f"{beginning}: {first} {opens.edge.words(now)}"
    if minded and not nobody and not opens.attended:
        text += " (shop closed)"
    if closes is not None:
        text += f"{then} {closes.edge.words(now)}"
        if minded and not nobody and not closes.attended:
            text += " (shop closed)"
    text += ", with the shop closed." if nobody else "."
    if ahead.last:
        return f"{text} Last coat: then cure."
    if minded and ahead.holidays:
        text += f" {_holiday_words(ahead.holidays)}"
    if not ahead.enough:
        text += f" {_advice(ahead, now)}"
    return text


def length_words(length: Length) -> str:
    """Say how long the step was taken to last, and why."""
    return f"it is taken to last {length.words}"


def _begun_words(ahead: Ahead, now: datetime) -> str:
    at = ahead.begins.words(now)
    if ahead.at_once and ahead.mixed:
        return f"mixed now, {'abraded, ' if ahead.keyed else ''}started {at}"
    return f"if {'abraded and ' if ahead.keyed else ''}started {'now' if ahead.at_once else at}"


def _advice(ahead: Ahead, now: datetime) -> str:
    if ahead.earliest is not None:
        return f"Start after {ahead.earliest.words(now)}."
    searched = ahead.begins.at + timedelta(days=SEARCHED_DAYS)
    if ahead.until is not None and ahead.until.at <= searched:
        return f"No start before {ahead.until.words(now)} leaves time in working hours."
    return f"No start in {SEARCHED_DAYS} days leaves time in working hours."


def _holiday_words(holidays: tuple[date, ...]) -> str:
    days = ", ".join(f"{day:%a %d %b}" for day in holidays[:3])
    return f"Holiday: {days}{' ...' if len(holidays) > 3 else ''}."
