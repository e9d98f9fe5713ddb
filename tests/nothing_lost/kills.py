"""kill -9 at random moments of busy work: what was acknowledged is there, and nothing is half there.

Each time a process of its own opens the shop's file and does one thing after the other as fast as it
can, now and then a backup; what the shop's function answered with "done" it writes into a pipe. At a
random moment it is killed. Then the file is opened again, as after any start:

- the journal goes on with exactly what came through the pipe, in that order, and at most one line more:
  one that was committed when the kill came before its answer;
- ``paintbench check`` is clean: the file is whole and the journal replayed gives the tables;
- every backup under a good name is whole.

A kill leaves what the system was told to write; that the disk kept it through a power cut rests on
``synchronous = FULL``, which only pulling the plug would show.
"""

from __future__ import annotations

import io
import os
import signal
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from sqlmodel import col, select

from bench.__main__ import main as paintbench
from bench.clock import SystemClock
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.seeds import seed_files
from bench.shop.seeds.first_start import open_shop
from bench.store.copies import backup
from bench.store.databases.database import Store, open_store
from bench.store.log.journal import CLOCK_ACTIONS
from bench.store.schema.tables import JournalRow

from .deeds import PAINTERS, STANDS, any_deed
from .report import Row

MOST_ANSWERS = 40
LONGEST_S = 0.1
"""A kill comes so long after so many answers, at most; of one kill in five, after the start: the
opening of the file falls into that too."""

A_SHOP = 25
"""So many kills to a shop, then a new one: looking it all through takes longer with every line."""

BACKUP_ONCE_IN = 25


class Lost(AssertionError):
    """Something was lost, or is half there."""


@dataclass
class Figures:
    """What was tried, and what was seen."""

    kills: int = 0
    acknowledged: int = 0
    refused: int = 0
    committed_unanswered: int = 0
    before_the_first: int = 0
    in_a_backup: int = 0
    backups: int = 0
    lines: list[int] = field(default_factory=list)


def new_shop(file: Path) -> None:
    """A shop with its stands empty."""
    shop = Shop(open_store(str(file)), SystemClock(), "test")
    opened = open_shop(shop, seed_files.load(seed_files.folder()), PAINTERS, STANDS)
    assert not isinstance(opened, Refusal), opened
    shop.store.close()


def journal(file: Path) -> list[str]:
    """What every line says that a painter's deed wrote."""
    store = open_store(str(file))
    try:
        return lines_in(store)
    finally:
        store.close()


def lines_in(store: Store) -> list[str]:
    """What every line says that a painter's deed wrote, of data that is open."""
    with store.reading() as session:
        lines = session.exec(
            select(JournalRow.text)
            .where(col(JournalRow.action).not_in(CLOCK_ACTIONS))
            .order_by(col(JournalRow.id))
        )
        return list(lines)


def work(file: Path, draw: Random, told: int) -> None:
    """Do one thing after the other until the kill comes."""
    shop = Shop(open_store(str(file)), SystemClock(), "busy")
    folder = backup.folder_beside(str(file))
    folder.mkdir(exist_ok=True)
    os.write(told, b"open\0")
    for number in range(sys.maxsize):
        if draw.random() < 1 / BACKUP_ONCE_IN:
            os.write(told, b"backup\0")
            backup.copy(file, folder / f"{file.stem}-before-{os.getpid()}-{number}.db")
            os.write(told, b"copied\0")
            continue
        answer = any_deed(shop, draw)
        if isinstance(answer, Refusal):
            os.write(told, b"no\0")
        else:
            os.write(told, f"done {answer.text}\0".encode())


def killed_at(file: Path, draw: Random, most: int) -> list[str]:
    """Let a process work for a while, kill it, and answer what it had told."""
    seed, answers = draw.getrandbits(64), draw.randint(1, most) if draw.random() < 0.8 else 0
    here, there = os.pipe()
    worker = os.fork()
    if worker == 0:
        try:
            os.close(here)
            work(file, Random(seed), there)
        finally:
            os._exit(1)
    os.close(there)
    with open(here, "rb", buffering=0) as pipe:
        told = b""
        while told.count(b"done ") < answers and (more := pipe.read(4096)):
            told += more
        time.sleep(draw.uniform(0, LONGEST_S))
        os.kill(worker, signal.SIGKILL)
        told += pipe.readall()
    _, status = os.waitpid(worker, 0)
    if os.WTERMSIG(status) != signal.SIGKILL:
        raise Lost(f"the worker ended by itself: {status}")
    return told.decode().split("\0")[:-1]


def look(file: Path, before: list[str], told: list[str], figures: Figures) -> list[str]:
    """Open the file as any start does and compare. Raises Lost."""
    done = [one.removeprefix("done ") for one in told if one.startswith("done ")]
    after = journal(file)
    new = after[len(before) :]
    if after[: len(before)] != before or new[: len(done)] != done:
        raise Lost(f"acknowledged {done}\nthe journal has {new}")
    if len(new) > len(done) + 1:
        raise Lost(f"more than one line that nobody was told of: {new[len(done) :]}")
    out, err = io.StringIO(), io.StringIO()
    if paintbench(["--db", str(file), "check"], environment={}, out=out, err=err):
        raise Lost(f"check: {out.getvalue()}{err.getvalue()}")
    copies = backup.every_copy(backup.folder_beside(str(file)), str(file))
    for copy in copies:
        backup.contents(copy)
        copy.unlink()
    figures.kills += 1
    figures.acknowledged += len(done)
    figures.refused += told.count("no")
    figures.committed_unanswered += len(new) - len(done)
    figures.before_the_first += not done
    figures.in_a_backup += told.count("backup") - told.count("copied")
    figures.backups += len(copies)
    figures.lines.append(len(new))
    return after


def kill(times: int, seed: int, folder: Path, most: int = MOST_ANSWERS) -> Figures:
    """Kill so many workers and look after each. Raises Lost."""
    draw, figures = Random(seed), Figures()
    file, before = folder, list[str]()
    for number in range(times):
        if number % A_SHOP == 0:
            file = folder / f"shop{number}.db"
            new_shop(file)
            before = journal(file)
        told = killed_at(file, draw, most)
        try:
            before = look(file, before, told, figures)
        except Exception as fault:
            raise Lost(f"seed {seed}, kill {number + 1}, {file}: {fault}") from fault
    return figures


def rows(folder: Path, tries: int, seed: int) -> Iterator[Row]:
    """Kill so many workers and look after each."""
    row = Row("kill -9 at random moments")
    try:
        seen = kill(tries, seed, folder)
    except Lost as lost:
        row.look("a kill", f"lost: {lost}")
    else:
        row.tries = seen.kills
        row.notes = (
            f"{seen.acknowledged:,} actions acknowledged, {seen.committed_unanswered} committed"
            f" before the answer, {seen.in_a_backup} in a backup, {seen.backups} backups whole"
        )
    yield row
