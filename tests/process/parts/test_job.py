"""A job: what cannot be so of it, how far it is, and how it stands to its promise."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bench.process.parts.job import (
    CoatFilm,
    Job,
    PaintSystem,
    Photo,
    Progress,
    Received,
    check_job,
    coats_words,
    job_words,
    progress_of,
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
