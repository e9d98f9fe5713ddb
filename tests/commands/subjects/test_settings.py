"""The shop's settings, its probes, its pots and guns, and what a figure rests on, by command."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from bench.process.stock.mixing import MixStart
from bench.shop.core import bench_view
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from bench.testing import ManualClock

from ..running import Paintbench


def ok(answer: object) -> Outcome:
    """The answer, which has to be that it was done."""
    assert isinstance(answer, Outcome), answer
    return answer


def primed(shop: Shop, clock: ManualClock) -> None:
    """A bracket with epoxy on: 16 h at 20 C, 24 h at 10 C (source seen)."""
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60, metal_c=17.5))
    ok(placement.place(shop, 1, "Mo", route="steel-blasted", shape="bracket"))
    ok(holds_and_rework.skip(shop, 1, "Mo", "already done"))
    ok(holds_and_rework.skip(shop, 1, "Mo", "already done"))
    ok(pots.mix(shop, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    ok(steps.begin(shop, 1, "Mo"))
    clock.advance(minutes=20)
    ok(steps.finish(shop, 1, "Mo", all_faces=True))


# --- the shop ------------------------------------------------------------------------------------


def test_night_day_and_hours_are_set_in_one_line(paintbench: Paintbench) -> None:
    hours = "Mon-Fri 07:30-17:30, Sat 08:00-12:30"
    ran = paintbench("shop", "--night", "9C", "--day", "64.4 degF", "--hours", hours, "--by", "Kit")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == f"from now on: night 9 C, day 18 C, {hours}\n"
    assert paintbench("shop", "--night", "-4C", "--by", "Mo").out == "from now on: night -4 C\n"
    again = paintbench("shop", "--by", "Mo")
    assert again.code == 1
    assert (
        again.err == f"nothing to set (day 18 C, night -4 C, {hours}, time zone Europe/London): "
        "say what to change\n"
    )


def test_the_zone_is_set_by_name_and_goes_back_to_the_computers_own(
    paintbench: Paintbench,
) -> None:
    def hour() -> str:
        return paintbench("status").out.splitlines()[0].split()[6]

    assert hour() == "07:30"
    ran = paintbench("shop", "--zone", "Asia/Tokyo", "--by", "Kit")
    assert (ran.code, ran.out) == (0, "from now on: time zone Asia/Tokyo\n")
    assert hour() == "15:30", "06:30 UTC, nine hours ahead"
    for own in ("local", ""):
        back = paintbench("shop", "--zone", own, "--by", "Mo")
        assert back.out == "from now on: time zone the computer's own, UTC\n"
        assert hour() == "06:30"


def test_units_are_set_by_name_and_go_back_to_metric(paintbench: Paintbench) -> None:
    ran = paintbench("shop", "--units", "F, mil", "--by", "Kit")
    assert (ran.code, ran.out) == (0, "from now on: shown in F, mil\n")
    added = paintbench("shop", "--units", "in, C", "--by", "Kit")
    assert added.out == "from now on: shown in mil, in\n"
    back = paintbench("shop", "--units", "metric", "--by", "Kit")
    assert back.out == "from now on: shown in metric\n"
    assert "shown in mil, in" in paintbench("journal").out


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("--night", "9"), 2, "argument --night: '9' has no unit: type a temperature"),
        (("--night", "9 kg"), 2, "argument --night: read '9 kg'"),
        (("--hours", "Mon-Fri"), 2, "wanted days and hours"),
        (("--hours", "Mon 17:30-07:30"), 2, "it closes before it opens"),
        (("--probe-every", "often"), 2, "argument --probe-every"),
        (("--night", "60C"), 1, "night 60 C: from -30 to 50 C"),
        (("--metal-probe", "/run/m"), 1, "no air probe: a reading needs the air"),
        (("--probe-every", "0"), 1, "a reading every 0 min: from 1 min to a day"),
        (("--units", "K"), 1, "unit 'K': metric, or some of C or F, um or mil"),
        (("--zone", "dublin"), 1, "no such time zone ('dublin'): type Europe/Dublin"),
        (("--units", "F, C"), 1, "two units of temperature: C or F, not both"),
    ],
)
def test_what_cannot_be_set_is_refused(
    paintbench: Paintbench, words: tuple[str, ...], code: int, told: str
) -> None:
    ran = paintbench("shop", *words, "--by", "Kit")
    assert (ran.code, ran.out) == (code, "")
    assert told in ran.err
    assert paintbench("journal", "--json").json()["journal"][0]["action"] == "open shop"


# --- probes --------------------------------------------------------------------------------------


def test_without_a_probe_the_command_says_how_to_set_one(paintbench: Paintbench) -> None:
    ran = paintbench("probe")
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == "no probe is set: paintbench shop --air-probe PATH\n"


def test_what_each_probe_says_now(paintbench: Paintbench, tmp_path: Path) -> None:
    air, metal = tmp_path / "temp1_input", tmp_path / "w1_slave"
    air.write_text("18250\n", encoding="utf-8")
    metal.write_text("51 01 : crc=c4 NO\n51 01 t=21062\n", encoding="utf-8")
    words = ("--air-probe", str(air), "--metal-probe", str(metal), "--probe-every", "5min")
    assert paintbench("shop", *words, "--by", "Kit").code == 0
    told = paintbench("probe")
    assert (told.code, told.err) == (0, "")
    air_line, metal_line, remedy = told.out.splitlines()
    assert remedy.strip() == "see that it is plugged in, else give its file in the settings"
    assert air_line.split() == ["air", "18.2", "C", str(air)]
    assert metal_line.startswith("metal     FAULT: CRC not right")
    assert paintbench("probe", "--json").json() == {
        "every_min": 5,
        "probes": [
            {"probe": "air", "path": str(air), "value": 18.25, "unit": "C", "fault": None},
            {
                "probe": "metal",
                "path": str(metal),
                "value": None,
                "unit": "C",
                "fault": "CRC not right",
            },
        ],
    }
    assert paintbench("status", "--json").json()["conditions"] is None, "it only shows"


def test_a_name_of_a_file_that_could_move_the_cursor_is_refused(paintbench: Paintbench) -> None:
    ran = paintbench("shop", "--air-probe", "/run/\x1b[2J", "--by", "Kit")
    assert (ran.code, ran.err.isprintable()) == (1, False)
    assert ran.err.strip().isprintable()


# --- pots and guns -------------------------------------------------------------------------------


def test_a_pot_is_topped_up_binned_and_its_gun_flushed(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    primed(shop, clock)
    ran = paintbench("top-up", "a", "--need", "100ml", "--by", "Kit")
    assert ran.code == 0
    assert ran.out.splitlines()[0] == (
        "pot A topped up: 100 ml Epoxy primer 4:1, 400 ml in all, still bin by 11:30?"
    )
    assert "base          80? ml  fill to 80? ml" in ran.out
    assert paintbench("top-up", "a", "--by", "Kit").err.startswith("how much is not said")
    data = paintbench("status", "--json").json()
    assert data["pots"][0]["total_ml"] == 400
    assert data["guns"] == [
        {
            "pot": "A",
            "name": "Epoxy primer 4:1",
            "flush_by": "2025-06-09T07:50:00+00:00",
            "seconds_left": 3600,
        }
    ]
    assert "gun of pot A: Epoxy primer 4:1, flush by 08:50?" in paintbench("status").out
    assert (
        "pot A binned, 55 ml left in it"
        in paintbench("bin", "A", "--left", "0,055 l", "--by", "Kit").out
    )
    clock.advance(minutes=61)
    wants = paintbench("status", "--json").json()["wants"]
    assert wants[0] == {
        "word": "gun",
        "stand": None,
        "tag": "A",
        "text": "flush every gun of pot A Epoxy primer 4:1 NOW, it was due 08:50?",
    }
    assert "GUN" in paintbench("status").out
    assert paintbench("flush", "a", "--by", "Mo").out == "every gun of pot A flushed\n"
    assert paintbench("flush", "a", "--by", "Mo").err.startswith("no gun is loaded from pot a")
    assert paintbench("status", "--json").json()["guns"] == []
    assert paintbench("check").code == 0


def test_past_its_life_a_pot_is_topped_up_with_a_reason_only(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    ok(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    clock.advance(hours=3)
    words = ("top-up", "A", "--need", "100ml", "--by", "Kit")
    refused = paintbench(*words)
    assert (refused.code, refused.out) == (1, "")
    assert refused.err.startswith("pot A is past its life (its life ended")
    done = paintbench(*words, "--override", "pot-past-life=the data sheet gives 4 h")
    assert done.code == 0
    assert "): the data sheet gives 4 h" in done.out


def test_more_left_than_was_mixed_is_refused(shop: Shop, paintbench: Paintbench) -> None:
    ok(pots.mix(shop, "gloss", "Mo", known=MixStart(need_ml=300)))
    assert paintbench("bin", "A", "--left", "301ml", "--by", "Kit").code == 1
    assert paintbench("bin", "A", "--left", "301", "--by", "Kit").code == 2


# --- what a figure rests on ----------------------------------------------------------------------


def test_each_stand_tells_what_its_hours_rest_on_and_how_old_the_reading_is(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    primed(shop, clock)
    stand = paintbench("status", "--json").json()["stands"][0]
    assert (stand["basis"], stand["reading_age_s"]) == ("between", 1200)
    clock.advance(hours=4)
    stand = paintbench("status", "--json").json()["stands"][0]
    assert stand["reading_age_s"] == 1200 + 4 * 3600
    assert "from a reading over 4 h old" in " ".join(paintbench("status").out.split())
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60))
    assert "from a reading over 4 h old" not in " ".join(paintbench("status").out.split())


def test_a_stand_that_rests_on_no_reading_has_no_age_of_one(
    shop: Shop, paintbench: Paintbench
) -> None:
    ok(readings.take_reading(shop, "Kit", air_c=18, rh_pct=60))
    ok(placement.place(shop, 2, "Kit", route="zinc-new", shape="frame"))
    stand = paintbench("status", "--json").json()["stands"][1]
    assert (stand["reading_age_s"], stand["tests"]) == (None, [])


def test_both_opinions_of_a_test_are_told(
    shop: Shop, paintbench: Paintbench, clock: ManualClock
) -> None:
    primed(shop, clock)
    clock.advance(days=1)
    assert paintbench("not-yet", "1", "--minutes", "15", "--by", "Kit").code == 0
    ran = paintbench("pass", "1", "--by", "Mo")
    assert ran.code == 0
    assert "written down, but Kit said not yet: it waits until" in ran.out
    stand = paintbench("status", "--json").json()["stands"][0]
    assert stand["state"] == "wait"
    assert [(t["painter"], t["passed"], t["wait_s"]) for t in stand["tests"]] == [
        ("Kit", False, 900),
        ("Mo", True, None),
    ]
    ok(testing.pass_test(shop, 1, "Kit"))
    assert paintbench("status", "--json").json()["stands"][0]["state"] == "open"
    assert paintbench("not-yet", "1", "--by", "Mo").code == 0
    assert paintbench("status", "--json").json()["stands"][0]["state"] == "wait"


def test_a_pipe_that_nobody_writes_to_does_not_stop_the_command(
    paintbench: Paintbench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bench.commands.reports.probes.WAIT_S", 0.2)
    pipe = tmp_path / "air"
    os.mkfifo(pipe)
    assert paintbench("shop", "--air-probe", str(pipe), "--by", "Kit").code == 0
    ran = paintbench("probe")
    assert ran.out.startswith("air       FAULT: no answer")
    os.close(os.open(pipe, os.O_RDWR | os.O_NONBLOCK))


def test_holidays_and_who_is_always_in_are_set_from_the_command_line(
    paintbench: Paintbench, shop: Shop
) -> None:
    ran = paintbench(
        "shop", "--holiday", "2025-12-24..2026-01-01", "--always-in", "no", "--by", "Mo"
    )
    words = "holiday Wed 24 Dec 2025 to Thu 01 Jan 2026, closed out of hours"
    assert (ran.code, ran.out) == (0, f"from now on: {words}\n")
    ran = paintbench("shop", "--no-holiday", "2025-12-24..2026-01-01", "--by", "Mo")
    assert (ran.code, ran.err) == (0, "")
    ran = paintbench("shop", "--holiday", "someday", "--by", "Mo")
    assert ran.code == 1
    assert "2026-12-24..2027-01-01" in ran.err


def forecast_file(tmp_path: Path, *lines: str) -> str:
    file = tmp_path / "week.csv"
    file.write_text("\n".join(lines), encoding="utf-8")
    return str(file)


def test_a_forecast_is_read_from_a_file_in_the_shops_unit(
    paintbench: Paintbench, shop: Shop, tmp_path: Path
) -> None:
    file = forecast_file(tmp_path, "date,low F,high F", "2025-06-09,32,59", "2025-06-10,41,68")
    ran = paintbench("forecast", file, "--by", "Mo")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == "forecast: Mon 09 Jun 0 to 15 C, Tue 10 Jun 5 to 20 C\n"


def test_a_forecast_file_with_one_bad_line_writes_nothing(
    paintbench: Paintbench, shop: Shop, tmp_path: Path
) -> None:
    file = forecast_file(tmp_path, "date,low,high", "2025-06-09,2,9", "2025-06-10,cold,9")
    ran = paintbench("forecast", file, "--by", "Mo")
    right = "a temperature in C such as 2.5"
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == f"{file[:80]} line 3: no temperature (read 'cold'): {right}\n"
    assert bench_view.read_bench(shop).house.hours.forecasts == ()


@pytest.mark.parametrize(("size", "code"), [(10_000, 0), (10_001, 1)])
def test_a_forecast_file_is_at_most_ten_thousand_bytes(
    paintbench: Paintbench, tmp_path: Path, size: int, code: int
) -> None:
    text = "date,low,high\n2025-06-09,2,9"
    file = forecast_file(tmp_path, text + "\n" * (size - len(text)))
    assert paintbench("forecast", file, "--by", "Mo").code == code


def test_a_forecast_for_one_date_is_typed_in_one_line(paintbench: Paintbench) -> None:
    day = ("--date", "2025-06-10", "--low", "-2C")
    ran = paintbench("forecast", *day, "--high", "48F", "--by", "Mo")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("forecast: Tue 10 Jun -2 to 8.8")


@pytest.mark.parametrize("words", [(), ("--date", "2025-06-10"), ("x.csv", "--low", "2C")])
def test_half_a_forecast_says_what_is_missing(
    paintbench: Paintbench, words: tuple[str, ...]
) -> None:
    ran = paintbench("forecast", *words, "--by", "Mo")
    assert ran.code == 1
    assert "give a FILE, or --date, --low and --high" in ran.err


def test_a_forecast_file_that_is_not_there_is_named(paintbench: Paintbench) -> None:
    ran = paintbench("forecast", "away.csv", "--by", "Mo")
    assert ran.code == 1
    assert ran.err.startswith("away.csv cannot be read")
