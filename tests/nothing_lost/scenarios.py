"""What a shop does with files, each a job of its own, and what has to be there afterwards.

A job says each answer as it comes: ``line`` an action that was acknowledged, ``shop`` a whole log that
was, ``copy`` a backup, ``doubt`` a fault that leaves open whether it was written.
"""

from __future__ import annotations

import errno
import io
import json
import os
import sqlite3
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest

from bench.__main__ import main as paintbench
from bench.clock import SystemClock
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.data import restore
from bench.shop.data.opening import check, open_data
from bench.shop.environment import readings
from bench.shop.environment.reading_thinning import thin
from bench.store.copies import backup
from bench.store.copies import restore as restoring
from bench.store.databases.database import StoreFault, open_store
from bench.store.databases.faults import CannotOpen
from bench.store.log.journal import CLOCK_ACTIONS
from tests.shop.environment.test_reading_thinning import read_by_probe

from .deeds import any_deed
from .kills import journal, lines_in, new_shop

Say = Callable[[str, Any], None]
"""Says what kind of answer it was, and what the answer is."""

COPY = "backups/shop-20250609T063000Z.db"
BESIDE_DAMAGED = b"\0the journal of it"
FAULTS_BORNE = 4
"""So many faults one after the other, and a terminal gives up."""


@dataclass(frozen=True)
class Scenario:
    """A job in a folder: what is there before (the log's lines, or nothing), and where the shop is.

    own_lines: so many lines the job writes that nobody is answered; left: what is wrong with what it
    left in the folder, once the shop was opened, or nothing, by the lines before.
    """

    name: str
    prepare: Callable[[Path], list[str] | None]
    job: Callable[[Path, Say], None]
    place: str = "shop.db"
    own_lines: int = 0
    left: Callable[[Path, list[str] | None], str] = lambda _folder, _before: ""


@dataclass
class Answers:
    """What was answered until some moment.

    lines: the log that has to be there, None while there need be no shop; coming: the one that may
    be there instead, once a job that puts another in its place has begun.
    """

    scenario: Scenario = field(repr=False)
    before: list[str] | None = field(repr=False)
    lines: list[str] | None = field(init=False)
    coming: list[str] | None = None
    copies: list[str] = field(default_factory=list)
    doubts: int = 0

    def __post_init__(self) -> None:
        self.lines = self.before

    def take(self, kind: str, answer: Any) -> None:
        """Take in one more answer."""
        if kind == "line":
            self.lines = [*(self.lines or ()), answer]
        elif kind == "shop":
            self.lines, self.coming = list(answer), None
        elif kind == "coming":
            self.coming = list(answer)
        elif kind == "copy":
            self.copies.append(answer)
        elif kind == "doubt":
            self.doubts += 1

    def fault_of(self, folder: Path, most_more: int | None = None) -> str:
        """Open what is in a folder as any start does; what is wrong with it, or nothing.

        most_more: so many lines more than acknowledged may be there.
        """
        try:
            fault = self._fault_of(folder, most_more)
            return fault or self.scenario.left(folder, self.before)
        except Exception as fault:
            return f"a traceback: {type(fault).__name__}: {fault}"

    def _fault_of(self, folder: Path, most_more: int | None) -> str:
        place = str(folder / self.scenario.place)
        shop = open_data(place, SystemClock(), "test", may_be_new=False)
        if isinstance(shop, Refusal):
            return "" if self.lines is None else str(shop)
        try:
            faults, there = check(shop).faults, lines_in(shop.store)
        finally:
            shop.store.close()
        if self.lines is None and not there:
            return ""
        if faults:
            return "; ".join(faults)
        for wanted in (self.lines or [], *([] if self.coming is None else [self.coming])):
            if Counter(wanted) <= Counter(there):
                more = len(there) - len(wanted)
                break
        else:
            return f"lost: {list((Counter(self.lines) - Counter(there)).elements())}"
        if most_more is not None and self.lines is not None and more > most_more + self.doubts:
            return f"{more} lines more than were acknowledged: {there[-more:]}"
        for copy in self.copies:
            if backup.contents(folder / copy).broken is not None:
                return f"{copy} is broken"
        return ""


def act(place: Path, say: Say, seed: int, actions: int, terminal: str) -> None:
    """Do so many things at a terminal, one after the other."""
    draw, done, faults = Random(seed), 0, 0
    try:
        shop = Shop(open_store(str(place)), SystemClock(), terminal)
    except CannotOpen:
        return
    while done < actions and faults < FAULTS_BORNE:
        try:
            answer = any_deed(shop, draw)
        except StoreFault as fault:
            faults += 1
            if fault.in_doubt:
                say("doubt", str(fault))
            continue
        if not isinstance(answer, Refusal):
            done += 1
            say("line", answer.text)
    shop.store.close()


def ran(*words: str) -> tuple[int, str]:
    """Run the program; its exit code and what it says. Raises AssertionError for a traceback."""
    out = io.StringIO()
    code = paintbench(words, environment={}, out=out, err=out)
    assert "Traceback" not in out.getvalue()
    return code, out.getvalue()


def command(*words: str) -> int:
    """Run the program and give its exit code. Raises AssertionError for a traceback."""
    return ran(*words)[0]


# -- what is there before --------------------------------------------------------------------------


def a_shop(folder: Path) -> list[str]:
    """A shop in which something was done."""
    new_shop(folder / "shop.db")
    act(folder / "shop.db", _nobody_hears, 1, 4, "before")
    return journal(folder / "shop.db")


def a_shop_beyond_its_backup(folder: Path) -> list[str]:
    """A shop that goes further than the backup beside it."""
    a_shop(folder)
    (folder / COPY).parent.mkdir(0o700)
    backup.copy(folder / "shop.db", folder / COPY)
    act(folder / "shop.db", _nobody_hears, 2, 2, "before")
    return journal(folder / "shop.db")


def a_damaged_shop(folder: Path) -> None:
    """A shop that cannot be opened, a file beside it that SQLite leaves alone, and its backup."""
    a_shop_beyond_its_backup(folder)
    file = folder / "shop.db"
    spoilt = bytearray(file.read_bytes())
    spoilt[100:108] = b"\xff" * 8
    file.write_bytes(spoilt)
    _beside(file).write_bytes(BESIDE_DAMAGED)


def _beside(file: Path) -> Path:
    return file.with_name(f"{file.name}-journal")


def a_shop_with_old_readings(folder: Path) -> list[str]:
    """A shop with readings of a probe that nothing needs any more."""
    a_shop(folder)
    shop = Shop(open_store(str(folder / "shop.db")), SystemClock(), "before")
    since = shop.clock.now() - timedelta(days=60)
    read_by_probe(shop, since, since + timedelta(days=1), every_min=5)
    shop.store.close()
    return journal(folder / "shop.db")


def an_export(folder: Path) -> None:
    """Nothing but the text of a shop."""
    elsewhere = folder.with_name(f"{folder.name}-before")
    elsewhere.mkdir()
    a_shop(elsewhere)
    assert command("--db", str(elsewhere / "shop.db"), "export", str(folder / "moved.json")) == 0


def nothing(folder: Path) -> None:
    """Nothing at all."""


def a_shop_of_version_2(folder: Path) -> list[str]:
    """A shop as an earlier program left it."""
    dump = Path(__file__).parents[1] / "store" / "version2.sql"
    with closing(sqlite3.connect(folder / "shop.db")) as raw:
        raw.executescript(dump.read_text(encoding="utf-8"))
        return _lines_in(raw)


def _lines_of(copy: Path) -> list[str]:
    with closing(sqlite3.connect(f"file:{copy}?immutable=1", uri=True)) as raw:
        return _lines_in(raw)


def _lines_in(raw: sqlite3.Connection) -> list[str]:
    lines = raw.execute("SELECT action, text FROM journal ORDER BY id")
    return [text for action, text in lines if action not in CLOCK_ACTIONS]


def _nobody_hears(_kind: str, _answer: object) -> None:
    pass


# -- the jobs --------------------------------------------------------------------------------------


def an_action(folder: Path, say: Say) -> None:
    """Some things are done, and the program is ended."""
    act(folder / "shop.db", say, 3, 4, "terminal")


def two_terminals(folder: Path, say: Say) -> None:
    """Two programs do things at the same time."""
    children = []
    for number in (1, 2):
        child = os.fork()
        if child == 0:
            try:
                act(folder / "shop.db", say, 10 + number, 3, f"terminal {number}")
            finally:
                os._exit(0)
        children.append(child)
    for child in children:
        os.waitpid(child, 0)


def a_checkpoint(folder: Path, say: Say) -> None:
    """The log is moved into the file, begun again, and moved by the last to close."""
    place = folder / "shop.db"
    for seed in (4, 5):
        try:
            with closing(sqlite3.connect(place)) as other:
                other.execute("PRAGMA user_version").fetchone()
                act(place, say, seed, 2, "terminal")
                other.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchone()
                act(place, say, seed + 10, 1, "terminal")
        except sqlite3.Error:
            continue


def a_backup(folder: Path, say: Say) -> None:
    """A backup between two actions."""
    act(folder / "shop.db", say, 6, 1, "terminal")
    if command("--db", str(folder / "shop.db"), "backup") == 0:
        for copy in backup.every_copy(folder / "backups", str(folder / "shop.db")):
            say("copy", str(copy.relative_to(folder)))
    act(folder / "shop.db", say, 7, 1, "terminal")


def a_restore(folder: Path, say: Say) -> None:
    """The backup is put in the place of data that goes further; work goes on."""
    lines = _lines_of(folder / COPY)
    say("coming", lines)
    if command("--db", str(folder / "shop.db"), "restore", str(folder / COPY), "--yes") == 0:
        say("shop", lines)
        act(folder / "shop.db", say, 8, 1, "terminal")


def a_restore_without_links(folder: Path, say: Say) -> None:
    """The same on a disk that knows no second names of a file, as a stick."""

    def no_link(*_: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(os, "link", no_link)
        a_restore(folder, say)


def an_import(folder: Path, say: Say) -> None:
    """A shop's text is brought into a folder that is not there yet; work goes on."""
    place = folder / "new" / "shop.db"
    if command("--db", str(place), "import", str(folder / "moved.json")) == 0:
        with (folder / "moved.json").open(encoding="ascii") as file:
            written = json.load(file)["tables"]["journal"]
        say("shop", [line["text"] for line in written if line["action"] not in CLOCK_ACTIONS])
        act(place, say, 9, 1, "terminal")


def a_first_start(folder: Path, say: Say) -> None:
    """A shop is opened in folders that are not there yet; work begins."""
    place = folder / "a" / "b" / "shop.db"
    if command("--db", str(place), "open", "--painters", "Kit,Mo", "--stands", "6") == 0:
        say("shop", ["shop opened with 6 stands"])
        act(place, say, 10, 1, "terminal")


def a_thinning(folder: Path, say: Say) -> None:
    """Old readings of a probe are let go between two actions."""
    place = folder / "shop.db"
    act(place, say, 11, 1, "terminal")
    try:
        shop = Shop(open_store(str(place)), SystemClock(), "terminal")
    except CannotOpen:
        return
    try:
        thinned = thin(shop)
    except StoreFault as fault:
        if fault.in_doubt:
            say("doubt", str(fault))
    else:
        assert thinned is not None
        say("line", thinned.text)
    shop.store.close()
    act(place, say, 12, 1, "terminal")


def a_migration(folder: Path, say: Say) -> None:
    """A shop of an earlier version is opened."""
    try:
        shop = Shop(open_store(str(folder / "shop.db")), SystemClock(), "terminal")
    except CannotOpen:
        return
    try:
        answer = readings.take_reading(shop, "Una", air_c=21.0)
    except StoreFault as fault:
        if fault.in_doubt:
            say("doubt", str(fault))
    else:
        assert not isinstance(answer, Refusal), answer
        say("line", answer.text)
    shop.store.close()


# -- what a job left -------------------------------------------------------------------------------


def _kept(folder: Path, why: str) -> list[Path]:
    return [path for path in folder.glob(f"shop-{why}-*.db") if backup.UNFINISHED not in path.name]


def _under_way(folder: Path) -> str:
    """Names that only a restore under way has; what was half written is swept at the next copy."""
    names = [name for name in os.listdir(folder) if backup.UNFINISHED not in name]
    left = [name for name in names if restoring.ASIDE in name or restoring.FRESH in name]
    return f"left over: {left}" if left else ""


def what_was_there_is_kept(folder: Path, before: list[str] | None) -> str:
    """The data goes on, or it is kept whole under a name that is offered; never both, never neither."""
    with closing(sqlite3.connect(folder / "shop.db")) as raw:
        goes_on = Counter(before) <= Counter(_lines_in(raw))
    kept = _kept(folder, "before-restore")
    if len(kept) != (not goes_on):
        return f"lost: {kept} are kept, and the data {'goes on' if goes_on else 'is another'}"
    offered = restore.offers(str(folder / "shop.db"))
    for file in kept:
        if _lines_of(file) != before or backup.contents(file).broken or file not in offered:
            return f"lost: {file} is not what was there, or is not offered"
    return _under_way(folder)


def what_was_damaged_is_kept(folder: Path, _before: list[str] | None) -> str:
    """The damaged file and its journal lie where they were, or both under a name of their own."""
    kept = _kept(folder, "damaged") or [folder / "shop.db"]
    if len(kept) > 1 or not _beside(kept[0]).exists():
        return f"lost: {kept}"
    head, journal_of_it = kept[0].read_bytes()[100:108], _beside(kept[0]).read_bytes()
    if head != b"\xff" * 8 or journal_of_it != BESIDE_DAMAGED:
        return f"lost: {kept[0]} is not what was there"
    return _under_way(folder)


def a_shop_or_a_word(folder: Path, _before: list[str] | None) -> str:
    """There is a shop; or nothing; or whoever starts is told to import again."""
    place = folder / "new" / "shop.db"
    if place.exists() or not place.parent.exists() or not any(place.parent.iterdir()):
        return ""
    for words in ("status",), ("open", "--painters", "Ada", "--stands", "3"):
        _, told = ran("--db", str(place), *words)
        if not told.startswith(f"an import was cut off here ({place}): import again, or"):
            return f"{words[0]} said: {told}"
    return ""


SCENARIOS: Sequence[Scenario] = (
    Scenario("action", a_shop, an_action),
    Scenario("two terminals", a_shop, two_terminals),
    Scenario("checkpoint", a_shop, a_checkpoint),
    Scenario("backup", a_shop, a_backup),
    Scenario(
        "restore", a_shop_beyond_its_backup, a_restore, own_lines=1, left=what_was_there_is_kept
    ),
    Scenario(
        "restore without links",
        a_shop_beyond_its_backup,
        a_restore_without_links,
        own_lines=1,
        left=what_was_there_is_kept,
    ),
    Scenario(
        "restore of damaged data",
        a_damaged_shop,
        a_restore,
        own_lines=1,
        left=what_was_damaged_is_kept,
    ),
    Scenario("import", an_export, an_import, "new/shop.db", left=a_shop_or_a_word),
    Scenario("first start", nothing, a_first_start, "a/b/shop.db"),
    Scenario("migration", a_shop_of_version_2, a_migration),
    Scenario("thinning", a_shop_with_old_readings, a_thinning),
)
