"""Bringing a shop forward: copied first, all or nothing, and a newer one not touched."""

from __future__ import annotations

import os
import signal
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import NoReturn

import pytest
from sqlalchemy import Connection, text

from bench.store.copies import backup
from bench.store.databases import database
from bench.store.databases.database import CannotOpen, open_store
from bench.store.schema.migrations import MIGRATIONS, newest, upgrade

from ..test_earlier_versions import restored

pytestmark = pytest.mark.sqlite


@pytest.fixture
def first(tmp_path: Path) -> Path:
    """A shop as the first version wrote it."""
    return restored(1, tmp_path / "shop.db")


def dump(file: Path) -> list[str]:
    """Everything that is in a file."""
    with closing(sqlite3.connect(file)) as raw:
        return list(raw.iterdump())


def half_way(connection: Connection) -> NoReturn:
    """A step that changes much and then fails."""
    connection.execute(text("ALTER TABLE stand ADD COLUMN colour TEXT"))
    connection.execute(text("UPDATE part SET name = 'lost'"))
    connection.execute(text("DROP TABLE defect"))
    raise ValueError("no such colour")


def with_steps(monkeypatch: pytest.MonkeyPatch, *steps: object) -> None:
    """A later program, with these steps after today's."""

    def later(engine: object, **more: object) -> bool:
        return upgrade(engine, (*MIGRATIONS, *steps), **more)  # type: ignore[arg-type]

    monkeypatch.setattr(database, "upgrade", later)


@pytest.mark.parametrize(("rights", "then"), [(0o644, 0o600), (0o664, 0o660)])
def test_a_shop_that_everybody_could_read_is_shut_to_others_when_it_is_brought_forward(
    first: Path, rights: int, then: int
) -> None:
    first.chmod(rights)
    open_store(str(first)).close()
    copies = backup.copies_of(str(first))
    assert first.stat().st_mode & 0o777 == then
    assert [copy.stat().st_mode & 0o777 for copy in copies] == [0o600]


def test_before_a_shop_is_brought_forward_it_is_copied_as_it_was(first: Path) -> None:
    before = dump(first)
    open_store(str(first)).close()
    (kept,) = backup.every_copy(backup.folder_beside(str(first)), str(first))
    assert kept.name == f"shop-before-version-{newest()}.db"
    assert dump(kept) == before
    assert backup.contents(kept).version == 1
    assert backup.contents(first).version == newest()


def test_a_shop_that_is_up_to_date_is_not_copied_at_every_start(first: Path) -> None:
    open_store(str(first)).close()
    open_store(str(first)).close()
    assert len(backup.every_copy(backup.folder_beside(str(first)), str(first))) == 1


def test_where_a_step_fails_the_shop_is_as_it_was_and_the_copy_is_kept(
    first: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = dump(first)
    with_steps(monkeypatch, half_way)
    with pytest.raises(CannotOpen) as told:
        open_store(str(first))
    assert "no such colour" in str(told.value)
    assert "it is as it was, of version 1" in str(told.value)
    assert dump(first) == before
    with pytest.raises(CannotOpen):
        open_store(str(first))
    copies = backup.every_copy(backup.folder_beside(str(first)), str(first))
    assert [dump(copy) for copy in copies] == [before, before]


def test_without_room_for_the_copy_nothing_is_begun(first: Path) -> None:
    before = first.read_bytes()
    backup.folder_beside(str(first)).write_text("in the way")
    with pytest.raises(CannotOpen, match="nothing was changed"):
        open_store(str(first))
    assert first.read_bytes() == before


def test_a_kill_in_the_middle_leaves_the_shop_as_it_was(
    first: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = dump(first)

    def killed(connection: Connection) -> None:
        connection.execute(text("UPDATE journal SET text = 'lost'"))
        os.kill(os.getpid(), signal.SIGKILL)

    with_steps(monkeypatch, killed)
    worker = os.fork()
    if worker == 0:
        open_store(str(first))
    assert os.WTERMSIG(os.waitpid(worker, 0)[1]) == signal.SIGKILL
    assert dump(first) == before


def test_a_newer_programs_shop_is_refused_to_the_byte_without_a_touch(first: Path) -> None:
    open_store(str(first)).close()
    with closing(sqlite3.connect(first)) as raw, raw:
        raw.execute("UPDATE schema_version SET version = 99")
    held = {path: path.read_bytes() for path in first.parent.rglob("*") if path.is_file()}
    with pytest.raises(CannotOpen, match="newer program"):
        open_store(str(first))
    assert {path: path.read_bytes() for path in first.parent.rglob("*") if path.is_file()} == held
