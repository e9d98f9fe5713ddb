"""Which preparation fits zinc: its age, its white rust, and what the galvaniser did to it.

galvanizeit.org after ASTM D6386, seen: newly galvanised, partly weathered from 2 days to 12 months,
fully weathered; the last wants only cleaning and rinsing. kta.com on SSPC-SP 16 4.3.3, seen: copper
sulphate shows whether it was passivated. White rust first: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bench.process.parts.part import Part, StepRecord
from bench.process.parts.zinc_age import age_of, zinc_advice, zinc_misfits
from bench.process.parts.zinc_answers import Galvanised, merge_zinc_answers, with_answers
from bench.process.refusals.refusal import Refusal
from bench.process.sheets.product import Product
from bench.process.sheets.route import Step

TODAY = date(2026, 3, 2)
WASH = Product("wash", "Wash", "wash")
SWEPT = Step("Sweep-blast", "work", hazards=("blast",))
WASHED = Step("Mordant", "dwell", "wash", least_s=600, most_s=900)
COAT = Step("Primer", "coat", "p")


def zinc_part(
    zinc: Galvanised | None, *steps: Step, substrate: str = "zinc", coated: bool = False
) -> Part:
    """A part of galvanised steel with some steps before its coat."""
    records = tuple(StepRecord(n, step) for n, step in enumerate((*steps, COAT), start=1))
    if coated:
        records = tuple(replace(record, status="done") for record in records)
    return Part("1", "Axle", 1, "", "", substrate, "axle", 1, 1, records, zinc=zinc)


def misfits(part: Part) -> list[str]:
    return list(zinc_misfits(part, {"wash": WASH}, TODAY))


@pytest.mark.parametrize(
    ("galvanised", "age"),
    [
        (date(2026, 3, 2), "bright"),
        (date(2026, 3, 1), "bright"),
        (date(2026, 2, 28), "partly weathered"),
        (date(2025, 3, 2), "partly weathered"),
        (date(2025, 3, 1), "weathered"),
        (date(2024, 2, 29), "weathered"),
    ],
)
def test_zinc_is_bright_for_48_h_and_weathered_after_twelve_months(
    galvanised: date, age: str
) -> None:
    assert age_of(galvanised, TODAY) == age


def test_zinc_that_nobody_was_asked_about_gets_no_advice() -> None:
    part = zinc_part(None, WASHED)
    assert (list(zinc_advice(part, TODAY)), misfits(part)) == ([], [])


def test_bright_zinc_fits_the_mordant_route_and_is_told_so() -> None:
    part = zinc_part(Galvanised(TODAY, False, False, False), WASHED)
    assert misfits(part) == []
    assert list(zinc_advice(part, TODAY)) == [
        "bright, up to 48 h old: degrease, then an acid wash or a sweep-blast"
    ]


def test_weathered_zinc_gets_no_mordant() -> None:
    part = zinc_part(Galvanised(date(2024, 3, 1), False, False, False), WASHED)
    (told,) = misfits(part)
    assert told == (
        "Mordant does not fit. It is weathered, over 12 months old: wash, brush and rinse, no acid wash"
    )


def test_weathered_zinc_may_be_swept_and_a_mordant_that_is_done_is_told_no_more() -> None:
    zinc = Galvanised(date(2024, 3, 1), False, False, False)
    assert misfits(zinc_part(zinc, SWEPT)) == []
    part = zinc_part(zinc, WASHED)
    done = replace(part.steps[0], status="done")
    assert misfits(replace(part, steps=(done, part.steps[1]))) == []


def test_the_route_of_weathered_zinc_does_not_fit_a_part_of_last_week() -> None:
    zinc = Galvanised(date(2026, 2, 23), False, False, False)
    (told,) = misfits(zinc_part(zinc, substrate="weathered-zinc"))
    assert told.startswith("its route is for weathered zinc. It is partly weathered")
    assert misfits(zinc_part(zinc, WASHED)) == []


@pytest.mark.parametrize("how", ["passivated", "quenched"])
def test_passivated_or_quenched_zinc_wants_a_spot_test_and_a_sweep_blast(how: str) -> None:
    zinc = replace(Galvanised(TODAY, False, False, False), **{how: True})
    (told,) = misfits(zinc_part(zinc, WASHED))
    assert told.startswith(f"{how}, and its route has no sweep-blast: copper sulphate spot test")
    assert misfits(zinc_part(zinc, SWEPT)) == []
    assert any("sweep-blast it" in line for line in zinc_advice(zinc_part(zinc, SWEPT), TODAY))


def test_a_sweep_blast_that_was_skipped_is_none() -> None:
    part = zinc_part(Galvanised(TODAY, True, False, False), SWEPT)
    skipped = replace(part.steps[0], status="skipped", reason="weather")
    already = replace(skipped, reason="already done")
    assert len(misfits(replace(part, steps=(skipped, part.steps[1])))) == 1
    assert misfits(replace(part, steps=(already, part.steps[1]))) == []


def test_white_rust_comes_off_before_anything_else() -> None:
    zinc = Galvanised(TODAY, False, False, True)
    assert misfits(zinc_part(zinc, WASHED)) == [
        "white rust: brush it off and rinse before anything else"
    ]


def test_a_day_that_nobody_knows_is_prepared_as_partly_weathered() -> None:
    told = list(zinc_advice(zinc_part(Galvanised()), TODAY))
    assert told[0] == "its day is not known: prepare it as partly weathered"
    assert told[1].startswith("not known if passivated or quenched: copper sulphate spot test")


def test_once_it_is_coated_its_zinc_is_under_paint() -> None:
    zinc = Galvanised(date(2024, 3, 1), True, True, True)
    assert misfits(zinc_part(zinc, WASHED, coated=True)) == []


def test_a_day_to_come_is_refused() -> None:
    refused = with_answers(None, {"galvanised": date(2026, 3, 3)}, TODAY)
    assert isinstance(refused, Refusal)
    assert str(refused) == (
        "galvanised on 2026-03-03, which is to come (today is 2026-03-02): look at the day again"
    )
    assert with_answers(None, {"galvanised": TODAY}, TODAY) == Galvanised(TODAY)


def test_a_year_with_a_figure_missing_is_refused() -> None:
    assert isinstance(with_answers(None, {"galvanised": date(202, 3, 2)}, TODAY), Refusal)


def test_zinc_is_a_hundred_years_old_at_the_most() -> None:
    oldest = date(TODAY.year - 100, 1, 1)
    assert with_answers(None, {"galvanised": oldest}, TODAY) == Galvanised(oldest)
    refused = with_answers(None, {"galvanised": oldest.replace(year=oldest.year - 1)}, TODAY)
    assert isinstance(refused, Refusal)


def test_of_two_lots_together_only_what_is_so_of_both_is_known() -> None:
    kept, other = Galvanised(TODAY, True, False), Galvanised(TODAY, False, False, True)
    assert merge_zinc_answers(kept, other) == Galvanised(TODAY, None, False, None)
    assert merge_zinc_answers(kept, None) is None
