"""`paintbench sum`, run in this process."""

from __future__ import annotations

import io
import math
import shlex
from typing import Any

from bench.commands.sums import run

from .running import Ran


def reckon(line: str, *more: str) -> Ran:
    """Run ``paintbench sum`` with a line as it is typed, and perhaps a few words after it."""
    out, err = io.StringIO(), io.StringIO()
    code = run([*shlex.split(line), *more], out, err)
    return Ran(code, out.getvalue(), err.getvalue())


def figures(line: str, *more: str) -> Any:
    """The answer of a sum as JSON."""
    ran = reckon(line, *more, "--json")
    assert (ran.code, ran.err) == (0, "")
    return ran.json()


def up(published: float, decimals: int = 0) -> float:
    """A published figure as ours shows what must be reached: rounded up."""
    return math.ceil(round(published * 10**decimals, 6)) / 10**decimals


def down(published: float, decimals: int = 0) -> float:
    """A published figure as ours shows what may be used: rounded down."""
    return -up(-published, decimals)


def refused(line: str, *more: str, code: int = 1) -> str:
    """The reason that a sum gives for refusing; nothing is written out."""
    ran = reckon(line, *more)
    assert (ran.code, ran.out) == (code, "")
    return ran.err.splitlines()[0]
