"""`paintbench ahead`: what would come of beginning, of mixing, or of going home."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import ascii_only, folded
from bench.commands.reports.bench_data import iso, shown_at
from bench.process.ahead.day_strip import SIGNS, day_strip
from bench.process.ahead.lookahead import Ahead, End, ahead_words, length_words
from bench.process.ahead.unattended import MissedEvent
from bench.process.attention.todo_list import Task
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_clock
from bench.shop.queries.lookahead import (
    MixAhead,
    PartAhead,
    Tonight,
    ahead_of,
    ahead_of_mix,
    closed_hours_tasks,
)
from bench.trade.ageing import is_guess

STRIP_WIDTH = 76
INDENT = "  "


def ahead(call: Call) -> Report | Refusal:
    """Report on one part, on a product to be mixed, or without either on the time while closed."""
    args = call.args
    if args.mix is not None:
        mix = ahead_of_mix(call.shop, args.mix.strip())
        return mix if isinstance(mix, Refusal) else Report(_mix_data(mix), _mix_lines(mix))
    if args.target is not None:
        part = ahead_of(call.shop, args.target)
        return part if isinstance(part, Refusal) else Report(_part_data(part), _part_lines(part))
    night = closed_hours_tasks(call.shop)
    return Report(_tonight_data(night), _tonight_lines(night))


# --- one part ------------------------------------------------------------------------------------


def _part_lines(lookahead: PartAhead) -> list[str]:
    part = lookahead.part
    record = part.current()
    step = record.step.name if record else "its whole route is done"
    place = f"stand {part.stand}" if part.stand is not None else "on no stand"
    lines = [ascii_only(f"tag {part.tag} {part.name}, {place}: {step}")]
    if lookahead.ahead is None:
        word = (
            f"{lookahead.state.word}, {lookahead.state.note}"
            if lookahead.state.note
            else lookahead.state.word
        )
        lines += _folded(f"nothing to begin: {word}")
    else:
        lines += _folded(ahead_words(lookahead.ahead, lookahead.now))
        if lookahead.ahead.length.lasts:
            lines += _folded(length_words(lookahead.ahead.length))
    lines += _folded("no rule is against beginning now") if not lookahead.against else []
    for refused in lookahead.against:
        lines += _folded(f"NO: {refused}")
    strip = day_strip(lookahead.signs, lookahead.hours, lookahead.now, STRIP_WIDTH)
    legend = "  ".join(f"{sign} {means}" for sign, means in SIGNS.items())
    return [*lines, "", *(INDENT + line.rstrip() for line in strip), *_folded(legend)]


def _part_data(lookahead: PartAhead) -> dict[str, Any]:
    line, hours = day_strip(lookahead.signs, lookahead.hours, lookahead.now, STRIP_WIDTH)
    return {
        "now": iso(lookahead.now),
        "tag": lookahead.part.tag,
        "stand": lookahead.part.stand,
        "part": lookahead.part.name,
        "state": lookahead.state.word.lower(),
        "ahead": _ahead_data(lookahead.ahead, lookahead.now) if lookahead.ahead else None,
        "against": [
            {
                "rule": refused.rule,
                "read": refused.read,
                "remedy": refused.remedy,
                "name": refused.name,
                "override": refused.override,
            }
            for refused in lookahead.against
        ],
        "strip": {
            "line": line,
            "hours": hours,
            "signs": [{"at": iso(sign.edge.shown), "sign": sign.sign} for sign in lookahead.signs],
        },
    }


def _ahead_data(ahead: Ahead, now: datetime) -> dict[str, Any]:
    attended = ahead.attended
    return {
        "step": ahead.step,
        "begins_at": iso(ahead.begins.shown),
        "at_once": ahead.at_once,
        "keyed": ahead.keyed,
        "length_seconds": round(ahead.length.lasts.total_seconds()),
        "length_known_from": ahead.length.known_from,
        "opens": _end_data(ahead.opens),
        "closes": _end_data(ahead.closes),
        "attended_seconds": None if attended is None else round(attended.total_seconds()),
        "only_the_cure_after_it": ahead.last,
        "earliest": shown_at(ahead.earliest),
        "begin_before": shown_at(ahead.until),
        "holidays": [day.isoformat() for day in ahead.holidays],
        "words": ahead_words(ahead, now),
    }


def _end_data(end: End | None) -> dict[str, Any] | None:
    if end is None:
        return None
    return {
        "at": iso(end.edge.shown),
        "somebody_in": end.attended,
        "basis": end.edge.basis,
    }


# --- a mix, and the night ------------------------------------------------------------------------


def _mix_lines(lookahead: MixAhead) -> list[str]:
    pot = lookahead.pot
    pot_line = f"{pot.name} mixed now: use from {pot.ready.words(lookahead.now)}"
    if pot.end is not None:
        pot_line += f", bin by {pot.end.words(lookahead.now)}, a big pot sooner"
        pot_line += f" ({pot.end.figure_words})" if is_guess(pot.basis) else ""
    lines = [ascii_only(pot_line)]
    for part, ahead in lookahead.parts:
        place = f"stand {part.stand}" if part.stand is not None else "on no stand"
        lines += _folded(
            f"tag {part.tag} {part.name}, {place}: {ahead_words(ahead, lookahead.now)}"
        )
        lines += _folded(length_words(ahead.length))
    return lines if lookahead.parts else [*lines, *_folded("no part waits for it")]


def _mix_data(lookahead: MixAhead) -> dict[str, Any]:
    return {
        "now": iso(lookahead.now),
        "product": lookahead.pot.product,
        "use_from": iso(lookahead.pot.use_from),
        "bin_by": iso(lookahead.pot.bin_by),
        "basis": lookahead.pot.basis,
        "parts": [
            {"tag": part.tag, "stand": part.stand, "ahead": _ahead_data(ahead, lookahead.now)}
            for part, ahead in lookahead.parts
        ],
    }


def _tonight_lines(night: Tonight) -> list[str]:
    lines = [line for fault in night.bad_holidays for line in _folded(f"left out: {fault}")]
    cold = [line for want in night.cold for line in _missed_lines(want)]
    if night.away is None:
        return ["the shop never closes", *lines, *cold]
    leaves, comes = (format_clock(at, night.now) for at in night.away)
    lines = [f"shop closed from {leaves} to {comes}", *lines]
    for event in night.missed:
        lines += _missed_lines(event)
    lines += cold
    return lines if night.missed or cold else [*lines, f"{INDENT}nothing is missed"]


def _missed_lines(event: MissedEvent | Task) -> list[str]:
    place = f"stand {event.stand}, " if event.stand is not None else ""
    return _folded(f"{event.word:<9} {place}{event.text}")


def _tonight_data(night: Tonight) -> dict[str, Any]:
    leaves, comes = night.away or (None, None)
    return {
        "now": iso(night.now),
        "nobody_in_from": iso(leaves),
        "nobody_in_to": iso(comes),
        "missed": [
            {
                "word": event.word.lower(),
                "at": iso(event.closes.shown),
                "tag": event.tag,
                "stand": event.stand,
                "text": event.text,
            }
            for event in night.missed
        ],
        "cold": [{"tag": w.tag, "stand": w.stand, "text": w.text} for w in night.cold],
        "bad_holidays": list(night.bad_holidays),
    }


def _folded(text: str) -> list[str]:
    return folded(text, INDENT, INDENT * 3)
