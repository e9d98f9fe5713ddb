"""From the words of the command line to a command of the table and what was said with it.

Nothing heavy is imported: --help and --version are instant.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NoReturn

from bench.commands.core import quantities
from bench.commands.core.catalogue import GROUPS, actions_of
from bench.commands.core.command import Command, Group
from bench.commands.core.options import option
from bench.commands.core.plain_text import plain
from bench.version import version_line

EXAMPLES = """examples:
  paintbench                     the bench, full screen
  paintbench demo                a throwaway copy of the demo shop
  paintbench begin --help        what a command takes, and examples of it

exit: 0 done; 1 refused by a rule, the reason on stderr; 2 wrong usage"""

WRONG_USAGE = 2

DATA_PLACE = option("--db", metavar="PLACE", default=argparse.SUPPRESS, help="the shop's data")

_MINUS = re.compile(r"-[0-9.,]")
_NO_OPTION = "\0"
"""No word begins with it: to this parser all that follows ``sum`` is words."""


class Parser(argparse.ArgumentParser):
    """Parse as argparse does, with what was typed made harmless in its messages.

    entry: the command whose options it reads. They are added when it was really asked for: adding
    one is slow, and there are hundreds.
    """

    entry: Command | None = None
    check: Callable[[argparse.Namespace], str] | None = None

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """Read the words, with the command's options added."""
        self.fill()
        found = super().parse_known_args(self._joined(args), namespace)
        if self.check is not None and (wrong := self.check(found[0])):
            self.error(wrong)
        return found

    def fill(self) -> None:
        """Add the command's options, once."""
        entry, self.entry = self.entry, None
        if entry is not None:
            _fill(self, entry)

    def _joined(self, words: Sequence[str]) -> list[str]:
        """Return the words with ``--ago -5min`` written as ``--ago=-5min``.

        argparse would take -5min for another option.
        """
        numbers = {
            name
            for action in self._actions
            if isinstance(action.type, quantities.Number)
            for name in action.option_strings
        }
        joined: list[str] = []
        for word in words:
            if joined and joined[-1] in numbers and _MINUS.match(word):
                joined[-1] += f"={word}"
            else:
                joined.append(word)
        return joined

    def error(self, message: str) -> NoReturn:
        """Write the message on stderr, below it the usage, and exit 2."""
        self._print_message(f"{self.prog}: error: {plain(message)}\n", sys.stderr)
        self.print_usage(sys.stderr)
        sys.exit(WRONG_USAGE)


class _Version(argparse.Action):
    """Print the version and leave; git is asked only then."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str) -> None:  # noqa: A002
        super().__init__(option_strings, argparse.SUPPRESS, nargs=0, help=help)

    def __call__(
        self, parser: argparse.ArgumentParser, *_ignored: object, **_more: object
    ) -> NoReturn:
        print(version_line())
        parser.exit()


def parse(words: Sequence[str]) -> argparse.Namespace:
    """Return what was asked for: ``entry`` is the command, None for the bench on the full screen.

    Leaves by SystemExit for --help, --version and wrong usage.
    """
    return build().parse_args(words)


def build(*, whole: bool = False) -> Parser:
    """Build the parser with all its commands. whole: with all their options and actions too."""
    parser = Parser(
        prog="paintbench",
        description="The paint bench of a small workshop: parts on stands, a clock for every coat.",
        epilog="\n\n".join([*(_listed(group) for group in GROUPS), EXAMPLES]),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.set_defaults(entry=None)
    parser.add_argument("--version", action=_Version, help="say which program this is")
    parser.add_argument(
        "--db",
        metavar="PLACE",
        help="the shop's data: a path, or postgresql+psycopg://... (else PAINTBENCH_DB, or XDG)",
    )
    commands = parser.add_subparsers(metavar="COMMAND", title="commands", help="one of those below")
    for group in GROUPS:
        for command in group.commands:
            if " " not in command.name:
                _add(commands, command, command.name)
    if whole:
        for each in parsers_below(parser):
            each.fill()
    return parser


def parsers_below(parser: Parser) -> Iterator[Parser]:
    """Yield the parsers of its commands, and then those of their actions."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for below in action.choices.values():
                yield below
                yield from parsers_below(below)


def _listed(group: Group) -> str:
    """Write the commands of a subject, one a line."""
    listed = [command for command in group.commands if " " not in command.name]
    return "\n".join(
        [f"{group.title}:", *(f"  {command.name:<13} {command.help}" for command in listed)]
    )


def _add(subparsers: Any, command: Command, word: str, **how: Any) -> None:
    """Add the word of a command; what it takes is added when it was typed."""
    if command.kind == "sums":
        how |= {"add_help": False, "prefix_chars": _NO_OPTION}
    form = argparse.RawDescriptionHelpFormatter
    parser = subparsers.add_parser(
        word, description=command.help, formatter_class=form, allow_abbrev=False, **how
    )
    parser.entry = command


def _fill(parser: Parser, command: Command) -> None:
    """Add what a command takes, its examples and the actions behind it."""
    parser.set_defaults(entry=command)
    parser.check = command.check
    if command.kind == "sums":
        parser.add_argument("words", nargs=argparse.REMAINDER)
        return
    actions = actions_of(command)
    examples = [f"  paintbench {line}" for each in (command, *actions) for line in each.examples]
    parser.epilog = "\n".join(["examples:", *examples])
    if command.kind != "explains":
        DATA_PLACE(parser)
    command.add_options(parser)
    if actions:
        title = "actions; without one, the list" if command.target else "actions"
        subparsers = parser.add_subparsers(
            metavar="ACTION", title=title, required=not command.target
        )
        for action in actions:
            word = action.name.removeprefix(f"{command.name} ")
            _add(subparsers, action, word, help=action.help)
