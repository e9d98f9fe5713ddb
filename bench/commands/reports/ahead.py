"""`paintbench ahead`: what would come of beginning, of mixing, or of going home."""

from __future__ import annotations

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
    tonight,
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
    night = tonight(call.shop)
    return Report(_tonight_data(night), _tonight_lines(night))


# --- one part ------------------------------------------------------------------------------------


def _part_lines(found: PartAhead) -> list[str]:
    part = found.part
    record = part.current()
    step = record.step.name if record else "its whole route is done"
    where = f"stand {part.stand}" if part.stand is not None else "on no stand"
    lines = [ascii_only(f"tag {part.tag} {part.name}, {where}: {step}")]
    if found.ahead is None:
        word = f"{found.state.word}, {found.state.note}" if found.state.note else found.state.word
        lines += _folded(f"nothing to begin: {word}")
    else:
        lines += _folded(ahead_words(found.ahead, found.now))
        if found.ahead.length.lasts:
            lines += _folded(length_words(found.ahead.length))
    lines += _folded("no rule is against beginning now") if not found.against else []
    for refused in found.against:
        lines += _folded(f"NO: {refused}")
    strip = day_strip(found.signs, found.hours, found.now, STRIP_WIDTH)
    legend = "  ".join(f"{sign} {means}" for sign, means in SIGNS.items())
    return [*lines, "", *(INDENT + line.rstrip() for line in strip), *_folded(legend)]


def _part_data(found: PartAhead) -> dict[str, Any]:
    line, hours = day_strip(found.signs, found.hours, found.now, STRIP_WIDTH)
    return {
        "now": iso(found.now),
        "tag": found.part.tag,
        "stand": found.part.stand,
        "part": found.part.name,
        "state": found.state.word.lower(),
        "ahead": _ahead_data(found, found.ahead) if found.ahead else None,
        "against": [
            {
                "rule": refused.rule,
                "read": refused.read,
                "remedy": refused.remedy,
                "name": refused.name,
                "override": refused.override,
            }
            for refused in found.against
        ],
        "strip": {
            "line": line,
            "hours": hours,
            "signs": [{"at": iso(sign.edge.shown), "sign": sign.sign} for sign in found.signs],
        },
    }


def _ahead_data(found: PartAhead | MixAhead, ahead: Ahead) -> dict[str, Any]:
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
        "words": ahead_words(ahead, found.now),
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


def _mix_lines(found: MixAhead) -> list[str]:
    pot = found.pot
    told = f"{pot.name} mixed now: use from {pot.ready.words(found.now)}"
    if pot.end is not None:
        told += f", bin by {pot.end.words(found.now)}, a big pot sooner"
        told += f" ({pot.end.figure_words})" if is_guess(pot.basis) else ""
    lines = [ascii_only(told)]
    for part, ahead in found.parts:
        where = f"stand {part.stand}" if part.stand is not None else "on no stand"
        lines += _folded(f"tag {part.tag} {part.name}, {where}: {ahead_words(ahead, found.now)}")
        lines += _folded(length_words(ahead.length))
    return lines if found.parts else [*lines, *_folded("no part waits for it")]


def _mix_data(found: MixAhead) -> dict[str, Any]:
    return {
        "now": iso(found.now),
        "product": found.pot.product,
        "use_from": iso(found.pot.use_from),
        "bin_by": iso(found.pot.bin_by),
        "basis": found.pot.basis,
        "parts": [
            {"tag": part.tag, "stand": part.stand, "ahead": _ahead_data(found, ahead)}
            for part, ahead in found.parts
        ],
    }


def _tonight_lines(found: Tonight) -> list[str]:
    lines = [line for fault in found.bad_holidays for line in _folded(f"left out: {fault}")]
    cold = [line for want in found.cold for line in _missed_lines(want)]
    if found.away is None:
        return ["the shop never closes", *lines, *cold]
    leaves, comes = (format_clock(at, found.now) for at in found.away)
    lines = [f"shop closed from {leaves} to {comes}", *lines]
    for missed in found.missed:
        lines += _missed_lines(missed)
    lines += cold
    return lines if found.missed or cold else [*lines, f"{INDENT}nothing is missed"]


def _missed_lines(missed: MissedEvent | Task) -> list[str]:
    where = f"stand {missed.stand}, " if missed.stand is not None else ""
    return _folded(f"{missed.word:<9} {where}{missed.text}")


def _tonight_data(found: Tonight) -> dict[str, Any]:
    leaves, comes = found.away or (None, None)
    return {
        "now": iso(found.now),
        "nobody_in_from": iso(leaves),
        "nobody_in_to": iso(comes),
        "missed": [
            {
                "word": missed.word.lower(),
                "at": iso(missed.closes.shown),
                "tag": missed.tag,
                "stand": missed.stand,
                "text": missed.text,
            }
            for missed in found.missed
        ],
        "cold": [{"tag": w.tag, "stand": w.stand, "text": w.text} for w in found.cold],
        "bad_holidays": list(found.bad_holidays),
    }


def _folded(text: str) -> list[str]:
    return folded(text, INDENT, INDENT * 3)
