"""Change the code in small ways, one at a time, and count how many changes a test notices.

The sample is drawn with a fixed seed over the rooms of the sums, the rules, the shop and the store.
Each change is tried with the tests that run over its line, the nearest first, as many as fit in the
budget of seconds. The first run measures which tests reach which line and keeps that in .mutation;
--tests measures some of them alone, which takes minutes, and tries only those.
A change that alters nothing anybody could see is listed with its reason in survivors.toml.
"""

from __future__ import annotations

import argparse
import json
import random
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import takewhile
from os import cpu_count
from pathlib import Path
from queue import SimpleQueue

from .covering import Covering, keep_apart, map_folder, measure
from .mutants import Mutant, mutants
from .trial import Trial, copy_of, tried

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("trade", "process", "shop", "store")
HOW_MANY, SEED, BUDGET_S = 400, 20250609, 40.0
REASONS = Path(__file__).with_name("survivors.toml")


def main() -> int:
    """Sample, try, print; 1 if too few changes were noticed."""
    parser = argparse.ArgumentParser(prog="scripts/mutate", description=__doc__)
    parser.add_argument("paths", nargs="*", type=Path, help="files or folders; else all four rooms")
    parser.add_argument(
        "--count", type=int, default=HOW_MANY, help=f"as many, {HOW_MANY} if not said"
    )
    parser.add_argument("--seed", type=int, default=SEED, help=f"{SEED} if not said")
    parser.add_argument("--since", metavar="COMMIT", help="only lines changed since then")
    parser.add_argument("--only", metavar="WORDS", help="only changes whose line holds these words")
    parser.add_argument("--budget", type=float, default=BUDGET_S, help="seconds of tests a change")
    parser.add_argument("--processes", type=int, default=cpu_count() or 1)
    parser.add_argument(
        "--measure", action="store_true", help="measure anew which test reaches what"
    )
    parser.add_argument(
        "--json", metavar="FILE", type=Path, help="write what became of each as well"
    )
    parser.add_argument(
        "--tests",
        nargs="+",
        default=[],
        metavar="TEST",
        help="only these files or folders of tests",
    )
    given = parser.parse_args()
    if given.tests:
        keep_apart()
    chosen = sample(given)
    if given.measure or given.tests or not (ROOT / map_folder() / "durations.json").exists():
        measure(given.processes + 1, given.tests)
    trials = list(_tried_all(chosen, given.budget, given.processes))
    trials.sort(key=lambda trial: (trial.mutant.path, trial.mutant.start))
    print(report(trials, reasons()))
    if given.json:
        given.json.write_text(json.dumps([_plain(trial) for trial in trials], indent=1) + "\n")
    return 0


def sample(given: argparse.Namespace) -> list[Mutant]:
    """The changes to be tried, the same for the same code, paths and seed."""
    paths = given.paths or [Path("bench", room) for room in ROOMS]
    files = sorted({file for path in paths for file in _files(ROOT / path)})
    every = [m for file in files for m in mutants(str(file.relative_to(ROOT)), file.read_text())]
    if given.since:
        lines = _changed_since(given.since)
        every = [m for m in every if m.line in lines.get(m.path, ())]
    if given.only:
        every = [m for m in every if given.only in str(m)]
    return random.Random(given.seed).sample(every, min(given.count, len(every)))


def _files(path: Path) -> Iterable[Path]:
    return path.rglob("*.py") if path.is_dir() else [path]


def _changed_since(commit: str) -> dict[str, set[int]]:
    """The lines of each file that are not as they were in ``commit``."""
    told = subprocess.run(
        ["git", "diff", "--unified=0", "--no-color", commit, "--", "bench"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    changed: dict[str, set[int]] = {}
    path = ""
    for line in told.splitlines():
        if line.startswith("+++ b/"):
            path = line.removeprefix("+++ b/")
        elif line.startswith("@@"):
            first, _, many = line.split(" ")[2].removeprefix("+").partition(",")
            begin = int(first)
            changed.setdefault(path, set()).update(range(begin, begin + int(many or 1)))
    return changed


def _tried_all(chosen: list[Mutant], budget_s: float, processes: int) -> Iterator[Trial]:
    covering = Covering(ROOT)
    copies: SimpleQueue[Path] = SimpleQueue()

    def one(mutant: Mutant) -> Trial:
        top = copies.get()
        try:
            return _trial(mutant, covering, budget_s, top)
        finally:
            copies.put(top)

    with ThreadPoolExecutor(processes) as pool:
        contexts = [copy_of(ROOT) for _ in range(processes)]
        try:
            for context in contexts:
                copies.put(context.__enter__())
            for number, trial in enumerate(pool.map(one, chosen), start=1):
                print(f"{number}/{len(chosen)} {trial.verdict}: {trial.mutant}", file=sys.stderr)
                yield trial
        finally:
            for context in contexts:
                context.__exit__(None, None, None)


def _trial(mutant: Mutant, covering: Covering, budget_s: float, top: Path) -> Trial:
    lines = range(mutant.line, mutant.line + 1)
    reaching = covering.tests(mutant.path, lines)
    spent = 0.0

    def fits(test: str) -> bool:
        nonlocal spent
        spent += covering.seconds.get(test, 0.0)
        return spent <= budget_s

    tests = list(takewhile(fits, reaching)) or reaching[:1]
    verdict = tried(mutant, tests, min(spent, budget_s), top)
    return Trial(mutant, verdict, len(tests), len(reaching))


def reasons() -> dict[str, str]:
    """Why a change that no test notices changes nothing, by its key."""
    listed = tomllib.loads(REASONS.read_text(encoding="utf-8")).get("survivor", [])
    return {entry["change"]: entry["reason"] for entry in listed}


def report(trials: list[Trial], why: dict[str, str]) -> str:
    """The table by rooms, and below it each change that nobody noticed."""
    lines = [f"{'room':10}{'tried':>7}{'killed':>8}{'survived':>10}{'killed':>9}"]
    for room in (*ROOMS, "all"):
        of = [t for t in trials if room == "all" or t.mutant.path.startswith(f"bench/{room}/")]
        killed = sum(t.is_killed for t in of)
        if of:
            share = f"{100 * killed / len(of):.1f} %"
            lines.append(f"{room:10}{len(of):>7}{killed:>8}{len(of) - killed:>10}{share:>9}")
    for trial in trials:
        if not trial.is_killed:
            asked = f"{trial.tests} of {trial.reaching} tests"
            lines += ["", f"{trial.mutant}", f"    {why.get(trial.mutant.key, 'no reason known')}"]
            lines.append(f"    {trial.verdict}; {asked}")
    return "\n".join(lines)


def _plain(trial: Trial) -> dict[str, object]:
    return {
        "change": trial.mutant.key,
        "line": trial.mutant.line,
        "verdict": str(trial.verdict),
        "tests": trial.tests,
        "reaching": trial.reaching,
    }


if __name__ == "__main__":
    raise SystemExit(main())
