"""The record of a part, looking one up, and what lies ahead as a calendar."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import cut, json_text, plain
from bench.commands.reports.bench_data import iso
from bench.commands.reports.printing import is_file, no_paper_for, out, print_out
from bench.process.ahead.upcoming import UpcomingEvent
from bench.process.refusals.refusal import Refusal
from bench.records.as_ical import ical
from bench.records.forms import FOR_SPREADSHEETS, FORMS, write_calendar
from bench.records.record_text import hour
from bench.shop.data.output_files import protected_files
from bench.shop.queries.lookahead import NOTHING_AHEAD, UpcomingEvents, upcoming
from bench.shop.queries.search import FoundPart, SearchPage, find_parts
from bench.shop.records.gathering import sheet_of


def sheet(call: Call) -> Refusal | None:
    """Write the record of a part, in one of its forms."""
    record = sheet_of(call.shop, call.args.target)
    if isinstance(record, Refusal):
        return record
    if refused := no_paper_for(call):
        return refused
    if call.args.json:
        call.args.form = "json"
    form = call.args.form
    if not call.args.spreadsheet:
        return print_out(call, lambda name, paper: FORMS[name].write(record, paper))
    if form not in FOR_SPREADSHEETS:
        right = f"--form {' or '.join(FOR_SPREADSHEETS)}, or leave it out"
        return Refusal(f"--spreadsheet does not go with the form {form}", "", right)
    return out(call, FOR_SPREADSHEETS[form](record))


def find(call: Call) -> Report | Refusal:
    """Report parts by what somebody still knows of them."""
    args = call.args
    parts = find_parts(
        call.shop,
        " ".join(args.words),
        job=args.job,
        owner=args.owner,
        since=args.since,
        until=args.until,
        most=args.last,
    )
    if isinstance(parts, Refusal):
        return parts
    if not parts.total and not args.json:
        return Refusal("no part fits", "", "fewer words, or part of one")
    data = {"total": parts.total, "parts": [_part_data(part) for part in parts.parts]}
    return Report(data, _lines(parts))


def _lines(page: SearchPage) -> Iterator[str]:
    yield from (_part_line(part) for part in page.parts)
    if page.total > len(page.parts):
        yield f"{len(page.parts)} of {page.total}; say more of it, or --last {page.total}"


def _part_line(part: FoundPart) -> str:
    place = f"stand {part.stand}" if part.stand is not None else "no stand"
    if part.away:
        place = f"left {hour(part.left_at)[:10]}".strip()
    many = f" x{part.count}" if part.count > 1 else ""
    when = f"{hour(part.begun_at)[:10]:10} {hour(part.ended_at)[:10]:10}"
    called = cut(plain(f"{part.name}{many}"), 24)
    whose = ", ".join(text for text in (part.job, part.owner) if text)
    return f"{cut(plain(part.tag), 8)} {called} {cut(place, 15)} {when}  {whose}".rstrip()


def _part_data(part: FoundPart) -> dict[str, Any]:
    return {
        "tag": part.tag,
        "part": part.name,
        "count": part.count,
        "job": part.job or None,
        "owner": part.owner or None,
        "substrate": part.substrate,
        "stand": part.stand,
        "away": part.away,
        "left_at": iso(part.left_at),
        "merged_into": part.merged_into or None,
        "begun_at": iso(part.begun_at),
        "ended_at": iso(part.ended_at),
    }


def calendar(call: Call) -> Refusal | None:
    """Write what is ahead of one part or of the bench, for a phone."""
    events = upcoming(call.shop, call.args.target)
    if isinstance(events, Refusal):
        return events
    if not call.args.json and is_file(call):
        path, protected = Path(call.args.out), protected_files(call.shop)
        return write_calendar(path, events, protected, force=call.args.force)
    if not events.rings:
        return NOTHING_AHEAD
    if not call.args.json:
        return out(call, ical(events))
    rings = [_ring(ring) for ring in events.rings]
    data = {"form": "paintbench calendar", "clock": _clock(events), "rings": rings}
    return out(call, json_text(data))


def _clock(events: UpcomingEvents) -> str:
    return "wrong" if events.doubtful else "ok"


def _ring(ring: UpcomingEvent) -> dict[str, Any]:
    return {
        "kind": ring.kind,
        "at": iso(ring.edge.shown),
        "title": ring.title,
        "told": ring.details,
    }
