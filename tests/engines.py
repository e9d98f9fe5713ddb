"""SQL that is made once: SQLAlchemy keeps it with each engine, and nearly every test has its own.

A dialect knows of a kind of database and keeps nothing of one shop, so that engines may share it,
and with it what was compiled. Imported by tests/conftest.py.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sqlalchemy import Engine
from sqlalchemy.util import LRUCache
from sqlmodel import create_engine

from bench.store.databases import postgresql, sqlite

MANY = 5000
"""Statements of the whole program are fewer."""

_first: dict[str, Engine] = {}


def share(engine: Engine) -> None:
    """From now on engines of its kind have its SQL. It has to have connected before."""
    engine.update_execution_options(compiled_cache=LRUCache(MANY))
    _first.setdefault(engine.dialect.name, engine)


def _sharing(make: Callable[..., Engine]) -> Callable[..., Engine]:
    def made(*args: Any, **more: Any) -> Engine:
        engine = make(*args, **more)
        if first := _first.get(engine.dialect.name):
            engine.dialect = first.dialect
            engine.update_execution_options(**first.get_execution_options())
        return engine

    return made


def share_all() -> None:
    """Let the store's engines of this process share what is compiled."""
    in_memory = create_engine("sqlite://")
    in_memory.connect().close()
    share(in_memory)
    for module in (sqlite, postgresql):
        module.create_engine = _sharing(create_engine)  # type: ignore[attr-defined]
