"""One command of the command line, as the table of commands holds it. Nothing heavy is imported."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib import import_module
from typing import Any, Literal

from bench.commands.core.options import DOUBTFUL, JSON, NAME, Adder

CommandKind = Literal[
    "reads", "checks", "writes", "sets clock", "copies", "opens", "places", "sums", "explains"
]
"""What a command needs, and so which options it takes and what stands before it.

reads: an opened shop; ``--json``; a wrong clock is said beside the answer
checks: the same of data in which nobody has opened a shop yet
writes: an opened shop, a painter and a clock that is believed; ``--by`` and ``--doubtful``
sets clock: an opened shop and a painter, whatever the clock; ``--by``
copies: an opened shop; it is left as it is, so nobody has to say who did it
opens: a place where nobody has opened a shop yet
places: the place of the data, whatever is there, or no place at all
sums: nothing; the words after it are its own
explains: nothing; ``--json``
"""

OPTIONS: dict[CommandKind, tuple[Adder, ...]] = {
    "reads": (JSON,),
    "checks": (JSON,),
    "explains": (JSON,),
    "writes": (NAME, DOUBTFUL),
    "sets clock": (NAME,),
}
"""The options that every command of a kind takes."""


@dataclass(frozen=True)
class Command:
    """Describe one command.

    name: as it is typed; with a blank in it, an action of the command before the blank.
    help: what it does, in one line of the list. options: besides those of its kind.
    target: "module:function", imported when the command is run; empty where the name asks for an
    action behind it. A function of ``bench.shop`` is handed the shop, the painter and what the
    options read, each by its parameter's name; one that explains the words as they were read; any
    other the whole call.
    examples: as they are typed behind "paintbench". reads_with: an option of a command that writes,
    and the target that only reads where it is given. check: says what is wrong with options that
    do not go together, nothing where they do.
    """

    name: str
    help: str
    options: tuple[Adder, ...] = ()
    target: str = ""
    kind: CommandKind = "writes"
    examples: tuple[str, ...] = ()
    reads_with: tuple[str, str] | None = None
    check: Callable[[argparse.Namespace], str] | None = None

    def as_asked(self, args: argparse.Namespace) -> Command:
        """Return the command as the options make it: one that only reads, or itself."""
        if self.reads_with is None or not getattr(args, self.reads_with[0]):
            return self
        return replace(self, kind="reads", target=self.reads_with[1])

    @property
    def is_forwarded(self) -> bool:
        """Say whether its target is an action of the shop."""
        return self.target.startswith("bench.shop.")

    def function(self) -> Callable[..., Any]:
        """Import what it runs."""
        module, _, name = self.target.partition(":")
        function: Callable[..., Any] = getattr(import_module(module), name)
        return function

    def add_options(self, parser: argparse.ArgumentParser) -> None:
        """Add its options, those of its kind last; of a name that asks for an action, none."""
        of_kind = OPTIONS.get(self.kind, ()) if self.target else ()
        for add in (*self.options, *of_kind):
            add(parser)


@dataclass(frozen=True)
class Group:
    """Hold the commands of one subject, under the title of the list."""

    title: str
    commands: tuple[Command, ...]
