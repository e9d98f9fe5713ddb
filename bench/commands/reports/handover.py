"""A shift's end and the next one's start: `paintbench handover` and `since`."""

from __future__ import annotations

from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import folded
from bench.commands.reports.bench_data import iso
from bench.commands.reports.lists import line_data
from bench.commands.reports.printing import is_for_terminal, no_paper_for, print_out
from bench.process.parts.log_entry import LogEntry
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import format_clock
from bench.records.as_html import html
from bench.records.handover_page import handover_page
from bench.records.record_text import hour
from bench.shop.people import handover as handing
from bench.shop.people.handover import ChangesSince, HandOver
from bench.shop.settings.paper import Paper


def handover(call: Call) -> Report | Refusal | None:
    """Report the page for the next shift, with "nothing" where there is nothing."""
    page = handing.handover(call.shop)
    rows = _rows(page)
    if refused := no_paper_for(call):
        return refused
    if is_for_terminal(call):
        return Report(_data(page), rows)
    title = f"Hand-over, written {hour(page.now)}"

    def written(form: str, paper: Paper) -> str:
        in_lines = "".join(f"{row}\n" for row in rows)
        return html(handover_page(page), title, paper) if form == "html" else in_lines

    return print_out(call, written)


def _rows(page: HandOver) -> list[str]:
    rows = [f"HAND-OVER  {page.now:%a %d %b %Y %H:%M}, until {format_clock(page.until, page.now)}"]
    rows += _folded(f"{page.who}; room: {page.room}", "")
    for section in page.sections:
        if not section.lines:
            rows += ["", f"{section.title}: nothing"]
            continue
        rows += ["", section.title]
        rows += [row for text in section.lines for row in _folded(text, "  ")]
    return rows


def _data(page: HandOver) -> dict[str, Any]:
    return {
        "now": iso(page.now),
        "until": iso(page.until),
        "painters": page.who,
        "room": page.room,
        "sections": [
            {"section": section.key, "title": section.title, "lines": list(section.lines)}
            for section in page.sections
        ],
    }


def _folded(text: str, indent: str) -> list[str]:
    return folded(text, indent, f"{indent}    ")


def since(call: Call) -> Report | Refusal:
    """Report what others did since somebody left."""
    since = handing.changes_since(call.shop, call.args.by)
    if isinstance(since, Refusal):
        return since
    data = {
        "painter": since.painter,
        "left_at": iso(since.left_at),
        "journal": [line_data(line) for line in since.lines],
    }
    return Report(data, _since_rows(since))


def _since_rows(since: ChangesSince) -> list[str]:
    left = f" at {format_clock(since.left_at, since.now)}" if since.left_at else ""
    rows = [f"since {since.painter} handed over{left}:"]
    if not since.lines:
        return [*rows, "  others did nothing"]
    return rows + [row for line in since.lines for row in _line(line, since)]


def _line(line: LogEntry, since: ChangesSince) -> list[str]:
    undone = " (undone)" if line.undone else ""
    return _folded(f"{format_clock(line.at, since.now)} {line.painter}: {line.text}{undone}", "  ")
