"""Flow cups against the dangerous-goods table, drain times of certified oils, and each other."""

from __future__ import annotations

import re

import pytest

from bench.sums.table import CALCULATIONS
from bench.trade.cups import CUPS, seconds_through, viscosity_mm2_s
from tests.published.rows import Row, named, unchecked

ISO = named("cups", r"ISO\d-.*")
FORD_ZAHN = named("cups", r"[FZ]\d-.*")
ANCHORS = named("cups", r"ANCH-.*")
TIMES = named("cups", "D1200-rng")
PREFERRED = named("cups", "D1200-pref")
CARRIAGE = named("cups", r"ADR-.*")
TWO_CUPS = named("cups", "TO-F4Z2")
RANGES = named("cups", r"F?RNG\d-.*")
OLD_CUP = named("cups", r"D2I-.*")
CONVERTER = named("cups", "CONV-X")

OFF_BY_MORE_THAN_A_SECOND = {"ANCH-F5-850": 2.2}
"""The D1200 equation of cup 5 gives 823 mm2/s at the 70 s the oil took: 3.2 % under its 850. The
cup drained 2.2 s sooner than the equation says; a cup is let wear and be made to 3 % and more."""


def test_every_row_is_checked() -> None:
    groups = (ISO, FORD_ZAHN, ANCHORS, TIMES, PREFERRED, CARRIAGE, TWO_CUPS, RANGES)
    assert unchecked("cups", *groups, OLD_CUP, CONVERTER) == set()


@pytest.mark.parametrize("row", ISO)
def test_iso_2431_cup_by_its_coefficients(row: Row) -> None:
    cup, seconds = f"iso{row.given['cup_mm']}", row.input("t_s")
    assert viscosity_mm2_s(cup, seconds) == pytest.approx(row.figures[0], rel=0.005)
    assert seconds_through(cup, row.figures[0]) == pytest.approx(seconds, rel=0.005)


@pytest.mark.parametrize("row", FORD_ZAHN)
def test_ford_and_zahn_cups_by_their_coefficients(row: Row) -> None:
    family = "Ford" if "Ford" in row.given else "Zahn"
    cup, seconds = f"{family.lower()}{row.given[family]}", row.input("t_s")
    assert viscosity_mm2_s(cup, seconds) == pytest.approx(row.figures[0], abs=0.06)
    assert seconds_through(cup, row.figures[0]) == pytest.approx(seconds, abs=0.2)


@pytest.mark.parametrize("row", ANCHORS)
def test_certified_oil_drains_in_the_published_time(row: Row) -> None:
    cup = row.given["cup"].lower().replace(" ", "")
    published_s = row.figures[0]
    off_s = abs(seconds_through(cup, row.input("nu_mm2s")) - published_s)
    assert viscosity_mm2_s(cup, published_s) == pytest.approx(row.input("nu_mm2s"), rel=0.04)
    if row.id in OFF_BY_MORE_THAN_A_SECOND:
        assert off_s == pytest.approx(OFF_BY_MORE_THAN_A_SECOND[row.id], abs=0.1)
    else:
        assert off_s <= 1.0


@pytest.mark.parametrize("row", TIMES)
def test_ford_cups_are_read_within_the_times_of_d1200(row: Row) -> None:
    """ASTM D1200-94: cups 3, 4, 5: 20..100 s; cup 1: 55..100; cup 2: 40..100."""
    published = {
        f"ford{cup}": (float(least), float(most))
        for cups, least, most in re.findall(r"cups? ([\d,]+): (\d+)\.\.(\d+)", row.inputs)
        for cup in cups.split(",")
    }
    held = {key: (cup.least_s, cup.most_s) for key, cup in CUPS.items() if key.startswith("ford")}
    assert held == published


@pytest.mark.parametrize("row", PREFERRED)
def test_the_preferred_times_of_d1200_lie_within_ours(row: Row) -> None:
    least, most = row.figures
    for cup in ("ford3", "ford4", "ford5"):
        assert CUPS[cup].least_s <= least < most <= CUPS[cup].most_s


@pytest.mark.parametrize("row", CARRIAGE)
def test_iso_cup_beside_the_table_for_the_carriage_of_dangerous_goods(row: Row) -> None:
    """The table rounds: ours is 0 to 3.1 % under it, at 32 s in the 6 mm cup 7.7 %."""
    ours = viscosity_mm2_s(f"iso{row.given['cup_mm']}", row.input("t_s"))
    assert row.figures[0] * (1 - row.within / 100) <= ours <= row.figures[0]


@pytest.mark.parametrize("row", TWO_CUPS)
def test_the_same_liquid_in_two_cups(row: Row) -> None:
    """98 mm2/s by the one cup, 88 by the other: why no cup's seconds are turned into another's."""
    ford = viscosity_mm2_s("ford4", row.input("Ford4_s"))
    zahn = viscosity_mm2_s("zahn2", row.figures[0])
    assert zahn == pytest.approx(ford, rel=row.within / 100)
    assert (round(ford), round(zahn)) == (98, 88)


@pytest.mark.parametrize("row", RANGES)
def test_coefficients_at_the_ends_of_a_range_table(row: Row) -> None:
    """Most of these times lie outside those that ours answers, so the coefficients are held."""
    name = f"iso{row.given['cup_mm']}" if "cup_mm" in row.given else f"ford{row.given['Ford']}"
    cup, seconds = CUPS[name], row.input("t_s")
    ours = cup.slope * (seconds - cup.offset_s) - cup.drop / seconds
    assert ours == pytest.approx(row.figures[0], rel=0.012 if name.startswith("iso") else 0.05)


def test_the_answer_itself_says_that_the_iso_coefficients_are_from_memory() -> None:
    (viscosity,) = (each for each in CALCULATIONS if each.title == "seconds and viscosity")
    (source,) = (result for result in viscosity.results if result.key == "source")
    assert source.label, "a result without a label stands in JSON alone"
    for key, cup in CUPS.items():
        assert ("coefficients from memory" in cup.source) is key.startswith("iso")


@pytest.mark.parametrize("row", OLD_CUP)
def test_seconds_of_the_old_din_cup_are_not_seconds_of_the_iso_cup(row: Row) -> None:
    """DIN 53211 (withdrawn), mm2/s = 4.57 t - 452/t from memory: the same liquid, two cups."""
    din_s = row.input("DIN4_s")
    thickness_mm2_s = 4.57 * din_s - 452 / din_s
    if "outside" in row.expected:
        with pytest.raises(ValueError, match="ISO 2431 cup, 5 mm"):
            seconds_through("iso4", thickness_mm2_s)
    else:
        assert seconds_through("iso4", thickness_mm2_s) == pytest.approx(row.figures[0], abs=1)
    with pytest.raises(ValueError, match="cups do not convert"):
        viscosity_mm2_s("din4", din_s)


@pytest.mark.parametrize("row", CONVERTER)
def test_zahn_2_follows_astm_and_not_a_general_converter(row: Row) -> None:
    """A general converter's table is 53, 22, -5 and -14 % off the ASTM equation at these times.

    It is a table for all liquids of old, without the standard's offset of 14 s. We show ASTM's.
    """
    times = [float(each) for each in row.given["t_s"].split("/")]
    general, astm = (
        [float(each) for each in side.split("/")] for side in row.expected.split(" vs ")
    )
    ours = [viscosity_mm2_s("zahn2", seconds) for seconds in times]
    assert ours == pytest.approx(astm, abs=0.05)
    apart_pct = [round(100 * (g / o - 1)) for g, o in zip(general, ours, strict=True)]
    assert apart_pct == [53, 22, -5, -14]
