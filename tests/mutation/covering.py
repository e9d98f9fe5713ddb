"""Which tests run over a line of the code, and how long each takes: measured once, kept beside."""

from __future__ import annotations

import ast
import json
import os
import re
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import pytest
from coverage import CoverageData

from tests.conftest import IN_REAL_TIME

KEPT = Path(".mutation")
"""Where the map stays, so that a second run begins at once. No part of the project."""


class Durations:
    """A plugin of pytest that writes down the seconds of each test, set-up and all."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Called for set-up, test and taking down."""
        self.seconds[report.nodeid] = self.seconds.get(report.nodeid, 0.0) + report.duration

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        """Written by the process that hands the tests out, which hears of all of them."""
        if not hasattr(session.config, "workerinput"):
            _durations().write_text(json.dumps(self.seconds), encoding="utf-8")


def _durations() -> Path:
    return map_folder() / "durations.json"


def map_folder() -> Path:
    """Where the map stays that is used now."""
    return Path(os.environ.get("PAINTBENCH_MUTATION", KEPT))


def keep_apart() -> None:
    """Use a map of some of the tests, beside that of all."""
    os.environ["PAINTBENCH_MUTATION"] = str(KEPT / "some")


def measure(processes: int, tests: Sequence[str] = ()) -> None:
    """Run the tests once with the lines that each of them reaches written down. None: all tests."""
    map_folder().mkdir(parents=True, exist_ok=True)
    run = (
        "import pytest, sys; from tests.mutation.covering import Durations; "
        "sys.exit(pytest.main(sys.argv[1:], plugins=[Durations()]))"
    )
    waiting = [path for row in IN_REAL_TIME for path in row]
    left_out = [f"--deselect={path}" for path in (*waiting, "tests/packaging")]
    answer = subprocess.run(
        [
            *(sys.executable, "-c", run, "-q", "-n", str(processes), *left_out, *tests),
            *("--cov=bench", "--cov-context=test", "--cov-report="),
        ],
        env=_environment(),
        check=False,
    )
    if answer.returncode:
        raise SystemExit("the tests are not all green: put that right first")


def _environment() -> dict[str, str]:
    return os.environ | {"COVERAGE_FILE": str((map_folder() / "coverage").resolve())}


@dataclass(frozen=True)
class Covering:
    """The map of lines to tests."""

    root: Path

    @cached_property
    def seconds(self) -> dict[str, float]:
        """How long each test took."""
        kept: dict[str, float] = json.loads((self.root / _durations()).read_text(encoding="utf-8"))
        return kept

    @cached_property
    def _data(self) -> CoverageData:
        data = CoverageData(basename=str(self.root / map_folder() / "coverage"))
        data.read()
        return data

    def tests(self, path: str, lines: range) -> list[str]:
        """The tests that run over any of ``lines``, the quickest of its own file first.

        A line that runs when its module is loaded is reached by no test of its own: for it count
        the lines of the rooms, and the files of tests, that name what it defines.
        """
        found = self._reaching(path, lines)
        if not found:
            names = self._named(path, lines)
            found = {
                test
                for file, line in self._users(names)
                for test in self._reaching(file, range(line, line + 1))
            }
            found |= {test for test in self.seconds if names & self._words(test.partition("::")[0])}
        room, module = Path(path).parts[1], Path(path).stem
        return sorted(found, key=lambda test: (self._far(test, room, module), self._took(test)))

    def _took(self, test: str) -> float:
        return self.seconds.get(test, 0.0)

    def _far(self, test: str, room: str, module: str) -> int:
        file = test.partition("::")[0]
        if Path(file).stem == f"test_{module}":
            return 0
        return 1 if f"/{room}/" in f"/{file}" else 2

    def _reaching(self, path: str, lines: range) -> set[str]:
        by_line = self._data.contexts_by_lineno(str(self.root / path))
        named = (context for line in lines for context in by_line.get(line, []))
        return {test for test in (name.rpartition("|")[0] for name in named) if test}

    def _named(self, path: str, lines: range) -> set[str]:
        """What the lines define, and each table of the same file that it is put into."""
        tree = self._trees[path]
        names: set[str] = set()
        more = _defined(tree, lines)
        while more - names:
            names |= more
            tables = [node for node in tree.body if isinstance(node, ast.Assign | ast.AnnAssign)]
            using = [node.lineno for node in tables if names & _names_in(node)]
            more = {name for line in using for name in _defined(tree, range(line, line + 1))}
        return names

    def _words(self, file: str) -> set[str]:
        """Every word in a file of tests, read once."""
        if file not in self._read:
            text = (self.root / file).read_text(encoding="utf-8")
            self._read[file] = set(re.findall(r"\w+", text))
        return self._read[file]

    @cached_property
    def _read(self) -> dict[str, set[str]]:
        return {}

    def _users(self, names: set[str]) -> list[tuple[str, int]]:
        return [
            (file, node.lineno)
            for file, tree in self._trees.items()
            for node in ast.walk(tree)
            if (isinstance(node, ast.Name) and node.id in names)
            or (isinstance(node, ast.Attribute) and node.attr in names)
        ]

    @cached_property
    def _trees(self) -> dict[str, ast.Module]:
        return {
            str(file.relative_to(self.root)): ast.parse(file.read_text(encoding="utf-8"))
            for file in sorted((self.root / "bench").rglob("*.py"))
        }


def _names_in(tree: ast.AST) -> set[str]:
    return {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}


def _defined(tree: ast.Module, lines: range) -> set[str]:
    """The names that the statement at ``lines`` gives a value, in a module, class or signature."""
    names: set[str] = set()
    for node in ast.walk(tree):
        if not isinstance(node, ast.Assign | ast.AnnAssign | ast.FunctionDef):
            continue
        if node.lineno <= lines.start <= (node.end_lineno or node.lineno):
            if isinstance(node, ast.FunctionDef):
                names.add(node.name)
                continue
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names |= {
                name.id for t in targets for name in ast.walk(t) if isinstance(name, ast.Name)
            }
    return names
