"""The table of commands: it lists, explains, takes and runs what it says, and nothing else does."""

from __future__ import annotations

import inspect
import re
import shlex
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from bench.clock import ManualClock
from bench.commands.call import NO_ARGUMENTS, OVERRIDES
from bench.commands.catalogue import COMMANDS, GROUPS, actions_of
from bench.commands.command import Command
from bench.commands.parser import build, parse

from .running import Paintbench, Ran, run_main

README = Path(__file__).resolve().parents[2] / "README.md"

RUN = [command for command in COMMANDS if command.target]
EXAMPLES = [(command, line) for command in RUN for line in command.examples]


def named(command: Command) -> str:
    """How a test of one command is called."""
    return command.name


def test_no_command_stands_there_twice_and_each_has_examples() -> None:
    assert max(Counter(command.name for command in COMMANDS).values()) == 1
    for command in COMMANDS:
        assert bool(command.examples) == bool(command.target), command.name
        assert bool(command.target) or actions_of(command), command.name


def test_an_action_stands_behind_a_command_of_the_table() -> None:
    words = {command.name for command in COMMANDS}
    assert {name.partition(" ")[0] for name in words} <= words


def test_the_help_lists_every_command_under_its_subject_in_lines_that_fit(
    anywhere: Paintbench,
) -> None:
    ran = anywhere("--help")
    assert (ran.code, ran.err) == (0, "")
    below = ran.out
    for group in GROUPS:
        _, title, below = below.partition(f"\n{group.title}:\n")
        assert title, f"{group.title} is not listed, or not in the order of the table"
        listed = below.partition("\n\n")[0].splitlines()
        commands = [command for command in group.commands if " " not in command.name]
        assert [line.split()[0] for line in listed] == [command.name for command in commands]
        for line, command in zip(listed, commands, strict=True):
            assert line.endswith(f" {command.help}")
            assert len(line) <= 79, line


@pytest.mark.parametrize("command", COMMANDS, ids=named)
def test_every_command_explains_itself_with_its_examples_and_takes_its_data_after_its_name(
    anywhere: Paintbench, command: Command
) -> None:
    ran = anywhere(*command.name.split(), "--help")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(f"usage: paintbench {command.name}")
    if command.kind == "sums":
        return
    assert "--db PLACE" in ran.out
    for example in command.examples:
        assert f"\n  paintbench {example}\n" in ran.out
    for action in actions_of(command):
        assert re.search(rf"^    {action.name.split()[1]}\b", ran.out, re.MULTILINE)


@pytest.mark.parametrize("command", RUN, ids=named)
def test_what_a_command_needs_says_which_options_it_takes(
    anywhere: Paintbench, command: Command
) -> None:
    if command.kind == "sums":
        return
    told = anywhere(*command.name.split(), "--help").out
    by_painter = command.kind in ("writes", "sets clock")
    assert ("--by NAME" in told) == by_painter
    assert ("--doubtful" in told) == (command.kind == "writes")
    assert ("--json" in told) == (command.kind in ("reads", "checks") or command.name == "backups")


@pytest.mark.parametrize(("command", "line"), EXAMPLES, ids=[line for _, line in EXAMPLES])
def test_every_example_is_read_as_its_command(command: Command, line: str) -> None:
    assert parse(shlex.split(line)).entry is command


@pytest.mark.parametrize("command", RUN, ids=named)
def test_a_function_of_the_shop_takes_what_the_options_of_its_command_read(
    command: Command,
) -> None:
    """mypy cannot see it: the names of the options' values are those of the parameters."""
    function = command.function()
    if not command.is_forwarded:
        return
    given: dict[str, Any] = vars(parse(shlex.split(command.examples[0])))
    names = given.keys() - NO_ARGUMENTS - OVERRIDES - {"ago"}
    names |= {"at"} if "ago" in given else set()
    names |= {"override"} if OVERRIDES & given.keys() else set()
    inspect.signature(function).bind("shop", by="Ada", **dict.fromkeys(names))


def test_a_number_below_zero_is_a_value_wherever_a_number_is_read(anywhere: Paintbench) -> None:
    assert parse(["reading", "--air", "-5C", "--ago", "-1h"]).air_c == -5.0
    assert parse(["shop", "--night", "-4C", "--clearance", "-5min"]).night == -4.0
    assert parse(["tin", "add", "gloss", "--size", "1l", "--price", "-2,50"]).price == -2.5
    assert parse(["sheet", "--tag", "-5"]).target == "-5"
    ran = anywhere("hold", "1", "--reason", "-5C")
    assert (ran.code, ran.out) == (2, "")


DEMO_REFUSES: dict[str, str] = {}
"""Examples whose words are right and that the demo shop refuses all the same."""


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop in a file."""
    place = tmp_path_factory.mktemp("demo") / "demo.db"
    assert ran_at(place, "demo", "--db", str(place)).code == 0
    return place


def ran_at(place: Path, *words: str) -> Ran:
    """A command on the data there, long after the demo."""
    return run_main(ManualClock(), *words, PAINTBENCH_DB=str(place))


def commands_in_readme() -> list[str]:
    """Every line of README that is a command of the program, without what a shell does with it."""
    text = README.read_text(encoding="utf-8").replace("\\\n", " ")
    typed = re.findall(r"^    (?:sudo )?paintbench\b(.*)$", text, re.MULTILINE)
    return [line.partition(" > ")[0].strip() for line in typed]


@pytest.mark.parametrize("line", commands_in_readme())
def test_every_command_in_the_readme_is_one_of_the_table(line: str) -> None:
    words = shlex.split(line, comments=True)
    if words == ["--help"]:
        assert build().format_help()
        return
    parse(words)
