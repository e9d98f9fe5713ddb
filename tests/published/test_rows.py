"""What the rows say of themselves: a named source here, an honest status among worked examples."""

from __future__ import annotations

import re

import pytest

from tests.published.rows import PUBLISHED, WORKED, WORKED_AS, load, published, worked

TOPICS = sorted(
    {path.stem for folder in (PUBLISHED, WORKED) for path in folder.glob("*.csv")}
    - {"weather_year"}
)
NO_SOURCE = re.compile(
    r"memory|comput|deriv|reckon|withheld|not named|scribd|\bmaker|seller|copy\b", re.IGNORECASE
)
"""Words of a value that nobody published, and of places where nobody can look."""


@pytest.mark.parametrize("topic", TOPICS)
def test_a_published_row_names_a_source_and_nothing_weaker(topic: str) -> None:
    for row in published(topic):
        assert len(row.source) > 12, row
        assert not NO_SOURCE.search(row.source), row
        assert not row.status, row


@pytest.mark.parametrize("topic", TOPICS)
def test_a_worked_row_says_what_it_is(topic: str) -> None:
    for row in worked(topic):
        assert row.status.startswith(WORKED_AS), row
        assert not row.source, row


@pytest.mark.parametrize("topic", TOPICS)
def test_a_row_has_one_name_in_both_folders(topic: str) -> None:
    names = [row.id for row in load(topic)]
    assert len(set(names)) == len(names)
