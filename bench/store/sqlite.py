"""A shop in one SQLite file on this computer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import URL, Engine, event
from sqlalchemy.exc import DatabaseError, OperationalError
from sqlmodel import create_engine

from bench.store.faults import CannotOpen, in_one_line

BUSY_S = 5
"""How long a writer waits for the other terminal before it gives up."""

CHANGE_MARK = "PRAGMA data_version"
"""Changes with every commit of another connection; costs some microseconds."""


def engine_at(path: str) -> Engine:
    """The connections to the file at a path, each set as the store relies on."""
    engine = create_engine(URL.create("sqlite", database=path))
    event.listen(engine, "connect", _on_connect)
    event.listen(engine, "begin", _on_begin)
    return engine


def make_folder(folder: Path) -> None:
    """Make the folder of a file. Raises CannotOpen."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise CannotOpen(
            f"{folder}: this folder cannot be made: {fault.strerror}; choose another with --db PATH"
        ) from fault


def keep_a_write_ahead_log(engine: Engine) -> None:
    """Readers and the writer do not wait for each other. Set once it is known to be our file."""
    raw = engine.raw_connection()
    try:
        raw.execute("PRAGMA journal_mode = WAL")
    finally:
        raw.close()


def why(fault: Exception) -> str:
    """Why the file cannot be opened, and what to do."""
    if isinstance(fault, OperationalError):
        return f"cannot be opened or written: {in_one_line(fault)}; check the path and its rights"
    if isinstance(fault, DatabaseError):
        return f"this file is not paintbench data ({in_one_line(fault)}); give another path"
    return str(fault)


def _on_connect(connection: Any, _record: Any) -> None:
    """SQLite's own defaults lose updates and ignore foreign keys: set what we rely on."""
    connection.isolation_level = None
    # SQLite's own knows A to Z only, and a tag may be of any alphabet.
    connection.create_function("lower", 1, _lower, deterministic=True)
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {BUSY_S * 1000}")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.close()


def _lower(text: object) -> object:
    return text.lower() if isinstance(text, str) else text


def _on_begin(connection: Any) -> None:
    writer = connection.get_execution_options().get("writer", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writer else "BEGIN")
