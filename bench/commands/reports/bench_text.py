"""The bench as plain text: fixed columns, words and shapes, ASCII only, nothing in colour.

Also the bench for somebody who has it read aloud: no line is needed to understand another.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from bench.commands.core.plain_text import WIDTH, ascii_only, cut, folded
from bench.commands.reports.bench_data import dew, step_name
from bench.process.attention.todo_list import Task
from bench.process.clocks.conditions import Conditions
from bench.process.clocks.pots import Gun, Pot, pot_word, warmed_words
from bench.process.clocks.reading_doubts import jump_words
from bench.process.clocks.stand_state import StandState
from bench.process.parts.notes import note_words
from bench.process.parts.part import Part
from bench.process.safety.masks import room_in_full
from bench.process.stock.equipment import Equipment, air_caution, air_sum, now_words
from bench.process.wording.time_text import bounded_countdown, format_duration, short_countdown
from bench.shop.core.bench_view import BenchView, PlacedPart
from bench.trade.ageing import is_guess

INDENT = " " * 12


def bench_lines(view: BenchView, at: datetime) -> Iterator[str]:
    """Yield the whole bench at an instant, line by line."""
    now = view.local(at)
    least = "CLOCK WRONG, at least " if view.doubtful else ""
    yield ascii_only(f"PAINT BENCH  {least}{now:%a %d %b %Y %H:%M}")
    yield from folded(f"room: {room_in_full(view.room(now), now)}")
    yield ""
    yield _row("STAND", "", "STATE", "CLOCK", "TAG", "PART", "STEP")
    for number, placed in view.stands:
        yield from _stand(str(number), placed, view.state(number, now), now)
    for placed in view.off_stand:
        yield from _stand("-", placed, placed.state(now), now)
    yield from _section("TO DO", [_want(want) for want in view.wants(now)])
    yield from _section("POTS", [_pot(pot, now) for pot in view.pots])
    if view.guns:
        yield from _section("GUNS TO FLUSH", [_gun(gun, now) for gun in view.guns])
    in_use = [item for item in view.equipment if item.holder or item.queue]
    if in_use:
        yield from _section("EQUIPMENT", _equipment(view, in_use, now))
    if view.notes:
        yield from _section("NOTES", [note_words(note, now) for note in view.notes])
    conditions = view.conditions(now)
    air = [_conditions(conditions, now)] if conditions else []
    if jump := view.house.hours.unanswered:
        answer = "paintbench probe-jump right, or wrong"
        air.append(jump_words(jump, view.house.units, answer))
    yield from _section("CONDITIONS", air)


def _row(*cells: str) -> str:
    stand, shape, word, number, tag, part, step = (ascii_only(cell) for cell in cells)
    row = f"{stand:>5} {shape:<3} {word:<9} {number:>7}  {cut(tag, 8)} {cut(part, 19)} "
    return (row + cut(step, WIDTH - len(row))).rstrip()


def _stand(
    number: str, placed: PlacedPart | None, state: StandState, now: datetime
) -> Iterator[str]:
    if placed is None:
        yield _row(number, state.shape, state.word, "", "", "", "")
        return
    part = placed.part
    left = state.seconds_left(now)
    place, steps = part.progress()
    name = f"{part.name} x{part.count}" if part.count > 1 else part.name
    yield _row(
        number,
        state.shape,
        state.word,
        _number(state, left),
        part.tag,
        name,
        f"{place}/{steps} {step_name(part)}",
    )
    yield from folded("; ".join(_details(placed, state, now)), INDENT)


def _number(state: StandState, left: float | None) -> str:
    if left is None:
        return ""
    return (
        bounded_countdown(short_countdown(left), up=state.counts == "up")
        if state.doubtful
        else short_countdown(left)
    )


def _details(placed: PlacedPart, state: StandState, now: datetime) -> Iterator[str]:
    """Yield what is known of a part besides its row, the most wanted first."""
    yield from _place(placed.part, state)
    yield from _hours(state, now)
    yield from _work(placed, state)
    yield from (f"note: {note_words(note, now)}" for note in placed.notes)
    yield from _belongs(placed.part)


def _place(part: Part, state: StandState) -> Iterator[str]:
    if part.stand is None:
        yield f"on no stand, last on {part.last_stand}" if part.last_stand else "on no stand"
    if state.zone:
        yield f"zone {state.zone}"


def _hours(state: StandState, now: datetime) -> Iterator[str]:
    """Say when it opens and closes, and what these times rest on."""
    if state.opens:
        opens, opened = ("ends", "ended") if state.is_cure else ("opens", "opened")
        yield f"{opened if state.opens.is_over(now) else opens} {state.opens.words(now)}"
    if state.closes:
        yield f"{'closed' if state.closes.is_over(now) else 'closes'} {state.closes.words(now)}"
    yield from _figures(state, now)
    if state.old:
        yield "from a reading over 4 h old"


def _work(placed: PlacedPart, state: StandState) -> Iterator[str]:
    if painters := placed.part.on_it():
        yield f"on it: {' and '.join(painters)}"
    if state.note:
        yield state.note
    if state.test:
        yield f"test: {state.test}"
    if placed.part.rework:
        yield f"rework: {placed.part.rework}"


def _belongs(part: Part) -> Iterator[str]:
    if part.owner or part.job:
        yield " ".join(text for text in (part.owner, part.job) if text)


def _figures(state: StandState, now: datetime) -> Iterator[str]:
    """Say where times to come are from that rest on no figure of a data sheet."""
    guessed = [edge.figure_words for edge in state.ahead(now) if edge.by_rule]
    yield from dict.fromkeys(guessed)


def _section(title: str, lines: list[str]) -> Iterator[str]:
    yield ""
    yield title
    if not lines:
        yield "  nothing"
    for line in lines:
        yield from folded(line, "  ", " " * 13)


def _want(want: Task) -> str:
    place = f"stand {want.stand}, " if want.stand is not None else ""
    return f"{want.word:<9}  {place}{want.text}"


def _pot(pot: Pot, now: datetime) -> str:
    amount = f", {pot.total_ml:.0f} ml" if pot.total_ml is not None else ""
    line = f"{pot_word(pot, now):<9}  pot {pot.letter}: {pot.name}{amount}"
    if pot.off:
        return f"{line}: {pot.off}"
    if now < pot.use_from:
        line += f", use from {pot.ready.words(now)}"
    if pot.end is not None:
        line += f", bin by {pot.end.words(now)}"
        line += f" ({pot.end.figure_words})" if is_guess(pot.basis) else ""
        line += f"; {warmed_words(pot, now)}" if pot.warmed else ""
    return line


def _gun(gun: Gun, now: datetime) -> str:
    by = f", flush by {gun.end.words(now)}" if gun.end else ""
    return f"gun of pot {gun.letter}: {gun.name}{by}"


def _equipment(view: BenchView, in_use: list[Equipment], now: datetime) -> list[str]:
    air, units = view.air(), view.house.units
    rows = [f"{item.name}: {now_words(item, now, units=units)}" for item in in_use]
    return rows + ([air_caution(air, units) or f"air: {air_sum(air, units)}"] if air.drawn else [])


def _conditions(conditions: Conditions, now: datetime) -> str:
    reading = conditions.newest
    figures = [f"air {reading.air_c:g} C"]
    if reading.rh_pct is not None:
        figures.append(f"humidity {reading.rh_pct:g} %")
    figures.append(
        f"surface {reading.metal_c:g} C" if reading.metal_c is not None else "surface not read"
    )
    dew_c, margin_c = dew(conditions)
    if dew_c is not None:
        figures.append(f"dew point {dew_c:g} C, margin {margin_c:g} C")
    age_s = (now - reading.at).total_seconds()
    return ", ".join([*figures, f"read {format_duration(age_s)} ago"])
