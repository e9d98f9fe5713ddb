"""Quantities as painters type them, and what is told when they cannot be read."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from bench import units

CHECKOUT = Path(__file__).resolve().parents[1]

# Sources: 1 thou = 25.4 um, 1 US liquid pint = 473.176473 ml, C = (F - 32) / 1.8: the definitions
# of the international inch and the US gallon (231 cubic inches) and of the Fahrenheit degree.


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1,5 l", "millilitre", 1500.0),
        ("2.5 l", "millilitre", 2500.0),
        ("600ml", "millilitre", 600.0),
        ("1 US pt", "millilitre", 473.176473),
        ("60 um", "micrometre", 60.0),
        ("60 µm", "micrometre", 60.0),
        ("60 \N{GREEK SMALL LETTER MU}m", "micrometre", 60.0),
        ("2.4 mil", "micrometre", 60.96),
        ("20 C", "degC", 20.0),
        ("-5 °C", "degC", -5.0),
        ("68 degF", "degC", 20.0),
        ("68 F", "degC", 20.0),
        ("68F", "degC", 20.0),
        ("3 C", "delta_degC", 3.0),
        ("5,4 F", "delta_degC", 3.0),
        ("4 m2", "metre ** 2", 4.0),
        ("4 m²", "metre ** 2", 4.0),
        ("4 m^2", "metre ** 2", 4.0),
        ("45 %", "percent", 45.0),
        ("1,4 g/ml", "gram / millilitre", 1.4),
        ("1400 g/l", "gram / millilitre", 1.4),
        ("1 ft/s", "centimetre / second", 30.48),
        ("12 mm2/s", "millimetre ** 2 / second", 12.0),
        # NIST SP 811 B.8, from memory: 1 psi 6894.757 Pa, 1 ft3/min 4.719474E-04 m3/s,
        # 1 lb/US gal 119.8264 kg/m3, 1 oz/ft2 0.3051517 kg/m2, 1 mil 25.4 um.
        ("30 psi", "bar", 2.068427188),
        ("12 cfm", "litre / minute", 339.802159),
        ("3.5 lb/US gal", "gram / litre", 419.392496),
        ("3.5 lb/gal", "gram / litre", 419.392496),
        ("2 oz/ft2", "gram / metre ** 2", 610.303455),
        ("3 mils", "micrometre", 76.2),
        (" 15  min ", "second", 900.0),
        ("7 d", "second", 604800.0),
    ],
)
def test_a_quantity_is_read_as_painters_write_it(text: str, unit: str, value: float) -> None:
    assert units.read(text, unit) == pytest.approx(value, rel=1e-9)


def test_a_warmer_by_is_not_a_temperature() -> None:
    assert units.read("9 F", "delta_degC") == pytest.approx(5.0)
    assert units.read("9 F", "degC") == pytest.approx(-12.777777778)


def test_a_bare_number_is_taken_only_where_the_unit_is_obvious() -> None:
    assert units.read("1,5", "millilitre", bare=True) == 1.5
    assert units.read("1,5 l", "millilitre", bare=True) == 1500.0


def test_seconds_reads_a_time() -> None:
    assert units.seconds("4 h") == 14400.0


@pytest.mark.parametrize(
    ("text", "unit", "told"),
    [
        ("15", "second", "'15' has no unit: type a time, such as 15 min"),
        ("ten", "second", "read 'ten', which is not a number with a unit; wanted a time"),
        ("", "second", "read '', which is not a number with a unit; wanted a time"),
        ("   ", "degC", "which is not a number with a unit; wanted a temperature"),
        ("4 kg", "second", "read '4 kg'; wanted a time"),
        ("60 C", "micrometre", "read '60 C'; wanted a film, such as 60 um or 2.4 mil"),
        ("4 m", "metre ** 2", "read '4 m'; wanted an area, such as 7.5 m2"),
        ("4 blobs", "millilitre", "read '4 blobs'; wanted a volume"),
        ("1:30 h", "second", "read '1:30 h'; wanted a time"),
        ("1.000,5 ml", "millilitre", "read '1.000,5 ml'; wanted a volume"),
        ("3 ml ml", "millilitre", "read '3 ml ml'; wanted a volume"),
        ("5 (ml", "millilitre", "read '5 (ml'; wanted a volume"),
        ("nan s", "second", "which is not a number"),
        ("1e999 s", "second", "read '1e999 s'; wanted a time"),
        ("5 \x1b[31mmin", "second", r"read '5 \x1b[31mmin'; wanted a time"),
        ("1 ml**9**9**9", "millilitre", "read '1 ml**9**9**9'; wanted a volume"),
        ("3 furlong", "kelvin / metre", "wanted a quantity in kelvin / metre"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_would_be_right(
    text: str, unit: str, told: str
) -> None:
    with pytest.raises(ValueError, match=r"wanted|type") as refused:
        units.read(text, unit)
    assert told in str(refused.value)


def test_a_bare_number_beyond_all_measure_is_refused() -> None:
    with pytest.raises(ValueError, match="wanted a volume"):
        units.read("1e999", "millilitre", bare=True)


def test_a_very_long_input_is_cut_in_the_message() -> None:
    with pytest.raises(ValueError, match="wanted a time") as refused:
        units.read("5 " + "x" * 10_000, "second")
    assert len(str(refused.value)) < 200


# -- what is kept on disk ---------------------------------------------------------


def in_a_program_of_its_own(
    home: Path, packages: Path | None = None
) -> subprocess.CompletedProcess[str]:
    """Read a quantity in a new program, whose cache is under ``home`` and whose Pint may be another."""
    found = f"import sys; sys.path.insert(0, {str(packages)!r}); " if packages else ""
    script = f"{found}from bench import units; print(units.read('2.4 mil', 'micrometre'))"
    return subprocess.run(
        [sys.executable, "-c", script],
        env={**os.environ, "XDG_CACHE_HOME": str(home), "PYTHONPATH": str(CHECKOUT)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_an_environment_that_was_moved_or_made_anew_reads_quantities_still(tmp_path: Path) -> None:
    """Pint keeps the paths of its files in what it caches, and the old ones are gone."""
    import pint

    for name in ("old", "new"):
        shutil.copytree(Path(pint.__file__).parent, tmp_path / name / "pint")
        done = in_a_program_of_its_own(tmp_path / "home", tmp_path / name)
        assert (done.stdout, done.stderr) == ("60.96\n", "")
        shutil.rmtree(tmp_path / name)


@pytest.mark.parametrize("left", [b"", b"no pickle"])
def test_a_cache_that_a_power_cut_left_half_written_is_thrown_away(
    tmp_path: Path, left: bytes
) -> None:
    assert in_a_program_of_its_own(tmp_path).stdout == "60.96\n"
    kept = [*tmp_path.rglob("*.pickle")]
    assert kept
    for file in kept:
        file.write_bytes(left)
    done = in_a_program_of_its_own(tmp_path)
    assert (done.stdout, done.stderr) == ("60.96\n", "")
    assert not [*tmp_path.rglob("*.pickle")], "made anew the next time"


def test_without_a_place_for_the_cache_quantities_are_read_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = in_a_program_of_its_own(tmp_path / "file")
    assert (done.stdout, done.stderr) == ("60.96\n", "")
