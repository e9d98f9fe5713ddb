"""Measure, print a table, and with ``--json FILE`` write it too.

Each figure stands beside a floor measured in the same run, so that it means the same on a slow
computer and on a busy one. Nothing passes or fails here; the table says which bars are met.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from . import ageing, planning, storing, terminals, ticking
from .figure import Figure, as_json, table

TICKS, MANY_TICKS = 10_000, 100_000


def main() -> None:
    """Measure everything and print it."""
    parser = argparse.ArgumentParser(prog="scripts/benchmark", description=__doc__)
    parser.add_argument("--json", metavar="FILE", help="write the figures as JSON")
    parser.add_argument(
        "--long",
        action="store_true",
        help=f"{MANY_TICKS:,} ticks for the memory figure instead of {TICKS:,}, and twice the keys",
    )
    parser.add_argument(
        "--only", metavar="PART", choices=(*PARTS, "plan"), help=f"one of {', '.join(PARTS)}, plan"
    )
    parser.add_argument(
        "--bench", metavar="NAME", default="", help="of plan: only one, such as 12/1, or demo"
    )
    given = parser.parse_args()
    if given.only == "plan":
        figures = list(planning.plans(given.bench))
    else:
        figures = _measured([given.only] if given.only else list(PARTS), given.long)
    print(table(figures))
    if given.json:
        text = json.dumps(as_json(figures), indent=1) + "\n"
        Path(given.json).write_text(text, encoding="utf-8")


def _measured(parts: Iterable[str], long: bool) -> list[Figure]:
    """Measure all parts but the plan, which takes an hour of the processor."""
    with tempfile.TemporaryDirectory() as name:
        return [figure for part in parts for figure in PARTS[part](Path(name), long)]


def _memory(folder: Path, long: bool) -> Iterator[Figure]:
    # First of all: what the others leave in memory would hide what the ticks do.
    yield asyncio.run(ticking.memory(folder, MANY_TICKS if long else TICKS))


def _terminals(folder: Path, long: bool) -> Iterator[Figure]:
    yield from terminals.in_terminals(folder, 60 if long else 15, 120 if long else 60)


def _storing(folder: Path, long: bool) -> Iterator[Figure]:
    yield storing.action(folder)
    yield from storing.refresh(folder)
    yield from storing.new_reading(folder)


def _ageing(folder: Path, long: bool) -> Iterator[Figure]:
    yield ageing.a_year()
    yield from ageing.one_more()


def _ticking(folder: Path, long: bool) -> Iterator[Figure]:
    yield from asyncio.run(ticking.ticks(folder))


PARTS = {
    "memory": _memory,
    "terminals": _terminals,
    "storing": _storing,
    "ageing": _ageing,
    "ticking": _ticking,
}


if __name__ == "__main__":
    main()
