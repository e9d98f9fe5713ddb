"""One stand of the bench: word, shape, number, part, step, what comes next, who is on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from rich.cells import cell_len

from bench.process.clocks.stand_state import StandState
from bench.process.parts.part import Part
from bench.process.wording.time_text import bounded_countdown, countdown, short_countdown
from bench.widgets.digits import big
from bench.widgets.lines import Line, ends, fill, line
from bench.widgets.theme import word_style


@dataclass(frozen=True)
class StandLook:
    """What is drawn of a stand. alarm: one of its alarms was not answered; notes: of its part.

    rework: the pieces of its lot that left it for rework, and stand nowhere; planned: when the
    agreed plan begins its next step, in words.
    """

    number: int
    part: Part | None
    state: StandState
    chosen: bool
    alarm: bool = False
    notes: tuple[str, ...] = ()
    rework: tuple[Part, ...] = ()
    planned: str = ""


def stand_block(
    look: StandLook, now: datetime, width: int, height: int, *, ascii_only: bool
) -> list[Line]:
    """The stand in ``height`` lines of ``width`` cells: 3 rows of figures up to 9 lines, else 5."""
    part, state = look.part, look.state
    rows = 5 if height >= 12 else 3
    lines = [_head(look, width)]
    lines += [
        line(row, width, "bold")
        for row in big(number_of(state, now), rows, width, ascii_only=ascii_only)
    ]
    if part is None:
        lines.append(line("+ places a part here", width, "dim"))
    else:
        window, who = next_lines(part, state, now, width)
        notes = [f"note: {text}" for text in look.notes]
        rework = [f"{lot.tag} x{lot.count} REWORK, no stand" for lot in look.rework]
        if height < 12:
            who = " | ".join([text for text in (*rework, look.planned, who, *notes) if text])
        lines += [
            line(part_words(part), width, "bold"),
            line(step_words(part), width),
            line(window, width),
            line(who, width, "dim"),
        ]
        if height >= 12:
            after = " | ".join(filter(None, (look.planned, after_words(part))))
            lines.append(line(after, width, "dim"))
            lines += [line(text, width, "bold") for text in (*rework, *notes)]
    lines = fill(lines, width, height)
    if look.chosen:
        # All of it turned over: a sign beside its number is too small from the doorway.
        lines = [tuple(replace(piece, style="chosen") for piece in row) for row in lines]
    return lines


def _head(look: StandLook, width: int) -> Line:
    state = look.state
    mark = ">" if look.chosen else " "
    number = f"{look.number}{'!' if look.alarm else ''}"
    left = f"{mark}{number:<2} {state.word} {state.shape}"
    right = f"tag {look.part.tag} " if look.part else ""
    return line(ends(left, right, width), width, word_style(state.word))


def number_of(state: StandState, now: datetime) -> str:
    """The big number with its mark; empty where nothing counts. While the clock is wrong every
    number is bounded, which says more."""
    return _number(state, now, countdown)


def short_number(state: StandState, now: datetime) -> str:
    """The same without seconds."""
    return _number(state, now, short_countdown)


def _number(state: StandState, now: datetime, spell: Callable[[float], str]) -> str:
    left = state.seconds_left(now)
    if left is None:
        return ""
    up = state.counts == "up"
    if up:
        left = min(left, -0.001) if state.word != "WORKING" else abs(left)
    number = spell(left)
    return bounded_countdown(number, up=up) if state.doubtful else f"{number}{state.doubt}"


def part_words(part: Part) -> str:
    """Name, and how many of a lot."""
    lot = f" x{part.count}" if part.count > 1 else ""
    return f"{part.name}{lot}"


def step_words(part: Part) -> str:
    """The step in hand or next, and how far along the route it is."""
    place, steps = part.progress()
    current = part.current()
    return f"{place}/{steps} {current.step.name if current else 'route done'}"


def window_words(state: StandState, now: datetime, *, weekday: bool = True) -> tuple[str, str]:
    """When it opens, or a cure ends, if still to come, and when it closes. weekday: with a date."""
    opens, closes = state.opens, state.closes
    first = opens.words(now, weekday=weekday) if opens is not None else ""
    over = closes is not None and closes.is_over(now)
    last = closes.words(now, weekday=weekday) if closes is not None else ""
    if state.zone and over:
        return "rinse was due", f"by {last}"
    if state.zone:
        return f"rinse {first}", f"to {last}"
    ahead = opens is not None and opens.at > now
    return (
        f"{'ends' if state.is_cure else 'opens'} {first}" if ahead else "",
        f"{'closed' if over else 'closes'} {last}" if last else "",
    )


def next_lines(part: Part, state: StandState, now: datetime, width: int) -> tuple[str, str]:
    """What comes next and when, then who; a window too long for one line takes part of both.

    Where something would be cut off, a date goes without its weekday.
    """
    who = who_words(part, state, width)
    window = " ".join(text for text in window_words(state, now) if text)
    if window and state.word == "WORKING" and state.note:
        who = f"{state.note} | {who}"
    if cell_len(window) > width:
        lines = _on_two_lines(window_words(state, now), who, width)
        if max(map(cell_len, lines)) > width:
            lines = _on_two_lines(window_words(state, now, weekday=False), who, width)
        return lines
    if not window:
        window = f"test: {state.test}" if state.test else state.note
        window = f"~old: {window}" if state.old else window
    return window, who


def _on_two_lines(window: tuple[str, str], who: str, width: int) -> tuple[str, str]:
    """Who stands below beside the closing, or above where only there is room."""
    opens, closes = window
    if not opens:
        return closes, who
    below = " ".join(text for text in (closes, who) if text)
    above = f"{opens} {who}"
    return (above, closes) if cell_len(below) > width >= cell_len(above) else (opens, below)


def who_words(part: Part, state: StandState, width: int) -> str:
    """Zone, rework or hold, and who is on it; in brackets who was last, when nobody is.

    Of a part on hold only the reason and the rework where there is no room for all.
    """
    who = names_on_it(part)
    rework = f"REWORK {part.rework}" if part.rework else ""
    note = state.note if state.word in ("HOLD", "CURE") else ""
    words = " | ".join(filter(None, (note, state.zone, rework, who)))
    if state.word == "HOLD" and cell_len(words) > width:
        words = " | ".join(filter(None, (part.hold, rework)))
    return words


def names_on_it(part: Part) -> str:
    """Who is on it; in brackets who was last, when nobody is."""
    current, names = part.current(), part.on_it()
    if names:
        in_hand = current is not None and current.status == "in hand"
        return "+".join(names) if in_hand else f"taken: {'+'.join(names)}"
    done = part.clock_step()
    last = done.painters if done is not None else ()
    return f"({'+'.join(last)})" if last else ""


def after_words(part: Part) -> str:
    """The step after the current one."""
    ahead = [
        record for record in part.steps if record.status == "todo" and record is not part.current()
    ]
    return f"then {ahead[0].step.name}" if ahead else ""
