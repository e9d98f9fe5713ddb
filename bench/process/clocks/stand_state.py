"""What a stand shows. This one function decides; screens and command line only repeat it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from bench.process.clocks.conditions import is_old
from bench.process.clocks.edges import Edge, Turn, edge_of, next_edge, next_turn, turns_of
from bench.process.clocks.windows import Span
from bench.process.parts.part import Mark, Part, StepRecord, wet_zones
from bench.process.sheets.product import DEFAULT_TEST, RUB_TEST, TOO_SOON, WASH_TEST, Product
from bench.trade.ageing import Side

Counts = Literal["down", "up", ""]

HARM = (
    "RINSE NOW",
    "RINSE",
    "BIN",
    "CLOSING",
    "ABRADE",
    "KEEP OFF",
    "TEST",
    "OPEN",
    "HOLD",
    "WORKING",
    "SOAK",
    "WET",
    "FLASH",
    "DRYING",
    "WAIT",
    "CURE",
    "CURED",
    "EMPTY",
)
"""The words of a stand, being ruined first; what can still be saved before a pot that is lost."""

SHAPES = {
    "RINSE NOW": "!!!",
    "BIN": "!!!",
    "RINSE": "!>>",
    "CLOSING": "[!]",
    "ABRADE": "///",
    "KEEP OFF": "[X]",
    "TEST": ">?<",
    "OPEN": "[ ]",
    "HOLD": "II ",
    "WORKING": ">>>",
    "SOAK": "~~~",
    "WET": "ooo",
    "FLASH": ":::",
    "DRYING": ",,,",
    "WAIT": "---",
    "CURE": "-=-",
    "CURED": "===",
    "EMPTY": "   ",
    "GUN": "!=>",
    "COLD": "_!_",
    "PLAN": "->!",
    "PROBE": "?!?",
}
"""A shape a word, in plain ASCII: it reads without colour.

No stand's are GUN, to be flushed, and COLD, a coat that is or will be too cold.
"""

_UPPER = {"wet": "WET", "flash": "FLASH", "drying": "DRYING", "wait": "WAIT"}


@dataclass(frozen=True)
class Clocks:
    """The calendar of a part, worked out once per change, not per tick.

    spans: of the last finished step; own: of a coat in hand, as if its first face had been its
    last; cure: of the last coat, when curing is what comes next; read_at: when a thermometer was
    last read, None when nobody ever read one; doubtful: the clock is wrong. Instants leave it as
    edges only.
    """

    spans: tuple[Span, ...] = ()
    own: tuple[Span, ...] = ()
    cure: Span | None = None
    test: str = DEFAULT_TEST
    read_at: datetime | None = None
    doubtful: bool = False

    def edge(self, span: Span, now: datetime) -> Edge | None:
        """Return the edge at which a band ends, as known at ``now``; None where it has no end."""
        return edge_of(span, now, self.read_at, doubtful=self.doubtful)

    def turns(self, now: datetime) -> tuple[Turn, ...]:
        """Return every place where the next step becomes possible or impossible, in order."""
        return turns_of(self.spans, now, self.read_at, doubtful=self.doubtful)

    def began(self, place: int, now: datetime) -> Edge:
        """Return where a band began, as something that opened then."""
        edge = self.edge(self.spans[place - 1], now) if place else None
        if edge is None:
            return self.fixed(self.spans[place].start, "opening")
        return replace(edge, side="opening")

    def test_at(self, place: int) -> str:
        """Name the test that is due in a band: after a closed middle it is another one."""
        shut = closed_middle_before(self.spans[:place])
        return (shut.test or RUB_TEST) if shut else self.test

    def fixed(self, at: datetime, side: Side) -> Edge:
        """Return an edge that hangs on no temperature and no product."""
        return Edge(at, side, unconfirmed=self.doubtful)


@dataclass(frozen=True)
class StandState:
    """What a stand shows at one moment.

    target: what the number counts to (down) or from (up). basis is the weakest figure behind it;
    aged: it was worked out from temperatures; old: and the last of them was read too long ago;
    opens, closes: its window; missed: the closing that went by; doubtful: the clock is wrong, so
    that at least so much time has gone by.
    """

    word: str
    counts: Counts = ""
    target: datetime | None = None
    opens: Edge | None = None
    closes: Edge | None = None
    missed: Edge | None = None
    note: str = ""
    test: str = ""
    zone: str = ""
    basis: str = "sheet"
    aged: bool = False
    old: bool = False
    stalled_s: float = 0.0
    spans: tuple[Span, ...] = ()
    doubtful: bool = False

    @property
    def shape(self) -> str:
        """Return the plain ASCII shape that goes with the word."""
        return SHAPES[self.word]

    @property
    def is_cure(self) -> bool:
        """Return whether its full cure is what is waited for, on hold too: that ends, not opens."""
        return self.word == "CURE" or self.note.endswith("clock: CURE")

    @property
    def doubt(self) -> str:
        """Return ``?`` where the number counts by a figure of no data sheet, else nothing."""
        edges = (self.opens, self.closes, self.missed)
        return next((edge.doubt for edge in edges if edge and edge.at == self.target), "")

    def seconds_left(self, now: datetime) -> float | None:
        """Return the seconds to the target; below 0 once it is past, None where nothing counts."""
        return None if self.target is None else (self.target - now).total_seconds()

    def ahead(self, now: datetime) -> tuple[Edge, ...]:
        """Return the edges of its window that are still to come, in order."""
        return tuple(edge for edge in (self.opens, self.closes) if edge and edge.at > now)


EMPTY = StandState("EMPTY")


def stand_state(part: Part, clocks: Clocks, now: datetime) -> StandState:
    """Return the word, number and window of a part at ``now``."""
    under = _running(part, part.current(), clocks, now)
    old = _rests_on_old(under, clocks, now)
    if old or clocks.doubtful:
        under = replace(under, old=old, doubtful=clocks.doubtful)
    if part.hold and under.word not in ("RINSE NOW", "RINSE", "SOAK"):
        note = f"{part.hold}; clock: {under.word}"
        on_hold = replace(under, word="HOLD", counts="", target=None, note=note)
        return replace(on_hold, missed=None, test="", zone="")
    return under


def _rests_on_old(state: StandState, clocks: Clocks, now: datetime) -> bool:
    """Return whether an hour still to come, or that none will, rests on an old reading."""
    if any(edge.old for edge in state.ahead(now)):
        return True
    never = state.aged and state.opens is None and state.closes is None
    return never and clocks.read_at is not None and is_old(clocks.read_at, now)


def _running(part: Part, record: StepRecord | None, clocks: Clocks, now: datetime) -> StandState:
    if record is None:
        return StandState("CURED", note="take it off the stand")
    if record.status == "in hand":
        if record.step.kind == "dwell" or record.step.most_s:
            return _dwell(record, clocks, now)
        return _in_hand(record, clocks, now)
    if record.step.kind == "cure":
        return _curing(clocks, now)
    return _waiting(part, record, clocks, now)


def _dwell(record: StepRecord, clocks: Clocks, now: datetime) -> StandState:
    """Return the state of a soaking part: the zone that has soaked longest decides."""
    soaking = wet_zones(record)
    if not soaking:
        dry_zones = ", ".join(mark.name for mark in record.marks if mark.begun_at is None)
        return StandState("WORKING", "up", record.first_at, note=f"to do: {dry_zones}")
    oldest = min(soaking, key=_wet_since)
    least = _wet_since(oldest) + timedelta(seconds=record.step.least_s)
    most = _wet_since(oldest) + timedelta(seconds=record.step.most_s)
    opens, closes = clocks.fixed(least, "opening"), clocks.fixed(most, "closing")
    state = StandState("SOAK", opens=opens, closes=closes, zone=oldest.name)
    if now >= most:
        return replace(state, word="RINSE NOW", counts="up", target=most, note="rinse now")
    if now >= least:
        return replace(state, word="RINSE", counts="down", target=most, note="rinse inside this")
    return replace(state, counts="down", target=least, note="keep it wet")


def _wet_since(mark: Mark) -> datetime:
    assert mark.begun_at is not None
    return mark.begun_at


def _in_hand(record: StepRecord, clocks: Clocks, now: datetime) -> StandState:
    """Return the state of work in hand.

    While faces are open, the window of the first one may already close.
    """
    closes = next_edge(clocks.turns(now), "closing", now)
    note = _faces(record)
    state = StandState(
        "WORKING", "up", record.first_at, closes=closes, note=note, spans=clocks.spans
    )
    here = span_at(clocks.own, now)
    if here is None or here.word != "open":
        return state
    own = next_edge(replace(clocks, spans=clocks.own).turns(now), "closing", now)
    if own is None or (closes and closes.at < own.at):
        return state
    state = replace(state, closes=own, spans=clocks.own)
    if now < own.at - closing_notice(here):
        return state
    return replace(state, word="CLOSING", counts="down", target=own.at, note=f"finish it, {note}")


def _faces(record: StepRecord) -> str:
    open_marks = record.open_marks()
    if not record.marks:
        return ""
    return f"{len(record.marks) - len(open_marks)} of {len(record.marks)} faces"


def _curing(clocks: Clocks, now: datetime) -> StandState:
    """Return the state while curing, with the last coat's forbidden middle while that is ahead."""
    spans = clocks.spans
    here = span_at(spans, now)
    after = spans[spans.index(here) + 1] if here and here.end else None
    if here and here.word in ("flash", "wet"):
        opens, closes = _touch_up_ahead(clocks.turns(now), now)
        return StandState(_UPPER[here.word], "down", here.end, opens, closes, spans=spans)
    if here and here.word == "open" and after and after.word == "shut":
        return _open(here, clocks, now, note="touch up before it closes")
    shut_for_good = here is not None and here.end is None and not here.never
    if here and here.word == "shut" and not shut_for_good:
        return replace(_closed_state(here, clocks, now), note="curing")
    return _to_full_cure(clocks, now)


def _to_full_cure(clocks: Clocks, now: datetime) -> StandState:
    """Return the state that counts to the full cure, whose test waits for an answer then."""
    cure = clocks.cure
    if cure is None or cure.never or cure.end is None:
        cold = cure is not None and cure.aged
        note = cold_reason(cure, "curing") if cure and cold else "no full-cure time on the sheet"
        basis = cure.basis if cure else "sheet"
        test = "" if cold else clocks.test
        return StandState("CURE", note=note, test=test, aged=cold, basis=basis)
    state = StandState("CURE", opens=clocks.edge(cure, now), stalled_s=cure.stalled_s)
    state = replace(state, basis=cure.basis, aged=cure.aged)
    if now < cure.end:
        day = (now - cure.start) // timedelta(days=1)
        whole = -((cure.start - cure.end) // timedelta(days=1))
        note = f"day {day} of {whole}"
        return replace(state, counts="down", target=cure.end, note=note)
    return replace(state, word="TEST", counts="up", target=cure.end, test=clocks.test)


def _waiting(part: Part, record: StepRecord, clocks: Clocks, now: datetime) -> StandState:
    """Return the state between two steps: the last step's bands decide what may come next."""
    spans = clocks.spans
    here = span_at(spans, now)
    if here is None:
        return StandState("OPEN", note="nothing done yet")
    place = spans.index(here)
    if here.word in TOO_SOON:
        after = [span for span in spans[place:] if span.word not in TOO_SOON]
        if record.step.kind == "coat" and after and after[0].word == "shut" and after[0].end:
            # Its window closed while its last faces were sprayed: no hour before that opens it.
            return _closed_state(after[0], clocks, now)
        return _too_soon(here, clocks, now)
    if needs_test(part, spans, place):
        return _test_due(spans, place, clocks, now)
    missed_edge = _missed_closing(clocks, now)
    if record.step.kind == "coat" and here.word == "shut":
        return replace(_closed_state(here, clocks, now), missed=missed_edge)
    if record.step.kind == "coat" and here.word == "key":
        state = StandState("ABRADE", "up", here.start, note=record.step.remedy, spans=spans)
        return replace(state, missed=missed_edge)
    opened = clocks.began(place, now)
    if here.word == "open":
        return _open(here, clocks, now, opened=opened)
    return StandState("OPEN", opens=opened, spans=spans)


def _missed_closing(clocks: Clocks, now: datetime) -> Edge | None:
    """Return the last closing that went by."""
    past_edges = [turn.edge for turn in clocks.turns(now) if turn.edge.at <= now]
    return next((edge for edge in reversed(past_edges) if edge.side == "closing"), None)


def _window_ahead(turns: tuple[Turn, ...], now: datetime) -> tuple[Edge | None, Edge | None]:
    """Return the next opening, and the closing that follows it."""
    opens = next_edge(turns, "opening", now)
    return opens, next_edge(turns, "closing", opens.at) if opens else None


def _touch_up_ahead(turns: tuple[Turn, ...], now: datetime) -> tuple[Edge | None, Edge | None]:
    """Return the same of a last coat: nothing follows, so a closing counts for KEEP OFF alone."""
    opens, closes = _window_ahead(turns, now)
    is_shut = any(turn.edge == closes and turn.after.word == "shut" for turn in turns)
    return opens, closes if is_shut else None


def _too_soon(here: Span, clocks: Clocks, now: datetime) -> StandState:
    """Return the state before the next step opens: it counts to that, if it ever does."""
    word = _UPPER[here.word]
    turns = clocks.turns(now)
    turn = next_turn(turns, "opening", now)
    waits = [span for span in clocks.spans if span.word in TOO_SOON]
    wait = turn.before if turn else waits[-1]
    opens, closes = _window_ahead(turns, now)
    state = StandState(word, "down", wait.end, opens, closes, spans=clocks.spans)
    if wait.end is None:
        state = replace(state, counts="", note=cold_reason(wait, "drying"))
    return replace(state, basis=wait.basis, aged=wait.aged, stalled_s=wait.stalled_s)


def cold_reason(span: Span, does: str) -> str:
    """Return why a span never ends: its humidity, its minimum, or colder than any estimate goes."""
    if span.humid and span.basis != "none":
        return f"wrong air: not {does}"
    return "too cold for its figures" if span.basis == "none" else f"too cold: it is not {does}"


def _closed_state(here: Span, clocks: Clocks, now: datetime) -> StandState:
    """Return the closed middle of a window."""
    opens = clocks.edge(here, now)
    note = cold_reason(here, "drying") if opens is None and here.aged else ""
    state = StandState("KEEP OFF", "down", here.end, opens=opens, note=note, spans=clocks.spans)
    return replace(state, basis=here.basis, aged=here.aged)


def _test_due(spans: tuple[Span, ...], place: int, clocks: Clocks, now: datetime) -> StandState:
    """Return the state of a part to be tested by a person: nothing here ever says it is dry."""
    opened = clocks.began(place, now)
    closes = next_edge(clocks.turns(now), "closing", now)
    state = StandState(
        "TEST", "up", opened.at, opened, closes, test=clocks.test_at(place), spans=spans
    )
    here = spans[place]
    if here.word == "open" and here.end and now >= here.end - closing_notice(here):
        return replace(state, word="CLOSING", counts="down", target=here.end, note="test it first")
    return state


def _open(
    here: Span, clocks: Clocks, now: datetime, note: str = "", opened: Edge | None = None
) -> StandState:
    state = StandState(
        "OPEN",
        opens=opened,
        note=note,
        basis=here.basis,
        aged=here.aged,
        spans=clocks.spans,
    )
    if here.end is None:
        return state
    word = "CLOSING" if now >= here.end - closing_notice(here) else "OPEN"
    closes = clocks.edge(here, now)
    return replace(state, word=word, counts="down", target=here.end, closes=closes)


def needs_test(part: Part, spans: tuple[Span, ...], place: int) -> bool:
    """Return whether a test of the last step is due in this band, and nobody has passed it.

    It is due after a wait, and after every step that names one, waits or not. Where the window was
    missed the remedy holds the test; where it never was, keying wants it. After the closed middle
    of a window, and after the longer wait of a coat that was said to be heavy since, it is another
    question: what was passed before does not count.
    """
    record = part.clock_step()
    if record is None:
        return False
    word, before = spans[place].word, spans[:place]
    waits = [_is_waited(span) for span in before]
    if word == "open":
        is_due = any(waits) or names_test(record)
    else:
        is_due = word == "key" and waits[-1:] == [True]
    long_waits = [span for span in before if span.word == "shut" or span.times > 1]
    again = [span.end for span in long_waits if span.end]
    passed_at = record.passed_at
    return is_due and (passed_at is None or any(passed_at < end for end in again))


def closed_middle_before(spans: Sequence[Span]) -> Span | None:
    """Return the last closed middle of a window among bands that are over; None without one."""
    return next((span for span in reversed(spans) if span.word == "shut"), None)


def names_test(record: StepRecord) -> bool:
    """Return whether a step is tested when it ends, though nothing has to dry: a wash always is."""
    return bool(record.step.test) or record.step.kind == "dwell"


def _is_waited(span: Span) -> bool:
    """Return whether nothing may go on while it lasts, and a test has to be passed after it."""
    return span.word in TOO_SOON or span.word == "shut"


def span_at(spans: tuple[Span, ...], now: datetime) -> Span | None:
    """Return the span that holds at ``now``; before the first, the first."""
    for span in spans:
        if span.end is None or now < span.end:
            return span
    return None


def closing_notice(span: Span) -> timedelta:
    """Return how long before its end an open band says CLOSING: a tenth of it, 15 min to 4 h."""
    if span.end is None:
        return timedelta(0)
    tenth = (span.end - span.start) / 10
    return min(max(tenth, timedelta(minutes=15)), timedelta(hours=4))


def name_of_test(record: StepRecord | None, product: Product | None) -> str:
    """Name the test of the step that was done last: its own, its product's, else the usual one."""
    if record is not None and record.step.test:
        return record.step.test
    if product is not None and product.test:
        return product.test
    return WASH_TEST if record is not None and record.step.kind == "dwell" else DEFAULT_TEST
