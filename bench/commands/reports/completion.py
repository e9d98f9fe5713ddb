"""`paintbench completion`: the shell completes commands and options, by the table of the help."""

from __future__ import annotations

import argparse
from argparse import Namespace

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
    whole = words.build(whole=True)
    (commands,) = (each for each in whole._actions if isinstance(each, argparse._SubParsersAction))
    commands.choices["sum"] = sum_command.build()
    # The help lists commands by subject; shtab completes only what argparse itself lists.
    commands._choices_actions = [
        commands._ChoicesPseudoAction(name, (), below.description)
        for name, below in commands.choices.items()
    ]
    for parser in [whole, *words.parsers_below(whole)]:
        for action in parser._actions:
            if action.metavar in FILES:
                action.complete = shtab.FILE  # type: ignore[attr-defined]
    return whole
