"""Small letters of any alphabet, inside a query and on both databases."""

from __future__ import annotations

from typing import Any

from sqlalchemy import String
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.functions import GenericFunction


class folded(GenericFunction[str]):  # noqa: N801 - it is called as a function
    """The text in small letters: ``folded(column) == typed.lower()``."""

    type = String()
    inherit_cache = True


@compiles(folded)
def _as_the_connection_has_it(element: Any, compiler: Any, **settings: Any) -> str:
    """On SQLite ``lower`` is Python's own: see ``store/databases/sqlite.py``."""
    return f"lower({compiler.process(element.clauses, **settings)})"


@compiles(folded, "postgresql")
def _whatever_the_servers_locale(element: Any, compiler: Any, **settings: Any) -> str:
    """In the locale C, say, the server's own knows A to Z only."""
    return f'lower({compiler.process(element.clauses, **settings)} COLLATE "und-x-icu")'
