"""Two lots put together are as bad as the worse of them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.process.actions.merge_rules import worse_of
from bench.process.parts.part import StepRecord
from bench.process.sheets.route import Step

from ..making import MON, after

FIRST = StepRecord(
    1,
    Step("primer", "coat", "p"),
    "done",
    MON,
    after(20),
    passed_at=after(100),
    passed_by="Kit",
    not_before=after(90),
)
LATER = replace(
    FIRST,
    first_at=after(5),
    last_at=after(30),
    passed_at=after(110),
    passed_by="Mo",
    not_before=after(80),
)


@pytest.mark.parametrize(("kept", "other"), [(FIRST, LATER), (LATER, FIRST)])
def test_the_whole_is_as_old_and_as_wet_as_the_worse_whichever_goes_into_which(
    kept: StepRecord, other: StepRecord
) -> None:
    worse = worse_of(kept, other, None)
    assert (worse.first_at, worse.last_at) == (MON, after(30))
    assert (worse.passed_at, worse.not_before) == (after(110), after(90))


@pytest.mark.parametrize(("kept", "other"), [(FIRST, LATER), (LATER, FIRST)])
def test_a_test_that_one_lot_has_still_to_pass_is_not_passed(
    kept: StepRecord, other: StepRecord
) -> None:
    untested = replace(other, passed_at=None, passed_by="", not_before=None)
    worse = worse_of(kept, untested, None)
    assert (worse.passed_at, worse.passed_by) == (None, "")
    assert worse.not_before == kept.not_before
