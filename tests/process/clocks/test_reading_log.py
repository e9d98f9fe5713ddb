"""Readings that share one list each see their own and no more."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bench.process.clocks.reading_log import Readings
from bench.process.clocks.temperature import Reading

from ..making import after

some = st.lists(st.integers(0, 30), max_size=6)


def readings(minutes: list[int]) -> list[Reading]:
    return [Reading(after(minute), 10.0 + place) for place, minute in enumerate(minutes)]


@given(some, some, some)
def test_whatever_is_added_nobody_sees_more_than_his_own(
    first: list[int], one: list[int], other: list[int]
) -> None:
    begun = Readings(readings(first))
    with_one = begun.with_more(readings(sorted(one)))
    with_other = begun.with_more(readings(sorted(other)))
    assert begun == sorted(readings(first), key=lambda r: r.at)
    assert with_one == sorted([*begun, *readings(sorted(one))], key=lambda r: r.at)
    assert with_other == sorted([*begun, *readings(sorted(other))], key=lambda r: r.at)
    assert with_one.with_more(begun) == sorted([*with_one, *begun], key=lambda r: r.at)


def test_a_later_reading_is_added_without_copying_those_before() -> None:
    begun = Readings(readings([0, 1]))
    more = begun.with_more(readings([2]))
    assert more._shared is begun._shared
    assert begun.with_more(readings([5]))._shared is not begun._shared
    assert [r.at for r in more[1:]] == [after(1), after(2)]
    assert more[1:]._shared is begun._shared
    assert (len(begun), len(more)) == (2, 3)


def test_readings_are_alike_whatever_holds_them() -> None:
    begun = Readings(readings([0, 1]))
    assert begun == tuple(readings([0, 1]))
    assert begun != tuple(readings([0]))
    assert hash(begun) == hash(tuple(readings([0, 1])))
