"""What a past hour and a past pour may be corrected to. Common practice, no source."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from bench.process.actions.correction_rules import between, off_ratio
from bench.process.refusals.refusal import Refusal
from bench.trade.mixing import Ratio, Share

from ..making import MON, band, product


def told(at: datetime) -> str:
    return f"{at:%H:%M}"


@pytest.mark.parametrize(("seconds", "fits"), [(0, True), (59, True), (60, False)])
def test_an_hour_typed_to_the_minute_is_not_before_what_came_within_that_minute(
    seconds: float, fits: bool
) -> None:
    latest = MON + timedelta(seconds=seconds)
    corrected = between(MON, [latest], [], told)
    assert corrected == latest if fits else isinstance(corrected, Refusal)


@pytest.mark.parametrize(
    ("hardener_ml", "words"),
    [
        (95.1, ""),
        (104.9, ""),
        (105.1, "5 % too much hardener"),
        (94.9, "5 % too little hardener"),
    ],
)
def test_a_pot_that_is_more_than_5_percent_off_its_ratio_says_so(
    hardener_ml: float, words: str
) -> None:
    paint = product(band("open"), ratio=Ratio((Share("base", 4), Share("hardener", 1))))
    assert off_ratio(paint, {"base": 400, "hardener": hardener_ml}) == words
