"""Tins on the command line: the deeds, the list, the trace, the shopping list, the costs.

The prices are invented; the sums beside them are by hand. 90 days for an opened isocyanate
hardener: a shipped placeholder, common practice, no source.
"""

from __future__ import annotations

import pytest

from bench.shop.core.transaction import Shop
from bench.shop.data.opening import check
from bench.testing import ManualClock

from ..running import Paintbench, Ran

HARDENER = ("tin", "add", "gloss", "--role", "hardener", "--size", "500ml", "--batch", "H-204")


def did(ran: Ran) -> str:
    assert (ran.code, ran.err) == (0, ""), ran
    return ran.out


def said_no(ran: Ran) -> str:
    assert (ran.code, ran.out) == (1, ""), ran
    return ran.err.strip()


@pytest.fixture
def stocked(paintbench: Paintbench) -> Paintbench:
    """Base, hardener and thinner of the gloss, tins 1 to 3, the thinner's price not known."""
    did(
        paintbench(
            "tin", "add", "gloss", "--role", "base", "--size", "1 l", "--price", "30", "--by", "Kit"
        )
    )
    did(paintbench(*HARDENER, "--price", "25,00", "--by", "Kit"))
    did(paintbench("tin", "add", "thinner", "--size", "1 l", "--batch", "T-7", "--by", "Kit"))
    return paintbench


def test_a_tin_comes_is_opened_counted_put_right_and_binned(
    paintbench: Paintbench, clock: ManualClock, shop: Shop
) -> None:
    told = did(paintbench(*HARDENER, "--use-by", "2026-03", "--by", "Kit"))
    assert told == (
        "tin 1, hardener of Two-pack gloss 2:1 came: 500 ml, H-204, use by 31 Mar 2026\n"
    )
    clock.advance(hours=2)
    told = did(paintbench("tin", "open", "1", "--ago", "1 h", "--by", "Mo"))
    assert told.splitlines() == [
        "tin 1, hardener of Two-pack gloss 2:1 opened 08:30",
        "  good until 07 Sep 2025?",
    ]
    assert "420 ml left in it (the figures said 500)" in did(
        paintbench("tin", "count", "1", "--left", "420ml", "--by", "Mo")
    )
    assert "batch H-205 (was H-204)" in did(
        paintbench("tin", "right", "1", "--batch", "H-205", "--by", "Mo")
    )
    assert did(paintbench("tin", "bin", "1", "--by", "Mo")).endswith("binned with 420 ml in it\n")
    assert did(paintbench("tins")) == "no tins are listed\n"
    assert check(shop).faults == ()


def test_the_list_shows_age_what_is_left_and_how_long_it_is_good(
    stocked: Paintbench, clock: ManualClock
) -> None:
    did(stocked("mix", "gloss", "--need", "330ml", "--by", "Mo"))
    clock.advance(days=84)
    lines = did(stocked("tins")).splitlines()
    assert [line.split() for line in lines] == [
        ["3", "Thinner", "T-7", "open", "84", "d", "970", "of", "1000", "ml"],
        [
            "1",
            "Two-pack",
            "gloss",
            "2:1,",
            "base",
            "-",
            "open",
            "84",
            "d",
            "800",
            "of",
            "1000",
            "ml",
        ],
        [
            "2",
            "Two-pack",
            "gloss",
            "2:1,",
            "hardener",
            "H-204",
            "open",
            "84",
            "d",
            "400",
            "of",
            "500",
            "ml",
            "good",
            "until",
            "07",
            "Sep",
            "2025?",
            "(6",
            "d)",
        ],
    ]
    clock.advance(days=130)
    assert "OUT OF DATE: opened 214 d ago, keeps 90 d? once open" in did(stocked("tins"))


def test_as_json_nothing_has_to_be_guessed(stocked: Paintbench, clock: ManualClock) -> None:
    did(stocked("mix", "gloss", "--need", "330ml", "--by", "Mo"))
    found = {one["tin"]: one for one in stocked("tins", "--json").json()["tins"]}
    assert found[2] == {
        "tin": 2,
        "product": "gloss",
        "name": "Two-pack gloss 2:1",
        "role": "hardener",
        "batch": "H-204",
        "state": "open",
        "size_ml": 500.0,
        "left_ml": 400.0,
        "low": False,
        "came_at": "2025-06-09T06:30:00+00:00",
        "opened_at": "2025-06-09T06:30:00+00:00",
        "use_by": None,
        "good_until": "2025-09-07T06:30:00+00:00",
        "opened_life_s": 7776000.0,
        "placeholder": True,
        "price": 25.0,
    }
    assert found[3]["role"] is found[3]["price"] is None
    assert found[1]["batch"] is None


def test_mixing_names_its_tins_and_asks_about_a_dead_hardener(
    stocked: Paintbench, clock: ManualClock
) -> None:
    assert "  from tins: base 1 (no batch number), hardener 2 (H-204), thinner 3 (T-7)\n" in did(
        stocked("mix", "gloss", "--need", "330ml", "--by", "Mo")
    )
    clock.advance(days=214)
    assert said_no(stocked("mix", "gloss", "--need", "330ml", "--by", "Mo")) == (
        "tin 2, hardener of Two-pack gloss 2:1, is out of date (opened 214 d ago, keeps 90 d? once "
        "open): open a fresh one. Cloudy, skinned, gelled or full of crystals: bin it\n"
        '  to override it: --override tin-out-of-date-2="the reason"'
    )
    told = did(
        stocked(
            "mix", "gloss", "--need", "330ml", "--override", "tin-out-of-date-2=clear", "--by", "Mo"
        )
    )
    assert "; override: tin 2, hardener of Two-pack gloss 2:1, is out of date" in told
    pots = stocked("status", "--json").json()["pots"]
    assert [bool(pot["against"]) for pot in pots] == [False, True]
    assert pots[1]["against"][0].endswith("once open): clear")


def test_the_tins_may_be_named(stocked: Paintbench) -> None:
    did(stocked(*HARDENER[:-1], "H-300", "--by", "Kit"))
    told = did(stocked("mix", "gloss", "--need", "330ml", "--tins", "4,1", "--by", "Mo"))
    assert "hardener 4 (H-300)" in told
    no = said_no(stocked("top-up", "A", "--need", "33ml", "--tins", "9", "--by", "Mo"))
    assert no == "tin 9 holds no part of this mix: name tins of base, hardener, thinner"


def test_a_batch_is_traced_to_pots_and_parts(stocked: Paintbench, clock: ManualClock) -> None:
    did(stocked("mix", "gloss", "--need", "330ml", "--by", "Mo"))
    lines = did(stocked("trace", "h-204")).splitlines()
    assert lines == [
        "tin 2: hardener of Two-pack gloss 2:1, batch H-204, open 0 min",
        "pot A: Two-pack gloss 2:1, mixed 07:30 by Mo",
        "it is on no part",
    ]
    data = stocked("trace", "H-204", "--json").json()
    assert (data["tins"], [pot["pot"] for pot in data["pots"]], data["parts"]) == ([2], ["A"], [])
    assert said_no(stocked("trace", "2-B")) == "no tin of batch '2-B': read the tin again"


def test_a_traced_part_is_named_with_its_coat_and_hour(paintbench: Paintbench) -> None:
    did(paintbench("tin", "add", "enamel-brush", "--size", "1 l", "--batch", "E-1", "--by", "Kit"))
    did(paintbench("reading", "--air", "20C", "--rh", "55%", "--metal", "20C", "--by", "Kit"))
    did(paintbench("place", "1", "--route", "cast-iron", "--shape", "axle", "--by", "Kit"))
    while paintbench("status", "--json").json()["stands"][0]["step"] != "Brush enamel 1":
        did(paintbench("skip", "1", "--reason", "already done", "--by", "Kit"))
    did(paintbench("begin", "1", "--by", "Kit"))
    assert did(paintbench("trace", "E-1")).splitlines()[-1] == ("tag 1 Axle: Brush enamel 1 07:30")
    part = paintbench("trace", "E-1", "--json").json()["parts"][0]
    assert (part["tag"], part["coat"], part["pot"]) == ("1", "Brush enamel 1", None)


def test_the_shopping_list_is_of_the_parts_on_the_bench(stocked: Paintbench) -> None:
    assert did(stocked("shopping")) == "no coats are to come\n"
    did(stocked("place", "1", "--route", "zinc-weathered", "--shape", "frame", "--by", "Kit"))
    did(stocked("place", "2", "--route", "cast-iron", "--shape", "plain", "--by", "Kit"))
    lines = did(stocked("shopping")).splitlines()
    need_ml = 2 * 7.5 * 20 / 0.18 / 0.25  # coats x m2 x um / solids / what lands
    assert (
        lines[0].split()
        == (
            f"Chassis enamel, aerosol needs {round(need_ml, -2):.0f}? ml, 0 left BUY about 17? x 400 ml (tag 1)"
        ).split()
    )
    assert lines[-1] == "Epoxy primer 4:1, tag 2: not counted: its area is not known: type it"
    data = stocked("shopping", "--json").json()
    assert data["wanted"][0]["buy_tins"] == 17
    assert data["wanted"][0]["placeholder"] is True
    assert data["not_reckoned"][0]["tags"] == ["2"]
    assert data["open_pots_not_counted"] == []
    did(stocked("mix", "epoxy-primer", "--need", "330ml", "--by", "Mo"))
    assert stocked("shopping", "--json").json()["wanted"] == data["wanted"]
    told = did(stocked("shopping")).splitlines()[-1]
    assert told.startswith("not counted: pot A Epoxy primer 4:1 (bin by ")
    (pot,) = stocked("shopping", "--json").json()["open_pots_not_counted"]
    assert (pot["pot"], pot["product"], pot["mixed_ml"]) == ("A", "epoxy-primer", 330)


def test_the_costs_of_a_month_say_what_has_no_price(
    stocked: Paintbench, clock: ManualClock
) -> None:
    did(stocked("mix", "gloss", "--need", "330ml", "--by", "Mo"))
    did(stocked("bin", "A", "--left", "110ml", "--by", "Mo"))
    did(stocked("tin", "bin", "2", "--by", "Mo"))
    assert [line.split() for line in did(stocked("costs", "--month", "2025-06")).splitlines()] == [
        ["2025-06"],
        [
            "Two-pack",
            "gloss",
            "2:1",
            "used",
            "330",
            "ml",
            "11.00",
            "at",
            "least:",
            "30",
            "ml",
            "without",
            "a",
            "price",
        ],
        ["binned", "110", "ml", "3.67", "at", "least:", "10", "ml", "without", "a", "price"],
        ["thrown", "400", "ml", "20.00"],
    ]
    assert did(stocked("costs", "--month", "2025-05")) == "2025-05\nnothing was used\n"
    data = stocked("costs", "--json").json()
    assert data["total"]["used"] == {"ml": 330.0, "cost": 11.0, "without_price_ml": 30.0}
    clock.advance(days=40)
    assert did(stocked("costs")).startswith("2025-07\n"), "without a month it is this one"
    assert said_no(stocked("costs", "--month", "June")) == "no month 'June': such as 2025-06"


def test_where_nothing_has_a_price_there_is_a_dash_and_no_nought(paintbench: Paintbench) -> None:
    did(paintbench("mix", "gloss", "--need", "330ml", "--by", "Mo"))
    did(paintbench("bin", "A", "--by", "Mo"))
    told = did(paintbench("costs"))
    assert "330 ml         -  no price is known" in told
    assert "pots binned without measuring the leftover: 1" in told
    assert paintbench("costs", "--json").json()["total"]["used"]["cost"] is None


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("tin",), "the following arguments are required: ACTION"),
        (("tin", "weigh", "1"), "invalid choice: 'weigh'"),
        (("tin", "add", "gloss", "--role", "base"), "arguments are required: --size"),
        (("tin", "add", "gloss", "--size", "big"), "--size: read 'big'"),
        (
            ("tin", "add", "gloss", "--size", "1l", "--price", "cheap"),
            "wanted the price of one tin",
        ),
        (("tin", "add", "gloss", "--size", "1l", "--use-by", "31.3.27"), "such as 2027-03-31"),
        (("tin", "open", "H-204"), "wanted a tin's number"),
        (("mix", "gloss", "--tins", "4;5"), "wanted a tin's number"),
    ],
)
def test_what_cannot_be_read_is_wrong_usage(
    paintbench: Paintbench, words: tuple[str, ...], told: str
) -> None:
    ran = paintbench(*words)
    assert ran.code == 2
    assert told in ran.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("tin", "open", "-3"), "no tin -3: there are: 1, 2, 3"),
        (("tin", "count", "1", "--left", "-5ml"), "-5 ml left in tin 1: from 0 to the 1000 ml"),
        (("tin", "right", "1"), "nothing to correct on tin 1"),
        (("tin", "add", "gloss", "--size", "-1l", "--role", "base"), "a tin of -1000 ml"),
    ],
)
def test_a_rule_that_says_no_ends_with_1(
    stocked: Paintbench, words: tuple[str, ...], told: str
) -> None:
    assert told in said_no(stocked(*words, "--by", "Kit"))


def test_who_did_it_is_said_like_with_any_deed(paintbench: Paintbench) -> None:
    assert said_no(paintbench(*HARDENER)).startswith("the painter is not named")
