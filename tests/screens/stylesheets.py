"""Textual's style sheets, read once: each program of the tests would read the same ones again.

A sheet's rules hang on its text, where it is from and the colours it names, and nothing writes to
them. Imported by tests/screens/driving.py.
"""

from __future__ import annotations

from functools import wraps
from typing import Any

from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet

_read: dict[tuple[object, ...], list[RuleSet]] = {}


def read_once() -> None:
    """From now on the programs of this process share what was read."""
    read = Stylesheet._parse_rules

    @wraps(read)
    def kept(self: Stylesheet, *args: Any, **more: Any) -> list[RuleSet]:
        key = (args, tuple(more.items()), tuple(self._variables.items()))
        if key not in _read:
            _read[key] = read(self, *args, **more)
        return _read[key]

    Stylesheet._parse_rules = kept  # type: ignore[method-assign]
