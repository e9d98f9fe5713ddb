"""Attack, and print one table: what was tried, what was lost, what was wrong besides.

python -m tests.nothing_lost                       a little of each
python -m tests.nothing_lost --long --only crowd   one of them at its full size
python -m tests.nothing_lost --only crowd --db postgresql+psycopg://...    in an empty database
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Iterable
from functools import partial
from pathlib import Path

from . import crowd, tested
from .attacks import ATTACKS, TESTED, Attack, Tested
from .report import Row, table


def main() -> int:
    """Attack, print the table, and give 1 where anything was wrong."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.nothing_lost",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    names = [attack.name for attack in (*ATTACKS, *TESTED)]
    parser.add_argument("--long", action="store_true", help="at their full size")
    parser.add_argument("--only", choices=names, action="append", help="may be given several times")
    parser.add_argument("--seed", type=int, help="another than that of the tests")
    parser.add_argument("--db", default="", help="an empty database for the crowd")
    given = parser.parse_args()
    rows: list[Row] = []
    for attack in (*ATTACKS, *TESTED):
        if given.only and attack.name not in given.only:
            continue
        began = time.monotonic()
        with tempfile.TemporaryDirectory(prefix="paintbench-") as folder:
            rows += _tried(attack, Path(folder), given)
        print(f"{attack.name}: {time.monotonic() - began:.0f} s", file=sys.stderr)
    sys.stdout.writelines(f"{line}\n" for line in table(rows))
    return int(any(row.wrong for row in rows))


def _tried(attack: Attack | Tested, folder: Path, given: argparse.Namespace) -> Iterable[Row]:
    if isinstance(attack, Tested):
        return [tested.row(attack.name, attack.tests, folder, long=given.long)]
    rows = partial(crowd.rows, place=given.db) if attack.name == "crowd" else attack.rows
    size = attack.long if given.long else attack.short
    return rows(folder, size, attack.seed if given.seed is None else given.seed)


if __name__ == "__main__":
    sys.exit(main())
