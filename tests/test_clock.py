"""The computer's clock and its counter, read as they are."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bench import clock as clocks
from bench.clock import CorrectedClock, SystemClock
from bench.testing import ManualClock

NOON = datetime(2026, 3, 12, 12, 0, tzinfo=UTC)


SLACK = timedelta(seconds=0.5)
"""Besides what goes by between two looks on a busy computer."""


@contextmanager
def looking() -> Iterator[Callable[[], timedelta]]:
    """How far two looks in here may be apart."""
    began = time.monotonic()
    yield lambda: SLACK + timedelta(seconds=time.monotonic() - began)


def since_boot() -> timedelta:
    """By the kernel."""
    return timedelta(seconds=time.clock_gettime(time.CLOCK_BOOTTIME))


def test_the_counter_is_the_kernels_time_since_the_start_suspended_time_included() -> None:
    system = SystemClock()
    with looking() as apart:
        assert abs(system.up() - since_boot()) < apart()
    with looking() as apart:
        assert abs(system.started() + system.up() - system.now()) < apart()


def test_where_the_kernel_shows_no_file_its_clock_is_asked(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(clocks, "_UPTIME", tmp_path / "none")
    monkeypatch.setattr(clocks, "_BOOT_ID", tmp_path / "none")
    system = SystemClock()
    with looking() as apart:
        assert abs(system.up() - since_boot()) < apart()
    assert system.boot
    assert system.boot != SystemClock().boot, "this program's own, as far as anybody can tell"


def test_without_a_counter_of_the_kernels_it_counts_from_the_programs_start(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(clocks, "_UPTIME", tmp_path / "none")
    monkeypatch.delattr(time, "CLOCK_BOOTTIME")
    with looking() as apart:
        assert SystemClock().up() < apart()


def test_two_programs_see_the_same_start() -> None:
    first, second = SystemClock(), SystemClock()
    assert first.boot == second.boot
    with looking() as apart:
        assert abs(first.started() - second.started()) < apart()


def test_put_to_sleep_between_two_looks_it_looks_again(monkeypatch: pytest.MonkeyPatch) -> None:
    ups = iter(timedelta(hours=hours) for hours in (1, 9, 9))
    nows = iter((NOON, NOON + timedelta(hours=8)))
    system = SystemClock()
    monkeypatch.setattr(system, "up", lambda: next(ups))
    monkeypatch.setattr(system, "now", lambda: next(nows))
    assert system.started() == NOON - timedelta(hours=1)


def test_the_shops_time_goes_by_the_counter_once_it_was_believed() -> None:
    hand = ManualClock(NOON)
    shop = CorrectedClock(hand)
    assert shop.now() == NOON
    shop.believe(hand.started(), hand.started())
    hand.step(hours=3)
    assert (hand.now(), shop.now()) == (NOON + timedelta(hours=3), NOON)
    hand.advance(minutes=5)
    assert shop.now() == NOON + timedelta(minutes=5)
    assert CorrectedClock(shop).computer is hand
