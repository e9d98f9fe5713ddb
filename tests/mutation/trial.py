"""One change at a time in a copy of the checkout, and the tests that run over it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from signal import SIGKILL, SIGXCPU

from .mutants import Mutant

COPIED = ("bench", "tests", "seeds", "scripts", "pyproject.toml", "README.md", "DEVELOPERS.md")
LEAST_S = 30.0
"""Nobody waits less for tests that hang."""

BUSY = 10
"""So many times as long is waited by the clock on the wall: the computer may do other work too."""


class Verdict(StrEnum):
    """What became of a change."""

    KILLED = "killed"
    HUNG = "killed, by hanging"
    SURVIVED = "survived"
    UNSEEN = "no test runs over it"


@dataclass(frozen=True)
class Trial:
    """A change, what became of it, and how many tests were asked."""

    mutant: Mutant
    verdict: Verdict
    tests: int
    reaching: int
    """Tests that run over it; more than were asked where they would take too long."""

    @property
    def is_killed(self) -> bool:
        """Whether a test noticed."""
        return self.verdict in (Verdict.KILLED, Verdict.HUNG)


@contextmanager
def copy_of(root: Path) -> Iterator[Path]:
    """A copy of the checkout to be sabotaged; gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="mutation-") as name:
        top = Path(name)
        for each in COPIED:
            if (root / each).is_dir():
                shutil.copytree(
                    root / each, top / each, ignore=shutil.ignore_patterns("__pycache__")
                )
            else:
                shutil.copy(root / each, top / each)
        (top / "tests/mutation/test_mutants.py").unlink()
        yield top


def tried(mutant: Mutant, tests: list[str], seconds: float, top: Path) -> Verdict:
    """Whether one of ``tests``, which take ``seconds`` together, notices ``mutant`` in the copy ``top``."""
    if not tests:
        return Verdict.UNSEEN
    file = top / mutant.path
    sound = file.read_text(encoding="utf-8")
    wanted = top / "wanted.txt"
    wanted.write_text("\n".join(tests), encoding="utf-8")
    work_s = int(LEAST_S + 4 * seconds)
    try:
        file.write_text(mutant.of(sound), encoding="utf-8")
        answer = subprocess.run(
            [
                *("prlimit", f"--cpu={work_s}"),
                *(sys.executable, "-m", "pytest", "-x", "-q", "-n", "0"),
                *("-p", "no:cacheprovider", "-W", "ignore", f"@{wanted}"),
            ],
            cwd=top,
            # Compiled files are told apart by the second of their source, which is too coarse here.
            env=os.environ | {"PYTHONPATH": str(top), "PYTHONDONTWRITEBYTECODE": "1"},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            timeout=BUSY * work_s,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return Verdict.HUNG
    finally:
        file.write_text(sound, encoding="utf-8")
    if answer.returncode in (-SIGXCPU, -SIGKILL):
        return Verdict.HUNG
    return Verdict.SURVIVED if answer.returncode == 0 else Verdict.KILLED
