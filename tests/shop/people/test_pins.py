"""Who signs an override, where a painter has a PIN."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from sqlmodel import select

from bench.shop.clock.timekeeping import set_clock
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.data.opening import check
from bench.shop.parts import holds_and_rework, placement
from bench.shop.people import handover, pins
from bench.shop.people.painters import set_pin
from bench.shop.people.wrong_pins import has_pin
from bench.store.copies import backup
from bench.store.log.pin_marks import PIN_SET
from bench.store.schema.tables import JournalRow, Painter
from bench.testing import ManualClock
from tests.living import done_once
from tests.shop.doing import begin_over, done, part, refused, state

pytestmark = pytest.mark.sqlite

SALT = b"always the same."


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """A PIN is hashed at once: what it costs to try them all is held in test_pin_hash.py."""
    monkeypatch.setattr(pins, "COST", 16)


@done_once
def wet(shop: Shop) -> None:
    """A bracket whose washing was not waited for: only an override begins the next step."""
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(holds_and_rework.skip(shop, 1, "Kit", "already done"))


@pytest.mark.parametrize(("kept", "here"), [("", False), (PIN_SET, False), ("a hash", True)])
def test_a_pin_that_stayed_where_the_data_came_from_is_none_here(kept: str, here: bool) -> None:
    assert has_pin(kept) is here


def test_without_a_pin_a_reason_is_enough(shop: Shop) -> None:
    wet(shop)
    answer = done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    assert "no pot of Epoxy primer 4:1 (none open): tested on the coupon" in answer.text


def test_with_a_pin_the_override_is_signed(shop: Shop) -> None:
    wet(shop)
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    assert read_bench(shop).with_pin == {"Kit"}
    before = state(shop)
    told = refused(begin_over(shop, 1, "Kit", "tested on the coupon"))
    assert str(told) == "Kit has a PIN: sign with it"
    assert state(shop) == before
    done(begin_over(shop.with_pin("4711"), 1, "Kit", "tested on the coupon"))
    assert check(shop).faults == ()


@pytest.mark.sqlite(False)
def test_a_wrong_pin_changes_nothing_and_is_written_down(shop: Shop) -> None:
    wet(shop)
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    before = state(shop)
    told = refused(begin_over(shop.with_pin("4712"), 1, "Kit", "other"))
    assert told.rule == "wrong PIN of Kit"
    after = state(shop)
    assert after["setting"].pop("wrong PINs")["value"]["of"]["Kit"]["count"] == 1
    assert after == before
    assert check(shop).faults == ()


@pytest.fixture
@done_once
def guessed(shop: Shop) -> Shop:
    """Somebody typed five wrong PINs for Kit."""
    wet(shop)
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    for _ in range(5):
        assert guess(shop, "0000") == "wrong PIN of Kit: type it again"
    return shop


def guess(shop: Shop, pin: str) -> str:
    """What the answer is; the right one begins the coat."""
    return str(refused(begin_over(shop.with_pin(pin), 1, "Kit", "other")))


def test_after_five_wrong_ones_the_pin_waits(guessed: Shop, clock: ManualClock) -> None:
    assert guess(guessed, "4711") == "5 wrong PINs of Kit: wait 1 min"
    clock.advance(seconds=61)
    done(begin_over(guessed.with_pin("4711"), 1, "Kit", "other"))


def test_each_further_wrong_one_doubles_the_wait_up_to_ten_minutes(
    guessed: Shop, clock: ManualClock
) -> None:
    waits = []
    for _ in range(6):
        clock.advance(minutes=11)
        guess(guessed, "0000")
        waits.append(guess(guessed, "4711").rpartition(": ")[2])
    assert waits == ["wait 2 min", "wait 4 min", "wait 8 min", *["wait 10 min"] * 3]


def test_a_clock_that_is_set_does_not_shorten_the_wait(guessed: Shop, clock: ManualClock) -> None:
    clock.step(hours=3)
    assert guess(guessed, "4711") == "5 wrong PINs of Kit: wait 1 min"
    clock.step(hours=-3)
    clock.advance(seconds=30)
    assert guess(guessed, "4711") == "5 wrong PINs of Kit: wait 1 min"


def test_the_program_started_again_waits_on(guessed: Shop, clock: ManualClock) -> None:
    clock.advance(seconds=30)
    again = Shop(guessed.store, clock, "window")
    assert guess(again, "4711") == "5 wrong PINs of Kit: wait 1 min"


def test_a_fresh_start_of_the_computer_begins_the_wait_again(guessed: Shop) -> None:
    later = guessed.clock.now() + timedelta(minutes=5)
    booted = ManualClock(later, boot="the next start", up=timedelta(seconds=20))
    again = Shop(guessed.store, booted, "test")
    assert guess(again, "4711") == "5 wrong PINs of Kit: wait 1 min"
    booted.advance(seconds=41)
    done(begin_over(again.with_pin("4711"), 1, "Kit", "other"))


@pytest.mark.sqlite(False)
def test_the_first_right_one_begins_the_count_again_and_no_undo_brings_it_back(
    guessed: Shop, clock: ManualClock
) -> None:
    clock.advance(seconds=61)
    done(begin_over(guessed.with_pin("4711"), 1, "Kit", "other"))
    done(undo.undo(guessed, "Kit"))
    for _ in range(4):
        assert guess(guessed, "0000") == "wrong PIN of Kit: type it again"
    done(begin_over(guessed.with_pin("4711"), 1, "Kit", "other"))
    assert check(guessed).faults == ()


def test_a_clock_that_is_believed_is_set_with_a_reason(shop: Shop) -> None:
    told = refused(set_clock(shop, "Kit", shop.clock.now() + timedelta(hours=2)))
    assert told.rule == "no reason why the clock is set, and it is believed"
    answer = done(set_clock(shop, "Kit", shop.clock.now() + timedelta(hours=2), reason="slow"))
    assert answer.text.endswith("says Kit; running clocks moved 2 h forward: slow")


def test_where_pins_are_used_a_clock_that_is_believed_is_set_with_one(shop: Shop) -> None:
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    later = shop.clock.now() + timedelta(hours=2)
    for by in ("Mo", ""):
        told = str(refused(set_clock(shop, by, later, reason="slow")))
        assert "has no PIN, and this shop uses PINs" in told
    assert str(refused(set_clock(shop, "Kit", later, reason="slow"))).endswith("sign with it")
    done(set_clock(shop.with_pin("4711"), "Kit", later, reason="slow"))


def test_the_other_painter_needs_no_pin_of_the_first(shop: Shop) -> None:
    wet(shop)
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    done(begin_over(shop, 1, "Mo", "other"))


def test_a_pin_is_changed_and_taken_away_only_by_who_knows_it(shop: Shop) -> None:
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    refused(set_pin(shop, "Kit", "1111"))
    refused(set_pin(shop.with_pin("9999"), "Kit", "1111"))
    done(set_pin(shop.with_pin("4711"), "Kit", "1111", salt=SALT))
    done(set_pin(shop.with_pin("1111"), "Kit", ""))
    assert str(refused(set_pin(shop, "Kit", ""))) == "Kit has no PIN: nothing to take away"
    assert refused(set_pin(shop, "Kit", "123")).rule == "a PIN of 3 signs"


def test_undo_does_not_take_a_pin_away(shop: Shop) -> None:
    wet(shop)
    done(holds_and_rework.hold(shop, 1, "Kit", "other"))
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    answer = done(undo.undo(shop, "Mo"))
    assert "on hold" in answer.text
    with shop.store.reading() as session:
        assert session.exec(select(Painter.pin).where(Painter.name == "Kit")).one()


def kept(shop: Shop) -> str:
    """What the table of painters holds of Kit's PIN."""
    with shop.store.reading() as session:
        return session.exec(select(Painter.pin).where(Painter.name == "Kit")).one()


def test_the_pin_itself_is_nowhere_in_the_data(shop: Shop) -> None:
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    assert "4711" not in kept(shop).replace(SALT.hex(), "")
    assert "4711" not in repr(shop.with_pin("4711"))


def test_the_hash_of_a_pin_is_in_its_table_and_in_no_line_of_the_log(shop: Shop) -> None:
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    with shop.store.reading() as session:
        lines = [str(line.changes) for line in session.exec(select(JournalRow))]
    assert kept(shop).startswith("scrypt ")
    assert any("'pin': 'set'" in line for line in lines)
    assert not any("scrypt" in line for line in lines)
    assert check(shop).faults == ()


def test_an_undo_of_something_else_about_a_painter_leaves_the_pin_alone(shop: Shop) -> None:
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    hashed = kept(shop)
    done(handover.leave(shop, "Kit"))
    done(undo.undo(shop, "Mo"))
    assert kept(shop) == hashed


@pytest.mark.sqlite
def test_a_hash_that_was_taken_away_is_not_readable_in_a_copy(shop: Shop, data: Path) -> None:
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    hashed = kept(shop).encode()
    done(set_pin(shop.with_pin("4711"), "Kit", ""))
    backup.copy(data, data.with_name("copy.db"))
    assert hashed[-64:] not in data.with_name("copy.db").read_bytes()
