"""`sum dewpoint` and `sum age` against published and worked rows; a log with a fault in it."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.published.rows import Row, named

from ..summing import figures, reckon, refused, up

TABLE = "--table 10C=24h,20C=16h,30C=10h"


def within(row: Row) -> float:
    found = re.search(r"[\d.]+", row.tolerance)
    assert found
    return float(found[0])


@pytest.mark.parametrize("row", named("air", r"DP-.*"))
def test_dew_point_over_water(row: Row) -> None:
    found = figures(f"dewpoint --air {row.given['T_air_C']}C --rh {row.given['RH_pct']}%")
    assert found["dew_point_c"] == pytest.approx(row.figures[0], abs=within(row))


@pytest.mark.parametrize("row", named("air", r"FP-.*"))
def test_frost_point_below_freezing(row: Row) -> None:
    found = figures(f"dewpoint --air {row.given['T_air_C']}C --rh {row.given['RH_pct']}%")
    assert found["frost_point_c"] == pytest.approx(row.figures[0], abs=within(row))


@pytest.mark.parametrize("row", named("air", r"GATE-.*"))
def test_margin_and_humidity_decide_together(row: Row) -> None:
    found = figures(
        f"dewpoint --air {row.given['T_air_C']}C --rh {row.given['RH_pct']}% "
        f"--metal {row.given['T_steel_C']}C"
    )
    assert found["margin_c"] == pytest.approx(row.figures[0], abs=within(row))
    assert found["verdict"] == ("fit" if row.expected.endswith("PASS") else "not fit")
    assert bool(found["against"]) is row.expected.endswith("FAIL")


@pytest.mark.parametrize("row", named("air", r"EX-4"))
def test_air_in_fahrenheit(row: Row) -> None:
    found = figures(f"dewpoint --air '{row.given['T_air_F']} F' --rh {row.given['RH_pct']}%")
    assert found["dew_point_c"] * 1.8 + 32 == pytest.approx(row.figures[0], abs=0.1)


@pytest.mark.parametrize("row", named("air", r"WB-.*"))
def test_whirling_hygrometer_at_sea_level(row: Row) -> None:
    found = figures(
        f"dewpoint --air {row.given['T_dry_C']}C --wet {row.given['T_wet_C']}C "
        "--pressure 1013.25hPa"
    )
    assert found["rh_pct"] == pytest.approx(row.figures[0], abs=0.6)
    assert found["dew_point_c"] == pytest.approx(row.figures[1], abs=0.2)


@pytest.mark.parametrize("row", named("air", r"AH-.*"))
def test_water_in_full_air(row: Row) -> None:
    found = figures(f"dewpoint --air {row.given['T_C']}C --rh 100%")
    assert found["water_g_m3"] == pytest.approx(row.figures[0], abs=within(row))


def test_how_far_to_warm_the_metal_is_said_in_words_and_rounded_up() -> None:
    """16 C, 71 %, metal at 13 C: an example of the trade, dew point 10.7 C, margin 2.3 C.

    2.26 C: the trade's rounds to the nearest, ours shows no margin that is not there.
    """
    line = "dewpoint --air 16C --rh 71% --metal 13C"
    found = figures(line)
    assert (round(found["dew_point_c"], 1), found["margin_c"]) == (10.7, 2.2)
    assert found["verdict"] == "not fit"
    assert "warm it to 13.8 C or more" in reckon(line).out


def test_without_a_metal_temperature_there_is_no_margin_and_nothing_is_fit() -> None:
    found = figures("dewpoint --air 20C --rh 65%")
    assert (found["margin_c"], found["warm_by_c"]) == (None, None)
    assert found["verdict"] == "measure the surface"
    assert found["metal_least_c"] == up(found["dew_point_c"] + 3, 1)
    assert figures("dewpoint --air 20C --rh 90%")["verdict"] == "not fit"


def test_limits_of_the_sheet_are_held() -> None:
    line = "dewpoint --air 20C --rh 50% --metal 12C"
    assert figures(line, "--margin", "2C")["verdict"] == "fit"
    assert figures(line, "--margin", "5C")["verdict"] == "not fit"
    assert figures(line, "--margin", "2C", "--most-rh", "45%")["verdict"] == "not fit"
    assert "below its minimum of 15 C" in reckon(line, "--least-metal", "15C").out
    assert "above its maximum of 11 C" in reckon(line, "--most-metal", "11C").out


def test_a_wet_bulb_above_the_air_and_one_without_humidity_are_refused() -> None:
    assert "wet bulb 25 C" in refused("dewpoint --air 20C --wet 25C")
    assert "leaves no humidity" in refused("dewpoint --air 40C --wet 5C")
    assert "--rh or --wet" in refused("dewpoint --air 20C --rh 65% --pressure 1013hPa", code=2)


def hours_at(temp_c: float) -> float:
    """Hours of a coat that takes 24 h at 10 C and 16 h at 20 C (Arrhenius form, from memory)."""
    share = (1 / 283.15 - 1 / (temp_c + 273.15)) / (1 / 283.15 - 1 / 293.15)
    return float(24 * (16 / 24) ** share)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A day at 18 C from 07:05 and a night at 11 C from 14:10."""
    path = tmp_path / "night.csv"
    path.write_text("at,temp_c\n2026-03-02T07:05,18\n2026-03-02T14:10,11\n2026-03-02T22:05,11\n")
    return path


def test_a_coat_ages_through_a_cold_night(log: Path) -> None:
    """16 h at 20 C, 24 h at 10 C; closed form, ln t linear in 1/T between the two points."""
    found = figures(f"age --table 10C=24h,20C=16h --log {log}")
    day_h, night_h = hours_at(18), hours_at(11)
    day = (7 + 5 / 60) / day_h
    assert found["progress"] == pytest.approx(day + (7 + 55 / 60) / night_h, abs=1e-6)
    done_at = datetime(2026, 3, 2, 14, 10) + timedelta(hours=(1 - day) * night_h)  # noqa: DTZ001
    assert abs(datetime.fromisoformat(found["done_at"]) - done_at) < timedelta(seconds=1)
    assert (found["basis"], found["after_log"]) == ("between", True)
    assert "if it stays at 11 C" in reckon(f"age --table 10C=24h,20C=16h --log {log}").out


def test_half_the_time_at_a_point_of_the_sheet_is_half_the_way(tmp_path: Path) -> None:
    path = tmp_path / "even.csv"
    path.write_text("at,temp_c\n2026-03-02T08:00Z,20\n2026-03-02T16:00Z,20\n")
    found = figures(f"age {TABLE} --log {path}")
    assert (found["progress"], found["basis"]) == (0.5, "sheet")
    assert found["done_at"] == "2026-03-03T00:00:00+00:00"
    earlier = figures(f"age {TABLE} --log {path} --began 2026-03-02T00:00Z")
    assert (earlier["progress"], earlier["done_at"]) == (1.0, "2026-03-02T16:00:00+00:00")
    assert earlier["after_log"] is False


def test_below_the_least_temperature_a_wait_stands_still_and_a_pot_does_not(log: Path) -> None:
    waiting = figures(f"age {TABLE} --log {log} --least 12C")
    assert waiting["done_at"] is None
    assert waiting["progress"] == pytest.approx((7 + 5 / 60) / hours_at(18), abs=1e-6)
    assert "never passes if it stays at 11 C" in reckon(f"age {TABLE} --log {log} --least 12C").out
    closing = figures(f"age {TABLE} --log {log} --least 12C --edge closing")
    assert closing["done_at"] is not None


def test_time_that_stood_still_is_told(tmp_path: Path) -> None:
    path = tmp_path / "cold.csv"
    path.write_text("at,temp_c\n2026-03-02T08:00,20\n2026-03-02T10:00,4\n2026-03-02T13:00,20\n")
    found = figures(f"age {TABLE} --log {path} --least 10C")
    assert (found["stalled_s"], found["done_at"]) == (10800, "2026-03-03T03:00:00")
    assert "stood still under 10 C  3h00" in reckon(f"age {TABLE} --log {path} --least 10C").out


def test_an_opening_is_rounded_up_and_a_closing_down(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("at,temp_c\n2026-03-02T08:00:00,20\n")
    for edge, done_at in (("opening", "08:00:11"), ("closing", "08:00:10")):
        found = figures(f"age --table 20C=10.5s --log {path} --edge {edge}")
        assert found["done_at"] == f"2026-03-02T{done_at}"


def test_a_log_as_other_programs_write_it_is_read(tmp_path: Path) -> None:
    """A byte order mark, other columns, blank lines, a decimal comma in quotes."""
    path = tmp_path / "log.csv"
    path.write_text(
        '\ufeffNote, At ,rh,TEMP_C\r\nx,2026-03-02T08:00,60,"20,0"\r\n\r\ny,2026-03-02T16:00,,20\r\n'
    )
    assert figures(f"age {TABLE} --log {path}")["progress"] == 0.5


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "line 2: no reading at all"),
        ("at,temp_c\n", "line 2: no reading at all"),
        ("time,temp\n2026-03-02T08:00,20\n", "line 1: read 'time,temp'; wanted the columns at"),
        ("at;temp_c\n2026-03-02T08:00;20\n", "line 1: read 'at;temp_c'; wanted the columns at"),
        ("at,temp_c\nnoon,20\n", "line 2: read 'noon' for at; wanted a time such as"),
        ("at,temp_c\n2026-03-02T08:00,warm\n", "line 2: read 'warm' for temp_c; wanted -40 to"),
        ("at,temp_c\n2026-03-02T08:00,\n", "line 2: read '' for temp_c"),
        ("at,temp_c\n2026-03-02T08:00,200\n", "line 2: read '200' for temp_c; wanted -40 to 120"),
        ("at,temp_c\n2026-03-02T08:00,nan\n", "line 2: read 'nan' for temp_c"),
        ("at,temp_c\n2026-03-02T08:00\n", "line 2: read '2026-03-02T08:00', a cell short"),
        (
            "at,temp_c\n\n2026-03-02T08:00,20\n2026-03-02T07:00,20\n",
            "line 4: read 2026-03-02T07:00:00 after 2026-03-02T08:00:00; wanted rows in order",
        ),
        (
            "at,temp_c\n2026-03-02T08:00,20\n2026-03-02T09:00Z,20\n",
            "line 3: read 2026-03-02T09:00:00+00:00 after 2026-03-02T08:00:00; wanted all times",
        ),
        ('at,temp_c\n"2026-03-02T08:00,20\n', "line 2: unexpected end of data"),
        ("at,temp_c\n2026-03-02T08:00,\x1b[2J\n", "line 2: read '\\x1b[2J' for temp_c"),
    ],
)
def test_a_log_with_a_fault_is_refused_by_file_and_line(
    tmp_path: Path, text: str, told: str
) -> None:
    path = tmp_path / "log.csv"
    path.write_text(text)
    message = refused(f"age {TABLE} --log {path}", code=2)
    assert f"{path} {told}" in message
    assert message.isprintable()


def test_a_file_that_is_no_text_or_not_there_is_refused(tmp_path: Path) -> None:
    binary = tmp_path / "log.bin"
    binary.write_bytes(b"\xff\xfe\x00at")
    assert "it is no UTF-8 text" in refused(f"age {TABLE} --log {binary}", code=2)
    assert "no such file" in refused(f"age {TABLE} --log {tmp_path}/none.csv", code=2)
    assert "wanted a CSV file" in refused(f"age {TABLE} --log {tmp_path}", code=2)


def test_a_beginning_that_does_not_fit_the_log_is_refused(log: Path) -> None:
    line = f"age {TABLE} --log {log} --began"
    assert "wanted both alike" in refused(line, "2026-03-02T07:05Z", code=2)
    assert "lies before the beginning" in refused(line, "2026-03-03T07:05")
