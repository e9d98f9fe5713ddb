"""A key that is not there is answered with some that are."""

from __future__ import annotations

import pytest

from bench.process.refusals.refusal import Refusal
from bench.shop.core.mappers import by_key


@pytest.mark.parametrize(
    ("things", "right"),
    [
        (8, "one of k0, k1, k2, k3, k4, k5, k6, k7"),
        (9, "one of k0, k1, k2, k3, k4, k5, k6, k7 (9 in all)"),
    ],
)
def test_up_to_eight_keys_are_named(things: int, right: str) -> None:
    there = {f"k{n}": n for n in range(things)}
    assert by_key(there, "gloss", "product") == Refusal("no product 'gloss'", "", right)


def test_eight_of_those_most_like_it_are_named() -> None:
    there = {f"gloss-{n}": n for n in range(9)}
    answer = by_key(there, "gloss", "product")
    assert isinstance(answer, Refusal)
    assert answer.remedy.count("gloss-") == 8
