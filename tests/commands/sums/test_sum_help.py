"""`paintbench sum --help`, its worked lines, and what a sum does without."""

from __future__ import annotations

import doctest
import json
import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from bench.commands.sums.sum_command import build, worked_line
from bench.sums import answer_text, input_reading
from bench.sums.table import CALCULATIONS, NAMES

from ..running import Paintbench
from ..summing import figures, reckon

ROOT = Path(__file__).resolve().parents[3]
HEAVY = ("sqlmodel", "sqlalchemy", "textual", "dateutil", "bench.store", "bench.shop")
LIGHT = ("bench.shop", "bench.shop.settings", "bench.shop.settings.setting_list")
"""The list of settings, which `paintbench shop` has its options from, and its packages."""
SUMS = [each for each in CALCULATIONS if not each.needs_a_shop]


@pytest.fixture
def beside_a_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A directory with the log that the worked line of `age` reads."""
    (tmp_path / "night.csv").write_text("at,temp_c\n2026-03-02T09:40,18\n2026-03-02T16:45,11\n")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_help_lists_every_sum_with_one_worked_line() -> None:
    ran = reckon("--help")
    assert ran.code == 0
    worked = [line.strip() for line in ran.out.splitlines() if "paintbench sum " in line]
    assert worked[1:] == [worked_line(each) for each in SUMS]
    for name in NAMES:
        assert f"\n    {name}" in ran.out


def test_help_tells_the_exit_codes() -> None:
    for line in ("--help", *(f"{name} --help" for name in NAMES)):
        ran = reckon(line)
        assert ran.code == 0
        for code in ("exit: 0 worked out", "1 readable, but the sum refuses it", "2 not readable"):
            assert code in ran.out


@pytest.mark.usefixtures("beside_a_log")
@pytest.mark.parametrize("each", SUMS, ids=[each.title for each in SUMS])
def test_every_worked_line_runs_as_text_and_as_json(each: object) -> None:
    line = worked_line(each).removeprefix("paintbench sum ")  # type: ignore[arg-type]
    ran = reckon(line)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.strip()
    assert ran.out.isascii()
    assert isinstance(figures(line), dict)


@pytest.mark.usefixtures("beside_a_log")
def test_keys_of_the_answers_stay_as_scripts_know_them() -> None:
    wanted = {
        "mix": {"parts", "total_ml"},
        "dewpoint": {"dew_point_c", "margin_c", "verdict"},
        "film": {"wet_um", "solids_mixed_pct"},
        "cover": {"litres_theory", "litres", "m2_per_litre"},
        "area": {"m2_per_m", "m2"},
        "cup": {"mm2_s"},
        "zinc": {"years_low", "years_high", "g_m2"},
        "readings": {"mean", "least", "accept", "why"},
        "age": {"progress", "done_at"},
        "voc": {"cautions"},
        "air": {"cautions"},
        "clear": {"cautions"},
    }
    found: dict[str, set[str]] = {}
    for each in SUMS:
        found.setdefault(each.name, set()).update(figures(f"{each.name} {each.example.line}"))
    assert all(keys <= found[name] for name, keys in wanted.items())


def test_a_word_that_is_no_sum_and_no_word_at_all_are_wrong_usage() -> None:
    assert "invalid choice: 'paint'" in reckon("paint").err
    assert (reckon("paint").code, reckon("").code) == (2, 2)
    assert reckon("mix 4:1 --need 1l --colour red").code == 2
    assert "unrecognized" not in reckon("film --dry 60um --sol 45%").out


def test_options_are_not_guessed_from_their_beginning() -> None:
    assert reckon("film --dry 60um --solid 45%").code == 2


def test_sums_run_where_no_shop_is_open_and_open_none(anywhere: Paintbench, tmp_path: Path) -> None:
    ran = anywhere("sum", "film", "--dry", "60um", "--solids", "45%", "--json")
    assert ran.code == 0
    assert ran.json()["dry_um"] == 60
    assert anywhere("sum", "mix", "4:1", "--need", "1l").code == 1
    assert anywhere("sum", "dewpoint", "--air", "-5C", "--rh", "120%").code == 2
    assert anywhere("sum", "--help").code == 0
    assert list(tmp_path.rglob("*.db")) == []


def loaded_after(*lines: str) -> list[str]:
    """The modules of a Python of its own after ``paintbench`` ran with each of these lines."""
    script = (
        "import io, json, shlex, sys; from bench.__main__ import main; "
        "codes = [main(shlex.split(line), out=io.StringIO(), err=io.StringIO())"
        " for line in sys.argv[1:]]; "
        "print(json.dumps([codes, sorted(sys.modules)]))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *lines],
        env={**os.environ, "PYTHONPATH": str(ROOT), "PAINTBENCH_DB": "/nowhere/shop.db"},
        capture_output=True,
        text=True,
        check=True,
    )
    codes, modules = json.loads(ran.stdout)
    assert codes == [0] * len(lines)
    return list(modules)


def heavy(modules: list[str]) -> list[str]:
    return [name for name in modules if name.startswith(HEAVY) and name not in LIGHT]


def test_no_sum_loads_the_shop_or_the_screens(beside_a_log: Path) -> None:
    assert heavy(loaded_after(*(f"sum {each.name} {each.example.line}" for each in SUMS))) == []


def test_pint_is_loaded_only_where_a_quantity_is_read() -> None:
    modules = loaded_after("sum --help", "sum mix --help", "sum spray --symptom sandy")
    assert heavy(modules) == []
    assert "pint" not in modules


def test_without_a_sum_asked_for_no_sum_is_loaded() -> None:
    assert [name for name in loaded_after("--version") if name.startswith("bench.trade")] == []


def test_each_sum_has_a_title_of_its_own() -> None:
    assert len({each.title for each in CALCULATIONS}) == len(CALCULATIONS)
    assert build().prog == "paintbench sum"


@pytest.mark.parametrize("page", [answer_text, input_reading])
def test_examples_in_the_docstrings_are_right(page: ModuleType) -> None:
    found = doctest.testmod(page)
    assert found.attempted > 0
    assert found.failed == 0
