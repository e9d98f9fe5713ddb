"""One stand of the bench: word, shape, number, part, step, what comes next, who is on it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rich.cells import cell_len

from bench.process.part import Part
from bench.process.spoken import clock_words, countdown, rounded_down, rounded_up
from bench.process.state import StandState
from bench.widgets.digits import big
from bench.widgets.lines import Line, ends, line
from bench.widgets.styles import word_style


@dataclass(frozen=True)
class StandLook:
    """What is drawn of a stand."""

    number: int
    part: Part | None
    state: StandState
    chosen: bool


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
        lines += [
            line(part_words(part), width, "bold"),
            line(step_words(part), width),
            line(window, width),
            line(who, width, "dim"),
        ]
        if height >= 12:
            lines.append(line(after_words(part), width, "dim"))
    lines += [line("", width)] * (height - len(lines))
    return lines[:height]


def _head(look: StandLook, width: int) -> Line:
    state = look.state
    mark = ">" if look.chosen else " "
    left = f"{mark}{look.number:<2} {state.word} {state.shape}"
    right = f"tag {look.part.tag} " if look.part else ""
    return line(
        ends(left, right, width), width, "chosen" if look.chosen else word_style(state.word)
    )


def number_of(state: StandState, now: datetime) -> str:
    """The big number; empty where nothing counts."""
    left = state.seconds_left(now)
    if left is None:
        return ""
    if state.counts == "up":
        return countdown(min(left, -0.001) if state.word != "IN HAND" else abs(left))
    return countdown(left)


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
    about = "~" if state.aged else ""
    guess = "?" if state.basis in ("guess", "outside") else ""
    opens = shuts = ""
    if state.opens_at is not None and state.opens_at > now:
        at = rounded_up(state.opens_at) if state.aged else state.opens_at
        opens = f"opens {about}{clock_words(at, now)}{guess}"
    if state.shuts_at is not None:
        at = rounded_down(state.shuts_at) if state.aged else state.shuts_at
        shuts = f"shuts {clock_words(at, now)}"
    return opens, shuts


def next_lines(part: Part, state: StandState, now: datetime, width: int) -> tuple[str, str]:
    """What comes next and when, then who; a window too long for one line takes part of both."""
    opens, shuts = window_words(state, now)
    window = " ".join(text for text in (opens, shuts) if text)
    who = who_words(part, state)
    if cell_len(window) > width:
        return opens, " ".join(text for text in (shuts, who) if text)
    if not window:
        window = f"test: {state.test}" if state.test else state.note
    return window, who


def who_words(part: Part, state: StandState) -> str:
    """Zone, rework or hold, and the painters who are on it or were last."""
    current = part.current()
    names = current.painters if current is not None and current.painters else ()
    if not names:
        done = part.clock_step()
        names = done.painters if done is not None else ()
    said = [text for text in (state.zone, f"REWORK {part.rework}" if part.rework else "") if text]
    if state.word in ("HOLD", "CURE"):
        said.append(state.note)
    who = "+".join(names)
    return " | ".join([*said, who] if who else said)


def after_words(part: Part) -> str:
    """The step after the current one."""
    ahead = [
        record for record in part.steps if record.status == "todo" and record is not part.current()
    ]
    return f"then {ahead[0].step.name}" if ahead else ""
