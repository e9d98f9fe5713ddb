"""The table of commands: every command of the command line, by subject, in the order of the help.

``parser`` reads words, help and options from it, ``run`` what a command needs and what it runs.
"""

from __future__ import annotations

from bench.commands.core.command import Command, Group
from bench.commands.core.options import option
from bench.commands.subjects.air import AIR
from bench.commands.subjects.data import DATA
from bench.commands.subjects.job_records import RECORDS
from bench.commands.subjects.jobs import JOBS
from bench.commands.subjects.measuring import MEASURING
from bench.commands.subjects.parts import PARTS
from bench.commands.subjects.people import PEOPLE
from bench.commands.subjects.planning import PLANNING
from bench.commands.subjects.pots import POTS
from bench.commands.subjects.setup import SETUP
from bench.commands.subjects.stock import STOCK
from bench.commands.subjects.topics import topic_name

CALCULATIONS = Group("calculations, which need no shop", (
    Command(
        "sum", "calculate a mix, a film, a dew point; see paintbench sum --help",
        target="bench.commands.sums:run", kind="sums",
        examples=("sum dewpoint --air 20C --rh 65%",)),
))  # fmt: skip

HELP = Group("to read", (
    Command(
        "completion", "print what bash or zsh completes our commands by",
        (option("shell", choices=("bash", "zsh"), metavar="SHELL", help="bash or zsh"),),
        "bench.commands.reports.completion:completion", "explains",
        ("completion bash", "completion zsh")),
    Command(
        "help", "explain a topic, such as troubles; without one, list the topics",
        (option("topic", metavar="TOPIC", nargs="?", type=topic_name, help="one of the list"),),
        "bench.commands.subjects.topics:explain", "explains", ("help", "help troubles")),
))  # fmt: skip

GROUPS = (
    *(
        PARTS,
        JOBS,
        PLANNING,
        MEASURING,
        POTS,
        STOCK,
        PEOPLE,
        AIR,
        RECORDS,
        SETUP,
        DATA,
        CALCULATIONS,
    ),
    HELP,
)

COMMANDS: tuple[Command, ...] = tuple(each for group in GROUPS for each in group.commands)


def actions_of(command: Command) -> tuple[Command, ...]:
    """Return the actions that are typed behind a command's name."""
    return tuple(each for each in COMMANDS if each.name.startswith(f"{command.name} "))
