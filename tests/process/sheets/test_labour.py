"""What work a step is: as it was typed, else a placeholder, which says so."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from bench.process.sheets.labour import labour_notes, labour_of
from bench.process.sheets.product import BadSheet
from bench.process.sheets.route import Route, Step, StepKind, check_labour


@pytest.mark.parametrize(
    ("kind", "placeholder", "follow_s", "takes_space"),
    [
        ("work", {"labour", "hands"}, None, False),
        ("dwell", {"labour", "hands", "follow"}, 0.0, False),
        ("coat", {"labour", "hands", "abrading"}, None, True),
    ],
)
def test_a_step_nobody_typed_is_all_placeholders_and_a_wash_is_rinsed_at_once(
    kind: StepKind, placeholder: set[str], follow_s: float | None, takes_space: bool
) -> None:
    labour = labour_of(Step("s", kind), sprayed=True)
    assert (labour.placeholder, labour.follow_s) == (placeholder, follow_s)
    assert (labour.spray_space, labour.hands, labour.place) == (takes_space, 1, "")


def test_what_was_typed_counts_and_bears_no_mark() -> None:
    step = Step(
        *("s", "coat"),
        labour_s=600.0,
        labour_s_m2=60.0,
        hands=2,
        follow_s=300.0,
        abrading_s=1200.0,
        spray_space=False,
        place="wash bay",
    )
    labour = labour_of(step, sprayed=True)
    assert labour.placeholder == frozenset()
    assert (labour.lasts_s(7.5), labour.abrading_s(7.5)) == (600 + 450, 1200)
    assert (labour.hands, labour.follow_s, labour.spray_space) == (2, 300.0, False)
    assert labour.place == "wash bay"
    assert not labour.may_be_two
    either = labour_of(replace(step, hands="1-2"), sprayed=True)
    assert (either.hands, either.may_be_two, either.placeholder) == (1, True, frozenset())
    by_area = labour_of(Step("s", "coat"), sprayed=False)
    assert by_area.abrading_s(2.0) == 60 * (10 + 4 * 2), "a placeholder goes by the area"


@pytest.mark.parametrize(
    ("kind", "typed", "where"),
    [
        ("work", {"labour_s": 0.0}, ["labour_s"]),
        ("work", {"labour_s": 86401.0, "follow_s": -60.0}, ["labour_s", "follow_s"]),
        ("work", {"labour_s_m2": 28801.0}, ["labour_s_m2"]),
        ("work", {"abrading_s": 600.0}, ["abrading_s"]),
        ("coat", {"abrading_s": 90_000.0, "place": "x" * 31}, ["abrading_s", "place"]),
        ("cure", {"hands": 1, "place": "oven"}, ["hands", "place"]),
        ("coat", {"labour_s": 86400.0, "labour_s_m2": 0.0, "follow_s": 0.0}, []),
    ],
)
def test_a_figure_that_cannot_be_is_refused_at_its_key(
    kind: StepKind, typed: dict[str, Any], where: list[str]
) -> None:
    step = Step("s", kind, **typed)
    found: list[Any] = []
    try:
        check_labour(step, ("steps", 0))
    except BadSheet as fault:
        found = [each.where[-1] for each in fault.each]
    assert found == where


def test_labour_that_is_hardly_ever_so_is_noted() -> None:
    steps = (Step("Key", "work", labour_s=9 * 3600.0), Step("Wash", "work", labour_s=8 * 3600.0))
    route = Route("r", "R", "zinc", (*steps, Step("Mask", "work", labour_s_m2=7200.0)))
    assert labour_notes(route) == (
        "Key: labour 9 h is long: check it",
        "Mask: labour_m2 2 h a m2 is long: check it",
    )
