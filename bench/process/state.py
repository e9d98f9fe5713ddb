"""What a stand shows. This one function decides; screens and command line only repeat it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from bench.process.conditions import READ_AGAIN
from bench.process.part import Mark, Part, StepRecord
from bench.process.product import DEFAULT_TEST, TOO_SOON, Product
from bench.process.windows import Span

Counts = Literal["down", "up", ""]

HARM = (
    "LATE",
    "BIN",
    "RINSE",
    "SHUTS",
    "KEY IT",
    "SHUT",
    "TRY IT",
    "OPEN",
    "HOLD",
    "IN HAND",
    "SOAK",
    "WET",
    "FLASH",
    "DRYING",
    "WAIT",
    "CURE",
    "CURED",
    "EMPTY",
)
"""The words of a stand, being ruined first."""

SHAPES = {
    "LATE": "!!!",
    "BIN": "!!!",
    "RINSE": "!>>",
    "SHUTS": "[!]",
    "KEY IT": "///",
    "SHUT": "[X]",
    "TRY IT": ">?<",
    "OPEN": "[ ]",
    "HOLD": "|||",
    "IN HAND": ">>>",
    "SOAK": "~~~",
    "WET": "ooo",
    "FLASH": ":::",
    "DRYING": "...",
    "WAIT": "---",
    "CURE": "-=-",
    "CURED": "===",
    "EMPTY": "   ",
    "GUN": "!=>",
}
"""A shape a word, in plain ASCII: it reads without colour. GUN is no stand's: flush it."""

_UPPER = {"wet": "WET", "flash": "FLASH", "drying": "DRYING", "wait": "WAIT"}


@dataclass(frozen=True)
class Clocks:
    """The calendar of a part, worked out once per change, not per tick.

    spans: of the last finished step; cure: of the last coat, when curing is what comes next;
    read_at: when a thermometer was last read, None when nobody ever read one.
    """

    spans: tuple[Span, ...] = ()
    cure: Span | None = None
    test: str = DEFAULT_TEST
    read_at: datetime | None = None


@dataclass(frozen=True)
class StandState:
    """What a stand shows at one moment.

    target: what the number counts to (down) or from (up). basis is the weakest figure behind it;
    aged: it was worked out from temperatures; old: and the last of them was read too long ago;
    doubtful: the clock is wrong, so that at least so much time has gone by.
    """

    word: str
    counts: Counts = ""
    target: datetime | None = None
    opens_at: datetime | None = None
    shuts_at: datetime | None = None
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
        """The plain ASCII shape that goes with the word."""
        return SHAPES[self.word]

    def seconds_left(self, now: datetime) -> float | None:
        """Seconds to the target; below nought once it is past, None where nothing counts."""
        return None if self.target is None else (self.target - now).total_seconds()

    def span_to(self, edge: datetime | None) -> Span | None:
        """The band that ends at an edge of the window: what that hour rests on."""
        return next((span for span in self.spans if edge and span.end == edge), None)


EMPTY = StandState("EMPTY")


def stand_state(part: Part, clocks: Clocks, now: datetime) -> StandState:
    """The word, number and window of a part at ``now``."""
    record = part.current()
    under = _marked_old(_running(part, record, clocks, now), clocks.read_at, now)
    if part.hold and under.word not in ("LATE", "RINSE", "SOAK"):
        return StandState(
            "HOLD",
            opens_at=under.opens_at,
            shuts_at=under.shuts_at,
            note=f"{part.hold}; clock: {under.word}",
            basis=under.basis,
            aged=under.aged,
            old=under.old,
            stalled_s=under.stalled_s,
            spans=under.spans,
        )
    return under


def _marked_old(state: StandState, read_at: datetime | None, now: datetime) -> StandState:
    """Whether an hour still to come rests on temperatures of which the last is an old one."""
    if read_at is None or now - read_at <= READ_AGAIN:
        return state
    shuts = state.span_to(state.shuts_at)
    opens_aged = state.aged and (state.opens_at is None or state.opens_at > now)
    shuts_aged = shuts is not None and shuts.aged and shuts.end is not None and shuts.end > now
    return replace(state, old=True) if opens_aged or shuts_aged else state


def _running(part: Part, record: StepRecord | None, clocks: Clocks, now: datetime) -> StandState:
    if record is None:
        return StandState("CURED", note="take it off the stand")
    if record.status == "in hand":
        if record.step.kind == "dwell":
            return _dwell(record, now)
        shuts = _shuts_at(clocks.spans, now)
        note = _in_hand(record)
        return StandState(
            "IN HAND", "up", record.first_at, shuts_at=shuts, note=note, spans=clocks.spans
        )
    if record.step.kind == "cure":
        return _curing(clocks, now)
    return _waiting(part, record, clocks, now)


def _dwell(record: StepRecord, now: datetime) -> StandState:
    """The most urgent zone governs: the one that has soaked longest."""
    soaking = [mark for mark in record.marks if mark.begun_at and mark.done_at is None]
    if not soaking:
        left = ", ".join(mark.name for mark in record.marks if mark.begun_at is None)
        return StandState("IN HAND", "up", record.first_at, note=f"to do: {left}")
    oldest = min(soaking, key=_begun)
    least = _begun(oldest) + timedelta(seconds=record.step.least_s)
    most = _begun(oldest) + timedelta(seconds=record.step.most_s)
    state = StandState("SOAK", opens_at=least, shuts_at=most, zone=oldest.name)
    if now >= most:
        return replace(state, word="LATE", counts="up", target=most, note="rinse now")
    if now >= least:
        return replace(state, word="RINSE", counts="down", target=most, note="rinse inside this")
    return replace(state, counts="down", target=least, note="keep it wet")


def _begun(mark: Mark) -> datetime:
    assert mark.begun_at is not None
    return mark.begun_at


def _in_hand(record: StepRecord) -> str:
    left = record.open_marks()
    if not record.marks:
        return ""
    return f"{len(record.marks) - len(left)} of {len(record.marks)} faces"


def _curing(clocks: Clocks, now: datetime) -> StandState:
    """Curing, with the last coat's forbidden middle shown as long as it is ahead."""
    spans = clocks.spans
    here = span_at(spans, now)
    after = spans[spans.index(here) + 1] if here and here.end else None
    if here and here.word in ("flash", "wet"):
        shuts = _shuts_at(spans, here.end) if here.end else None
        return StandState(_UPPER[here.word], "down", here.end, here.end, shuts, spans=spans)
    if here and here.word == "open" and after and after.word == "shut":
        return _open(here, clocks, now, note="touch up before it shuts")
    if here and here.word == "shut":
        state = StandState("SHUT", "down", here.end, opens_at=here.end, note="curing", spans=spans)
        return replace(state, basis=here.basis, aged=here.aged)
    cure = clocks.cure
    if cure is None or cure.never or cure.end is None:
        cold = cure is not None and cure.aged
        note = "too cold: it is not curing" if cold else "no full-cure time on the sheet"
        return StandState("CURE", note=note, test="" if cold else clocks.test, aged=cold)
    state = StandState(
        "CURE", opens_at=cure.end, basis=cure.basis, aged=cure.aged, stalled_s=cure.stalled_s
    )
    if now < cure.end:
        day = (now - cure.start) // timedelta(days=1)
        whole = -((cure.start - cure.end) // timedelta(days=1))
        note = f"day {day} of {whole}"
        return replace(state, counts="down", target=cure.end, note=note)
    return replace(state, word="TRY IT", counts="up", target=cure.end, test=clocks.test)


def _waiting(part: Part, record: StepRecord, clocks: Clocks, now: datetime) -> StandState:
    """Between two steps: the last step's bands decide what may come next."""
    spans = clocks.spans
    here = span_at(spans, now)
    if here is None:
        return StandState("OPEN", note="nothing done yet")
    place = spans.index(here)
    if here.word in TOO_SOON:
        last = here
        for later in spans[place:]:
            if later.word not in TOO_SOON:
                break
            last = later
        stuck = last.never or last.end is None
        return StandState(
            _UPPER[here.word],
            counts="" if stuck else "down",
            target=None if stuck else last.end,
            opens_at=None if stuck else last.end,
            shuts_at=None if last.never or last.end is None else _shuts_at(spans, last.end),
            note="too cold: it is not drying" if stuck else "",
            basis=last.basis,
            aged=last.aged,
            stalled_s=last.stalled_s,
            spans=spans,
        )
    if _untested(part, spans, place):
        return _try_it(spans, place, clocks, now)
    if record.step.kind == "coat" and here.word == "shut":
        opens = None if here.never else here.end
        state = StandState("SHUT", "down", opens, opens_at=opens, basis=here.basis, spans=spans)
        return replace(state, aged=here.aged)
    if record.step.kind == "coat" and here.word == "key":
        return StandState("KEY IT", "up", here.start, note=record.step.remedy, spans=spans)
    if here.word == "open":
        return _open(here, clocks, now, opened=here.start)
    return StandState("OPEN", opens_at=here.start, spans=spans)


def _try_it(spans: tuple[Span, ...], place: int, clocks: Clocks, now: datetime) -> StandState:
    """The wait is over; a person has to test. Nothing here ever says it is dry."""
    over = [span.end for span in spans[:place] if span.word in TOO_SOON and span.end]
    since = max(over, default=spans[place].start)
    shuts = _shuts_at(spans, now)
    here = spans[place]
    state = StandState("TRY IT", "up", since, since, shuts, test=clocks.test, spans=spans)
    if here.word == "open" and here.end and now >= here.end - soon(here):
        return replace(state, word="SHUTS", counts="down", target=here.end, note="test it first")
    return state


def _open(
    here: Span, clocks: Clocks, now: datetime, note: str = "", opened: datetime | None = None
) -> StandState:
    state = StandState(
        "OPEN",
        opens_at=opened,
        note=note,
        basis=here.basis,
        aged=here.aged,
        spans=clocks.spans,
    )
    if here.end is None:
        return state
    word = "SHUTS" if now >= here.end - soon(here) else "OPEN"
    return replace(state, word=word, counts="down", target=here.end, shuts_at=here.end)


def _untested(part: Part, spans: tuple[Span, ...], place: int) -> bool:
    """A wait came before this band and nobody has passed the test since.

    Where the window was missed the remedy holds the test; where it never was, keying wants it.
    """
    record = part.clock_step()
    word, waits = spans[place].word, [span.word in TOO_SOON for span in spans[:place]]
    due = any(waits) if word == "open" else word == "key" and waits[-1:] == [True]
    return due and record is not None and record.passed_at is None


def span_at(spans: tuple[Span, ...], now: datetime) -> Span | None:
    """The span that holds at ``now``; before the first, the first."""
    for span in spans:
        if span.end is None or now < span.end:
            return span
    return None


def _shuts_at(spans: tuple[Span, ...], now: datetime) -> datetime | None:
    """The end of the next open band at or after ``now``."""
    for span in spans:
        if span.word == "open" and (span.end is None or now < span.end):
            return span.end
    return None


def soon(span: Span) -> timedelta:
    """How long before its end an open band says SHUTS: a tenth of it, 15 min to 4 h."""
    if span.end is None:
        return timedelta(0)
    tenth = (span.end - span.start) / 10
    return min(max(tenth, timedelta(minutes=15)), timedelta(hours=4))


def test_named(record: StepRecord | None, product: Product | None) -> str:
    """The test for dry of the step that was done last."""
    if record is not None and record.step.test:
        return record.step.test
    return product.test if product is not None and product.test else DEFAULT_TEST
