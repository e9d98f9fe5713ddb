"""A job: what cannot be so of it, how far it is, and how it stands to its promise."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from bench.process.clocks.cure import Cure
from bench.process.clocks.edges import Edge
from bench.process.parts.job import (
    CoatFilm,
    Job,
    PaintSystem,
    Photo,
    Progress,
    Ready,
    Received,
    check_job,
    coats_words,
    job_words,
    progress_of,
    ready_of,
    slack_of,
)
from bench.process.parts.part import StepRecord

from ..making import after, coated

TODAY = date(2026, 3, 2)
JOB = Job("Launching trolley", promised=date(2026, 3, 12))
TWO_COATS = (CoatFilm("primer", 60.0), CoatFilm("gloss", 40.0))


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (replace(JOB, priority=4), "priority 4: 1 the most urgent, 2 or 3"),
        (replace(JOB, received=Received(date(2026, 3, 3))), "received on 2026-03-03 (today is"),
        (
            replace(JOB, received=Received(date(2026, 3, 1), "", date(2026, 3, 2))),
            "galvanised on 2026-03-02 (it was received on 2026-03-01)",
        ),
        (
            replace(JOB, received=Received(TODAY), promised=date(2026, 3, 1)),
            "promised for 2026-03-01 (it was received on 2026-03-02)",
        ),
        (replace(JOB, promised=date(2036, 3, 1)), "promised for 2036-03-01 (over 5 years ahead)"),
        (replace(JOB, system=PaintSystem(corrosivity="C6")), "no corrosivity category 'C6': one"),
        (replace(JOB, system=PaintSystem(durability="long")), "no durability 'long': one of low,"),
        (replace(JOB, system=PaintSystem((CoatFilm("a", 0.0),))), "a film of 0 um: over 0, up to"),
        (
            replace(JOB, system=PaintSystem(TWO_COATS, 160.0)),
            "160 um in all (the coats come to 100 um)",
        ),
        (
            replace(JOB, system=PaintSystem((TWO_COATS[0], CoatFilm("gloss")), 50.0)),
            "50 um in all (the coats come to 60 um)",
        ),
        (
            replace(JOB, photos=(Photo("a.jpg", "1", 9), Photo("b.jpg", "1", 9))),
            "b.jpg is attached already (it is a.jpg)",
        ),
        (
            replace(JOB, photos=(Photo("a.jpg", "1", 9), Photo("A.JPG", "2", 9))),
            "another photo is called A.JPG",
        ),
    ],
)
def test_what_cannot_be_so_is_refused_with_what_was_read(job: Job, words: str) -> None:
    assert str(check_job(job, TODAY)).startswith(words)


@pytest.mark.parametrize(
    "system",
    [
        PaintSystem(TWO_COATS, 100.0, "Im2", "very high"),
        PaintSystem((TWO_COATS[0], CoatFilm("gloss")), 100.0),
        PaintSystem((), 240.0, "C5"),
    ],
)
def test_a_system_that_agrees_with_itself_is_taken(system: PaintSystem) -> None:
    assert check_job(replace(JOB, system=system), TODAY) is None


def test_a_system_says_its_film_in_all_and_that_its_category_was_typed() -> None:
    system = PaintSystem(TWO_COATS, None, "C4", "high")
    assert coats_words(system) == "primer 60 um, gloss 40 um; 100 um in all"
    assert coats_words(PaintSystem((TWO_COATS[0], CoatFilm("gloss")))) == "primer 60 um, gloss"
    words = job_words(replace(JOB, system=system), JOB)
    assert "category C4, durability high (ISO 12944 words, typed by the shop)" in words
    assert job_words(replace(JOB, owner=""), replace(JOB, owner="Club")) == ("owner taken out",)


def test_a_struck_step_is_not_counted_and_a_skipped_one_is_behind() -> None:
    part = coated(after(0), after(20))
    first, second = part.steps
    done = replace(part, steps=(first, replace(second, status="skipped")))
    struck = replace(part, steps=(*part.steps, StepRecord(3, second.step, "struck")))
    assert progress_of([part, done, struck]) == Progress(4, 6, 1, 3)


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
