"""A job killed, or refused by the disk, at each thing it does with files, SQLite's own included.

Each time the job begins with the same folder, in a process forked for it, and is met at the next
operation. Then the shop is opened as any start opens it: what was acknowledged is there, nothing is
half there, and of what was refused nothing is there afterwards.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from random import Random
from typing import Any

from .filework import KILLED, Counted, Library, run_under
from .report import Row
from .scenarios import SCENARIOS, Answers, Say, Scenario

NEVER = 1_000_000_000

ERRORS = (errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EROFS)
"""The disk is full, broken, the share of it used up, or it can only be read."""

STRUCK = [scenario for scenario in SCENARIOS if scenario.name != "two terminals"]
"""Of two processes each would count for itself."""

WAYS: dict[str, tuple[int, ...]] = {"killed": (0,), "refused": ERRORS}


def rows(folder: Path, tries: int, seed: int) -> Iterator[Row]:
    """Strike so often in all, at operations that lie evenly, in a process of its own."""
    each = -(-tries // (len(STRUCK) * len(WAYS)))
    words = (str(folder), str(each), str(seed))
    for line in run_under(folder, "tests.nothing_lost.strikes", *words).splitlines():
        yield Row(**json.loads(line))


@dataclass(frozen=True)
class Strike:
    """Where and how a job is met: killed, or refused with an error, at the so-manyth operation."""

    at: int
    error: int = 0
    lasting: bool = False
    counted: Counted = Counted.EACH

    def __str__(self) -> str:
        """The words for a fault."""
        lasting = ", lasting" if self.lasting else ""
        return f"at {self.at} of {self.counted.name.lower()}, error {self.error}{lasting}"


def _strike(library: Library, scenario: Scenario, folder: Path, each: int, draw: Random) -> None:
    before, work = folder / "before", folder / "work"
    before.mkdir()
    lines = scenario.prepare(before)

    def struck(strike: Strike) -> tuple[int, Answers, int]:
        shutil.copytree(before, work)
        return _struck(library, scenario, work, Answers(scenario, lines), strike)

    def steps(counted: Counted) -> int:
        code, _, left = struck(Strike(NEVER, counted=counted))
        assert code == 0, f"{scenario.name} did not come to its end"
        shutil.rmtree(work)
        return NEVER - left

    many = {counted: steps(counted) for counted in (Counted.EACH, Counted.NAMES)}
    for way, errors in WAYS.items():
        names = f"{many[Counted.NAMES]} of them with names"
        row = Row(f"{way}: {scenario.name}", notes=f"of {many[Counted.EACH]} operations, {names}")
        for strike in _strikes(many, each, errors, draw):
            code, answers, _ = struck(strike)
            row.look(f"{way} {strike}", _fault_after(work, answers, code))
            shutil.rmtree(work)
        print(json.dumps(asdict(row)), flush=True)
    shutil.rmtree(before)


def _strikes(
    many: dict[Counted, int], each: int, errors: Sequence[int], draw: Random
) -> Iterator[Strike]:
    """Half of them among all operations, half among the fewer with names, that lie evenly."""
    for counted, steps in many.items():
        every = max(steps * len(many) // each, 1)
        for at in range(draw.randint(1, every), steps + 1, every):
            yield Strike(at, draw.choice(errors), draw.random() < 0.5, counted)


def _fault_after(work: Path, answers: Answers, code: int) -> str:
    if code not in (0, KILLED):
        return f"it ended with {code}"
    return answers.fault_of(work, answers.scenario.own_lines + (code == KILLED))


def _struck(
    library: Library, scenario: Scenario, work: Path, answers: Answers, strike: Strike
) -> tuple[int, Answers, int]:
    left = NEVER

    def job(say: Say) -> None:
        library.watch(work)
        library.strike(strike.at, strike.error, lasting=strike.lasting, counted=strike.counted)
        scenario.job(work, say)
        say("left", library.left())

    def hear(kind: str, answer: Any) -> None:
        nonlocal left
        if kind == "left":
            left = answer
        else:
            answers.take(kind, answer)

    return in_a_child(job, hear), answers, left


def in_a_child(job: Callable[[Say], None], hear: Say) -> int:
    """Fork, do a job there, hear here what it says; gives how the child ended: 0 at the job's end."""
    here, there = os.pipe()
    child = os.fork()
    if child == 0:
        code = 1
        try:
            os.close(here)
            job(_into(there))
            code = 0
        except Exception:
            traceback.print_exc()
        finally:
            os._exit(code)
    os.close(there)
    with open(here, encoding="utf-8") as pipe:
        for line in pipe:
            hear(*json.loads(line))
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _into(pipe: int) -> Say:
    def say(kind: str, answer: Any) -> None:
        os.write(pipe, (json.dumps([kind, answer]) + "\n").encode())

    return say


def main(words: Sequence[str]) -> None:
    """Strike the jobs in a folder; a line of JSON for each row."""
    folder, each, seed = words
    library, draw = Library(), Random(int(seed))
    for scenario in STRUCK:
        _strike(library, scenario, Path(folder), int(each), draw)


if __name__ == "__main__":
    main(sys.argv[1:])
