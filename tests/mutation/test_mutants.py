"""What is changed in a file, and that a change is noticed, survives or hangs as it should."""

from __future__ import annotations

import ast
from argparse import Namespace
from pathlib import Path

import pytest

from tests.mutation.__main__ import ROOT, reasons, report, sample
from tests.mutation.mutants import mutants
from tests.mutation.trial import Trial, Verdict, tried

CHANGES = {
    "a < b": ["a <= b"],
    "a not in b": ["a in b"],
    "a <= b < c": ["a < b < c", "a <= b <= c"],
    "(a) + (b * c)": ["(a) - (b * c)", "(a) + (b / c)"],
    "a and b and c": ["a or b and c", "a and b or c"],
    "not a": ["a"],
    "True": ["False"],
    "5": ["6"],
    "2.5": ["2.75"],
    "0.0": ["1.0"],
    "min(a, b)": ["max(a, b)", "pass"],
    "call(a)": ["pass"],
    "a if b else c": ["a if not (b) else c"],
    "[a for a in b if c]": ["[a for a in b if True]"],
    "a += 1": ["a -= 1", "a += 2"],
    "'ü' if a < b else c": ["'ü' if a <= b else c"],
    "'a word' + b": [],
    "f'{a + 1} ml'": [],
    "a: Literal[1] = b": [],
}


@pytest.mark.parametrize(("code", "changed"), CHANGES.items())
def test_each_operator_figure_condition_and_call_is_changed_once_and_words_are_not(
    code: str, changed: list[str]
) -> None:
    found = mutants("a.py", code + "\n")
    assert sorted(m.of(code) for m in found) == sorted(changed)


def test_a_value_given_back_gives_way_to_none_and_a_loop_goes_on_where_it_ended() -> None:
    code = "def a():\n    for b in c:\n        break\n    return b\n"
    assert [m.after for m in mutants("a.py", code)] == ["continue", "return None"]


def test_every_change_of_the_code_is_still_python() -> None:
    for path in sorted(Path(ROOT, "bench/trade").glob("*.py")):
        text = path.read_text(encoding="utf-8")
        for mutant in mutants(path.name, text)[::25]:
            ast.parse(mutant.of(text))
            assert mutant.of(text) != text


def test_each_change_that_alters_nothing_can_still_be_made() -> None:
    keys = reasons()
    paths = sorted({key.partition(": ")[0] for key in keys})
    found = {m.key for path in paths for m in mutants(path, Path(ROOT, path).read_text())}
    assert set(keys) - found == set()


def _asked(**said: object) -> Namespace:
    usual = {"paths": [], "count": 20, "seed": 1, "since": None, "only": None}
    return Namespace(**(usual | said))


def test_the_same_seed_draws_the_same_changes_and_another_seed_others() -> None:
    few = [Path("bench/trade")]
    assert sample(_asked(paths=few)) == sample(_asked(paths=few))
    assert sample(_asked(paths=few)) != sample(_asked(paths=few, seed=2))


def test_only_the_files_asked_for_are_changed() -> None:
    chosen = sample(_asked(paths=[Path("bench/trade/mixing.py")], count=5))
    assert {m.path for m in chosen} == {"bench/trade/mixing.py"}


CODE = "def older(hours):\n    return hours >= 24\n"
TEST = "from bench.day import older\n\ndef test_it():\n    assert {}\n"


@pytest.mark.parametrize(
    ("claim", "verdict"),
    [
        ("older(25) and not older(3)", Verdict.SURVIVED),
        ("older(24)", Verdict.KILLED),
    ],
)
def test_a_change_survives_tests_that_do_not_look_at_its_boundary(
    tmp_path: Path, claim: str, verdict: Verdict
) -> None:
    (tmp_path / "bench").mkdir()
    (tmp_path / "bench/__init__.py").touch()
    (tmp_path / "bench/day.py").write_text(CODE)
    (tmp_path / "test_day.py").write_text(TEST.format(claim))
    [boundary] = [m for m in mutants("bench/day.py", CODE) if m.put == ">"]
    assert tried(boundary, ["test_day.py::test_it"], 1.0, tmp_path) is verdict
    assert (tmp_path / "bench/day.py").read_text() == CODE


def test_a_change_that_no_test_runs_over_counts_as_not_noticed() -> None:
    [boundary, *_] = mutants("bench/trade/day.py", CODE)
    verdict = tried(boundary, [], 0.0, Path("nowhere"))
    text = report([Trial(boundary, verdict, 0, 0)], {boundary.key: "nobody asks before noon"})
    assert "no test runs over it" in text
    assert "nobody asks before noon" in text
    assert text.splitlines()[1].split() == ["trade", "1", "0", "1", "0.0", "%"]
