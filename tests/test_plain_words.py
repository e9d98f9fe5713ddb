"""Every string a person can see is plain English: none has a word that painters would not say."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from bench.commands.core.catalogue import COMMANDS
from bench.commands.core.parser import parse
from bench.commands.sums import sum_command
from bench.process.parts.part import REPAIRS
from bench.sums.table import NAMES

ROOT = Path(__file__).parents[1]

BANNED = (
    *("nought", "reckon", "reckoned", "reckoning", "deed", "deeds", "anew", "thereof"),
    *("in the place of", "is to be", "goes against", "going against", "may begin"),
    *("wants doing", "nobody in", "put right", "at the keys", "begun when it may", "is told"),
    *("the shop itself",),
)
"""Archaic or translated English: what stands there is said again, in the words of the shop."""

PLAIN = re.compile(rf"\b(?:{'|'.join(BANNED)})\b".replace(" ", r"\s+"), re.I)

CLEAR = re.compile(r"\bCLEAR\b")
"""In capitals, as a state is written: no word says that masks may come off."""

STORED = {REPAIRS[1]}
"""Names that data of earlier versions bear: read, and never written."""


def found(text: str) -> list[str]:
    """The words in a text that a painter would not say."""
    return [match[0] for rule in (PLAIN, CLEAR) for match in rule.finditer(text)]


def strings(source: str) -> Iterator[tuple[int, str]]:
    """Every string of a module with its line; what is filled into one later is ``{}`` there."""
    tree = ast.parse(source)
    pieces: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            pieces |= {id(value) for value in node.values}
            yield node.lineno, "".join(map(_piece, node.values))
        elif (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in pieces
        ):
            yield node.lineno, node.value


def _piece(value: ast.expr) -> str:
    return str(value.value) if isinstance(value, ast.Constant) else "{}"


def texts_of(value: Any) -> Iterator[str]:
    """The texts of a TOML file, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from texts_of(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts_of(inner)


@pytest.mark.parametrize("room", sorted(p.name for p in (ROOT / "bench").iterdir()))
def test_no_string_of_the_program_has_a_word_painters_would_not_say(room: str) -> None:
    place = ROOT / "bench" / room
    files = [place] if place.suffix == ".py" else sorted(place.rglob("*.py"))
    odd = {
        f"{file.relative_to(ROOT)}:{number}": words
        for file in files
        for number, text in strings(file.read_text(encoding="utf-8"))
        if text not in STORED and (words := found(text))
    }
    assert odd == {}


def test_no_text_of_the_starting_data_has_one() -> None:
    odd = {
        f"{file.relative_to(ROOT)}: {text}": words
        for file in sorted((ROOT / "seeds").rglob("*.toml"))
        for text in texts_of(tomllib.loads(file.read_text(encoding="utf-8")))
        if (words := found(text))
    }
    assert odd == {}


@pytest.mark.parametrize(
    "pattern", ["*.md", "bench/help_topics/*.md", "tests/screens/golden/*.txt"]
)
def test_no_page_and_no_picture_has_one(pattern: str) -> None:
    pages = sorted(ROOT.glob(pattern))
    odd = {page.name: words for page in pages if (words := found(page.read_text(encoding="utf-8")))}
    assert pages
    assert odd == {}


SUMS = sum_command.build()


def help_of(line: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Return what the command line says of a command, put together and folded."""
    read = SUMS.parse_args if line[:1] == ["sum"] else parse
    with pytest.raises(SystemExit):
        read([*line[line[:1] == ["sum"] :], "--help"])
    return capsys.readouterr().out


def test_no_help_of_a_command_has_one(capsys: pytest.CaptureFixture[str]) -> None:
    lines = [
        [],
        *(command.name.split() for command in COMMANDS),
        *(["sum", name] for name in NAMES),
    ]
    texts = {" ".join(line): help_of(line, capsys) for line in lines}
    assert [line for line, text in texts.items() if "usage: paintbench" not in text] == []
    assert {line: words for line, text in texts.items() if (words := found(text))} == {}


@pytest.mark.parametrize("words", [*BANNED, "Nought", "put\nright", "CLEAR"])
def test_each_of_them_is_found(words: str) -> None:
    assert found(f"then {words}: so") == [words]


@pytest.mark.parametrize(
    "text", ["a clear day", "indeed", "ends at nothing", "who began it anyway"]
)
def test_words_that_only_look_alike_stay(text: str) -> None:
    assert found(text) == []
