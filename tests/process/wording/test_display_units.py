"""The shop's units: there and back, against Pint, and never rounded to the wrong side."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.process.wording.display_units import (
    KINDS,
    METRIC,
    ShopUnits,
    convert_figures,
    convert_units,
    format_figures,
    from_shop_unit,
    quantity,
    read_units,
    to_shop_unit,
)
from bench.units import registry

US = ShopUnits("F", "mil", "US fl oz", "ft2", "in", "psi", "cfm", "lb/US gal", "oz/ft2")

IN_PINT = {
    ("C", "F"): ("degC", "degF"),
    ("um", "mil"): ("micrometre", "thou"),
    ("ml", "US fl oz"): ("millilitre", "US_fluid_ounce"),
    ("m2", "ft2"): ("metre ** 2", "foot ** 2"),
    ("cm", "in"): ("centimetre", "inch"),
    ("mm", "in"): ("millimetre", "inch"),
    ("m", "ft"): ("metre", "foot"),
    ("bar", "psi"): ("bar", "psi"),
    ("l/min", "cfm"): ("litre / minute", "foot ** 3 / minute"),
    ("g/l", "lb/US gal"): ("gram / litre", "pound / gallon"),
    ("g/m2", "oz/ft2"): ("gram / metre ** 2", "ounce / foot ** 2"),
}

values = st.floats(min_value=-1e6, max_value=1e6)
inside_units = st.sampled_from([inside for inside, _ in KINDS.values()])


@given(values, inside_units)
def test_what_is_shown_and_typed_again_is_the_same(value: float, unit: str) -> None:
    told, _ = to_shop_unit(value, unit, US)
    assert math.isclose(from_shop_unit(told, unit, US), value, rel_tol=1e-9, abs_tol=1e-9)


@given(values, st.sampled_from(sorted(IN_PINT)))
def test_every_unit_is_what_pint_says(value: float, pair: tuple[str, str]) -> None:
    """Source: COMPUTED by Pint."""
    inside, other = IN_PINT[pair]
    wanted = registry().Quantity(value, inside).to(other).magnitude
    told, unit = to_shop_unit(value, pair[0], US)
    assert unit == pair[1]
    assert math.isclose(told, wanted, rel_tol=1e-9, abs_tol=1e-9)


def test_a_difference_of_temperature_has_no_nought_of_its_own() -> None:
    """Source: COMPUTED by Pint, 3 delta_degC = 5.4 delta_degF."""
    wanted = registry().Quantity(3, "delta_degC").to("delta_degF").magnitude
    assert to_shop_unit(3, "C", US, difference=True)[0] == pytest.approx(wanted)
    assert format_figures(3, "C", US, difference=True) == "5.4"


@given(values, st.sampled_from(["C", "um", "ml", "m2", "cm", "g", "%", ""]))
def test_a_metric_shop_sees_what_the_sums_say(value: float, unit: str) -> None:
    assert to_shop_unit(value, unit, METRIC) == (value, unit)
    assert from_shop_unit(value, unit, METRIC) == value
    assert format_figures(value, unit, METRIC) == f"{value:g}"


@given(st.floats(min_value=0.01, max_value=1e5), inside_units)
def test_the_least_is_never_shown_too_small_and_the_most_never_too_great(
    value: float, unit: str
) -> None:
    exact = to_shop_unit(value, unit, US)[0]
    assert float(format_figures(value, unit, US, bound="least")) >= exact - 1e-9
    assert float(format_figures(value, unit, US, bound="most")) <= exact + 1e-9


def test_only_the_kinds_that_were_named_change() -> None:
    some = ShopUnits(film="mil")
    assert quantity(60, "um", some) == "2.36 mil"
    assert quantity(20, "C", some) == "20 C"
    assert quantity(20, "C", US) == "68 F"
    assert quantity(65, "%", US) == "65 %"


@pytest.mark.parametrize(
    ("value", "unit", "told"),
    [
        (2.0, "bar", "29 psi"),
        (95.0, "bar", "1378 psi"),
        (400.0, "l/min", "14.1 cfm"),
        (420.0, "g/l", "3.51 lb/US gal"),
        (610.0, "g/m2", "2 oz/ft2"),
        (75.0, "um", "2.95 mil"),
        (48.3, "mm", "1.9 in"),
        (3.0, "m", "9.84 ft"),
    ],
)
def test_air_solvent_zinc_and_profile_are_shown_as_an_american_shop_reads_them(
    value: float, unit: str, told: str
) -> None:
    """NIST SP 811 B.8, from memory: psi 6.894757 kPa, ft3/min 4.719474E-04 m3/s, lb/US gal
    119.8264 kg/m3, oz/ft2 0.3051517 kg/m2, ft 0.3048 m, mil 25.4 um."""
    assert quantity(value, unit, US) == told
    assert quantity(value, unit, METRIC) == f"{value:g} {unit}"


def test_air_and_distance_in_a_sentence_are_in_the_shops_units_and_nothing_else_of_it() -> None:
    text = "1.8-2.2 bar, cap 0.7 bar; 250-400 l/min | 1.3-1.4 top coat, 20-25 cm, under pH 12"
    assert convert_units(text, US) == (
        "26.1-31.9 psi, cap 10.2 psi; 8.83-14.1 cfm | 1.3-1.4 top coat, 7.87-9.84 in, under pH 12"
    )
    assert convert_units(text, METRIC) == text


def test_every_figure_of_a_span_or_a_row_is_rewritten() -> None:
    assert convert_figures("15-30", "cm", US) == "5.91-11.8"
    assert convert_figures("72, 65", "um", US) == "2.83, 2.56"
    assert convert_figures("-40", "C", US) == "-40"
    assert convert_figures("15-30", "cm", METRIC) == "15-30"


def test_units_are_read_as_they_are_written_down() -> None:
    assert ShopUnits(**read_units("F, mil, US fl oz, ft2, in, psi, cfm, lb/US gal, oz/ft2")) == US
    assert ShopUnits(**read_units("metric")) == METRIC
    assert read_units("mil") == {"film": "mil"}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "K",
            "unit 'K': metric, or some of C or F, um or mil, ml or US fl oz, m2 or ft2, cm or in, "
            "bar or psi, l/min or cfm, g/l or lb/US gal, g/m2 or oz/ft2",
        ),
        ("", "unit ''"),
        ("F, C", "two units of temperature: C or F, not both"),
    ],
)
def test_a_unit_that_is_not_one_of_these_is_refused(text: str, told: str) -> None:
    with pytest.raises(ValueError, match="unit") as fault:
        read_units(text)
    assert told in str(fault.value)
