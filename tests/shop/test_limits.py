"""The largest that is taken, and that one more is refused with the limit."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime

import pytest

from bench.process.calendar.holidays import run_of_days
from bench.process.refusals.refusal import Refusal
from bench.shop.clock.timekeeping import set_clock
from bench.shop.core.transaction import Shop
from bench.shop.parts import back_dating, equipment, lots, placement, testing
from bench.shop.queries.search import find_parts
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.shop.settings.settings_change import set_settings
from bench.shop.stock import tins
from tests.shop.doing import done

pytestmark = pytest.mark.sqlite

WEEK_MIN = 7 * 24 * 60


def place(shop: Shop, stand: int, **more: object) -> object:
    return placement.place(shop, stand, "Kit", route="zinc-new", shape="bracket", **more)  # type: ignore[arg-type]


def tin(shop: Shop, **more: object) -> object:
    asked = {"size_ml": 500.0, **more}
    return tins.record_tin(shop, "gloss", "Kit", role="base", **asked)  # type: ignore[arg-type]


def holidays(shop: Shop, count: int) -> object:
    return set_settings(
        shop, "Kit", holidays=[run_of_days(date(2027, 1, 1 + n % 28), 1 + n) for n in range(count)]
    )


LIMITS: dict[str, tuple[Callable[[Shop, int], object], int, str]] = {
    "pieces of a lot": (lambda shop, n: place(shop, 2, count=n), 999, "a lot of 1000"),
    "letters of a tag": (lambda shop, n: place(shop, 3, tag="T" * n), 8, "the tag is too long"),
    "bungs": (lambda shop, n: lots.count_points(shop, "1", "Kit", bungs_in=n), 9999, "10000 bungs"),
    "letters of a batch": (lambda shop, n: tin(shop, batch="B" * n), 30, "the batch number is"),
    "price of a tin": (lambda shop, n: tin(shop, price=float(n)), 100_000, "a price of 100001"),
    "millilitres of a tin": (lambda shop, n: tin(shop, size_ml=float(n)), 200_000, "a tin of 200"),
    "parts at a time": (
        lambda shop, n: find_parts(shop, "1", most=n),
        1000,
        "1001 parts at a time",
    ),
    "holidays": (holidays, 60, "61 holidays"),
    "minutes put back": (
        lambda shop, n: back_dating.back_date(shop, "1", "Kit", 5 * n),
        WEEK_MIN // 5,
        "10085 min earlier",
    ),
    "minutes of a not yet": (
        lambda shop, n: testing.put_test_off(shop, "1", "Kit", minutes=n),
        WEEK_MIN,
        "10081 minutes more",
    ),
    "letters of a path": (
        lambda shop, n: set_settings(shop, "Kit", probe={"air": "/" + "x" * (n - 1)}),
        400,
        "the air probe's path: plain",
    ),
    "year of the clock": (
        lambda shop, n: set_clock(shop, "Kit", datetime(n, 12, 31, tzinfo=UTC)),
        2200,
        "it cannot be 31 Dec 2201",
    ),
}


def test_one_more_than_the_largest_is_refused_with_the_limit(shop: Shop) -> None:
    """House rules. The largest itself is taken, or refused for another reason."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="bracket", tag="1"))
    for what, (act, most, told) in LIMITS.items():
        beyond, largest = act(shop, most + 1), act(shop, most)
        assert isinstance(beyond, Refusal), what
        assert str(beyond).startswith(told), what
        assert getattr(largest, "remedy", "") != beyond.remedy, what


def test_a_sign_of_the_keypad_is_no_painters_name(shop: Shop, seeds: Seeds) -> None:
    told = open_shop(shop, seeds, ("Kit", "*"), 6)
    assert str(told) == "a painter's name '*' (no letter in it): type a name"


def test_a_shop_has_48_stands_and_40_things_at_the_most(shop: Shop, seeds: Seeds) -> None:
    told = [str(open_shop(shop, seeds, ("Kit",), stands)) for stands in (48, 49)]
    assert ["from 1 to 48" in text for text in told] == [False, True], told
    names = (f"Thing {n}" for n in range(50))
    last = next(
        a
        for a in (equipment.write_down(shop, "Kit", name=name) for name in names)
        if isinstance(a, Refusal)
    )
    assert str(last) == "40 things are recorded: 40 at most"
