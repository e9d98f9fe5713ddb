"""What can go wrong with the data, in a painter's words. A password is never among them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, SQLAlchemyError


class CannotOpen(RuntimeError):
    """The data cannot be opened; the message is for a painter."""


class NothingHere(CannotOpen):
    """There is no shop's data at this place, and none was to be made."""


class StoreFault(RuntimeError):
    """The data could not be read or written just now; nothing was half-written."""


@contextmanager
def told_plainly() -> Iterator[None]:
    """Whatever the database says comes out as a StoreFault of one line."""
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error) as fault:
        raise StoreFault(in_one_line(fault)) from fault


def in_one_line(fault: BaseException) -> str:
    """What the database itself said, without the statement and without the lines below it."""
    said = fault.orig if isinstance(fault, DBAPIError) and fault.orig is not None else fault
    return (str(said).strip() or type(said).__name__).splitlines()[0].strip()
