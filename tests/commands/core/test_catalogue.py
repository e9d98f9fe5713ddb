"""The table of commands: it lists, explains, takes and runs what it says, and nothing else does."""

from __future__ import annotations

import inspect
import re
import shlex
import shutil
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from bench.commands.core.call import NO_ARGUMENTS, OVERRIDES
from bench.commands.core.catalogue import COMMANDS, GROUPS, actions_of
from bench.commands.core.command import Command
from bench.commands.core.parser import parse
from bench.help_topics import FOLDER
from bench.shop.core.transaction import Shop
from bench.shop.corrections import undo
from bench.shop.plan import asking, planning
from bench.store.log.journal import NEVER_UNDONE
from bench.store.schema.tables import KEPT
from bench.testing import ManualClock
from tests.conftest import open_copy
from tests.same_process import SameProcess
from tests.shop.doing import done

from ..running import Paintbench, Ran, run_main

README = Path(__file__).resolve().parents[3] / "README.md"

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
    assert ("--db PLACE" in ran.out) == (command.kind != "explains")
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
    assert ("--json" in told) == (
        command.kind in ("reads", "checks", "explains") or command.name == "backups"
    )


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


AT_TWO = datetime(2026, 11, 30, 14, tzinfo=UTC)

REFUSED_IN_THE_DEMO = {
    "plan show": "no plan is agreed",
    "plan show --form html -o plan.html": "no plan is agreed",
    "plan risk": "no plan is agreed",
    "plan drop --by Una": "no plan is agreed",
    "merge 4 --with 4b --by Una": "tag 4b is in rework",
    "give-back 10 --by Bo": "tag 10 Light board: nobody is on it",
    "equipment take gun-1 --by Una": "the air-fed set would starve",
    "equipment usual --by Una": "all of it is recorded already",
    "come-in --by Una": "Una is in already",
    "since --by Una": "Una never handed over",
    "probe": "no probe is set",
    "probe-jump right --by Una": "no probe's reading waits for an answer",
    "probe-jump wrong --by Una": "no probe's reading waits for an answer",
    "undo --line 812 --by Una": "no entry 812",
    'correct hour 1 --step 5 --edge first --at "2026-03-12 08:20" --reason "pressed late" --by Una': "that is before",
    "painter gone Kim --by Una": "no painter 'Kim'",
    'open --painters "Ada,Ben" --stands 12': "this shop is open already",
    "keep-data": "no backup goes further than the data",
    "restore backups/shop-20260312T143000Z.db": "backups/shop-20260312T143000Z.db cannot be restored",
}
"""Examples that are typed right, and that a rule of the demo shop has something against."""

SCREEN_OR_STICK = {"demo", "demo --at 'Mon 10:00'", "pin --by Una", "backup /media/stick"}
"""What starts the screens, asks for a secret or writes outside the test."""


@pytest.fixture(scope="module", autouse=True)
def quick_planner() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for module in (planning, asking):
            patch.setattr(module, "PlannerProcess", SameProcess)
        yield


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop in a file, and beside it what its examples read."""
    place = tmp_path_factory.mktemp("demo") / "trolley.db"
    assert ran_at(place, "demo", "--db", str(place)).code == 0
    for words, name in (("product epoxy-primer", "epoxy.toml"), ("route zinc-new", "zinc.toml")):
        sheet = ran_at(place, *words.split()).out.replace('name = "', 'name = "Our ', 1)
        (place.parent / name).write_text(sheet, encoding="utf-8")
    week = "date,low,high\n2026-11-30,2,14\n2026-12-06,3,15\n"
    (place.parent / "week.csv").write_text(week, encoding="utf-8")
    (place.parent / "gauge.csv").write_text("52\n49\n55\n", encoding="utf-8")
    orders = "name,count,job,route,shape,area m2\nClip,12,Club gate,zinc-new,bracket,0.02\n"
    (place.parent / "orders.csv").write_text(orders, encoding="utf-8")
    feast = "BEGIN:VEVENT\nUID:1\nDTSTART;VALUE=DATE:20261225\nEND:VEVENT"
    calendar = f"BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:feasts\n{feast}\nEND:VCALENDAR\n"
    (place.parent / "feasts.ics").write_text(calendar, encoding="utf-8")
    for words in ("backup", f"export {place.parent / 'shop.json'}"):
        assert ran_at(place, *words.split()).code == 0
    return place


def ran_at(place: Path, *words: str) -> Ran:
    """A command on the data there, at the hour of the demo."""
    return run_main(ManualClock(AT_TWO), *words, PAINTBENCH_DB=str(place))


@pytest.mark.parametrize("line", [line for _, line in EXAMPLES if line not in SCREEN_OR_STICK])
def test_every_example_does_in_the_demo_shop_what_it_says_and_is_undone_to_the_row(
    demo: Path,
    before: Lying,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    line: str,
) -> None:
    here = tmp_path / "here"
    shutil.copytree(demo.parent, here)
    if line.startswith("export"):
        (here / "shop.json").unlink()
    monkeypatch.chdir(here)
    ran = ran_at(here / demo.name, *shlex.split(line))
    if line in REFUSED_IN_THE_DEMO:
        assert ran.code == 1
        assert ran.err.startswith(REFUSED_IN_THE_DEMO[line])
        return
    assert (ran.code, ran.err) == (0, "")
    if parse(shlex.split(line)).entry.kind == "writes":
        assert_undone(here / demo.name, before)


@dataclass(frozen=True)
class Lying:
    """What lies in a shop's file: every row that the log keeps, and which entries can be undone."""

    rows: dict[str, list[tuple[object, ...]]]
    entries: list[tuple[object, ...]]


@pytest.fixture(scope="module")
def before(demo: Path) -> Lying:
    """The demo shop before an example."""
    return lying_in(demo)


def lying_in(place: Path) -> Lying:
    marks = ", ".join("?" * len(NEVER_UNDONE))
    undoable = f"SELECT id FROM journal WHERE undoes IS NULL AND action NOT IN ({marks})"
    with closing(sqlite3.connect(place)) as raw:
        rows = {name: raw.execute(f'SELECT * FROM "{name}" ORDER BY 1').fetchall() for name in KEPT}
        return Lying(rows, raw.execute(undoable, NEVER_UNDONE).fetchall())


def assert_undone(place: Path, before: Lying) -> None:
    """Whatever was written is undone, entry by entry; then every row is as it was."""
    written = len(lying_in(place).entries) - len(before.entries)
    if not written:
        return
    shop = Shop(open_copy(place), ManualClock(AT_TWO), "test")
    for _ in range(written):
        done(undo.undo(shop, "Una"))
    shop.store.close()
    assert lying_in(place).rows == before.rows


PAGES = [README, *sorted(FOLDER.glob("*.md"))]
"""What a painter reads: README and the topics of ``paintbench help``."""


def commands_in(page: Path) -> list[str]:
    """Every line of a page that is a command of the program, without what a shell does with it."""
    text = page.read_text(encoding="utf-8").replace("\\\n", " ")
    typed = re.findall(r"^    (?:sudo )?paintbench\b(.*)$", text, re.MULTILINE)
    return [line.partition(" > ")[0].strip() for line in typed]


@pytest.mark.parametrize("line", [line for page in PAGES for line in commands_in(page)])
def test_every_command_in_readme_and_topics_is_read_as_it_stands(
    anywhere: Paintbench, line: str
) -> None:
    words = shlex.split(line, comments=True)
    if "--help" in words or words[:1] == ["sum"]:
        assert anywhere(*words).code == 0
    else:
        parse(words)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_command_named_in_a_sentence_is_one_of_the_table(page: Path) -> None:
    known = {command.name for command in COMMANDS}
    text = page.read_text(encoding="utf-8")
    named_there = re.findall(r"`(?:sudo )?paintbench ([a-z][a-z-]*)", text)
    assert {*named_there} <= known
