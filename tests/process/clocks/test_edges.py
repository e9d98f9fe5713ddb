"""An opening or closing: rounded to the safe side, marked in one way, found by one walk."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import pytest

from bench.process.clocks.conditions import conditions_at
from bench.process.clocks.edges import Edge
from bench.process.clocks.estimate_basis import basis_words
from bench.process.clocks.part_clocks import clocks_of
from bench.process.clocks.stand_state import StandState, stand_state
from bench.process.clocks.temperature import Reading
from bench.process.sheets.product import Product
from bench.trade.ageing import Basis, Side
from bench.widgets.stand import next_lines
from bench.widgets.status_lines import air_line

from ..making import HOURS, MON, after, around, band, coated, product

BLOCK = 26
"""Columns of a stand at 80 columns, three across."""


def stand(paint: Product, now: datetime, *readings: Reading, then: str = "coat") -> StandState:
    part = coated(MON, MON, then=then)
    return stand_state(part, clocks_of(part, around(paint, *readings)), now)


@pytest.mark.parametrize(
    ("side", "aged", "shown"),
    [
        ("opening", True, "08:45:00"),
        ("opening", False, "08:42:00"),
        ("closing", True, "08:40:00"),
        ("closing", False, "08:41:00"),
    ],
)
def test_an_opening_is_shown_late_and_a_closing_early(side: Side, aged: bool, shown: str) -> None:
    at = MON.replace(minute=41, second=20)
    assert f"{Edge(at, side, aged=aged).shown:%H:%M:%S}" == shown


@pytest.mark.parametrize("side", ["opening", "closing"])
def test_what_is_on_the_full_five_minutes_is_shown_as_it_is(side: Side) -> None:
    assert Edge(after(40), side, aged=True).shown == after(40)


@pytest.mark.parametrize(
    ("edge", "words"),
    [
        (Edge(after(40), "opening"), "08:40"),
        (Edge(after(40), "opening", aged=True), "~08:40"),
        (Edge(after(40), "opening", aged=True, old=True), "~old 08:40"),
        (Edge(after(40), "closing", "guess", aged=True), "~08:40?"),
        (Edge(after(40), "closing", "outside", aged=True), "~08:40?"),
        (Edge(after(40), "closing", "between", aged=True), "~08:40"),
        (Edge(after(40), "opening", unconfirmed=True), "08:40?"),
        (Edge(after(24 * 60), "opening"), "Tue 08:00"),
        (Edge(after(2 * 24 * 60), "opening"), "Wed 04 Mar 08:00"),
        (Edge(after(-24 * 60), "opening"), "Sun 08:00"),
        (Edge(after(-7 * 24 * 60), "opening"), "Mon 23 Feb 08:00"),
    ],
)
def test_its_words_are_its_marks_and_beyond_tomorrow_its_date(edge: Edge, words: str) -> None:
    assert edge.words(MON) == words


def test_an_opening_is_over_only_by_the_hour_that_is_shown() -> None:
    edge = Edge(after(41), "opening", aged=True)
    assert [edge.is_over(after(minute)) for minute in (41, 44, 45)] == [False, False, True]
    closing = Edge(after(41), "closing", aged=True)
    assert [closing.is_over(after(minute)) for minute in (40, 41)] == [False, True]


@pytest.mark.parametrize(
    ("side", "basis", "told"),
    [
        ("opening", "outside", "colder than the data sheet lists, so longer than its slope"),
        ("closing", "outside", "warmer than the data sheet lists, so shorter than its slope"),
        ("closing", "between", "an estimate between two figures of the data sheet"),
    ],
)
def test_where_its_figure_comes_from_is_said_by_its_side(
    side: Side, basis: Basis, told: str
) -> None:
    assert Edge(MON, side, basis).figure_words == told


def test_a_placeholder_of_a_product_marks_its_windows_and_a_typed_sheet_does_not() -> None:
    paint = product(band("wait", 240), band("open", 600), band("key"))
    for source, doubt in (("placeholder", "?"), ("sheet", "")):
        state = stand(replace(paint, source=source), after(10))  # type: ignore[arg-type]
        assert state.opens is not None
        assert state.closes is not None
        assert (state.opens.doubt, state.closes.doubt) == (doubt, doubt)


def test_a_painters_not_yet_is_exact_and_no_placeholder() -> None:
    paint = product(band("wait", c20=1), band("open"), source="placeholder")
    part = coated(MON, MON)
    waits = replace(part.steps[0], not_before=after(400))
    part = replace(part, steps=(waits, part.steps[1]))
    state = stand_state(part, clocks_of(part, around(paint, Reading(MON, 20.0))), after(10))
    assert state.opens == Edge(after(400), "opening")


def test_a_flash_eaten_by_a_slow_coat_says_when_it_really_opens() -> None:
    """Flash 8 min from the last face, open to the hour from the first, closed to 48 h."""
    paint = product(band("flash", 8), band("open", 60), band("shut", 48 * 60), band("open"))
    slow = coated(MON, after(64))
    state = stand_state(slow, clocks_of(slow, around(paint)), after(66))
    assert state.word == "KEEP OFF"
    assert state.opens == Edge(after(64 + 48 * 60), "opening")
    assert (state.target, state.closes) == (state.opens.at, None)


def test_wax_that_is_never_open_again_still_counts_while_it_is_wet() -> None:
    wax = product(band("wet", 48 * 60), band("shut"))
    state = stand(wax, after(60))
    assert (state.word, state.counts, state.target) == ("WET", "down", after(48 * 60))
    assert (state.opens, state.note) == (None, "")


@pytest.mark.parametrize(("minutes", "old"), [(4 * 60, False), (4 * 60 + 1, True)])
def test_everything_calls_a_reading_old_from_the_same_minute_on(minutes: int, old: bool) -> None:
    """More than four hours (source seen: MIL-HDBK-1110, about every 4 h)."""
    paint = product(band("wait", c20=16), band("open"))
    read, now = Reading(MON, 18.0, 60.0), after(minutes)
    state = stand(paint, now, read)
    assert state.opens is not None
    below = "".join(piece.text for piece in air_line(conditions_at([read], now), now, 80))
    page = basis_words(state, read, HOURS, now)
    assert [state.old, state.opens.old, "OLD" in below, "OLD" in page] == [old] * 4


@pytest.mark.parametrize("source", ["sheet", "placeholder"])
@pytest.mark.parametrize("days", [0, 3, 40])
def test_no_hour_and_no_painter_is_cut_off_a_stand_of_80_columns(days: int, source: str) -> None:
    slow = product(
        band("wait", c20=24 * (days + 1)), band("open", c20=24 * 180), band("key"), source=source
    )
    part = coated(MON, MON)
    part = replace(part, steps=(replace(part.steps[0], painters=("Una",)), part.steps[1]))
    clocks = clocks_of(part, around(slow, Reading(MON, 9.0)))
    state = stand_state(part, clocks, after(10))
    assert state.opens is not None
    assert state.closes is not None
    lines = next_lines(part, state, after(10), BLOCK)
    assert all(len(text) <= BLOCK for text in lines), lines
    for hour in (state.opens, state.closes):
        assert any(f"{hour.shown:%H:%M}{hour.doubt}" in text for text in lines), lines
    assert any("(Una)" in text for text in lines), lines


def test_a_closing_alone_that_is_too_long_leaves_the_weekday_out() -> None:
    paint = product(band("open", c20=24 * 9), band("key"), source="placeholder")
    now = after(5 * 60)
    lines = next_lines(coated(MON, MON), stand(paint, now, Reading(MON, 9.0)), now, BLOCK)
    assert lines[0] == "closes ~old 11 Mar 08:00?"
