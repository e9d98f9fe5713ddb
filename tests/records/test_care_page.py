"""The owner's page: when it is cured, earliest and only about, and what may be done from when on."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from bench.process.clocks.edges import Edge
from bench.records.as_text import text
from bench.records.care_page import care_page
from bench.records.label import label
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, testing
from bench.testing import ManualClock
from tests.shop.doing import done, stand

from .making import curing, told


def page(shop: Shop) -> str:
    """The page in one line."""
    return " ".join(text(care_page(told(shop))).split())


def test_the_date_is_the_cure_and_not_the_spraying(shop: Shop, clock: ManualClock) -> None:
    # Gloss: 7 d at 20 C, 14 d at 10 C (placeholder, common practice, no source).
    curing(shop, clock)
    clock.advance(days=2)
    cure = told(shop).cure
    assert cure is not None
    assert cure.full_cure is not None
    assert cure.full_cure == stand(shop).opens
    # At 20 C by day and 11 C by night, somewhere between the two.
    assert timedelta(days=7) < cure.full_cure.at - cure.last_face_at < timedelta(days=14)
    day = (cure.full_cure.shown + timedelta(days=1)).date()
    told_page = page(shop)
    assert f"FULL CURE !!! About {day}?." in told_page
    assert "Earliest, estimated: nobody has tested it yet" in told_page
    assert f"FULL CURE ABOUT {day}" in " ".join(label(told(shop)).split())


def test_it_says_what_the_date_rests_on(shop: Shop, clock: ManualClock) -> None:
    curing(shop, clock)
    told_page = page(shop)
    assert "(a placeholder from common practice: nobody took it from a sheet)" in told_page
    assert "no reading since its last face, the last one read 20 C" in told_page
    clock.advance(hours=3)
    done(readings.take_reading(shop, "Kit", air_c=19, metal_c=18))
    assert "one reading since its last face, the last one read 18 C" in page(shop)
    assert "after it that, at most 18? C days and 11? C nights" in page(shop)


def test_wash_load_and_contact_have_their_own_days(shop: Shop, clock: ManualClock) -> None:
    # No pressure washer for 2 to 4 weeks, the longer taken; chips at 6 and 12 months, cavity wax
    # again after 12 to 24 (common practice, no source).
    curing(shop, clock)
    sheet = told(shop)
    assert sheet.cure is not None
    assert sheet.cure.full_cure is not None
    day = (sheet.cure.full_cure.shown + timedelta(days=1)).date()
    month = (sheet.cure.last_face_at + timedelta(weeks=4, days=1)).date()
    told_page = page(shop)
    for fact in (
        f"Load not before {day}: bolts, straps and clamps",
        f"Contact until {day} rest nothing against it",
        f"Wash by hand only from {day}",
        f"no pressure washer and no wax before {month}",
        "6 months look for stone chips",
        "cavity wax again after 12 to 24 months",
    ):
        assert fact in told_page, fact


def test_a_flash_off_and_an_open_window_say_nothing_of_touch(
    shop: Shop, clock: ManualClock
) -> None:
    # The gloss flashes 15 min and is open for its next coat: neither means that a hand may lean on it.
    curing(shop, clock)
    assert "Touch as little as can be before full cure" in page(shop)


def test_tested_and_passed_it_says_by_whom(shop: Shop, clock: ManualClock) -> None:
    curing(shop, clock)
    clock.advance(days=14)
    done(testing.pass_test(shop, 1, "Mo"))
    assert "FULL CURE Tested by Mo and passed, 2025-06-23 07:50." in page(shop), (
        "it warns of nothing"
    )
    assert label(told(shop)).splitlines()[-2] == "CURED 2025-06-23 Mo"


def test_a_not_yet_puts_the_date_back(shop: Shop, clock: ManualClock) -> None:
    curing(shop, clock)
    clock.advance(days=14)
    done(testing.put_test_off(shop, 1, "Mo", minutes=24 * 60))
    cure = told(shop).cure
    assert cure is not None
    assert cure.full_cure is not None
    assert cure.full_cure.at == clock.now() + timedelta(days=1)
    assert cure.rests_on == "a painter tried it and said not yet"


def test_too_cold_there_is_no_date(shop: Shop, clock: ManualClock) -> None:
    curing(shop, clock)
    clock.advance(minutes=10)
    done(readings.take_reading(shop, "Kit", air_c=2, metal_c=2))
    cure = told(shop).cure
    assert cure is not None
    assert cure.full_cure is None
    assert "colder than the product's minimum of 10? C: it does not cure" in page(shop)
    assert "no wax before full cure, and four weeks after the last coat" in page(shop)


def test_while_coats_are_to_come_there_is_no_date(shop: Shop) -> None:
    done(placement.place(shop, 1, "Kit", route="steel-blasted", shape="plate"))
    assert "!!! It is not finished: 6 steps to go. There is no date yet." in page(shop)
    done(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    assert "5 steps to go" in page(shop)


def test_the_page_of_a_cured_part_does_not_call_it_soft(shop: Shop, clock: ManualClock) -> None:
    curing(shop, clock)
    sheet = told(shop)
    assert sheet.cure is not None
    contact = Edge(datetime(2025, 6, 10, 14, 3, tzinfo=UTC), "opening")
    fresh = replace(sheet, cure=replace(sheet.cure, contact=contact))
    assert "soft underneath" in text(care_page(fresh))
    cured = replace(fresh, cure=replace(fresh.cure, passed_at=clock.now(), passed_by="Mo"))
    assert "soft" not in text(care_page(cured))
