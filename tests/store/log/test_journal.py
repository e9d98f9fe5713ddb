"""State and journal agree, undo restores exactly, and nothing is ever lost from the journal."""

from __future__ import annotations

from sqlmodel import col, select

from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.parts import back_dating, holds_and_rework, placement, steps
from bench.shop.queries.log import log_page
from bench.store.log import journal
from bench.store.schema.tables import JournalRow
from bench.testing import ManualClock

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
