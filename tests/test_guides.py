"""README.md and DEVELOPERS.md: short enough to be read, and what they name is there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
BENCH = ROOT / "bench"
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TREE = GUIDE.partition("\n    bench/\n")[2].partition("\n\n")[0]
WALK = GUIDE.partition("## The walk of one key\n")[2].partition("\n## ")[0]

FILE = re.compile(r"[\w-]+\.(?:py|md|toml|lock)")
IN_CODE = re.compile(r"`([^`]+)`")
NAME = re.compile(r"(?!vX)[A-Za-z_]\w*(?:\.[A-Za-z_]\w*)*")
"""What stands alone between backquotes; ``vX.Y.Z`` is how a release is tagged."""


def rooms_and_closets(tree: str) -> Iterator[Path]:
    """Yield each folder and file of the tree: six blanks before a room, eight before closets."""
    room = BENCH
    for line in tree.splitlines():
        indent = len(line) - len(line.lstrip())
        names = [
            name.strip(",") for name in line.split() if re.fullmatch(r"[\w.]+(/|\.py),?", name)
        ]
        if indent == 4:
            yield ROOT / line.split()[0]
        elif indent == 6 and names[0].endswith("/"):
            room = BENCH / names.pop(0)
            yield room
        yield from (
            (BENCH if name.endswith(".py") else room) / name for name in names if indent > 4
        )


def folders() -> set[Path]:
    """Return every room and closet there is: the packages below the program, two deep."""
    return {file.parent for depth in ("*", "*/*") for file in BENCH.glob(f"{depth}/__init__.py")}


def is_there(path: str) -> bool:
    """Say whether a path or a file's name is in the program, its tests or its scripts."""
    if any((room / path).exists() for room in (ROOT, BENCH, ROOT / "tests")):
        return True
    return "/" not in path and any(any(room.rglob(path)) for room in (BENCH, ROOT / "tests"))


@pytest.fixture(scope="module")
def words() -> set[str]:
    """Return every word of the sources."""
    files = [
        *BENCH.rglob("*.py"),
        *(ROOT / "tests").rglob("*.py"),
        *(ROOT / "seeds").rglob("*.toml"),
        ROOT / "pyproject.toml",
    ]
    return {word for file in files for word in re.findall(r"\w+", file.read_text(encoding="utf-8"))}


@pytest.mark.parametrize(("page", "most"), [("DEVELOPERS.md", 250), ("README.md", 200)])
def test_a_guide_is_short_enough_to_be_read(page: str, most: int) -> None:
    assert len((ROOT / page).read_text(encoding="utf-8").splitlines()) <= most


def test_the_tree_names_what_is_there_and_leaves_out_no_closet() -> None:
    named = set(rooms_and_closets(TREE))
    assert [path for path in named if not path.exists()] == []
    assert folders() - named == set()


def test_the_walk_of_one_key_names_at_most_twenty_files() -> None:
    assert 5 < len(set(FILE.findall(WALK))) <= 20


def test_every_file_the_guide_names_is_there() -> None:
    first_words = {code.split()[0].rstrip(":") for code in IN_CODE.findall(GUIDE)}
    paths = {word for word in first_words if FILE.search(word) or re.search(r"\w/", word)}
    assert len(paths) > 50
    assert sorted(path for path in paths if not is_there(path)) == []


def test_every_name_of_the_guide_is_in_the_file_it_names() -> None:
    pairs = re.findall(r"`([\w/]+\.py): (\w+)`", GUIDE)
    assert len(pairs) > 3
    for path, name in pairs:
        files = [*BENCH.rglob(path)] or [ROOT / "tests" / path]
        assert any(re.search(rf"\b{name}\b", file.read_text("utf-8")) for file in files), path


def test_every_other_name_of_the_guide_is_in_the_sources(words: set[str]) -> None:
    names = {
        code for code in IN_CODE.findall(GUIDE) if NAME.fullmatch(code) and not FILE.search(code)
    }
    assert len(names) > 20
    assert sorted(name for name in names if not set(name.split(".")) <= words) == []


def test_no_other_program_and_no_brand_is_the_rule() -> None:
    assert "No other program for this job and no paint brand is named" in GUIDE
