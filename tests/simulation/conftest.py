"""What the machines that press at random start from."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.shop.seeds.seed_files import Seeds

from .painting import MONDAY
from .shops import folder_in_memory, open_at


@pytest.fixture(scope="module")
def template(seeds: Seeds) -> Iterator[Path]:
    """A shop opened once; every sequence starts from a copy of it."""
    with folder_in_memory() as where:
        file = where / "template.db"
        open_at(file, seeds, MONDAY, 6).store.close()
        yield file
