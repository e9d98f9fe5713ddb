"""Who signs an override, where a painter has a PIN."""

from __future__ import annotations

from sqlmodel import select

from bench.clock import ManualClock
from bench.shop import parts, trouble, undo
from bench.shop.acting import Shop
from bench.shop.data import check
from bench.shop.painters import set_pin
from bench.store.tables import Painter
from tests.shop.doing import begin_over, done, part, refused, state

SALT = b"always the same."


def wet(shop: Shop) -> None:
    """A bracket whose washing was not waited for: only an override begins the next step."""
    done(parts.place(shop, 1, "Kit", route="steel-blasted", shape="bracket"))
    while part(shop).current().step.kind != "coat":  # type: ignore[union-attr]
        done(trouble.skip(shop, 1, "Kit", "already done"))


def test_without_a_pin_a_reason_is_enough(shop: Shop) -> None:
    wet(shop)
    answer = done(begin_over(shop, 1, "Kit", "tested on the coupon"))
    assert "no pot of Epoxy primer 4:1 (none open): tested on the coupon" in answer.text


def test_with_a_pin_the_override_is_signed(shop: Shop) -> None:
    wet(shop)
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    before = state(shop)
    told = refused(begin_over(shop, 1, "Kit", "tested on the coupon"))
    assert str(told) == "Kit has a PIN: sign with it"
    assert state(shop) == before
    done(begin_over(shop.with_pin("4711"), 1, "Kit", "tested on the coupon"))
    assert check(shop).faults == ()


def test_a_wrong_pin_changes_nothing_and_is_written_down(shop: Shop) -> None:
    wet(shop)
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    before = state(shop)
    told = refused(begin_over(shop.with_pin("4712"), 1, "Kit", "other"))
    assert told.rule == "wrong PIN of Kit"
    assert state(shop) == before
    assert check(shop).faults == ()


def test_after_five_wrong_ones_the_pin_rests_for_ten_minutes(
    shop: Shop, clock: ManualClock
) -> None:
    wet(shop)
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    for _ in range(5):
        refused(begin_over(shop.with_pin("0000"), 1, "Kit", "other"))
    told = refused(begin_over(shop.with_pin("4711"), 1, "Kit", "other"))
    assert str(told) == "5 wrong PINs of Kit: wait 10 min"
    clock.advance(minutes=11)
    done(begin_over(shop.with_pin("4711"), 1, "Kit", "other"))


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
    done(trouble.hold(shop, 1, "Kit", "other"))
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    answer = done(undo.undo(shop, "Mo"))
    assert "on hold" in answer.text
    with shop.store.reading() as session:
        assert session.exec(select(Painter.pin).where(Painter.name == "Kit")).one()


def test_the_pin_itself_is_nowhere_in_the_data(shop: Shop) -> None:
    done(set_pin(shop, "Kit", "4711", salt=SALT))
    assert "4711" not in str(state(shop)).replace(SALT.hex(), "")
    assert "4711" not in repr(shop.with_pin("4711"))
