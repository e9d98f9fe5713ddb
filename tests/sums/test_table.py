"""The table of calculations: every example, rounding and range of it, on all three surfaces."""

from __future__ import annotations

import io
import math
import re
import shlex
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.commands.sums import run
from bench.commands.sums.sum_command import build, solve, worked_line
from bench.screens.sums.answer_page import SumResult
from bench.screens.sums.input_questions import Solved, follow
from bench.screens.sums.known_values import ShopFacts
from bench.shop.core.bench_view import read_bench
from bench.shop.core.transaction import Shop
from bench.shop.seeds import seed_files
from bench.shop.seeds.first_start import open_shop
from bench.store.databases.database import open_store
from bench.sums.answer_text import data, number_words, round_safely, rows, safe_side
from bench.sums.model import Calculation, Input, Result, Values
from bench.sums.table import CALCULATIONS
from bench.testing import ManualClock
from tests.conftest import MONDAY
from tests.published.rows import TOPICS, load
from tests.sums.answering import answer_to

TYPED = [each for each in CALCULATIONS if not each.needs_a_shop]
BY_TITLE = pytest.mark.parametrize("calculation", TYPED, ids=lambda each: each.title)


@pytest.fixture(scope="module")
def facts(tmp_path_factory: pytest.TempPathFactory) -> ShopFacts:
    """A shop that was opened just now and has read nothing."""
    shop = Shop(
        open_store(str(tmp_path_factory.mktemp("table") / "s.db")), ManualClock(MONDAY), "t"
    )
    open_shop(
        shop, seed_files.load(seed_files.folder()), ("Kit", "Mo"), 6, {"zone": "Europe/London"}
    )
    view = read_bench(shop)
    shop.store.close()
    return ShopFacts(view, view.local(shop.clock.now()))


@pytest.fixture(autouse=True)
def beside_a_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The log that the example of `age` reads: 7 h 5 at 18 C, then 11 C."""
    (tmp_path / "night.csv").write_text("at,temp_c\n2026-03-02T09:40,18\n2026-03-02T16:45,11\n")
    monkeypatch.chdir(tmp_path)


def example_values(calculation: Calculation) -> Values:
    """The values of a calculation's example."""
    words = [calculation.name, *shlex.split(calculation.example.line)]
    solved = solve(build().parse_args(words))
    return next(values for each, values, _ in solved if each is calculation)


def printed(calculation: Calculation) -> str:
    out, err = io.StringIO(), io.StringIO()
    assert run(shlex.split(worked_line(calculation))[2:], out, err) == 0, err.getvalue()
    return out.getvalue()


@BY_TITLE
def test_the_example_gives_what_its_source_says(calculation: Calculation) -> None:
    values = example_values(calculation)
    shown = data(calculation, calculation.answer(values))
    for key, wanted in calculation.example.gives.items():
        if isinstance(wanted, dict):
            assert wanted.items() <= shown[key].items()
        else:
            assert shown[key] == (
                pytest.approx(wanted, rel=1e-3) if isinstance(wanted, float) else wanted
            )
    assert calculation.example.source
    assert calculation.source


@BY_TITLE
def test_the_rows_that_an_example_names_stand_in_the_tables(calculation: Calculation) -> None:
    known = {row.id for topic in TOPICS for row in load(topic)}
    words = f"{calculation.example.source} {calculation.source}"
    assert set(re.findall(r"\brow ([A-Z][\w.-]*\w)", words)) <= known


@BY_TITLE
def test_text_json_and_screen_show_one_figure(calculation: Calculation, facts: ShopFacts) -> None:
    values = example_values(calculation)
    answer = calculation.answer(values)
    text, shown = printed(calculation), data(calculation, answer)
    screen = SumResult(calculation, (), (), Solved(answer, values), replace(facts, now=MONDAY))
    assert screen.rows
    for row, printed_row in zip(screen.rows, rows(calculation, answer, values), strict=True):
        assert f"{printed_row.label:<{len(row.label)}}" in text
        assert printed_row.words in text
        assert row == printed_row or row.label in HOURS, "an hour is worded by the clock there"
    for result in calculation.results:
        value = shown.get(result.key)
        if result.label and result.kind == "number" and isinstance(value, int | float):
            words, unit = number_words(result, value, wait=answer.wait)
            assert f"{words} {unit}".strip() in text
            assert float(words) == pytest.approx(value, rel=5e-3)
            if safe_side(result, answer.wait) != "nearest":
                assert float(words) == value, "JSON holds the figure that people see"


HOURS = ("bin by", "done at")


@pytest.mark.parametrize(
    "calculation",
    [each for each in TYPED if each.name != "age"],  # hours are typed there, a file is read here
    ids=lambda each: each.title,
)
def test_typed_on_a_keypad_the_example_gives_the_same(
    calculation: Calculation, facts: ShopFacts
) -> None:
    values = example_values(calculation)
    answers: list[float | None] = []
    while (course := follow(calculation, facts, answers)).end is None:
        answers.append(answer_to(course.asked[-1], calculation, values))
    assert isinstance(course.end, Solved), course.end
    by_keypad = data(calculation, course.end.answer)
    typed = data(calculation, calculation.answer(values))
    for key, value in by_keypad.items():
        if key not in SHOP_KNOWS_MORE and typed.get(key) is not None:
            assert value == typed[key], key


SHOP_KNOWS_MORE = {"words", "longest_min", "setting_min", "bin_by"}
"""The ratio read back as it was printed; the shop's own clearance; the hour of the day."""


def every_result() -> Iterator[Result]:
    waiting = [result for each in CALCULATIONS for result in each.results]
    while waiting:
        result = waiting.pop()
        waiting += result.each
        yield result


SIDED = [result for result in every_result() if result.side != "nearest"]


@pytest.mark.parametrize("result", SIDED, ids=lambda result: f"{result.key} {result.side}")
@given(value=st.floats(-1e6, 1e6), wait=st.booleans())
def test_a_figure_is_rounded_to_its_safe_side(result: Result, value: float, wait: bool) -> None:
    """Six decimals are the rounding of floats."""
    shown, side = round_safely(result, value, wait), safe_side(result, wait)
    step = 10.0**-result.decimals if result.decimals is not None else max(abs(value) / 100, 1e-6)
    assert side in ("up", "down")
    assert -1e-6 <= (shown - value if side == "up" else value - shown) <= step + 1e-6


def test_what_keeps_people_safe_has_its_side() -> None:
    sides = {
        (each.name, result.key): result.side for each in CALCULATIONS for result in each.results
    }
    up = [("air", "m3"), ("air", "m3_h"), ("closed", "exposure_m3"), ("closed", "lel_m3"),
          ("mass", "lift_kg"), ("salts", "mg_m2"), ("bare-spots", "share_pct"), ("clear", "minutes"), ("clear", "longest_min"),
          ("clear", "setting_min"), ("cans", "cans"), ("cover", "litres"), ("batch", "smallest_ml"),
          ("dewpoint", "warm_by_c"), ("dewpoint", "metal_least_c")]  # fmt: skip
    down = [("pot", "pot_life_s"), ("duplex", "years_low"), ("dewpoint", "margin_c"), ("zinc", "years_low"),
            ("cover", "have_dry_um"), ("cup", "thinner_pct")]  # fmt: skip
    assert {sides[each] for each in up} == {"up"}
    assert {sides[each] for each in down} == {"down"}


def numbers_of(asked: Input) -> Iterator[Input]:
    if asked.kind in ("number", "whole"):
        yield asked
    for each in asked.of:
        yield from numbers_of(each)


NUMBERS = {
    (calculation.name, each.label, each.unit): each
    for calculation in CALCULATIONS
    for asked in calculation.each_input()
    for each in numbers_of(asked)
}
A_HAIR = 1e-6


def edges(asked: Input) -> Iterator[tuple[float, float]]:
    """The last number that is taken on each side, and the next that is not."""
    if asked.over is not None:
        yield asked.over + A_HAIR, asked.over
    if asked.least is not None:
        yield asked.least, asked.least - A_HAIR
    if asked.most is not None:
        yield asked.most, asked.most * (1 + A_HAIR) + A_HAIR


@pytest.mark.parametrize("asked", NUMBERS.values(), ids=[" ".join(key) for key in NUMBERS])
def test_a_range_takes_its_ends_and_refuses_beyond_them_in_three_parts(asked: Input) -> None:
    assert len(list(edges(asked))) == 2 or asked.label == "price", "a range has two ends"
    for taken, beyond in edges(asked):
        assert asked.check(taken) == taken
        with pytest.raises(ValueError, match="must be") as refused:
            asked.check(beyond)
        was_read, why, what_to_do = str(refused.value).partition(": must be")
        assert was_read.startswith(f"{asked.label} {beyond:g}")
        assert why
        assert f"type e.g. {asked.such_as}" in what_to_do
        assert asked.such_as


def with_edges() -> Iterator[Any]:
    for calculation in TYPED:
        for asked in calculation.each_input():
            for taken, _ in edges(asked) if asked.kind in ("number", "whole") else ():
                label = f"{calculation.title}: {asked.name} {taken:g}"
                yield pytest.param(calculation, asked, taken, id=label)


@pytest.mark.parametrize(("calculation", "asked", "taken"), list(with_edges()))
def test_a_number_at_the_end_of_its_range_is_worked_with(
    calculation: Calculation, asked: Input, taken: float
) -> None:
    """What is still refused hangs on two numbers together; no range of one is told twice."""
    values = dict(example_values(calculation))
    if values[asked.name] is None and asked.required:
        return  # the example goes another way
    values[asked.name] = int(taken) if asked.kind == "whole" else taken
    fault = ""
    try:
        calculation.answer(values)
    except ValueError as refused:
        fault = str(refused)
    assert not fault or (calculation.title, asked.name) in TOGETHER, fault


TOGETHER = {
    ("round to the cup's lines", "cup_step"),
    ("a pour too many", "cup"),
    ("cost", "binned"),
    ("litres of each part to buy", "faces"),
    ("humidity from the wet bulb", "air"),
    ("humidity from the wet bulb", "wet"),
    ("seconds and viscosity", "seconds"),
    ("thinner to reach a time", "target"),
    ("accept a set of film readings", "most"),
    ("VOC of the mix as sprayed", "water"),
    ("salts on the surface", "before"),
    ("salts on the surface", "after"),
    ("bare spots in the zinc", "part_area"),
    ("Estimate: minutes until 1 % of the mist is left", "room"),
    ("Estimate: minutes until 1 % of the mist is left", "flow"),
}
"""Ranges that hang on a second number: the need, the cup, the air, the mix, air changes an hour, the
water before, the spots."""


@pytest.mark.parametrize("calculation", CALCULATIONS, ids=lambda each: each.title)
def test_what_is_declared_is_what_is_computed(calculation: Calculation) -> None:
    if calculation.needs_a_shop:
        return
    answer = calculation.answer(example_values(calculation))
    assert set(answer.values) <= {result.key for result in calculation.results}


def test_a_table_is_printed() -> None:
    out, err = io.StringIO(), io.StringIO()
    assert run(["--list"], out, err) == 0
    for each in CALCULATIONS:
        assert f"{each.title} ({each.group})" in out.getvalue()
        assert f"from {each.source}" in out.getvalue()


def test_a_mixing_factor_is_never_taken_for_granted(facts: ShopFacts) -> None:
    out, err = io.StringIO(), io.StringIO()
    assert run(["clear", "--changes", "20"], out, err) == 2
    assert "--mixing" in err.getvalue()
    assert "1 only in theory, 3 to 10 in real rooms" in err.getvalue()
    clear = next(each for each in CALCULATIONS if each.name == "clear")
    last = follow(clear, facts, (120, 2400, 1)).asked[-1]
    assert (last.what, last.start, last.must) == ("mixing factor, 1 to 10", None, True)


@pytest.mark.parametrize(("minutes", "longest"), [(60, 60), (30, 42)])
def test_a_clearance_shows_the_longer_of_estimate_and_setting(
    facts: ShopFacts, minutes: float, longest: int
) -> None:
    """120 m3, 2400 m3/h, factor 3: three times row ACH-20, 41.4 min."""
    house = facts.view.house
    house = replace(house, stored={**house.stored, "clearance_min": minutes})
    kept = replace(facts, view=replace(facts.view, house=house))
    clear = next(each for each in CALCULATIONS if each.name == "clear")
    course = follow(clear, kept, (120, 2400, 1, 3))
    screen = SumResult(clear, course.asked, (120, 2400, 1, 3), course.end, kept)  # type: ignore[arg-type]
    (big,) = (row for row in screen.rows if row.big)
    assert (big.label, big.value) == ("longer of the two", str(longest))
    assert not any("booth" in row.label for row in screen.rows)
    assert math.isclose(course.end.answer.values["minutes"], 41.4, abs_tol=0.1)  # type: ignore[union-attr]
