"""State and journal agree, undo restores exactly, and nothing is ever lost from the journal."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Column, inspect
from sqlmodel import Session, SQLModel, col, select

from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.parts import back_dating, holds_and_rework, placement, steps
from bench.shop.queries.log import log_page
from bench.store.log import journal
from bench.store.schema.tables import KEPT, JournalRow
from bench.testing import ManualClock
from tests.conftest import MONDAY

ROUTE = {"route": "zinc-new", "shape": "bracket"}


def state(shop: Shop) -> dict[str, dict[str, journal.Image]]:
    with shop.store.reading() as session:
        return journal.present(session)


def told(shop: Shop) -> dict[str, dict[str, journal.Image]]:
    with shop.store.reading() as session:
        return journal.replay(session.exec(select(JournalRow).order_by(col(JournalRow.id))).all())


def test_the_state_is_what_the_journal_says(shop: Shop, clock: ManualClock) -> None:
    placement.place(shop, 1, "Kit", **ROUTE, count=14)
    steps.begin(shop, 1, "Kit")
    clock.advance(minutes=10)
    steps.finish(shop, 1, "Mo")
    holds_and_rework.hold(shop, 1, "Mo", "waiting for material")
    undo.undo(shop, "Kit")
    assert told(shop) == state(shop)


def test_undo_restores_exactly_what_was(shop: Shop, clock: ManualClock) -> None:
    placement.place(shop, 1, "Kit", **ROUTE)
    placement.place(shop, 2, "Kit", **ROUTE)
    deeds = [
        lambda: steps.begin(shop, 1, "Kit"),
        lambda: steps.finish(shop, 1, "Mo"),
        lambda: placement.move(shop, 1, "Kit", to=2, swap=True),
        lambda: placement.move(shop, 1, "Kit", to=3),
        lambda: holds_and_rework.skip(shop, 2, "Kit", "weather"),
        lambda: holds_and_rework.hold(shop, 2, "Mo", "equipment busy"),
        lambda: holds_and_rework.release(shop, 2, "Mo"),
        lambda: placement.take_off(shop, 2, "Mo"),
    ]
    pictures = []
    for deed in deeds:
        pictures.append(state(shop))
        clock.advance(minutes=5)
        answer = deed()
        assert not isinstance(answer, Refusal), answer
    for picture in reversed(pictures):
        assert not isinstance(undo.undo(shop, "Kit"), Refusal)
        assert state(shop) == picture
    assert told(shop) == state(shop)


def test_undo_with_nothing_to_undo_says_so_and_never_closes_the_shop(shop: Shop) -> None:
    answer = undo.undo(shop, "Kit")
    assert isinstance(answer, Refusal)
    assert "nothing to undo" in str(answer)


def test_undo_leaves_alone_what_another_terminal_did_meanwhile(shop: Shop) -> None:
    placement.place(shop, 1, "Kit", **ROUTE)
    shown = undo.last_action(shop)
    assert shown is not None
    steps.begin(shop, 1, "Mo")
    answer = undo.undo(shop, "Kit", number=shown.number)
    assert isinstance(answer, Refusal)
    assert "something newer" in str(answer)


def test_the_journal_keeps_both_lines_and_the_old_time(shop: Shop, clock: ManualClock) -> None:
    placement.place(shop, 1, "Kit", **ROUTE)
    steps.begin(shop, 1, "Kit")
    began = clock.now()
    clock.advance(minutes=30)
    back_dating.back_date(shop, 1, "Mo", 10)
    undo.undo(shop, "Kit")
    actions = [line.action for line in log_page(shop)]
    assert actions == ["undo", "earlier", "begin", "place", "open shop"]
    with shop.store.reading() as session:
        row = session.exec(select(JournalRow).where(JournalRow.action == "earlier")).one()
    assert any(began.isoformat() in str(change["before"]) for change in row.changes)


def test_an_action_that_is_refused_leaves_no_trace(shop: Shop) -> None:
    before = state(shop)
    assert isinstance(placement.place(shop, 99, "Kit", **ROUTE), Refusal)
    assert isinstance(placement.place(shop, 1, "nobody", **ROUTE), Refusal)
    assert isinstance(steps.begin(shop, 1, "Kit"), Refusal)
    assert state(shop) == before
    assert [line.action for line in log_page(shop)] == ["open shop"]


# --- every column of every table -----------------------------------------------------------------


def a_value(column: Column[Any], other: bool) -> Any:
    """One of two values that a column may hold."""
    kind = getattr(column.type, "impl", column.type).python_type
    if kind is datetime:
        return MONDAY + timedelta(days=other)
    if kind is bool:
        return other
    if kind in (int, float):
        return kind(90 + other)
    return f"{'other' if other else 'one'}" if kind is str else [f"{other}"]


def is_named_for_good(column: Column[Any]) -> bool:
    """A key, or a column by which a row belongs to another; a PIN, which no undo changes."""
    return bool(column.primary_key or column.foreign_keys) or column.key == "pin"


def a_row(session: Session, kind: type[SQLModel]) -> SQLModel:
    """A new row, every column of it filled; it belongs to the newest rows there are."""
    values = {}
    for column in inspect(kind).mapper.columns:
        if column.foreign_keys:
            (key,) = column.foreign_keys
            keys = session.connection().exec_driver_sql(
                f'SELECT max("{key.column.name}") FROM "{key.column.table.name}"'
            )
            values[column.key] = keys.scalar_one()
        elif column.key != "id":
            values[column.key] = a_value(column, other=False)
    row = kind(**values)
    session.add(row)
    session.flush()
    return row


def test_put_back_a_row_is_as_it_was_in_every_column_of_every_table(shop: Shop) -> None:
    with shop.store.writing() as session:
        for kind in KEPT.values():
            row = a_row(session, kind)
            was, ledger = journal.image(row), journal.Ledger(session)
            columns = [c for c in inspect(kind).mapper.columns if not is_named_for_good(c)]
            for column in columns:
                setattr(row, column.key, a_value(column, other=True))
            (change,) = ledger.changes(session)
            differ = {key for key in was if change["after"][key] != change["before"][key]}
            assert differ == {column.key for column in columns}
            journal.put_back(session, [change])
            assert journal.image(row) == was
        session.rollback()
