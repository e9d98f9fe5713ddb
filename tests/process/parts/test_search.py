"""What somebody still knows of a part: words, and days among them."""

from __future__ import annotations

from datetime import date

import pytest

from bench.process.parts.search import SearchQuery, read_query, span_of
from bench.process.refusals.refusal import Refusal


@pytest.mark.parametrize(
    ("word", "first", "last"),
    [
        ("2019", date(2019, 1, 1), date(2019, 12, 31)),
        ("1990", date(1990, 1, 1), date(1990, 12, 31)),
        ("2099", date(2099, 1, 1), date(2099, 12, 31)),
        ("2019-05", date(2019, 5, 1), date(2019, 5, 31)),
        ("2024-02", date(2024, 2, 1), date(2024, 2, 29)),
        ("2019.5.12", date(2019, 5, 12), date(2019, 5, 12)),
        ("12.5.2019", date(2019, 5, 12), date(2019, 5, 12)),
        ("5.2019", date(2019, 5, 1), date(2019, 5, 31)),
        ("12/5/2019", date(2019, 5, 12), date(2019, 5, 12)),
    ],
)
def test_a_day_is_read_however_it_is_written(word: str, first: date, last: date) -> None:
    assert span_of(word) == (first, last)


@pytest.mark.parametrize(
    "word", ["7", "4b", "1889", "1989", "2100", "12345", "1.5", "12.5.19", "TROLLEY-7", "١٢٣٤"]
)
def test_what_is_no_day_is_a_word(word: str) -> None:
    assert span_of(word) is None


@pytest.mark.parametrize("word", ["2019-13", "31.2.2019", "2019-00", "0.5.2019"])
def test_a_day_that_never_was_is_refused(word: str) -> None:
    found = read_query(word)
    assert isinstance(found, Refusal)
    assert found.read == word


def test_four_figures_may_be_a_year_and_a_number_in_a_name() -> None:
    year = (date(2019, 1, 1), date(2019, 12, 31))
    assert read_query(" frame  2019 2019-05 ", " club ") == SearchQuery(
        texts=(("frame", None), ("2019", year)),
        spans=((date(2019, 5, 1), date(2019, 5, 31)),),
        job="club",
    )
    assert read_query("4b") == SearchQuery(texts=(("4b", None),))


def test_a_page_of_words_is_refused() -> None:
    assert isinstance(read_query("a " * 8), SearchQuery)
    assert isinstance(read_query("a " * 9), Refusal)
    assert isinstance(read_query("x" * 60, owner="y" * 60), SearchQuery)
    assert isinstance(read_query("x" * 61), Refusal)
    assert isinstance(read_query("x", owner="y" * 61), Refusal)
