"""Days and hours away, as they are typed and said."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from bench.process.calendar.absence import Absence, covered, read_absence


@pytest.mark.parametrize(
    ("typed", "begins", "ends"),
    [
        ("2026-12-24", "2026-12-24T00:00", "2026-12-25T00:00"),
        ("2026-12-24..2027-01-01", "2026-12-24T00:00", "2027-01-02T00:00"),
        ("2026-12-24 13:00..17:30", "2026-12-24T13:00", "2026-12-24T17:30"),
        ("2026-12-24 13:00..2026-12-28 9:00", "2026-12-24T13:00", "2026-12-28T09:00"),
    ],
)
def test_days_or_hours_are_read_and_said_as_they_can_be_typed(
    typed: str, begins: str, ends: str
) -> None:
    found = read_absence("Una", f" {typed} ")
    assert found == Absence("Una", datetime.fromisoformat(begins), datetime.fromisoformat(ends))
    assert read_absence("Una", found.words) == found


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "wanted 2026-12-24"),
        ("next week", "wanted 2026-12-24"),
        ("2026-13-24", "month must be in 1..12"),
        ("2026-12-24..2026-12-23", "end comes before"),
        ("2026-12-24 17:30..13:00", "end comes before"),
        ("2026-12-24 13:00", "both hours or none"),
        ("2026-12-24..17:00", "both hours or none"),
        ("2026-12-24 25:00..26:00", "hour must be in 0..23"),
        ("2026-01-01..2027-12-31", "up to 366 days"),
        ("9999-12-31", "up to the year 9998"),
        ("٢٠٢٦-12-24", "wanted 2026-12-24"),
    ],
)
def test_what_is_no_time_away_is_refused_with_what_would_be(typed: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        read_absence("Una", typed)


@pytest.mark.parametrize(
    ("days", "who", "is_covered"), [(3, "Una", True), (4, "Una", False), (1, "Bo", False)]
)
def test_only_what_one_absence_of_the_same_painter_has_all_of_is_covered(
    days: int, who: str, is_covered: bool
) -> None:
    first = datetime.fromisoformat("2026-12-24")
    known = [Absence("Una", first, first + timedelta(days=3))]
    assert covered(Absence(who, first, first + timedelta(days=days)), known) is is_covered
