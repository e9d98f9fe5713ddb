"""The chain of checksums through the log: whatever is changed in it later is seen, and where."""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import UTC
from itertools import product
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


# -- lines taken out, swapped and put in -------------------------------------------------------------


def move_lines(shop: Shop, order: Sequence[int]) -> None:
    """The log as if it had been written in this order: numbers follow one another as ever."""
    with shop.store.writing() as session:
        rows = {row.id: row.model_dump() for row in session.exec(select(JournalRow)).all()}
        session.connection().execute(text("UPDATE journal SET undoes = NULL"))
        session.connection().execute(text("DELETE FROM journal"))
        for number, was in enumerate(order, start=1):
            session.add(JournalRow(**{**rows[was], "id": number, "undoes": None}))
        session.commit()


@pytest.mark.parametrize(
    ("order", "first"),
    [
        ((2, 3, 4, 5, 6), 1),
        ((1, 2, 3, 5, 6), 4),
        ((1, 2, 4, 3, 5, 6), 3),
        ((6, 2, 3, 4, 5, 1), 1),
        ((1, 2, 3, 4, 4, 5, 6), 5),
        ((1, 2, 3, 4, 5, 6, 2), 7),
    ],
    ids=["first out", "one out", "two swapped", "ends swapped", "one twice", "one put on the end"],
)
def test_a_whole_line_out_of_its_place_is_named_by_the_number_where_it_no_longer_agrees(
    worked: Shop, order: Sequence[int], first: int
) -> None:
    move_lines(worked, range(1, 7))
    assert broken(worked) is None, "the six before the undo, each where it was written"
    move_lines(worked, order)
    found = broken(worked)
    assert found is not None
    assert found.number == first
    assert check(worked).faults[0].startswith(f"log entry {first} (written 06:30 on Mon 09 Jun")


# -- flipped bits -----------------------------------------------------------------------------------


WRITTEN = ("at", "action", "painter", "terminal", "tag", "text", "changes", "checksum")
"""What of a line is text on the disk."""


def quiet_flip(written: str, dice: random.Random) -> str:
    """The text with one bit of it flipped: a digit that is a digit still, a letter a letter."""
    while True:
        place = dice.randrange(len(written))
        was, now = written[place], chr(ord(written[place]) ^ 1 << dice.randrange(7))
        of_its_kind = now.isdigit() if was.isdigit() else was.isalpha() and now.isalpha()
        if of_its_kind and now.isascii():
            return f"{written[:place]}{now}{written[place + 1 :]}"


def still_json(written: str) -> bool:
    try:
        json.loads(written)
    except ValueError:
        return False
    return True


@pytest.mark.sqlite
def test_a_bit_after_which_everything_can_still_be_read_is_seen_and_its_line_named(
    worked: Shop,
) -> None:
    """A digit of a reading, a letter of a name, an hour: nothing but the checksum sees these."""
    dice, unseen = random.Random(2), []
    with worked.store.writing() as session:
        disk = session.connection()
        for number, name in product(range(1, 8), WRITTEN):
            query = text(f"SELECT {name} FROM journal WHERE id = {number}")
            change = text(f"UPDATE journal SET {name} = :value WHERE id = {number}")
            written = str(disk.execute(query).scalar_one())
            for _ in range((QUIET_LONG if LONG else QUIET) if written else 0):
                flip = quiet_flip(written, dice)
                if name == "changes" and not still_json(flip):
                    continue
                disk.execute(change, {"value": flip})
                found = checksum_chain.break_of(session)
                if found is None or found.number != number:
                    unseen.append((number, name, flip, found))
            disk.execute(change, {"value": written})
        assert checksum_chain.break_of(session) is None
    assert unseen == []


@pytest.mark.sqlite
@pytest.mark.parametrize(
    ("name", "was", "now"),
    [
        ("changes", '"air_c": 15.25', '"air_c": 14.25'),
        ("changes", '"painter": "Kit"', '"painter": "Kat"'),
        ("text", "15", "17"),
        ("at", "06:30", "06:20"),
    ],
)
def test_a_reading_a_name_and_an_hour_that_another_bit_makes_are_found_by_the_check(
    worked: Shop, name: str, was: str, now: str
) -> None:
    with worked.store.reading() as session:
        query = text(f"SELECT id, {name} FROM journal WHERE action = 'reading'")
        number, written = session.connection().execute(query).one()
    assert was in written
    with worked.store.writing() as session:
        session.connection().execute(
            text(f"UPDATE journal SET {name} = :now WHERE id = :number"),
            {"now": written.replace(was, now, 1), "number": number},
        )
        session.commit()
    assert check(worked).faults[0].startswith(f"log entry {number} (written 06:")
    assert [fault for fault in check(worked).faults if "replayed" in fault or "read" in fault] == []


FLIPS, FLIPS_LONG = 60, 2000
QUIET, QUIET_LONG = 8, 500


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
