"""One stand of the bench: word, shape, number, part, step, what comes next, who is on it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rich.cells import cell_len

from bench.process.part import Part
from bench.process.spoken import bounded, clock_words, countdown, rounded_down, rounded_up
from bench.process.state import StandState
from bench.trade.ageing import is_guess
from bench.widgets.digits import big
from bench.widgets.lines import Line, ends, line
from bench.widgets.styles import word_style


@dataclass(frozen=True)
class StandLook:
    """What is drawn of a stand. alarm: one of its alarms was not answered; notes: of its part."""

    number: int
    part: Part | None
    state: StandState
    chosen: bool
    alarm: bool = False
    notes: tuple[str, ...] = ()


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
        if height < 12:
            who = " | ".join([text for text in (who, *notes) if text])
        lines += [
            line(part_words(part), width, "bold"),
            line(step_words(part), width),
            line(window, width),
            line(who, width, "dim"),
        ]
        if height >= 12:
            lines.append(line(after_words(part), width, "dim"))
            lines += [line(note, width, "bold") for note in notes]
    lines += [line("", width)] * (height - len(lines))
    return lines[:height]


def _head(look: StandLook, width: int) -> Line:
    state = look.state
    mark = ">" if look.chosen else " "
    alarm = "!" if look.alarm else " "
    left = f"{mark}{look.number:<2}{alarm}{state.word} {state.shape}"
    right = f"tag {look.part.tag} " if look.part else ""
    return line(
        ends(left, right, width), width, "chosen" if look.chosen else word_style(state.word)
    )


def number_of(state: StandState, now: datetime) -> str:
    """The big number; empty where nothing counts."""
    left = state.seconds_left(now)
    if left is None:
        return ""
    up = state.counts == "up"
    if up:
        left = min(left, -0.001) if state.word != "IN HAND" else abs(left)
    number = countdown(left)
    return bounded(number, up=up) if state.doubtful else number


def part_words(part: Part) -> str:
    """Name, and how many of a lot."""
    lot = f" x{part.count}" if part.count > 1 else ""
    return f"{part.name}{lot}"


def step_words(part: Part) -> str:
    """The step in hand or next, and how far along the route it is."""
    place, steps = part.progress()
    current = part.current()
    return f"{place}/{steps} {current.step.name if current else 'route done'}"


def window_words(state: StandState, now: datetime) -> tuple[str, str]:
    """When it opens and when it shuts. An estimate is rounded to the safe five minutes."""
    unsure = "?" if state.doubtful else ""
    if state.zone and state.opens_at is not None and state.shuts_at is not None:
        opens, shuts = clock_words(state.opens_at, now), clock_words(state.shuts_at, now)
        return f"rinse {opens}{unsure}", f"to {shuts}{unsure}"
    opens = shuts = ""
    if state.opens_at is not None and state.opens_at > now:
        at = rounded_up(state.opens_at) if state.aged else state.opens_at
        about = _about(state) if state.aged else ""
        opens = f"opens {about}{clock_words(at, now)}{_guessed(state.basis) or unsure}"
    if state.shuts_at is not None:
        rests = state.span_to(state.shuts_at)
        basis, aged = (rests.basis, rests.aged) if rests else ("sheet", False)
        at = rounded_down(state.shuts_at) if state.aged or aged else state.shuts_at
        about = _about(state) if aged and (state.old or basis != "sheet") else ""
        shuts = f"shuts {about}{clock_words(at, now)}{_guessed(basis) or unsure}"
    return opens, shuts


def _about(state: StandState) -> str:
    """Worked out from temperatures; old: the last of them was read more than four hours ago."""
    return "~old " if state.old else "~"


def _guessed(basis: str) -> str:
    return "?" if is_guess(basis) else ""


def next_lines(part: Part, state: StandState, now: datetime, width: int) -> tuple[str, str]:
    """What comes next and when, then who; a window too long for one line takes part of both."""
    opens, shuts = window_words(state, now)
    window = " ".join(text for text in (opens, shuts) if text)
    who = who_words(part, state)
    if window and state.word == "IN HAND" and state.note:
        who = f"{state.note} | {who}"
    if cell_len(window) > width:
        return opens, " ".join(text for text in (shuts, who) if text)
    if not window:
        window = f"test: {state.test}" if state.test else state.note
        window = f"~old: {window}" if state.old else window
    return window, who


def who_words(part: Part, state: StandState) -> str:
    """Zone, rework or hold, and who is on it; in brackets who was last, when nobody is."""
    current, names = part.current(), part.on_it()
    in_hand = current is not None and current.status == "in hand"
    who = "+".join(names) if in_hand or not names else f"taken: {'+'.join(names)}"
    if not names:
        done = part.clock_step()
        last = done.painters if done is not None else ()
        who = f"({'+'.join(last)})" if last else ""
    said = [text for text in (state.zone, f"REWORK {part.rework}" if part.rework else "") if text]
    if state.word in ("HOLD", "CURE"):
        said.append(state.note)
    return " | ".join([*said, who] if who else said)


def after_words(part: Part) -> str:
    """The step after the current one."""
    ahead = [
        record for record in part.steps if record.status == "todo" and record is not part.current()
    ]
    return f"then {ahead[0].step.name}" if ahead else ""
