"""What painters share: the notes, and who has which equipment."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from bench.commands.core.call import Call
from bench.commands.core.console import Report
from bench.commands.core.plain_text import ascii_only, cut, plain
from bench.commands.reports.bench_data import air_data, equipment_data, iso, note_data
from bench.process.parts.notes import Note, note_words
from bench.process.stock.equipment import air_caution, air_sum, now_words
from bench.shop.core.bench_view import BenchView, read_bench
from bench.shop.people.away import absences
from bench.shop.people.painters import training_words
from bench.shop.queries.lookahead import held_until


def notes(call: Call) -> Report:
    """Report every note that nobody struck."""
    view = read_bench(call.shop)
    notes = view.every_note()
    now = view.local(call.shop.clock.now())
    lines = [_note(note, now) for note in notes]
    return Report({"notes": [note_data(note) for note in notes]}, lines or ["no notes"])


def _note(note: Note, now: datetime) -> str:
    place = f"tag {note.tag}" if note.tag else "bench"
    return f"{note.number:>5}  {cut(plain(place), 12)} {note_words(note, now)}"


def equipment(call: Call) -> Report:
    """Report who holds what, who waits, and the compressor's air."""
    view = read_bench(call.shop)
    until = held_until(call.shop, view)
    now = call.shop.clock.now()
    items = [
        {**equipment_data(item), "until_about": iso(until.get(item.key))} for item in view.equipment
    ]
    data = {"now": iso(now), "equipment": items, "air": air_data(view.air())}
    return Report(data, _equipment(view, until, view.local(now)))


def painters(call: Call) -> Report:
    """Report the shop's painters, who is trained for isocyanate, and who is away when."""
    trained, away = read_bench(call.shop).trained, absences(call.shop)
    by_name = {name: [each.words for each in away if each.painter == name] for name in trained}
    data = {
        "painters": [
            {"name": name, "trained": each, "away": by_name[name]} for name, each in trained.items()
        ]
    }
    lines = [
        f"{name}: {'; '.join([training_words(name, each), *map(away_words, by_name[name])])}"
        for name, each in trained.items()
    ]
    return Report(data, lines)


def away_words(span: str) -> str:
    """Say when somebody is away."""
    return f"away {span}"


def _equipment(view: BenchView, until: Mapping[str, datetime], now: datetime) -> Iterator[str]:
    units = view.house.units
    for item in view.equipment:
        row = f"{cut(ascii_only(item.key), 15)} {cut(ascii_only(item.name), 18)} "
        yield row + ascii_only(now_words(item, now, until.get(item.key), units))
    if not view.equipment:
        yield "none is recorded yet: paintbench equipment usual"
    elif view.air().drawn:
        air = view.air()
        yield ascii_only(air_caution(air, units) or f"air: {air_sum(air, units)}")
