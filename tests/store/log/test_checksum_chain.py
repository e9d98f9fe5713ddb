"""The chain of checksums through the log: whatever is changed in it later is seen, and where."""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text
from sqlmodel import select

from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check, open_data
from bench.shop.environment import readings
from bench.shop.parts import placement, steps
from bench.store.copies import backup
from bench.store.log import checksum_chain
from bench.store.log.checksum_chain import Break
from bench.store.schema.tables import JournalRow
from tests.conftest import MONDAY
from tests.shop.doing import done
from tests.simulation import LONG


@pytest.fixture
def worked(shop: Shop) -> Shop:
    """A shop in which something was done, swapped and undone."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    done(placement.place(shop, 2, "Kit", route="zinc-new", shape="axle"))
    done(placement.move(shop, 1, "Mo", to=2, swap=True))
    done(steps.begin(shop, 1, "Mo"))
    done(readings.take_reading(shop, "Kit", air_c=15.25, rh_pct=60.0))
    done(undo.undo(shop, "Kit"))
    return shop


def lines(shop: Shop) -> list[JournalRow]:
    with shop.store.reading() as session:
        return list(session.exec(select(JournalRow).order_by(text("id"))).all())


def broken(shop: Shop) -> Break | None:
    with shop.store.reading() as session:
        return checksum_chain.break_of(session)


def by_hand(before: str, line: JournalRow) -> str:
    """A line's checksum by the words of ``paintbench help files`` and nothing of the program."""

    def instant(at: Any) -> Any:
        return at and at.astimezone(UTC).strftime("%Y-%m-%d %H:%M:%S.%f")

    content = [
        *(before, instant(line.at), line.action, line.painter, line.terminal, line.tag, line.text),
        *(json.dumps(line.changes), line.undoes, 1 if line.doubtful else 0),
        *(instant(line.released_at), line.released),
    ]
    return hashlib.sha256(json.dumps(content, separators=(",", ":")).encode("ascii")).hexdigest()


def test_each_line_carries_the_sum_over_the_one_before_and_itself(worked: Shop) -> None:
    before = ""
    for line in lines(worked):
        before = by_hand(before, line)
        assert line.checksum == before
    assert broken(worked) is None
    assert check(worked).faults == ()


def change(shop: Shop, statement: str) -> None:
    with shop.store.writing() as session:
        session.connection().execute(text(statement))
        session.commit()


@pytest.mark.parametrize(
    ("statement", "first"),
    [
        ("UPDATE journal SET text = 'Frame begun' WHERE id = 4", 4),
        ("UPDATE journal SET painter = 'Mo' WHERE id = 2", 2),
        ("UPDATE journal SET doubtful = true WHERE id = 3", 3),
        ("UPDATE journal SET undoes = NULL WHERE id = 7", 7),
        ("UPDATE journal SET released = 'x' WHERE id = 7", 7),
        ("UPDATE journal SET tag = '' WHERE id = 3", 3),
        ("UPDATE journal SET checksum = '' WHERE id = 5", 5),
        ("DELETE FROM journal WHERE id = 4", 5),
        ("UPDATE journal SET changes = '[]' WHERE id = 6", 6),
    ],
)
def test_the_first_line_that_was_changed_is_named_with_its_hour(
    worked: Shop, statement: str, first: int
) -> None:
    change(worked, statement)
    assert broken(worked) == Break(first, MONDAY.astimezone(UTC))
    (told, *_) = check(worked).faults
    assert told == (
        f"log entry {first} (written 06:30 on Mon 09 Jun 2025) is not as it was written; "
        "paintbench backups says which backups have it whole"
    )


@pytest.mark.sqlite
def test_a_line_whose_hour_cannot_be_read_is_named_by_its_number(worked: Shop) -> None:
    change(worked, "UPDATE journal SET at = 'yesterday' WHERE id = 3")
    assert check(worked).faults[0].startswith("log entry 3 (its hour cannot be read) is not as")


def test_a_shop_that_was_chained_in_order_is_whole_again(worked: Shop) -> None:
    had = [line.checksum for line in lines(worked)]
    change(worked, "UPDATE journal SET checksum = ''")
    with worked.store.writing() as session:
        checksum_chain.chain(session.connection())
        session.commit()
    assert [line.checksum for line in lines(worked)] == had


# -- flipped bits -----------------------------------------------------------------------------------


FLIPS, FLIPS_LONG = 60, 2000


@pytest.fixture
def whole(worked: Shop, data: Path) -> Path:
    """The shop's file, everything in it and nothing beside it."""
    worked.store.close()
    with closing(sqlite3.connect(data)) as raw:
        raw.execute("PRAGMA journal_mode = DELETE")
    return data


def pages_of_the_log(file: Path) -> tuple[int, list[int]]:
    """How long a page is, and which hold text and changes of the log (leaves, what overflows)."""
    with closing(sqlite3.connect(file)) as raw:
        (size,) = raw.execute("PRAGMA page_size").fetchone()
        held = raw.execute(
            "SELECT pageno FROM dbstat WHERE name = 'journal' AND pagetype <> 'internal'"
        )
        return size, [page for (page,) in held]


def values(file: Path) -> object:
    """All that the file holds, as SQLite gives it; None where it gives up."""
    with closing(sqlite3.connect(file)) as raw:
        raw.text_factory = bytes
        try:
            names = [name for (name,) in raw.execute("SELECT name FROM sqlite_master")]
            found = raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
            return names, [
                raw.execute(f'SELECT * FROM "{name.decode()}"').fetchall() for (name,) in found
            ]
        except (sqlite3.Error, UnicodeDecodeError):
            return None


def seen(file: Path, shop: Shop) -> bool:
    """Whether opening or checking the file says that something is wrong."""
    opened = open_data(str(file), shop.clock.computer, "test", may_be_new=False)
    if not isinstance(opened, Shop):
        return True
    try:
        return bool(check(opened).faults)
    finally:
        opened.store.close()


@pytest.mark.sqlite
def test_of_many_flipped_bits_in_the_log_none_goes_unseen(
    whole: Path, shop: Shop, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    size, pages = pages_of_the_log(whole)
    before, held = values(whole), whole.read_bytes()
    dice, flipped, unseen = random.Random(1), 0, []
    folder = tmp_path / "flips"
    folder.mkdir()
    while flipped < (FLIPS_LONG if LONG else FLIPS):
        at, bit = (dice.choice(pages) - 1) * size + dice.randrange(size), dice.randrange(8)
        spoilt = bytearray(held)
        spoilt[at] ^= 1 << bit
        file = folder / "flipped.db"
        file.write_bytes(spoilt)
        if values(file) == before:
            continue  # where nothing is kept
        flipped += 1
        if not seen(file, shop):
            unseen.append((at, bit))
        shutil.rmtree(folder)
        folder.mkdir()
    record_property("tries", flipped)
    assert unseen == []


# -- copies -----------------------------------------------------------------------------------------


@pytest.mark.sqlite
def test_a_backup_says_which_line_of_it_is_damaged(worked: Shop, data: Path) -> None:
    target = data.with_name("copy.db")
    assert backup.copy(data, target).broken is None
    change(worked, "UPDATE journal SET text = 'x' WHERE id = 4")
    found = backup.copy(data, data.with_name("damaged.db"))
    assert found.broken == Break(4, MONDAY.astimezone(UTC))
    assert backup.contents(target).broken is None
