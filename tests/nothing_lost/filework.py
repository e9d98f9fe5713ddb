"""A program under a library (filework.c, compiled here) that notes and strikes its work with files."""

from __future__ import annotations

import ctypes
import os
import shutil
import struct
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path

KILLED = 77
"""How a program ends that is killed at a chosen operation."""


class Counted(IntEnum):
    """What counts as an operation: each, those with names, that SQLite's log is brought to the disk."""

    EACH = 0
    NAMES = 1
    LOGS = 2


HEAD = struct.Struct("=8sQQII")


@dataclass(frozen=True)
class Note:
    """One thing that was done: with which file (its number), where, under which names, what."""

    what: str
    file: int
    at: int
    first: bytes
    second: bytes

    @property
    def name(self) -> Path:
        """The path that it is about, or that it was before."""
        return Path(os.fsdecode(self.first))

    @property
    def new_name(self) -> Path:
        """The path that it became."""
        return Path(os.fsdecode(self.second))


def read_notes(file: Path) -> Iterator[Note]:
    """Give all that was noted, in the order in which it was done."""
    raw, at = file.read_bytes(), 0
    while at < len(raw):
        what, number, place, first, second = HEAD.unpack_from(raw, at)
        at += HEAD.size
        middle, end = at + first, at + first + second
        yield Note(what.rstrip(b"\0").decode(), number, place, raw[at:middle], raw[middle:end])
        at = end


def compiler() -> str | None:
    """Find the C compiler."""
    return shutil.which("cc")


def run_under(folder: Path, module: str, *words: str) -> str:
    """Run a module of the tests under the library and give what it wrote. Raises AssertionError."""
    library = folder / "filework.so"
    source = Path(__file__).with_suffix(".c")
    command = [compiler() or "cc", "-shared", "-fPIC", "-o", str(library), str(source)]
    subprocess.run(command, check=True)
    ran = subprocess.run(
        [sys.executable, "-m", module, *words],
        env={**os.environ, "LD_PRELOAD": str(library), "FILEWORK": str(library)},
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 0, ran.stderr[-3000:]
    return ran.stdout


class Library:
    """The library of this process, which was started under it."""

    def __init__(self) -> None:
        self._library = ctypes.CDLL(os.environ["FILEWORK"])
        self._library.filework_left.restype = ctypes.c_long

    def watch(self, folder: Path, notes: Path | None = None) -> None:
        """From now on look at what is done in a folder, and note it in a file."""
        into = "" if notes is None else str(notes)
        self._library.filework_watch(os.fsencode(folder), os.fsencode(into))

    def strike(
        self, at: int, error: int = 0, *, lasting: bool = False, counted: Counted = Counted.EACH
    ) -> None:
        """Kill this process at the so-manyth operation from now, or refuse that one with an error.

        at: 0 for none; lasting: refuse all that follow too.
        """
        self._library.filework_strike(ctypes.c_long(at), error, int(lasting), int(counted))

    def left(self) -> int:
        """Say how many operations are left before the strike."""
        return int(self._library.filework_left())

    def say(self, words: str) -> None:
        """Note what a painter was answered."""
        self._library.filework_say(words.encode())
