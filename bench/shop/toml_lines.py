"""Which line of a TOML file a value stands on: tomllib reads the values but keeps no lines."""

from __future__ import annotations

import re
from collections import deque

Place = tuple[str | int, ...]
"""Keys and list numbers that lead to a value, as in ("band", 2, "until")."""

_TOKEN = re.compile(
    r'"""(?:\\.|(?!""").)*"{3,5}'
    r"|'''(?:(?!''').)*'{3,5}"
    r'|"(?:\\.|[^"\\])*"'
    r"|'[^']*'"
    r"|\#[^\n]*|[\n\[\]{}=,.]|[^\s\[\]{}=,.\#\"']+",
    re.DOTALL,
)
_Tokens = deque[tuple[str, int]]


def line_of(text: str, place: Place) -> int:
    """The line of the key or entry at ``place``, or of the nearest thing around it, else 1.

    text: TOML that tomllib has accepted. A table or list counts from its first line.

    >>> line_of('name = "x"\\nband = [\\n  { is = "wet" },\\n  { is = "open" },\\n]', ("band", 1))
    4
    """
    lines = _lines(text)
    for length in range(len(place), 0, -1):
        inside = [line for key, line in lines.items() if key[:length] == place[:length]]
        if inside:
            return min(inside)
    return 1


def _lines(text: str) -> dict[Place, int]:
    """The line of every key, table and list entry."""
    tokens: _Tokens = deque(
        (token[0], text.count("\n", 0, token.start()) + 1)
        for token in _TOKEN.finditer(text)
        if not token[0].startswith("#")
    )
    found: dict[Place, int] = {}
    entries: dict[Place, int] = {}
    table: Place = ()
    while tokens:
        token, line = tokens[0]
        if token == "\n":
            tokens.popleft()
        elif token == "[":
            table = _header(tokens, entries)
            found[table] = line
        else:
            _entry(tokens, table, found)
    return found


def _header(tokens: _Tokens, entries: dict[Place, int]) -> Place:
    """[table] or [[entry]]: its place, each list on the way at its newest entry."""
    tokens.popleft()
    several = tokens[0][0] == "["
    if several:
        tokens.popleft()
    names = _names(tokens, "]")
    place: Place = ()
    for number, name in enumerate(names, start=1):
        place = (*place, name)
        if several and number == len(names):
            tokens.popleft()
            entries[place] = entries.get(place, -1) + 1
        if place in entries:
            place = (*place, entries[place])
    return place


def _names(tokens: _Tokens, stop: str) -> list[str]:
    """The keys up to ``stop``: one, or several with dots between them."""
    names = []
    while (token := tokens.popleft()[0]) != stop:
        if token != ".":
            names.append(token.strip("\"'"))
    return names


def _entry(tokens: _Tokens, table: Place, found: dict[Place, int]) -> None:
    """One ``key = value``."""
    line = tokens[0][1]
    place = (*table, *_names(tokens, "="))
    found[place] = line
    _value(tokens, place, found)


def _value(tokens: _Tokens, place: Place, found: dict[Place, int]) -> None:
    opening = tokens[0][0]
    if opening not in ("[", "{"):
        while tokens and tokens[0][0] not in ("\n", ",", "]", "}"):
            tokens.popleft()
        return
    tokens.popleft()
    number = 0
    while tokens[0][0] not in ("]", "}"):
        if tokens[0][0] in ("\n", ","):
            tokens.popleft()
        elif opening == "{":
            _entry(tokens, place, found)
        else:
            found[(*place, number)] = tokens[0][1]
            _value(tokens, (*place, number), found)
            number += 1
    tokens.popleft()
