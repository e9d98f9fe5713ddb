"""Jobs done once under the library, everything noted: ``recorded`` has them done and reads the notes."""

from __future__ import annotations

import json
import os
import pickle
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from .filework import Library, Note, read_notes, run_under
from .scenarios import SCENARIOS, Scenario

Tree = dict[str, tuple[int, bytes | None]]
"""What was in a folder: by path from there its number, and what it held; None for a folder."""


@dataclass(frozen=True)
class Recording:
    """A job that was done: the folder, what was in it and in the log before, what was done then."""

    scenario: Scenario
    folder: Path
    before: Tree
    lines: list[str] | None
    notes: list[Note]


def recorded(folder: Path) -> Iterator[Recording]:
    """Have the jobs done in a process of its own, each in a folder below this one."""
    run_under(folder, "tests.nothing_lost.recording", str(folder))
    for scenario in SCENARIOS:
        work = folder / scenario.name
        before, lines = pickle.loads(_beside(work, ".before").read_bytes())
        yield Recording(scenario, work, before, lines, list(read_notes(_beside(work, ".notes"))))


def _beside(work: Path, what: str) -> Path:
    return work.with_name(work.name + what)


def _tree(folder: Path) -> Tree:
    paths = [folder, *sorted(folder.rglob("*"))]
    return {
        os.path.relpath(path, folder): (
            path.stat().st_ino,
            None if path.is_dir() else path.read_bytes(),
        )
        for path in paths
    }


def _record(library: Library, scenario: Scenario, work: Path) -> None:
    work.mkdir()
    lines = scenario.prepare(work)
    _beside(work, ".before").write_bytes(pickle.dumps((_tree(work), lines)))
    child = os.fork()
    if child == 0:
        code = 1
        try:
            library.watch(work, _beside(work, ".notes"))
            scenario.job(work, lambda kind, answer: library.say(json.dumps([kind, answer])))
            code = 0
        finally:
            os._exit(code)
    if os.waitpid(child, 0)[1]:
        raise SystemExit(f"{scenario.name} did not come to its end")


def main(words: Sequence[str]) -> None:
    """Do the jobs in a folder."""
    (folder,), library = words, Library()
    for scenario in SCENARIOS:
        _record(library, scenario, Path(folder) / scenario.name)


if __name__ == "__main__":
    main(sys.argv[1:])
