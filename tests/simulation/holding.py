"""What must hold of a bench at any moment, whatever was pressed before."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import pairwise

from bench.process.actions.next_action import action_line, next_action
from bench.process.clocks.estimate_basis import basis_words
from bench.process.clocks.pots import pot_word
from bench.process.clocks.stand_state import HARM, StandState
from bench.process.clocks.windows import Span
from bench.process.parts.part import Part
from bench.shop.core.bench_view import BenchView, PlacedPart
from bench.shop.core.transaction import CLOCK_SLACK

WAITING = ("WET", "FLASH", "DRYING", "WAIT", "KEEP OFF")


def everything(view: BenchView) -> Iterator[PlacedPart]:
    """Every part that has not left the bench."""
    yield from (placed for _, placed in view.stands if placed is not None)
    yield from view.off_stand


def clocks(view: BenchView) -> dict[str, object]:
    """The clocks of every part, by its tag."""
    return {placed.part.tag: placed.clocks for placed in everything(view)}


def check_view(view: BenchView, now: datetime) -> None:
    """Every stand now and at every edge ahead of it, the list, the room, the pots, the alarms."""
    for placed in everything(view):
        check_part(placed.part, now)
        check_spans(placed.clocks.spans)
        for at in (now, *(edge for edge in edges(placed) if edge > now)):
            check_word(placed.state(at), at)
        state = placed.state(now)
        action_line(next_action(placed.part, state), placed.part, state, view.local(now))
        basis_words(state, view.reading(), view.house.hours, view.local(now))
    harms = [HARM.index(want.word) for want in view.wants(now) if want.word in HARM]
    assert harms == sorted(harms)
    view.alarming(now)
    room = view.room(now)
    assert not room.on or room.until is None or now < room.until
    letters = [pot.letter for pot in view.pots]
    assert len(set(letters)) == len(letters)
    assert {pot_word(pot, now) for pot in view.pots} <= {"REST", "USE", "BIN BY", "BIN"}


def edges(placed: PlacedPart) -> list[datetime]:
    """Just before and at every edge of the part's clocks."""
    spans = [*placed.clocks.spans, *([placed.clocks.cure] if placed.clocks.cure else [])]
    ends = [span.end for span in spans if span.end is not None]
    return [at for end in ends for at in (end - timedelta(seconds=1), end)]


def check_word(state: StandState, now: datetime) -> None:
    """The word is known, what counts down is ahead, what counts up is behind."""
    assert state.word in HARM
    assert state.shape
    if state.counts == "down" and state.target is not None:
        assert now < state.target, state
    if state.counts == "up":
        assert state.target is not None
        assert state.target <= now + CLOCK_SLACK, state
    if state.word in WAITING and state.opens is not None:
        assert now < state.opens.at, state
    if state.word in ("OPEN", "CLOSING", "RINSE") and state.closes is not None:
        assert now < state.closes.at, state
    if state.opens is not None and state.closes is not None and state.word != "HOLD":
        assert state.opens.at < state.closes.at, state


def check_spans(spans: tuple[Span, ...]) -> None:
    """The bands follow one another without gap or overlap."""
    for before, after in pairwise(spans):
        assert before.end == after.start
        assert before.start < after.start


def check_part(part: Part, now: datetime) -> None:
    """Steps go in their order, and nothing on them runs backwards or lies ahead."""
    words = [record.status for record in part.steps]
    assert [record.number for record in part.steps] == list(range(1, len(words) + 1))
    assert words == sorted(words, key=_order), words
    assert words.count("in hand") <= 1
    assert part.steps[-1].step.kind == "cure"
    before: datetime | None = None
    for record in part.steps:
        assert (record.first_at is None) == (record.status in ("todo", "skipped")), record
        assert (record.last_at is None) == (record.status not in ("done", "struck")), record
        for mark in record.marks:
            assert mark.begun_at is not None or mark.done_at is None, mark
            if mark.begun_at and mark.done_at:
                assert mark.begun_at <= mark.done_at, mark
        marked = [at for mark in record.marks for at in (mark.begun_at, mark.done_at) if at]
        times = [at for at in (record.first_at, *sorted(marked), record.last_at) if at]
        assert times == sorted(times), record
        assert all(at <= now + CLOCK_SLACK for at in times), record
        if record.passed_at is not None:
            assert record.last_at is not None
            assert record.last_at <= record.passed_at <= now + CLOCK_SLACK
        if record.step.kind != "cure" and times:
            # A cure runs from the last face of the coat below it.
            assert before is None or before <= times[0], record
            before = max(times[-1], record.passed_at or times[-1])


def _order(status: str) -> int:
    """What is behind, what is in hand, what is ahead."""
    return {"in hand": 1, "todo": 2}.get(status, 0)
