"""The bench as plain text: fixed columns, words and shapes, ASCII only, nothing in colour.

Also the bench for somebody who has it read aloud: no line is needed to understand another.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import datetime

from bench.commands.plain import ascii_only, cut
from bench.commands.status import dew, step_name
from bench.process.edges import Edge
from bench.process.equipment import Equipment, air_caution, air_sum, now_words
from bench.process.notes import note_words
from bench.process.pots import Gun, Pot, pot_word, warmed_words
from bench.process.room import room_in_full
from bench.process.spoken import bounded, clock_words, countdown, span_words
from bench.process.state import StandState
from bench.process.temperature import Reading
from bench.shop.sight import BenchView, Placed
from bench.trade.ageing import is_guess

WIDTH = 79
INDENT = " " * 12


def bench_lines(view: BenchView, at: datetime) -> Iterator[str]:
    """The whole bench at an instant, line by line."""
    now = view.local(at)
    least = "CLOCK WRONG, at least " if view.doubtful else ""
    yield ascii_only(f"PAINT BENCH  {least}{now:%a %d %b %Y %H:%M}")
    yield from textwrap.wrap(ascii_only(f"room: {room_in_full(view.room(now), now)}"), WIDTH)
    yield ""
    yield _row("STAND", "", "STATE", "CLOCK", "TAG", "PART", "STEP")
    for number, placed in view.stands:
        yield from _stand(str(number), placed, view.state(number, now), now)
    for placed in view.off_stand:
        yield from _stand("-", placed, placed.state(now), now)
    yield from _section("WANTS DOING", [_want(*want) for want in _wants(view, now)])
    yield from _section("POTS", [_pot(pot, now) for pot in view.pots])
    if view.guns:
        yield from _section("GUNS TO FLUSH", [_gun(gun, now) for gun in view.guns])
    held = [thing for thing in view.equipment if thing.holder or thing.queue]
    if held:
        yield from _section("EQUIPMENT", _equipment(view, held, now))
    if view.notes:
        yield from _section("NOTES", [note_words(note, now) for note in view.notes])
    reading = view.reading()
    yield from _section("CONDITIONS", [_conditions(reading, now)] if reading else [])


def _row(*cells: str) -> str:
    stand, shape, word, number, tag, part, step = (ascii_only(cell) for cell in cells)
    row = f"{stand:>5} {shape:<3} {word:<7} {number:>7}  {cut(tag, 8)} {cut(part, 19)} "
    return (row + cut(step, WIDTH - len(row))).rstrip()


def _stand(number: str, placed: Placed | None, state: StandState, now: datetime) -> Iterator[str]:
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
    yield from _folded("; ".join(_details(placed, state, now)))


def _number(state: StandState, left: float | None) -> str:
    if left is None:
        return ""
    return bounded(countdown(left), up=state.counts == "up") if state.doubtful else countdown(left)


def _details(placed: Placed, state: StandState, now: datetime) -> Iterator[str]:
    part = placed.part
    if part.stand is None:
        yield f"on no stand, last on {part.last_stand}" if part.last_stand else "on no stand"
    if state.zone:
        yield f"zone {state.zone}"
    if state.opens:
        yield f"{'opened' if state.opens.is_over(now) else 'opens'} {state.opens.words(now)}"
    if state.closes:
        yield f"{'closed' if state.closes.is_over(now) else 'closes'} {state.closes.words(now)}"
    yield from _figures(state, now)
    if state.old:
        yield "from a reading over 4 h old"
    if painters := part.on_it():
        yield f"on it: {' and '.join(painters)}"
    if state.note:
        yield state.note
    if state.test:
        yield f"test: {state.test}"
    if part.rework:
        yield f"rework: {part.rework}"
    for note in placed.notes:
        yield f"note: {note_words(note, now)}"
    if part.owner or part.job:
        yield " ".join(text for text in (part.owner, part.job) if text)


def _figures(state: StandState, now: datetime) -> Iterator[str]:
    """Of hours to come that rest on no figure of a data sheet: where theirs come from."""
    guessed = [edge.figure_words for edge in state.ahead(now) if is_guess(edge.basis)]
    yield from dict.fromkeys(guessed)


def _folded(text: str) -> list[str]:
    return textwrap.wrap(ascii_only(text), WIDTH, initial_indent=INDENT, subsequent_indent=INDENT)


def _section(title: str, lines: list[str]) -> Iterator[str]:
    yield ""
    yield title
    if not lines:
        yield "  nothing"
    for line in lines:
        yield from textwrap.wrap(
            ascii_only(line), WIDTH, initial_indent="  ", subsequent_indent=" " * 11
        )


def _wants(view: BenchView, now: datetime) -> Iterator[tuple[str, str, str]]:
    for want in view.wants(now):
        if want.stand is not None:
            yield want.word, f"stand {want.stand}", want.text
        else:
            yield want.word, "", want.text


def _want(word: str, where: str, text: str) -> str:
    return f"{word:<7}  {where}, {text}" if where else f"{word:<7}  {text}"


def _pot(pot: Pot, now: datetime) -> str:
    much = f", {pot.total_ml:.0f} ml" if pot.total_ml is not None else ""
    line = f"{pot_word(pot, now):<7}  pot {pot.letter}: {pot.name}{much}"
    if now < pot.use_from:
        line += f", use from {clock_words(pot.use_from, now)}"
    if pot.bin_by is not None:
        line += f", bin by {clock_words(pot.bin_by, now)}"
        figure = Edge(pot.bin_by, "closing", pot.basis).figure_words
        line += f" ({figure})" if is_guess(pot.basis) else ""
        line += f"; {warmed_words(pot, now)}" if pot.warmed else ""
    return line


def _gun(gun: Gun, now: datetime) -> str:
    by = f", flush by {clock_words(gun.flush_by, now)}" if gun.flush_by else ""
    return f"gun of pot {gun.letter}: {gun.name}{by}"


def _equipment(view: BenchView, held: list[Equipment], now: datetime) -> list[str]:
    air = view.air()
    rows = [f"{thing.name}: {now_words(thing, now)}" for thing in held]
    return rows + ([air_caution(air) or f"air: {air_sum(air)}"] if air.drawn else [])


def _conditions(reading: Reading, now: datetime) -> str:
    told = [f"air {reading.air_c:g} C"]
    if reading.rh_pct is not None:
        told.append(f"humidity {reading.rh_pct:g} %")
    told.append(f"metal {reading.metal_c:g} C" if reading.metal_c is not None else "metal not read")
    dew_c, margin_c = dew(reading)
    if dew_c is not None:
        told.append(f"dew point {dew_c:g} C, margin {margin_c:g} C")
    age_s = (now - reading.at).total_seconds()
    return ", ".join([*told, f"read {span_words(age_s)} ago"])
