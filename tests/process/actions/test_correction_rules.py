"""What a past hour may be corrected to. Common practice, no source."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from bench.process.actions.correction_rules import between
from bench.process.refusals.refusal import Refusal

from ..making import MON


def told(at: datetime) -> str:
    return f"{at:%H:%M}"


@pytest.mark.parametrize(("seconds", "fits"), [(0, True), (59, True), (60, False)])
def test_an_hour_typed_to_the_minute_is_not_before_what_came_within_that_minute(
    seconds: float, fits: bool
) -> None:
    latest = MON + timedelta(seconds=seconds)
    corrected = between(MON, [latest], [], told)
    assert corrected == latest if fits else isinstance(corrected, Refusal)
