"""Every sum once by keypad alone, against a published or worked row, or a source in words."""

from __future__ import annotations

import math

import pytest

from bench.shop.core.transaction import Shop
from bench.testing import ManualClock
from tests.published.rows import Row, load
from tests.screens.driving import at_the_bench

from .cases import CASES, Case, four_to_one
from .pressing import SUMS, reckon, values

SHOWN_TO = 0.006
"""Three figures are shown, the safe side where that matters."""


def row_of(case: Case) -> Row:
    """The row of a case."""
    file, name = case.row.split(" ", 1)
    [row] = [each for each in load(file) if each.id == name]
    return row


def known_from(case: Case) -> str:
    """The row with its status, or the source in words."""
    return row_of(case).label if case.row else case.source


def test_every_sum_is_checked_once_at_least() -> None:
    assert {case.title for case in CASES} == set(SUMS)


@pytest.mark.parametrize(
    "case", [pytest.param(case, id=f"{case.title}: {known_from(case)}") for case in CASES]
)
async def test_the_sum_shows_what_is_published(case: Case, shop: Shop, clock: ManualClock) -> None:
    async with at_the_bench(shop, clock) as hands:
        screen = await reckon(hands, case.title, case.typed)
        shown = values(screen)
        assert {what: shown.get(what) for what in case.shows} == case.shows
        assert ".." not in hands.picture()
        assert all(what in hands.picture() for what in case.shows)


@pytest.mark.parametrize(
    "case",
    [pytest.param(case, id=f"{case.title}: {known_from(case)}") for case in CASES if case.row],
)
def test_what_is_shown_is_the_figure_of_the_row(case: Case) -> None:
    assert case.figure in row_of(case).figures
    wanted = case.figure * case.scale
    shown = in_minutes_or_plain(next(iter(case.shows.values())))
    rounded = (math.floor(wanted), math.ceil(wanted))
    assert (
        shown == pytest.approx(wanted, rel=SHOWN_TO)
        or shown in rounded
        or (
            shown == pytest.approx(wanted, abs=0.05)  # a temperature, to a tenth
        )
    )


def in_minutes_or_plain(shown: str) -> float:
    """A time such as 1h30 in minutes, anything else as it is."""
    hours, h, minutes = shown.partition("h")
    return 60 * float(hours) + float(minutes) if h else float(shown)


def test_thinner_by_the_logarithmic_rule() -> None:
    """Ford 4: nu = 3.85 (t - 4.49) (ASTM D1200, from memory); ln nu linear in the thinner's share."""
    thick, thin, wanted = (math.log(3.85 * (t - 4.49)) for t in (60, 40, 25))
    share = 10 / 110 * (wanted - thick) / (thin - thick)
    assert 100 * share / (1 - share) == pytest.approx(25.4, abs=0.05)


@pytest.mark.parametrize(
    ("title", "typed", "word"),
    [
        ("dew point, and is it fit", ("other", "20", "70", "17"), "[X] NOT FIT TO COAT IN"),
        ("dew point, and is it fit", ("other", "20", "70", "17.5"), "[ ] FIT TO COAT IN"),
        (
            "accept a set of film readings",
            ("other", "60", "", "1", "", "", "62", "58", "65", "61", "70", ""),
            "[X] NOT ACCEPTED",
        ),
        (
            "accept a set of film readings",
            ("other", "60", "", "1", "", "", *["60"] * 5, ""),
            "[ ] ACCEPTED",
        ),
        ("runs out about face n of m", ("3", "2.9", "8"), "[ ] IT LASTS"),
        ("a pour too many", four_to_one("400", "90", "500"), "[ ]"),
        ("a pour too many", four_to_one("400", "130", "600"), "[X] THE CUP IS TOO SMALL"),
        ("pot life", ("other", "20", "1", "", "20", "", "75", ""), "[X] BIN"),
    ],
)
async def test_the_verdict_is_said_in_words(
    title: str, typed: tuple[str, ...], word: str, shop: Shop, clock: ManualClock
) -> None:
    """Rows GATE-1, GATE-2, A1, A10; the rest is arithmetic."""
    async with at_the_bench(shop, clock) as hands:
        await reckon(hands, title, typed)
        if word == "[ ]":
            assert "[X]" not in hands.picture()
        else:
            assert word in hands.picture()
