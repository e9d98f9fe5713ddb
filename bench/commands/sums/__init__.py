"""`paintbench sum`: every sum of the trade on the command line. No shop's data is opened.

Nothing but this page is imported until a sum is asked for: the words after ``sum`` are kept as
they are, and read by the parser of the sums.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TextIO


def run(words: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Answer the words after ``sum``: 0 done, 1 refused by the sum, 2 not readable."""
    from bench.commands.sums.sum_command import answer

    return answer(words, out, err)
