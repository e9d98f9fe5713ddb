"""Everything that is tried by force, as one table: in the normal run a little of each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from . import crowd, keys, kills, power_cuts, soak, strikes, sync_faults
from .report import Row


@dataclass(frozen=True)
class Attack:
    """What is tried in a folder of its own, so often, by a seed; so often in the normal run."""

    name: str
    rows: Callable[[Path, int, int], Iterator[Row]]
    short: int
    long: int
    seed: int = 1


@dataclass(frozen=True)
class Tested:
    """What tests of their own try in the normal run, some of them more of it with --long."""

    name: str
    tests: Sequence[str]


ATTACKS: Sequence[Attack] = (
    Attack("kills", kills.rows, 6, 500),
    Attack("strikes", strikes.rows, 40, 2800),
    Attack("sync faults", sync_faults.rows, 6, 400),
    Attack("power cuts", power_cuts.rows, 40, 2200),
    Attack("crowd", crowd.rows, 12, 2000),
    Attack("keys", keys.rows, 250, 100_000, seed=2),
    Attack("soak", soak.rows, 2, 7 * 24),
)

TESTED: Sequence[Tested] = (
    Tested("screen killed", ("tests/test_power_cut.py",)),
    Tested("spoiled log", ("tests/store/databases/test_write_ahead_log.py",)),
    Tested(
        "flipped bits",
        (
            "tests/store/log/test_checksum_chain.py::test_of_many_flipped_bits_in_the_log_none_goes_unseen",
        ),
    ),
    Tested(
        "odd files",
        (
            "tests/commands/subjects/test_exchange.py::test_a_pipe_is_refused_at_once_by_import_and_restore",
            "tests/commands/subjects/test_exchange.py::test_what_is_no_regular_file_is_refused_in_one_line",
            "tests/commands/subjects/test_exchange.py"
            "::test_input_that_is_no_export_is_read_no_further_than_its_beginning",
            "tests/commands/subjects/test_exchange.py"
            "::test_an_export_without_end_is_read_up_to_the_limit_that_is_said",
            "tests/commands/core/test_bad_input.py",
            "tests/store/databases/test_faults.py",
            "tests/shop/seeds/test_broken_seeds.py",
        ),
    ),
    Tested(
        "zone file",
        (
            "tests/test_zones.py"
            "::test_a_zone_file_that_is_replaced_under_the_bench_counts_from_the_next_start",
        ),
    ),
    Tested(
        "set-up killed",
        (
            "tests/packaging/test_scripts.py"
            "::test_after_a_set_up_that_was_killed_the_next_start_sets_up_or_says_why_not",
            "tests/packaging/test_scripts.py"
            "::test_where_an_update_cannot_be_set_up_the_earlier_environment_starts_and_that_is_said",
        ),
    ),
)


def attack(name: str) -> Attack:
    """Find an attack by its name."""
    return next(one for one in ATTACKS if one.name == name)
