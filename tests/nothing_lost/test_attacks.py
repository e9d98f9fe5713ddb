"""A little of everything that is tried by force; all of it with --long, or by ``tests.nothing_lost``."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.databases import pytest_generate_tests
from tests.nothing_lost.attacks import TESTED, attack
from tests.nothing_lost.crowd import crowd
from tests.nothing_lost.filework import compiler
from tests.nothing_lost.keys import press
from tests.nothing_lost.kills import kill
from tests.simulation import LONG

__all__ = ["pytest_generate_tests"]

needs_a_compiler = pytest.mark.skipif(
    compiler() is None and not os.environ.get("CI"), reason="no C compiler here"
)


def size(name: str) -> int:
    """How often an attack is tried in this run."""
    return attack(name).long if LONG else attack(name).short


def held(name: str, folder: Path) -> int:
    """Try an attack and give how often it was; fails where anything was wrong."""
    rows = list(attack(name).rows(folder, size(name), attack(name).seed))
    assert [fault for row in rows for fault in row.wrong] == []
    assert all(row.tries for row in rows)
    return sum(row.tries for row in rows)


def test_after_kill_9_every_acknowledged_action_is_there_and_none_is_half_there(
    tmp_path: Path,
) -> None:
    figures = kill(size("kills"), seed=1, folder=tmp_path, most=12)
    assert figures.acknowledged > 2 * figures.kills


@needs_a_compiler
@pytest.mark.sqlite
def test_killed_or_refused_at_any_work_with_files_nothing_acknowledged_is_lost_or_half_there(
    tmp_path: Path,
) -> None:
    assert held("strikes", tmp_path) >= size("strikes")


@needs_a_compiler
@pytest.mark.sqlite
def test_where_a_commit_is_not_brought_to_the_disk_the_answer_is_true_and_nothing_is_done_twice(
    tmp_path: Path,
) -> None:
    assert held("sync faults", tmp_path) == size("sync faults")


@needs_a_compiler
@pytest.mark.sqlite
def test_after_a_power_cut_whatever_was_acknowledged_is_on_the_disk_and_it_is_whole(
    tmp_path: Path,
) -> None:
    assert held("power cuts", tmp_path) > 0.9 * size("power cuts")


def test_of_four_processes_at_once_no_update_is_lost_and_no_fault_is_met(data: Path) -> None:
    told = crowd(str(data), processes=4, actions=size("crowd"), seed=1)
    assert [len(one.lines) for one in told] == [size("crowd")] * 4
    assert sum(one.conflicts for one in told) > 0


def test_whatever_is_pressed_the_bench_goes_on_and_keys_by_hand_come_to_something(
    tmp_path: Path,
) -> None:
    figures = press(size("keys"), attack("keys").seed, tmp_path)
    assert figures.keys == size("keys")
    assert figures.lines, "how many hangs on how fast the computer is"


def test_hours_in_which_nobody_does_anything_write_nothing_and_leave_nothing_behind(
    tmp_path: Path,
) -> None:
    assert held("soak", tmp_path) == size("soak") - 1


def test_the_tests_that_the_table_names_are_there() -> None:
    root = Path(__file__).parents[2]
    for node in [node for tested in TESTED for node in tested.tests]:
        file, _, name = node.partition("::")
        assert f"def {name or 'test_'}" in (root / file).read_text(encoding="utf-8"), node
