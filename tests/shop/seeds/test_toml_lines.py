"""Every value of a TOML file is found on the line it stands on."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from bench.shop.seeds import seed_files
from bench.shop.seeds.toml_lines import Place, line_of

SHIPPED = seed_files.folder()
FILES = [*sorted(SHIPPED.glob("*/*.toml")), SHIPPED / "shapes.toml", SHIPPED / "tools.toml"]


def places(value: Any, at: Place = ()) -> list[Place]:
    inner: list[tuple[Any, Any]] = []
    if isinstance(value, dict):
        inner = list(value.items())
    elif isinstance(value, list):
        inner = list(enumerate(value))
    return [*([at] if at else []), *(p for key, v in inner for p in places(v, (*at, key)))]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_key_and_entry_of_the_shipped_files_is_found_on_its_line(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    lines = text.splitlines()
    written = tomllib.loads(text)
    for place in places(written):
        told = lines[line_of(text, place) - 1]
        value: Any = written
        for key in place:
            value = value[key]
        if isinstance(place[-1], str):
            assert place[-1] in told
        if isinstance(value, str):
            assert value.replace('"', '\\"') in told


def test_a_line_is_found_among_all_that_toml_allows() -> None:
    text = '''
plain = 1 # not = this
"quoted = key" = "a # no comment"
long = """
[[not]]
a = 1
""" # = 2
raw = \'\'\'
b = "2"
\'\'\'
film.least = 8
date = 1979-05-27 07:32:00
list = [ # one
    1.5,
    [2, 3],

    { a = 4, b = { c = 5 } },
]
[table]
x = 1
[[step]]
[[step.band]]
is = "wet"
[[step.band]]
is = "open"
[step.limits]
y = 1
[[step]]
[[step.band]]
is = "key"
'''
    expected: dict[Place, int] = {
        ("plain",): 2,
        ("quoted = key",): 3,
        ("long",): 4,
        ("raw",): 8,
        ("film", "least"): 11,
        ("film",): 11,
        ("date",): 12,
        ("list", 0): 14,
        ("list", 1): 15,
        ("list", 1, 1): 15,
        ("list", 2): 17,
        ("list", 2, "b", "c"): 17,
        ("table", "x"): 20,
        ("step",): 21,
        ("step", 0, "band", 0, "is"): 23,
        ("step", 0, "band", 1): 24,
        ("step", 0, "limits", "y"): 27,
        ("step", 1): 28,
        ("step", 1, "band", 0, "is"): 30,
        ("step", 1, "missing"): 28,
        ("missing",): 1,
    }
    tomllib.loads(text)
    assert {place: line_of(text, place) for place in expected} == expected
