"""A program that writes a reading for each figure it is sent, and says how that went."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr
from multiprocessing.connection import Connection
from pathlib import Path

from bench.clock import SystemClock
from bench.shop.core.transaction import Shop, StoreFault
from bench.shop.environment import readings
from bench.store.databases import sqlite
from bench.store.databases.database import open_store
from tests.forks import forking


def write(place: str, asked: Connection) -> None:
    """Write what is asked for until nobody asks any more."""
    sqlite.BUSY_S = 60
    shop = Shop(open_store(place), SystemClock(), "worker")
    while True:
        try:
            air_c = asked.recv()
        except EOFError:
            break
        try:
            told = "done " + readings.take_reading(shop, "Kit", air_c=float(air_c)).text
        except StoreFault as fault:
            told = f"{fault.kind} {fault}"
        asked.send(told)
    shop.store.close()


class Worker:
    """A process of its own with the shop open."""

    def __init__(self, data: Path) -> None:
        self._asked, there = forking.Pipe()
        self.process = forking.Process(target=write, args=(str(data), there))
        with redirect_stderr(sys.__stderr__):  # that of a screen is no file to be handed on
            self.process.start()
        there.close()

    def act(self, air_c: int) -> str:
        """Have it write one; what it says."""
        self._asked.send(air_c)
        return str(self._asked.recv())

    def kill(self) -> None:
        """As the power cut does."""
        self.process.kill()
        self.process.join()
        assert self.process.exitcode == -signal.SIGKILL

    def leave(self) -> None:
        """It closes the shop and ends."""
        self._asked.close()
        self.process.join()
        assert self.process.exitcode == 0


@contextmanager
def working(data: Path) -> Iterator[Worker]:
    """A worker that is gone afterwards, whatever happens."""
    worker = Worker(data)
    try:
        yield worker
    finally:
        worker.process.kill()
        worker.process.join()
