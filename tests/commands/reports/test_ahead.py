"""`paintbench ahead`: of a part, before a mix, and before going home.

The epoxy begun at 15:00 opens at 12:17: 2 h at 18 C, a night of 14 h at 11 C, the rest at 18 C, of
16 h at 20 C and 24 h at 10 C (ln t linear in 1/T, the Arrhenius form, from memory).
"""

from __future__ import annotations

import pytest

from bench.process.stock.mixing import MixStart
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.environment import readings
from bench.shop.parts import holds_and_rework, placement, steps, testing
from bench.shop.stock import pots
from bench.testing import ManualClock
from tests.conftest import MONDAY

from ..running import Paintbench


def ok(answer: object) -> Outcome:
    assert isinstance(answer, Outcome), answer
    return answer


@pytest.fixture
def brackets(shop: Shop, clock: ManualClock) -> Shop:
    """Monday 15:00: brackets blasted at 14:30 on stand 1; 18 C, 60 %."""
    ok(placement.place(shop, 1, "Kit", route="steel-blasted", shape="bracket", count=14))
    ok(holds_and_rework.skip(shop, 1, "Kit", "already done"))
    clock.set(MONDAY.replace(hour=14, minute=0))
    ok(readings.take_reading(shop, "Mo", air_c=18, rh_pct=60, metal_c=18))
    ok(steps.begin(shop, 1, "Kit"))
    clock.set(MONDAY.replace(hour=14, minute=30))
    ok(steps.finish(shop, 1, "Kit"))
    ok(testing.pass_test(shop, 1, "Kit"))
    clock.set(MONDAY.replace(hour=15, minute=0))
    return shop


def test_the_next_step_of_a_part_with_its_window_and_its_two_days(
    brackets: Shop, paintbench: Paintbench
) -> None:
    """Fourteen brackets have 0.42 m2: 10 min + 3 a m2 are 11 min 16 s."""
    ran = paintbench("ahead", "1")
    assert (ran.code, ran.err) == (0, "")
    lines = ran.out.splitlines()
    assert lines[:5] == [
        "tag 1 Bracket, stand 1: Epoxy primer",
        "  if started now: opens ~Tue 11:55?, closes ~Mon 16 Jun 15:00?.",
        "  it is taken to last 12 min? (8 to 16 min), no past steps",
        "  NO: no pot of Epoxy primer 4:1 (none open): mix one first (*)",
        "",
    ]
    strip, hours = lines[5:7]
    assert strip.strip().startswith("====]---:::")
    assert hours.split()[:4] == ["15", "18", "21", "Tue"]
    assert lines[7].split("  ")[1:] == [
        *("= shop open", "- closed", ": night", "[ opens", "] closes", "? test"),
        "x bin pot",
    ]
    assert all(line.isascii() and len(line) <= 79 for line in lines)


def test_the_same_as_json(brackets: Shop, paintbench: Paintbench) -> None:
    data = paintbench("ahead", "--tag", "1", "--json").json()
    assert data.keys() == {
        *("now", "tag", "stand", "part", "state", "ahead", "against", "strip"),
    }
    assert data["now"] == "2025-06-09T14:00:00+00:00"
    assert data["against"] == [
        {
            "rule": "no pot of Epoxy primer 4:1",
            "read": "none open",
            "remedy": "mix one first (*)",
            "name": "no-pot",
            "override": "reason",
        }
    ]
    ahead = data["ahead"]
    assert (ahead["step"], ahead["begins_at"], ahead["at_once"], ahead["keyed"]) == (
        "Epoxy primer",
        "2025-06-09T14:00:00+00:00",
        True,
        False,
    )
    assert (ahead["length_seconds"], ahead["length_known_from"]) == (676, 0)
    assert ahead["closes"] == {
        "at": "2025-06-16T14:00:00+00:00",
        "somebody_in": True,
        "basis": "sheet",
    }
    assert (ahead["opens"]["somebody_in"], ahead["opens"]["basis"]) == (True, "between")
    assert ahead["earliest"] == ahead["begins_at"]
    assert ahead["begin_before"] == "2025-06-09T17:00:00+00:00"
    assert (ahead["holidays"], ahead["only_the_cure_after_it"]) == ([], False)
    assert ahead["words"].startswith("if started now: opens ~Tue 11:55?")
    assert data["strip"]["signs"] == [{"at": "2025-06-09T17:00:00+00:00", "sign": "]"}]
    assert len(data["strip"]["line"]) == len(data["strip"]["hours"])


def test_a_part_with_nothing_to_begin(shop: Shop, paintbench: Paintbench) -> None:
    ok(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    ok(steps.begin(shop, 1, "Kit"))
    lines = paintbench("ahead", "1").out.splitlines()
    assert lines[1:3] == [
        "  nothing to begin: WORKING",
        "  NO: File the zinc spikes is begun already: finish it",
    ]
    assert paintbench("ahead", "1", "--json").json()["ahead"] is None


def test_nothing_against_it_is_said_without_a_permission(
    brackets: Shop, paintbench: Paintbench
) -> None:
    ok(pots.mix(brackets, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    out = paintbench("ahead", "1").out
    assert "  no rule is against beginning now" in out.splitlines()
    assert "x" in out.splitlines()[5]


def test_before_a_mix(brackets: Shop, paintbench: Paintbench) -> None:
    lines = paintbench("ahead", "--mix", "epoxy-primer").out.splitlines()
    assert lines == [
        "Epoxy primer 4:1 mixed now: use from 15:00?, bin by 19:00?, a big pot sooner",
        "  tag 1 Bracket, stand 1: mixed now, started 15:00: opens ~Tue 11:55?, closes",
        "      ~Mon 16 Jun 15:00?.",
        "  it is taken to last 12 min? (8 to 16 min), no past steps",
    ]
    data = paintbench("ahead", "--mix", "epoxy-primer", "--json").json()
    assert (data["product"], data["bin_by"]) == ("epoxy-primer", "2025-06-09T18:00:00+00:00")
    assert [part["tag"] for part in data["parts"]] == ["1"]
    assert paintbench("ahead", "--mix", "gloss").out.splitlines()[1] == "  no part waits for it"


def test_before_going_home(brackets: Shop, paintbench: Paintbench) -> None:
    ok(pots.mix(brackets, "epoxy-primer", "Mo", known=MixStart(need_ml=300)))
    assert paintbench("ahead").out.splitlines() == [
        "shop closed from 17:30 to Tue 07:30",
        "  BIN       pot A Epoxy primer 4:1: bin it by 19:00?",
        "  ABRADE    stand 1, Bracket: Epoxy primer closes ~18:00, then ABRADE",
    ]
    data = paintbench("ahead", "--json").json()
    assert [(one["word"], one["stand"]) for one in data["missed"]] == [("bin", None), ("abrade", 1)]
    assert data["nobody_in_to"] == "2025-06-10T06:30:00+00:00"


def test_an_empty_night(paintbench: Paintbench) -> None:
    assert paintbench("ahead").out.splitlines() == [
        "shop closed from 17:30 to Tue 07:30",
        "  nothing is missed",
    ]


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("9",), 1, "no stand 9: stands run from 1 to 6"),
        (("2",), 1, "stand 2 is empty"),
        (("--tag", "99"), 1, "no tag 99"),
        (("--tag", ""), 1, "no tag"),
        (("--mix", "tar"), 1, "no product 'tar'"),
        (("one",), 2, "read 'one'; wanted a stand's number"),
        (("1", "--mix", "gloss"), 2, "not allowed with argument"),
    ],
)
def test_what_is_not_there_is_refused(
    paintbench: Paintbench, words: tuple[str, ...], code: int, told: str
) -> None:
    ran = paintbench("ahead", *words)
    assert (ran.code, ran.out) == (code, "")
    assert told in ran.err
