"""Two painters press anything, and mend it afterwards: lots, older facts, lines in the middle.

In the normal run a few sequences, of thirty actions each, the same ones every time; at length, in
twenty numbered batches:

    scripts/test --long tests/simulation/test_random_mending.py

Nothing here has a source but the house rules themselves.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.simulation import LONG

from .mending import Mending
from .painting import sequences

BATCHES, A_BATCH, STEPS = (20, 100, 30) if LONG else (1, 2, 30)


@pytest.mark.parametrize("batch", range(BATCHES), ids=lambda n: f"batch{n:02}")
def test_whatever_is_mended_the_bench_keeps_its_rules(batch: int, template: Path) -> None:
    sequences(Mending, template, batch, examples=A_BATCH, steps=STEPS)
