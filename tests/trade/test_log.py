"""A long log of temperatures in runs says what the plain sum over its stretches says."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.trade import ageing, log
from bench.trade.ageing import Passing, Side, Stretch, TimeTable
from bench.trade.log import RUN, Log

HOUR = 3600.0
DAY = 24 * HOUR
EPOXY: TimeTable = ((10.0, 24 * HOUR), (20.0, 16 * HOUR))
"""Full-build epoxy, first recoat: two generic data sheets (source seen) print 24 h and 16 h."""


@st.composite
def tables(draw: st.DrawFn) -> TimeTable:
    temps = sorted(draw(st.sets(st.integers(-20, 60), min_size=1, max_size=4)))
    times = draw(st.lists(st.floats(600, 1e6), min_size=len(temps), max_size=len(temps)))
    return tuple((float(c), s) for c, s in zip(temps, sorted(times, reverse=True), strict=True))


@st.composite
def drawn(draw: st.DrawFn, most: int = 60) -> list[Stretch]:
    gaps = draw(st.lists(st.integers(0, 30_000), min_size=1, max_size=most))
    temps = draw(st.lists(st.integers(-20, 60), min_size=len(gaps), max_size=len(gaps)))
    at_s, found = 0.0, []
    for gap_s, temp_c in zip(gaps, temps, strict=True):
        at_s += gap_s / 8
        found.append(Stretch(at_s, temp_c / 2))
    return found


edges: st.SearchStrategy[Side] = st.sampled_from(["opening", "closing"])
leasts = st.one_of(st.none(), st.floats(-10, 30))


def agree(found: Passing, plain: Passing) -> bool:
    """To the microsecond; the figure and the stall are the same."""
    assert (found.at_s is None) == (plain.at_s is None)
    assert found.basis == plain.basis
    assert found.stalled_s == pytest.approx(plain.stalled_s, abs=1e-6)
    return found.at_s is None or found.at_s == pytest.approx(plain.at_s, rel=1e-12, abs=1e-6)


@pytest.fixture
def short_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Runs of three stretches, of which two are soon, so that a short log has several."""
    monkeypatch.setattr(log, "RUN", 3)
    monkeypatch.setattr(log, "SOON", 2)


@pytest.mark.usefixtures("short_runs")
@given(tables(), drawn(), st.floats(-1e4, 1e6), edges, leasts)
def test_the_log_passes_when_the_plain_sum_does(
    table: TimeTable, stretches: list[Stretch], begin_s: float, edge: Side, least_c: float | None
) -> None:
    plain = ageing.passes_at(table, stretches, begin_s, edge, least_c)
    assert agree(Log.of(stretches).passes_at(table, begin_s, edge, least_c), plain)


@pytest.mark.usefixtures("short_runs")
@given(tables(), drawn(), drawn(), st.floats(0, 1.2), st.floats(0, 1), edges, leasts)
def test_a_log_redrawn_from_anywhere_is_the_log_drawn_at_once(
    table: TimeTable,
    before: list[Stretch],
    after: list[Stretch],
    where: float,
    begun: float,
    edge: Side,
    least_c: float | None,
) -> None:
    from_s = round(before[-1].start_s * where)
    after = [Stretch(from_s + (s.start_s - after[0].start_s), s.temp_c) for s in after]
    whole = [*(s for s in before if s.start_s < from_s), *after]
    first = Log.of(before)
    first.passes_at(table, 0.0, edge, least_c)
    again = first.redrawn(from_s, after)
    begin_s = begun * whole[-1].start_s
    assert agree(
        again.passes_at(table, begin_s, edge, least_c),
        ageing.passes_at(table, whole, begin_s, edge, least_c),
    )
    assert agree(
        first.passes_at(table, begin_s, edge, least_c),
        ageing.passes_at(table, before, begin_s, edge, least_c),
    ), "the log it was drawn from stays as it was"


@pytest.mark.parametrize("edge", ["opening", "closing"])
def test_through_a_month_of_minutes_both_agree_to_the_microsecond(edge: Side) -> None:
    minutes = 30 * 24 * 60
    stretches = [
        Stretch(60.0 * n, round(14 + 8 * math.sin(n / 229) + n * n % 7 / 10, 1))
        for n in range(minutes)
    ]
    whole = Log.of(stretches)
    for table in (EPOXY, ((20.0, 14 * DAY),), ((20.0, 20 * 60.0),)):
        for n in range(20):
            begin_s = (n / 19) ** 0.5 * minutes * 60
            plain = ageing.passes_at(table, stretches, begin_s, edge, 8.0)
            assert agree(whole.passes_at(table, begin_s, edge, 8.0), plain)


def test_a_stretch_added_at_the_end_leaves_the_finished_runs_alone() -> None:
    long = Log.of([Stretch(60.0 * n, 18.0 + n % 5) for n in range(5 * RUN)])
    later = long.redrawn(60.0 * 5 * RUN, [Stretch(60.0 * 5 * RUN, 12.0)])
    assert len(long.runs) == 5
    assert all(a is b for a, b in zip(long.runs[:4], later.runs[:4], strict=True))
    assert [s.start_s for s in later] == [60.0 * n for n in range(5 * RUN + 1)]


def test_a_pass_that_falls_on_the_end_of_a_stretch_does_not_wait_for_the_cold_night_after_it() -> (
    None
):
    """Thirds of an hour do not sum to one in binary; the night after them lasts twelve hours."""
    table: TimeTable = ((20.0, 3 * HOUR),)
    thirds = [Stretch(n * HOUR, 20.0) for n in range(3)]
    night = [Stretch(3 * HOUR, 2.0), Stretch(15 * HOUR, 20.0)]
    plain = ageing.passes_at(table, [*thirds, *night], 0.0, "opening", 5.0)
    assert plain.at_s == pytest.approx(3 * HOUR)
    assert agree(Log.of([*thirds, *night]).passes_at(table, 0.0, "opening", 5.0), plain)


def test_a_log_that_cannot_be_right_is_refused_as_the_plain_one_is() -> None:
    with pytest.raises(ValueError, match="no temperature at all"):
        Log.of([])
    with pytest.raises(ValueError, match="list readings in order of time"):
        Log.of([Stretch(0, 20), Stretch(60, 20), Stretch(30, 20)])
    with pytest.raises(ValueError, match=r"temperature 121 C: must be"):
        Log.of([Stretch(0, 121)]).passes_at(EPOXY, 0, "opening")
    with pytest.raises(ValueError, match="empty table"):
        Log.of([Stretch(0, 20)]).passes_at((), 0, "opening")
    with pytest.raises(ValueError, match="beginning nan"):
        Log.of([Stretch(0, 20)]).passes_at(EPOXY, math.nan, "opening")
