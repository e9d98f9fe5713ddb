"""`paintbench completion`: the shell completes commands and options, by the table of the help."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Iterator

import shtab

from bench.commands.core import parser as words
from bench.commands.core.console import Report
from bench.commands.sums import sum_command

FILES = ("FILE", "PATH", "PLACE", "TO", "FOLDER")
"""What is a file, by how the help calls it."""


def completion(args: Namespace) -> Report:
    """Report the script that a shell reads."""
    script = shtab.complete(whole_parser(), shell=args.shell)
    return Report({"shell": args.shell, "script": script}, script.splitlines())


def whole_parser() -> words.Parser:
    """Return the parser with every command's options, which else are added as one is typed."""
    whole = words.build()
    for parser in [whole, *_parsers(whole)]:
        for action in parser._actions:
            if action.metavar in FILES:
                action.complete = shtab.FILE  # type: ignore[attr-defined]
    return whole


def _parsers(parser: words.Parser) -> Iterator[words.Parser]:
    """Yield the parsers of all commands below one, filled."""
    actions = [each for each in parser._actions if isinstance(each, argparse._SubParsersAction)]
    for action in actions:
        for name in action.choices:
            below = action.choices[name]
            if below.prog == "paintbench sum":
                below = action.choices[name] = sum_command.build()
            below.fill()
            if name not in {each.dest for each in action._choices_actions}:
                # The help lists them by subject; shtab completes only what argparse lists.
                listed = action._ChoicesPseudoAction(name, (), below.description)
                action._choices_actions.append(listed)
            yield below
            yield from _parsers(below)
