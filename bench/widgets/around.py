"""What stands around the stands: room and hour above, the list of wants, air and pots below."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from bench.process.conditions import judged
from bench.process.harm import Want
from bench.process.pots import Pot, pot_word
from bench.process.spoken import clock_words, span_words
from bench.process.state import SHAPES
from bench.process.temperature import Reading
from bench.widgets.lines import Line, Piece, ends, fit, line
from bench.widgets.styles import word_style

OLD_READING = timedelta(hours=4)
"""Readings every four hours or so, or after rain (common practice; see also MIL-HDBK-1110)."""


def header(
    now: datetime,
    masks: tuple[bool, datetime | None],
    measured: bool,
    painter: str,
    demo: bool,
    width: int,
) -> Line:
    """Room, hour of the day, and who is at the keys."""
    on, until = masks
    if on and until is not None:
        room = f" MASKS ON until {clock_words(until, now)}{'' if measured else '?'} "
    elif on:
        room = " MASKS ON, spraying "
    else:
        room = " CLEAR "
    right = f"{'DEMO  ' if demo else ''}at the keys: {painter} "
    clock = now.strftime(" %a %d %b  %H:%M ")
    rest = ends(clock, right, width - len(room))
    return (Piece(fit(room, len(room)), "ruined" if on else "open"), Piece(rest, "head"))


def want_lines(wants: Sequence[Want], count: int, width: int) -> list[Line]:
    """The first of the list, most harm first; the last line says how many more."""
    if not wants:
        return [line(" nothing wants doing now", width, "dim"), *[line("", width)] * (count - 1)]
    shown = wants if len(wants) <= count else wants[: count - 1]
    lines = [_want_line(want, width) for want in shown]
    if len(wants) > count:
        rest = wants[count - 1 :]
        lines.append(
            line(f"   and {len(rest)} more: " + ", ".join(_short(w) for w in rest), width, "dim")
        )
    return lines + [line("", width)] * (count - len(lines))


def _short(want: Want) -> str:
    return f"{want.stand or '-'} {want.word}"


def _want_line(want: Want, width: int) -> Line:
    word = f" {want.word:<7}{SHAPES[want.word]} "
    place = f"stand {want.stand}" if want.stand else ("pot" if want.word == "BIN" else "no stand")
    return (
        Piece(word, word_style(want.word)),
        Piece(fit(f" {place}: {want.text}", width - len(word)), ""),
    )


def air_line(reading: Reading | None, now: datetime, width: int) -> Line:
    """Conditions with the margin over the dew point, and how old the reading is."""
    if reading is None:
        return line(" air: no reading yet; press / then 2", width, "dim")
    told = [f"air {reading.air_c:g} C"]
    style = ""
    if reading.rh_pct is not None:
        told.append(f"{reading.rh_pct:g} %")
    if reading.metal_c is not None:
        told.append(f"metal {reading.metal_c:g} C")
    air = judged(reading)
    if air is not None:
        told += [f"dew {air.dew_point_c:.1f} C", f"margin {air.margin_c:.1f} C"]
        if not air.fit:
            told.append("STOP: " + "; ".join(limit.split(":")[0] for limit in air.against))
            style = "ruined"
    age = now - reading.at
    old = "OLD, " if age >= OLD_READING else ""
    told.append(f"read {old}{span_words(age.total_seconds())} ago")
    return line(" " + "  ".join(told), width, style)


def pots_line(pots: Sequence[Pot], now: datetime, width: int) -> Line:
    """The open pots with their words, most urgent first."""
    if not pots:
        return line(" no pot is open", width, "dim")
    order = ("BIN", "BIN BY", "USE", "REST")
    ranked = sorted(pots, key=lambda pot: order.index(pot_word(pot, now)))
    pieces = [Piece(" pots ", "")]
    used = 6
    for place, pot in enumerate(ranked):
        word = pot_word(pot, now)
        by = (
            f" {word} by {clock_words(pot.bin_by, now)}"
            if pot.bin_by and word == "USE"
            else f" {word}"
        )
        if word == "BIN BY" and pot.bin_by:
            by = f" BIN BY {clock_words(pot.bin_by, now)}"
        text = f" {pot.letter} {pot.name}{by} "
        more = f"+{len(ranked) - place}"
        if used + len(text) + (len(more) if place < len(ranked) - 1 else 0) > width:
            pieces.append(Piece(more, ""))
            used += len(more)
            break
        pieces += [Piece(text, word_style(word)), Piece(" ", "")]
        used += len(text) + 1
    pieces.append(Piece(" " * max(width - used, 0), ""))
    return tuple(pieces)
