"""A commit that the system cannot bring to the disk: the answer is true, and nothing is done twice.

A painter takes readings one after the other, and presses again whatever was not done. The sync of the
shop's log fails once, or again and again until he has pressed twice. He is told that nothing was
written only where that was looked for; while the disk goes on failing, that it is not known.
"""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from functools import partial
from pathlib import Path
from random import Random

from bench.clock import SystemClock
from bench.shop.core.transaction import Shop
from bench.shop.environment import readings
from bench.store.databases.database import StoreFault, open_store
from tests.shop.doing import done

from .filework import Counted, Library, run_under
from .report import Row
from .scenarios import Answers, Say, Scenario, a_shop
from .strikes import ERRORS, in_a_child

READINGS_C = (11, 12, 13)
"""After one that goes well: in an empty log nothing has to be looked for behind others."""

ENDS = ("closed", "killed", "killed at the fault")

NOT_WRITTEN = "disk I/O error; it was looked for: nothing was written"


def _press(
    library: Library, work: Path, say: Say, at: int, error: int, lasting: bool, end: str
) -> None:
    """Take the readings; the so-manyth sync fails. Raises AssertionError for a wrong answer."""
    shop, faults = Shop(open_store(str(work / "shop.db")), SystemClock(), "terminal"), 0
    say("line", _read(shop, 10))
    library.watch(work)
    library.strike(at, error, lasting=lasting, counted=Counted.LOGS)
    for air_c in READINGS_C:
        while isinstance(answer := _read(shop, air_c), StoreFault):
            faults += 1
            assert answer.in_doubt == lasting, f"{answer.kind} {answer}"
            assert lasting or str(answer).startswith(NOT_WRITTEN), f"{answer.kind} {answer}"
            if end == "killed at the fault":
                if answer.in_doubt:
                    say("doubt", str(answer))
                return
            if faults == 2:
                library.strike(0)
        say("line", answer)
    assert faults == 1 + lasting, f"{faults} faults"
    if end == "closed":
        shop.store.close()


def _read(shop: Shop, air_c: int) -> str | StoreFault:
    try:
        return done(readings.take_reading(shop, "Kit", air_c=air_c)).text
    except StoreFault as fault:
        return fault


def rows(folder: Path, tries: int, seed: int) -> Iterator[Row]:
    """Let so many syncs fail, once or for a while, in a process of its own."""
    words = (str(folder), str(tries), str(seed))
    for line in run_under(folder, "tests.nothing_lost.sync_faults", *words).splitlines():
        yield Row(**json.loads(line))


def main(words: Sequence[str]) -> None:
    """Try in a folder; a line of JSON for each row."""
    folder, tries, seed = Path(words[0]), int(words[1]), int(words[2])
    library, draw = Library(), Random(seed)
    before, work = folder / "before", folder / "work"
    before.mkdir()
    scenario = Scenario("readings", a_shop, lambda _folder, _say: None)
    lines = scenario.prepare(before)
    table = [Row("sync of the log fails once"), Row("sync of the log fails for a while")]
    for number in range(tries):
        lasting, error = number % len(table), ERRORS[number // len(table) % len(ERRORS)]
        at, end = draw.randint(1, len(READINGS_C)), draw.choice(ENDS)
        answers = Answers(scenario, lines)
        shutil.copytree(before, work)
        press = partial(_press, library, work, at=at, error=error, lasting=bool(lasting), end=end)
        code = in_a_child(press, answers.take)
        fault = f"it ended with {code}" if code else answers.fault_of(work, most_more=0)
        table[lasting].look(f"sync {at}, error {error}, {end}", fault)
        shutil.rmtree(work)
    for row in table:
        print(json.dumps(asdict(row)), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
