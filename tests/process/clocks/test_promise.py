"""When a part is as promised, and how many days are to spare or too late."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from bench.process.clocks.cure import Cure
from bench.process.clocks.edges import Edge
from bench.process.clocks.promise import Ready, ready_of, slack_of
from bench.process.parts.job import Job

from ..making import after, coated

TODAY = date(2026, 3, 2)
JOB = Job("Launching trolley", promised=date(2026, 3, 12))


def edge(day: int) -> Edge:
    """An opening of a sheet at noon."""
    return Edge(datetime(2026, 3, day, 12, tzinfo=UTC), "opening", "sheet")


def test_to_collect_is_past_drying_and_cured_is_the_full_cure_or_the_test() -> None:
    part = coated(after(0), after(20), then="cure")
    cure = Cure("coat", "p", after(20), edge(3), edge(9), "", None, "")
    assert ready_of(part, cure, "collect") == Ready(edge(3).at, edge(3))
    assert ready_of(part, cure, "cured") == Ready(edge(9).at, edge(9))
    assert ready_of(part, replace(cure, passed_at=after(60)), "cured") == Ready(after(60))
    assert ready_of(part, replace(cure, full_cure=None), "cured") is None
    assert ready_of(coated(after(0), after(20)), None, "collect") is None, "a coat is to come"


@pytest.mark.parametrize(
    ("readies", "today", "words"),
    [
        ((None,), TODAY, "10 days left"),
        ((None,), date(2026, 3, 13), "LATE by 1 day"),
        ((Ready(edge(10).at, edge(10)), Ready(edge(9).at)), TODAY, "ready Tue 10 Mar, 2 days to spare"),
        ((Ready(edge(14).at, edge(14)),), TODAY, "ready Sat 14 Mar, LATE by 2 days"),
        ((Ready(edge(14).at, edge(14)), None), TODAY, "10 days left"),
    ],
)  # fmt: skip
def test_slack_counts_from_when_the_last_part_is_ready_or_from_today(
    readies: tuple[Ready | None, ...], today: date, words: str
) -> None:
    slack = slack_of(JOB, readies, today)
    assert slack is not None
    assert slack.words == words
    assert slack.is_late == ("LATE" in words)
    assert slack_of(replace(JOB, promised=None), readies, today) is None
