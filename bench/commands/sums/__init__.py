"""`paintbench sum`: every sum of the trade on the command line. No shop's data is opened.

Nothing but this page is imported until a sum is asked for: the words after ``sum`` are kept as
they are, and read by the parser of the sums.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    Subparsers = argparse._SubParsersAction[Any]

_NO_OPTION = "\0"
"""No word begins with it: to the outer parser all that follows ``sum`` is words."""


def add_sums(subparsers: Subparsers) -> None:
    """Add the command word ``sum`` to the command line."""
    told = "work out a sum of the trade: mix, film, dew point, zinc ..; see: paintbench sum --help"
    command = subparsers.add_parser(
        "sum", help=told, add_help=False, prefix_chars=_NO_OPTION, allow_abbrev=False
    )
    command.add_argument("words", nargs=argparse.REMAINDER)


def run(words: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Answer the words after ``sum``: 0 done, 1 refused by the sum, 2 not readable."""
    from bench.commands.sums.answering import answer

    return answer(words, out, err)
