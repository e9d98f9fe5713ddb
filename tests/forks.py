"""Commands of the real program, each in a process of its own that has loaded everything already.

Loading the program takes longer than most commands. A process that has loaded it forks for every
command: ``python -m tests.forks``. A line of JSON goes in for each, and one comes back.

For processes that run a function of the tests and nothing else there is ``forking``.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from multiprocessing import get_context
from typing import Any

forking = get_context("forkserver")
"""Its processes are forked from one that has loaded the shop, and none of what this one holds."""
forking.set_forkserver_preload(["pytest", "tests.nothing_lost.crowd"])


class Forks:
    """The program, ready to be given words."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self._process = process

    def run(self, environment: Mapping[str, str], *words: str) -> subprocess.CompletedProcess[str]:
        """Run a command in this environment."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps([words, dict(environment)]) + "\n")
        self._process.stdin.flush()
        code, out, err = json.loads(self._process.stdout.readline())
        return subprocess.CompletedProcess(words, code, out, err)


@contextmanager
def forks(environment: Mapping[str, str]) -> Iterator[Forks]:
    """The program loaded with this in its environment, which a library may be loaded by."""
    with subprocess.Popen(
        [sys.executable, "-m", "tests.forks"],
        env={**os.environ, **environment},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        yield Forks(process)
        process.communicate()


def _forked(words: list[str], environment: dict[str, str]) -> list[Any]:
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        child = os.fork()
        if child == 0:
            os.environ.clear()
            os.environ.update(environment)
            time.tzset()
            for fd, file in ((1, out), (2, err)):
                os.dup2(file.fileno(), fd)
            _run(words)
        _, ended = os.waitpid(child, 0)
        return [os.waitstatus_to_exitcode(ended), *(_whole(file) for file in (out, err))]


def _run(words: list[str]) -> None:
    from bench.__main__ import main

    code = 1
    try:
        code = main(words)
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _whole(file: Any) -> str:
    file.seek(0)
    return str(file.read().decode())


if __name__ == "__main__":
    for module in ("bench.__main__", "bench.app"):
        import_module(module)
    for command in import_module("bench.commands.core.catalogue").COMMANDS:
        if command.target:
            command.function()
    for line in sys.stdin:
        print(json.dumps(_forked(*json.loads(line))), flush=True)
