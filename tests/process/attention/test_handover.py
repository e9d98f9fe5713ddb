"""How far the page at the end of a shift looks ahead."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.attention.handover import until_morning

from ..making import HOURS, MON, after


@pytest.mark.parametrize(
    ("always_in", "hours"),
    [(False, 23.5), (True, 12)],
)
def test_the_page_looks_to_the_next_opening_or_where_somebody_always_is_to_the_next_shift(
    always_in: bool, hours: float
) -> None:
    """From Monday 08:00 to Tuesday 07:30; half a day is common practice, no source."""
    stay = until_morning(replace(HOURS, always_in=always_in), MON)
    assert stay == (MON, after(hours * 60))
