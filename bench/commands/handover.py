"""A shift's end and the next one's start: `paintbench handover`, `leave`, `come-in`, `since`."""

from __future__ import annotations

import textwrap
from typing import Any

from bench.commands.call import Call
from bench.commands.lists import line_data
from bench.commands.plain import ascii_only, write_json, write_line
from bench.commands.status import iso
from bench.process.partsheet import JournalLine
from bench.process.refusal import Refusal
from bench.process.spoken import clock_words
from bench.shop import handover as handing
from bench.shop.acting import Done
from bench.shop.handover import HandOver, Since

WIDTH = 79


def handover(call: Call) -> Refusal | None:
    """The page for the next shift as it is printed, with "nothing" where there is nothing."""
    found = handing.handover(call.shop)
    if call.args.json:
        write_json(call.out, _data(found))
        return None
    for row in _rows(found):
        write_line(call.out, row)
    return None


def _rows(found: HandOver) -> list[str]:
    rows = [
        f"HAND-OVER  {found.now:%a %d %b %Y %H:%M}, until {clock_words(found.until, found.now)}"
    ]
    rows += _folded(f"{found.who}; room: {found.room}", "")
    for section in found.sections:
        if not section.lines:
            rows += ["", f"{section.title}: nothing"]
            continue
        rows += ["", section.title]
        rows += [row for text in section.lines for row in _folded(text, "  ")]
    return rows


def _data(found: HandOver) -> dict[str, Any]:
    return {
        "now": iso(found.now),
        "until": iso(found.until),
        "painters": found.who,
        "room": found.room,
        "sections": [
            {"title": section.title.lower(), "lines": list(section.lines)}
            for section in found.sections
        ],
    }


def _folded(text: str, indent: str) -> list[str]:
    return textwrap.wrap(
        ascii_only(text), WIDTH, initial_indent=indent, subsequent_indent=f"{indent}    "
    )


def leave(call: Call, by: str) -> Done | Refusal:
    """Hand over and go home."""
    return handing.leave(call.shop, by)


def come_in(call: Call, by: str) -> Done | Refusal:
    """Be in again."""
    return handing.come_in(call.shop, by)


def since(call: Call) -> Refusal | None:
    """What others did since somebody left."""
    found = handing.since(call.shop, call.args.by)
    if isinstance(found, Refusal):
        return found
    if call.args.json:
        data = {
            "painter": found.painter,
            "left_at": iso(found.left_at),
            "journal": [line_data(line) for line in found.lines],
        }
        write_json(call.out, data)
        return None
    for row in _since_rows(found):
        write_line(call.out, row)
    return None


def _since_rows(found: Since) -> list[str]:
    left = f" at {clock_words(found.left_at, found.now)}" if found.left_at else ""
    rows = [f"since {found.painter} handed over{left}:"]
    if not found.lines:
        return [*rows, "  others did nothing"]
    return rows + [row for line in found.lines for row in _line(line, found)]


def _line(line: JournalLine, found: Since) -> list[str]:
    undone = " (undone)" if line.undone else ""
    return _folded(f"{clock_words(line.at, found.now)} {line.painter}: {line.text}{undone}", "  ")
