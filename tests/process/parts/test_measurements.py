"""Readings of a part: what they come to, and no verdict where nobody typed a limit.

Sets of readings are rows A1 to A10 of ``tests/worked_examples/readings.csv``, derived from the rules
that Vereniging Qualion published on NEN-ISO 19840:2005; the numbers of readings are those of JPCL,
"DFT measurements: how many are enough?" (``tests/published/readings.csv``).
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from bench.process.clocks.conditions import conditions_against, margin_doubt_words
from bench.process.clocks.temperature import Reading
from bench.process.parts.measurements import (
    Judgement,
    Measurement,
    asked_of,
    deviations_of,
    figures_words,
    judged,
    judged_film,
    less_below,
)
from bench.process.parts.part import Mark, Part, StepRecord
from bench.process.sheets.measurement_kinds import KINDS, Accepted, measured_fault
from bench.process.sheets.product import Film, Limits, Product
from bench.process.sheets.route import Step
from tests.published.rows import Row, named

from ..making import MON, around, band, coated, product

PAINT = replace(
    product(band("wait", 60), band("open", 600), band("key")),
    film=Film(least_um=60, target_um=60, most_um=180),
    source="sheet",
)
BY_AREA = named("readings", r"J19840-(1\.\.3|10\.\.20|30\.\.100)")
PART = coated(MON, MON + timedelta(minutes=10))
COAT = PART.steps[0]


def measured(kind: str, *readings: float, face: str = "", grade: str = "") -> Measurement:
    """Readings at the coat."""
    return Measurement(1, kind, readings, MON, "Mo", COAT.number, face, grade)


@pytest.mark.parametrize("row", named("readings", r"A\d+"))
def test_a_dry_film_is_accepted_by_the_published_rules(row: Row) -> None:
    readings, less_um = json.loads(row.given["readings"]), row.input("corr")
    surface = "medium" if less_um else ""
    there = Measurement(1, "dft", tuple(readings), MON, "Mo", surface=surface, less_um=less_um)
    film = Film(row.input("NDFT"), row.input("NDFT"), 3 * row.input("NDFT"))
    verdict = judged_film(there.values, replace(PAINT, film=film))
    accepted = row.expected.endswith("ACCEPT")
    assert verdict.words.startswith("accepted" if accepted else "not accepted")
    assert "by ISO 19840, if agreed:" in verdict.words
    assert (verdict.good is False) is not accepted
    mean = f"mean {row.figures[0]:g} um"
    assert figures_words(KINDS["dft"], there.values).startswith(mean.replace(".0 ", " "))


@pytest.mark.parametrize(
    ("row", "area_m2"),
    [
        pytest.param(case.values[0], area_m2, id=case.id)  # type: ignore[attr-defined]
        for case, area_m2 in zip(BY_AREA, (2.0, 15.0, 60.0), strict=True)
    ],
)
def test_what_is_still_to_take_is_the_published_number_for_the_area(
    row: Row, area_m2: float
) -> None:
    wanted = int(row.expected)
    part = replace(PART, area_m2=area_m2 / 4, count=4)
    sheets = {PAINT.key: PAINT}
    assert judged(part, COAT, "dft", [62, 63, 61], sheets).take == wanted - 3
    enough = judged(part, COAT, "dft", [62] * wanted, sheets)
    assert (enough.take, enough.good) == (0, True)


def test_the_area_of_a_lot_of_sheds_still_asks_for_a_number() -> None:
    """10 more for each 100 m2 from 100 on, up to the largest area there is a sum for."""
    part = replace(PART, area_m2=100.0, count=9999)
    assert judged(part, COAT, "dft", [62], {PAINT.key: PAINT}).take == 30 + 9990 - 1


def test_no_verdict_stands_where_none_can() -> None:
    few = judged_film([62, 63, 61], PAINT)
    assert few.words.startswith("accepted so far by ISO 19840")
    assert (few.good, few.take) == (None, 2)
    thin = judged_film([12], replace(PAINT, film=Film(8, 12, 15)))
    assert thin.good is None
    assert thin.words == "ISO 19840 judges no film under 40 um; the sheet asks for 8 to 15 um"
    assert judged_film([62], replace(PAINT, film=None)) == Judgement("no limit typed", None, 4)
    guess = judged_film([62] * 5, replace(PAINT, source="placeholder"))
    assert "if agreed, by a placeholder: mean 62" in guess.words


def prepared(
    accept: tuple[Accepted, ...] = (), sheet: tuple[Accepted, ...] = ()
) -> tuple[Part, Product]:
    """Blasted, then to be coated."""
    blast = StepRecord(1, Step("Blast", "work", accept=accept), "done", MON, MON)
    coat = StepRecord(2, replace(COAT.step, product=PAINT.key))
    return replace(PART, steps=(blast, coat)), replace(PAINT, accept=sheet)


@pytest.mark.parametrize(
    ("kind", "values", "accept", "sheet", "words", "good"),
    [
        ("salts", [4.2], (), (), "no limit typed", None),
        (
            "salts",
            [4.2],
            (Accepted("salts", 0, 5),),
            (),
            "within its limits, at most 5 uS/cm",
            True,
        ),
        (
            *("salts", [4.2, 6.1], (), (Accepted("salts", 0, 5),)),
            *("outside its limits: 6.1, wanted at most 5 uS/cm", False),
        ),
        # The step's own limits go before those of the sheet of the coat to come.
        (
            *("profile", [50], (Accepted("profile", 40, 75),), (Accepted("profile", 60, 100),)),
            *("within its limits, 40 to 75 um", True),
        ),
        (
            "dust",
            [3],
            (Accepted("dust", 0, 2),),
            (),
            "outside its limits: 3, wanted at most 2",
            False,
        ),
        ("ph", [9.5], (Accepted("ph", 6, 9),), (), "outside its limits: 9.5, wanted 6 to 9", False),
    ],
)
def test_the_rest_is_held_against_what_somebody_typed(
    kind: str,
    values: list[float],
    accept: tuple[Accepted, ...],
    sheet: tuple[Accepted, ...],
    words: str,
    good: bool | None,
) -> None:
    part, paint = prepared(accept, sheet)
    assert judged(part, part.steps[0], kind, values, {paint.key: paint}) == Judgement(words, good)


def test_limits_of_a_placeholder_carry_their_mark() -> None:
    part, paint = prepared((), (Accepted("salts", 0, 5),))
    shipped = {paint.key: replace(paint, source="placeholder")}
    found = judged(part, part.steps[0], "salts", [4.2], shipped)
    assert found.words == "within its limits, at most 5 uS/cm?"


def test_what_lies_below_a_film_is_taken_off_or_was_not_measured() -> None:
    """The zinc: 85 um of 140, 150, 145, 138, 152 leaves 60 (the docstring of paint_on_zinc)."""
    zinc = Measurement(1, "zinc", (80, 85, 90), MON, "Mo")
    with pytest.raises(ValueError, match="the zinc was not measured"):
        less_below(PART, COAT, "zinc", [])
    assert less_below(PART, COAT, "zinc", [zinc]) == 85
    assert less_below(PART, COAT, "medium", []) == 25
    below = replace(COAT, dry_um=None)
    second = replace(COAT, number=2)
    on_it = replace(PART, steps=(below, second))
    with pytest.raises(ValueError, match="below it was not measured"):
        less_below(on_it, second, "zinc", [zinc])
    on_it = replace(PART, steps=(replace(below, dry_um=62.5), second))
    assert less_below(on_it, second, "zinc", [zinc]) == 147.5
    through = replace(measured("dft", 140, 150, 145, 138, 152), surface="zinc", less_um=85)
    assert through.values == (55, 65, 60, 53, 67)


def test_a_step_asks_for_what_its_route_wants_until_it_is_there() -> None:
    faces = (Mark("L"), Mark("R"))
    step = replace(COAT.step, measure=("dft", "crosscut"))
    record = replace(COAT, step=step, marks=faces)
    assert asked_of(replace(record, status="todo"), []) == ()
    assert asked_of(record, []) == ("DFT, 5 readings a face", "cross-cut class")
    five = [measured("dft", 62, 62, 62, 62, 62, face="L"), measured("crosscut", 0)]
    assert asked_of(record, five) == ("DFT, 5 readings a face: still R",)
    whole = [*five[1:], measured("dft", 62, 62, 62, 62, 62)]
    assert asked_of(record, whole) == ()
    assert asked_of(record, [replace(each, struck=True) for each in whole]) != ()
    bare = replace(record, marks=())
    assert asked_of(bare, [measured("dft", 62, 62)])[0] == "DFT, 3 more readings"


def test_deviations_name_what_is_outside_its_limits_and_what_was_never_measured() -> None:
    record = replace(COAT, step=replace(COAT.step, measure=("wft",)))
    part = replace(PART, steps=(record,))
    films = [measured("dft", 40, 62, 62, 62, 62)]
    film, missing = deviations_of(part, record, films, {PAINT.key: PAINT})
    assert film.startswith("DFT: not accepted by ISO 19840, if agreed: mean 57.6 um below")
    assert missing == "not measured: WFT, 3 readings"
    broke = measured("water-break", grade="broken")
    assert list(deviations_of(PART, COAT, [broke], {})) == ["the water broke: it was not clean"]


@pytest.mark.parametrize(
    ("kind", "reading"),
    [("dft", 0), ("dft", 2001), ("zinc", 0.5), ("dust", 6), ("crosscut", 1.5), ("ph", 15)],
)
def test_a_slip_of_the_fingers_is_no_reading(kind: str, reading: float) -> None:
    with pytest.raises(ValueError, match=KINDS[kind].name):
        KINDS[kind].check(reading)


def test_a_route_that_names_no_kind_or_an_odd_limit_is_refused_with_what_would_be_right() -> None:
    assert "no kind of measurement 'dtf'; one of zinc, wft" in measured_fault(("dtf",), ())[1]
    assert "smaller first" in measured_fault((), (Accepted("ph", 9, 6),))[1]
    assert "take 'dft' out" in measured_fault((), (Accepted("dft", 40, 60),))[1]
    assert "no limits of 'water-break'" in measured_fault((), (Accepted("water-break", 0, 1),))[1]
    assert measured_fault(("dft",), (Accepted("salts", 0, 5),)) == ("", "")


def test_a_margin_nearer_to_its_minimum_than_the_thermometer_reads_is_said() -> None:
    """20 C and 60 % are a dew point of 12.0 C (tests/published/air.csv has the sum)."""
    air = around(PAINT, Reading(MON, 20, 60, 15.2)).conditions(MON)
    assert "within the surface thermometer's error of 0.5 C" in margin_doubt_words(
        air, Limits(), 0.5
    )
    assert margin_doubt_words(air, Limits(), 0.1) == ""
    cold = around(PAINT, Reading(MON, 20, 60, 14.8)).conditions(MON)
    (gate,) = conditions_against(cold, Limits(), MON, "", 0.5)
    assert gate.read.endswith("within the surface thermometer's error of 0.5 C")
    (bare,) = conditions_against(cold, Limits(), MON)
    assert "thermometer" not in bare.read
