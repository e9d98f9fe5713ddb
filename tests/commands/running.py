"""The command line, run in this process on the tests' clock.

The tables of words are built once and read again and again: a process of the program reads one line.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from bench.__main__ import main
from bench.clock import Clock
from bench.commands.core import parser
from bench.commands.sums import sum_command

for module in (parser, sum_command):
    module.build = cache(module.build)


@dataclass(frozen=True)
class Ran:
    """How a command ended."""

    code: int
    out: str
    err: str

    def json(self) -> Any:
        """What it wrote, read as JSON."""
        return json.loads(self.out)


Paintbench = Callable[..., Ran]


def over_all(paintbench: Paintbench, *words: str, **environment: str) -> Ran:
    """Run it; where rules are in the way, again with the same reason typed for each."""
    refused = paintbench(*words, **environment)
    names = re.findall(r"--override (\S+)=", refused.err)
    reasons = [word for name in names for word in ("--override", f"{name}=other")]
    return paintbench(*words, *reasons, **environment) if names else refused


def run_main(clock: Clock, *words: str, **environment: str) -> Ran:
    """Run the program with these words and no other environment."""
    out, err = io.StringIO(), io.StringIO()
    code = main(list(words), clock=clock, environment=environment, out=out, err=err)
    return Ran(code, out.getvalue(), err.getvalue())
