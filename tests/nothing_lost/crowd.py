"""Several processes at one shop at once: no update is lost, and nobody is told but of an honest conflict.

Each process does one thing after the other as fast as it can: half of it as a command, half as a painter at
a screen, by a picture that the others have meanwhile made an old one. Afterwards:

- the journal has exactly the lines that were acknowledged, each with its number, words, painter and
  terminal, and no other;
- each line found every row as the line before it had left it: nothing was overwritten unseen;
- ``paintbench check`` is clean: the journal replayed gives the tables;
- whoever was refused was refused by a rule, or was told who was there first; nobody met a fault.

The place given has to be an empty one. What is timed is a deed, from the call to its answer, committed.
"""

from __future__ import annotations

import io
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from multiprocessing.connection import Connection
from multiprocessing.synchronize import Barrier
from pathlib import Path
from random import Random

from sqlmodel import col, select

from bench.__main__ import main as paintbench
from bench.clock import SystemClock
from bench.process.refusals.refusal import Refusal
from bench.shop.core import bench_view
from bench.shop.core.conflicts import SeenEntries
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.seeds import seed_files
from bench.shop.seeds.first_start import is_new, open_shop
from bench.store.databases.database import StoreFault, open_store
from bench.store.log.journal import CLOCK_ACTIONS
from bench.store.schema.tables import JournalRow
from tests.forks import forking

from .deeds import DEEDS, PAINTERS, STANDS
from .kills import Lost
from .report import Row

PROCESSES = 4

A_PICTURE = 5
"""So many deeds by one picture of the bench, then a new one."""

PATIENCE_S = 300.0
"""How long the first may have to wait for the last, on a busy computer."""

FIRST = "changed this at"
MOST_FAULTS = 5


@dataclass
class Told:
    """What one process was answered: the lines that are its own, how long each deed took."""

    terminal: str
    lines: dict[int, tuple[str, str]] = field(default_factory=dict)
    seconds: list[float] = field(default_factory=list)
    refused: Counter[str] = field(default_factory=Counter)
    conflicts: int = 0
    faults: list[str] = field(default_factory=list)


def work(
    place: str, terminal: str, seed: int, actions: int, told_to: Connection, all_there: Barrier
) -> None:
    """Do things until so many of them were done, and tell what was answered.

    Each begins with a picture of the shop as nobody has touched it yet.
    """
    draw, told = Random(seed), Told(terminal)
    shop = Shop(open_store(place), SystemClock(), terminal)
    seen = SeenEntries(0)
    for number in count():
        if len(told.lines) >= actions or len(told.faults) >= MOST_FAULTS:
            break
        if number % A_PICTURE == 0:
            seen = SeenEntries(bench_view.read_bench(shop).line)
            if number == 0:
                all_there.wait(PATIENCE_S)
        deed, by = draw.choice(DEEDS), draw.choice(PAINTERS)
        at_a_screen = draw.random() < 0.5
        began = time.perf_counter()
        try:
            answer = deed(shop.as_seen(seen) if at_a_screen else shop, draw, by)
        except StoreFault as fault:
            told.faults.append(str(fault))
            continue
        told.seconds.append(time.perf_counter() - began)
        if isinstance(answer, Outcome):
            told.lines[answer.line] = (answer.text, by)
            seen = SeenEntries(seen.line, seen.own | {answer.line})
        elif FIRST in answer.rule:
            told.conflicts += 1
        else:
            told.refused[answer.rule.partition(":")[0]] += 1
    shop.store.close()
    told_to.send(told)


def crowd(place: str, processes: int, actions: int, seed: int) -> list[Told]:
    """Let so many processes loose on a new shop. Raises Lost."""
    _new_shop(place)
    workers, ends, all_there = [], [], forking.Barrier(processes)
    for number in range(processes):
        here, there = forking.Pipe(duplex=False)
        given = (place, f"terminal {number + 1}", seed * 1000 + number, actions, there, all_there)
        workers.append(forking.Process(target=work, args=given))
        ends.append(here)
        workers[-1].start()
        there.close()
    told = []
    for here, worker in zip(ends, workers, strict=True):
        try:
            told.append(here.recv())
        except EOFError as fault:
            raise Lost("a process ended without an answer") from fault
        worker.join()
    look(place, told)
    return told


def _new_shop(place: str) -> None:
    shop = Shop(open_store(place), SystemClock(), "test")
    try:
        if not is_new(shop):
            raise SystemExit("there is a shop here already: give an empty place")
        opened = open_shop(shop, seed_files.load(seed_files.folder()), PAINTERS, STANDS)
        assert not isinstance(opened, Refusal), opened
    finally:
        shop.store.close()


def look(place: str, told: list[Told]) -> None:
    """Compare what was acknowledged with what is there. Raises Lost."""
    for one in told:
        if one.faults:
            raise Lost(f"{one.terminal}: {one.faults[0]} and {len(one.faults) - 1} more")
    acknowledged = {
        number: (*line, one.terminal) for one in told for number, line in one.lines.items()
    }
    if len(acknowledged) != sum(len(one.lines) for one in told):
        raise Lost("two deeds were told the same line")
    lines = _journal(place)
    kept = {line.id: (line.text, line.painter, line.terminal) for line in lines[1:]}
    if kept != acknowledged:
        odd = sorted(kept.items() ^ acknowledged.items(), key=lambda item: item[0] or 0)
        raise Lost(f"the journal and the answers differ: {odd[:4]}")
    _nothing_overwritten(lines)
    out, err = io.StringIO(), io.StringIO()
    if paintbench(["--db", place, "check"], environment={}, out=out, err=err):
        raise Lost(f"check: {out.getvalue()}{err.getvalue()}")


def _journal(place: str) -> list[JournalRow]:
    store = open_store(place)
    try:
        with store.reading() as session:
            wanted = select(JournalRow).where(col(JournalRow.action).not_in(CLOCK_ACTIONS))
            lines = list(session.exec(wanted.order_by(col(JournalRow.id))))
            session.expunge_all()
            return lines
    finally:
        store.close()


def _nothing_overwritten(lines: list[JournalRow]) -> None:
    left: dict[tuple[str, str], object] = {}
    for line in lines:
        for change in line.changes:
            picture = change["after"] or change["before"]
            row = change["table"], str(picture.get("id", picture.get("key", picture.get("number"))))
            if left.get(row) != change["before"]:
                raise Lost(f"line {line.id} ({line.text}) did not find {row} as it was left")
            left[row] = change["after"]


def rows(folder: Path, tries: int, seed: int, place: str = "") -> Iterator[Row]:
    """Let four processes loose, each until it has done so many things.

    place: an empty one, also the address of a PostgreSQL database.
    """
    row = Row(f"{PROCESSES} processes on one {'server' if place else 'file'}")
    try:
        told = crowd(place or str(folder / "shop.db"), PROCESSES, tries, seed)
    except Lost as lost:
        row.look("at once", f"lost: {lost}")
    else:
        seconds = sorted(second for one in told for second in one.seconds)
        middle, late = (seconds[len(seconds) * share // 100] for share in (50, 99))
        row.tries = len(seconds)
        row.notes = (
            f"{sum(len(one.lines) for one in told):,} acknowledged,"
            f" {sum(one.conflicts for one in told)} told who was there first;"
            f" median {middle * 1000:.0f} ms, p99 {late * 1000:.0f} ms"
        )
    yield row
