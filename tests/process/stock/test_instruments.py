"""Which instrument reads what, when its check is due, and how it is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bench.process.stock.instruments import (
    INSTRUMENT_KINDS,
    Instrument,
    due_words,
    error_unit,
    instrument_words,
    usual_instrument,
)

ONE_OF_EACH = [Instrument(kind, kind) for kind in INSTRUMENT_KINDS]
GAUGE = Instrument("G1", "film gauge", check_by=date(2026, 3, 1))


@pytest.mark.parametrize(
    ("measured", "kind"),
    [
        ("zinc", "film gauge"),
        ("dft", "film gauge"),
        ("wft", "wet-film comb"),
        ("profile", "profile gauge"),
        ("salts", "salt meter"),
        ("crosscut", "cutter"),
        ("ph", "pH meter"),
    ],
)
def test_of_one_of_each_kind_the_one_that_reads_it_is_the_usual(measured: str, kind: str) -> None:
    found = usual_instrument(ONE_OF_EACH, measured)
    assert found is not None
    assert found.name == kind


def test_of_two_gauges_none_is_usual_until_the_other_is_gone() -> None:
    second = replace(GAUGE, name="G2")
    assert usual_instrument([GAUGE, second], "dft") is None
    assert usual_instrument([GAUGE, replace(second, gone=True)], "dft") == GAUGE
    assert usual_instrument([replace(GAUGE, gone=True)], "dft") is None
    assert usual_instrument(ONE_OF_EACH, "dust") is None, "nothing reads it"


def test_a_check_is_due_the_day_after_its_day() -> None:
    assert due_words(GAUGE, date(2026, 3, 1)) == ""
    assert due_words(GAUGE, date(2026, 3, 2)) == "G1: its check was due 2026-03-01"
    assert due_words(replace(GAUGE, check_by=None), date(2026, 3, 2)) == ""


def test_what_nobody_said_of_an_instrument_is_left_out_but_for_its_calibration() -> None:
    assert instrument_words(GAUGE) == (
        "G1 (film gauge, no calibration recorded, check due 2026-03-01)"
    )
    meter = Instrument("P1", "pH meter", error=0.1, calibrated=date(2026, 1, 5), gone=True)
    assert instrument_words(meter) == "P1 (pH meter, error 0.1, calibrated 2026-01-05, gone)"


def test_the_unit_of_an_error_is_one_that_quantities_are_read_in() -> None:
    assert [error_unit(kind) for kind in ("film gauge", "salt meter", "cutter")] == [
        "micrometre",
        "microsiemens / centimetre",
        "dimensionless",
    ]
    assert error_unit("surface thermometer") == "delta_degC", "a difference, not a temperature"
