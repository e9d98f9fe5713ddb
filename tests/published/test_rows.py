"""What the rows say of themselves: a named source here, an honest status among worked examples."""

from __future__ import annotations

import re

import pytest

from tests.published.rows import TOPICS, WORKED_AS, load, published_rows, worked_rows

NO_SOURCE = re.compile(
    r"memory|comput|deriv|reckon|withheld|not named|scribd|\bmaker|seller|copy\b", re.IGNORECASE
)
"""Words of a value that nobody published, and of places where nobody can look."""


@pytest.mark.parametrize("topic", TOPICS)
def test_a_published_row_names_a_source_and_nothing_weaker(topic: str) -> None:
    for row in published_rows(topic):
        assert len(row.source) > 12, row
        assert not NO_SOURCE.search(row.source), row
        assert not row.status, row


@pytest.mark.parametrize("topic", TOPICS)
def test_a_worked_row_says_what_it_is(topic: str) -> None:
    for row in worked_rows(topic):
        assert row.status.startswith(WORKED_AS), row
        assert not row.source, row


@pytest.mark.parametrize("topic", TOPICS)
def test_a_row_has_one_name_in_both_folders(topic: str) -> None:
    names = [row.id for row in load(topic)]
    assert len(set(names)) == len(names)
