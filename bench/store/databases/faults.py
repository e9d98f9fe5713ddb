"""What can go wrong with the data, in a painter's words. A password is never among them.

Kind                 Raised by                    Answered by
CannotOpen           opening: ``database``,       ``shop.data.opening``: a Refusal, or a shut store
                     ``sqlite``, ``postgresql``   for the full screen; ``Reconnector`` tries again
  NothingHere        opening: no shop there       ``shop.data.opening``: a Refusal with what to do
StoreFault           reading and writing:         a command ends with its words and remedy; a
                     ``as_store_faults``          screen shows them, and ``Reconnector`` tries again
  InDoubt            ``guard_commit``             ``Transaction`` looks for the entry in the log,
                                                  later ``Reconnector`` does
  OnlyRead           ``Store``, of a StoreFault   as a StoreFault; its words name the file
  LogLost            ``WriteAheadLog``            as a StoreFault; nothing more is written
NotOurs              ``schema.migrations``        opening: a CannotOpen
BackupFault          ``copies.backup``,           ``shop.data``: a Refusal, or a line about a folder
                     ``copies.restore``           of copies; opening: a CannotOpen or a NotOurs
NotReadable          ``copies.exchange``          ``shop.data.backups``: a Refusal of the export
NotReplayable        ``log.journal.replay``       ``log.consistency_check``: a line of the check
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from json import JSONDecodeError
from pathlib import Path
from typing import Literal

from pydantic import ValidationError
from sqlalchemy.exc import DBAPIError, OperationalError, SQLAlchemyError

FaultKind = Literal[
    "full",
    "read-only",
    "locked",
    "gone",
    "damaged",
    "behind",
    "rights",
    "incomplete",
    "away",
    "uncertain",
    "clock",
    "failed",
]
"""What kind of fault it is, as far as a painter can do something about it."""

WORDS: dict[FaultKind, str] = {
    "full": "the disk is full",
    "read-only": "the disk can only be read",
    "locked": "another program holds the data",
    "gone": "the data file is gone from its place",
    "damaged": "the data is damaged",
    "behind": "a backup goes further than the data",
    "rights": "the server gives this user no right to the shop's data",
    "incomplete": "a table of the shop is missing on the server",
    "away": "the server does not answer",
    "uncertain": "the disk or the server failed in that very moment",
    "clock": "the server's clock is wrong",
    "failed": "the disk or the server gives errors",
}

REMEDIES: dict[FaultKind, str] = {
    "rights": "who looks after the server makes this user the owner of the database and its tables",
    "incomplete": "who looks after the server puts its backup back, or paintbench import brings an "
    "export into a new database",
}
"""What to do where trying again is of no use."""

_KINDS: dict[int, FaultKind] = {
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_READONLY: "read-only",
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_CORRUPT: "damaged",
    sqlite3.SQLITE_NOTADB: "damaged",
}
"""By SQLite's result codes; whatever else it says, the disk failed."""

_STATES: dict[str, FaultKind] = {
    "53100": "full",
    "25006": "read-only",
    "55P03": "locked",
    "XX001": "damaged",
    "XX002": "damaged",
    "42501": "rights",
    "42P01": "incomplete",
    "3F000": "incomplete",
    "57P01": "away",
    "57P02": "away",
    "57P03": "away",
    "53300": "away",
}
"""By PostgreSQL's codes (its manual, appendix A). The last four: it is shut down, has crashed,
still starts, is crowded."""

SOON = ("starting up", "shutting down", "recovery", "too many")
"""Why a server that is there accepts no login for a while."""

NOT_UTF8 = "Could not decode to UTF-8"
NO_INSTANT = ("Invalid isoformat string", "Couldn't parse datetime string")
"""What Python and SQLAlchemy say of a column that holds no text, or no instant."""


class CannotOpen(RuntimeError):
    """The data cannot be opened; the message is for a painter.

    kind: of what fault, None where the data is not ours or not of this version.
    """

    def __init__(self, message: str, kind: FaultKind | None = None) -> None:
        super().__init__(message)
        self.kind = kind


class NothingHere(CannotOpen):
    """There is no shop's data at this place, and none was to be made."""


class StoreFault(RuntimeError):
    """The data could not be read or written just now; nothing was half-written.

    kind: "uncertain" where it may have been written whole.
    """

    def __init__(self, message: str, kind: FaultKind = "failed") -> None:
        super().__init__(message)
        self.kind = kind

    @property
    def words(self) -> str:
        """What is wrong, for a painter; the message itself has the words of the database."""
        return WORDS[self.kind]

    @property
    def remedy(self) -> str:
        """What to do, on a command line."""
        return REMEDIES.get(self.kind, "try again")

    @property
    def lasts(self) -> bool:
        """Whether somebody must repair it before trying again is of use."""
        return self.kind in REMEDIES

    @property
    def in_doubt(self) -> bool:
        """Whether what was done last may have been written whole."""
        return self.kind == "uncertain"


class InDoubt(StoreFault):
    """The commit of an entry failed, and it may be in the log or not until that is looked for.

    otherwise: the kind of fault, once it is known that nothing was written; number, checksum: the
    entry's own, by which it is looked for, 0 as long as nobody said which it is.
    """

    def __init__(self, message: str, otherwise: FaultKind) -> None:
        super().__init__(message, "uncertain")
        self.number, self.checksum = 0, ""
        self._otherwise = otherwise

    @property
    def undone(self) -> StoreFault:
        """Give the fault it is, once it is known that nothing was written."""
        return StoreFault(f"{self}; it was looked for: nothing was written", self._otherwise)


class OnlyRead(StoreFault):
    """A file or folder of the data cannot be written; the message names it and who mends that.

    words: the same where there is room for half a line.
    """

    def __init__(self, message: str, words: str) -> None:
        super().__init__(message, "read-only")
        self._words = words

    @property
    def words(self) -> str:
        """What is wrong, for a painter."""
        return self._words


class LogLost(StoreFault):
    """The log beside the data is not the one that was written to; nothing more is written.

    saved: the file with what was held, if there is one; in_doubt: it was seen only after what was
    done last was committed.
    """

    def __init__(self, message: str, saved: str, *, in_doubt: bool) -> None:
        super().__init__(message, "gone")
        self._saved, self._in_doubt = saved, in_doubt

    @property
    def words(self) -> str:
        """What is wrong, for a painter."""
        return "the log beside the data is gone"

    @property
    def remedy(self) -> str:
        """What to do, on a command line."""
        steps = "close paintbench on every terminal"
        steps += f", then: paintbench restore {self._saved}" if self._saved else ""
        return f"{steps}, and look whether what you did last is there" if self.in_doubt else steps

    @property
    def in_doubt(self) -> bool:
        """Whether what was done last is in the log that is gone, and in what was saved."""
        return self._in_doubt


@contextmanager
def as_store_faults(place: str | None) -> Iterator[None]:
    """Turn whatever the database says, or its rows cannot say, into a StoreFault of one line.

    place: the file, None on a server.
    """
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error) as fault:
        raise StoreFault(*words_and_kind(fault, place)) from fault
    except ValueError as fault:
        if not _unreadable(fault):
            raise
        raise StoreFault(f"a row cannot be read: {in_one_line(fault)}", "damaged") from fault


def _unreadable(fault: ValueError) -> bool:
    """Whether a row holds what nobody wrote: no JSON, no plan of a step, no instant."""
    return isinstance(fault, (JSONDecodeError, ValidationError)) or str(fault).startswith(
        NO_INSTANT
    )


def kind_of(fault: BaseException) -> FaultKind:
    """Classify a fault of the database."""
    original = fault.orig if isinstance(fault, DBAPIError) and fault.orig is not None else fault
    if str(original).startswith(NOT_UTF8):
        return "damaged"
    if (code := getattr(original, "sqlite_errorcode", None)) is not None:
        return _KINDS.get(code & 0xFF, "failed")
    if state := getattr(original, "sqlstate", None):
        return _STATES.get(state, "failed")
    # Where there is no code the server was not there to give it, or did not let us in.
    refused = "FATAL" in str(original) and not any(word in str(original) for word in SOON)
    return "away" if isinstance(fault, OperationalError) and not refused else "failed"


SYNC_FAILED = (sqlite3.SQLITE_IOERR_FSYNC, sqlite3.SQLITE_IOERR_DIR_FSYNC)
"""All of it was written, but the system could not bring it to the disk: it may turn up later."""


LEAST_FREE_BYTES = 65536
"""With less than this free the disk is full: SQLite makes its files longer by so much and more."""


def words_and_kind(fault: BaseException, place: str | None) -> tuple[str, FaultKind]:
    """Give what the database said and what kind of fault it is, also where it does not know.

    Where SQLite cannot write it may say no more than "disk I/O error".
    """
    words, kind = in_one_line(fault), kind_of(fault)
    if kind == "failed" and place is not None and _is_full(place):
        return f"{WORDS['full']}: {words}", "full"
    return words, kind


def _is_full(place: str) -> bool:
    try:
        disk = os.statvfs(Path(place).absolute().parent)
    except OSError:
        return False
    return disk.f_bavail * disk.f_frsize < LEAST_FREE_BYTES


@contextmanager
def guard_commit() -> Iterator[None]:
    """Guard a commit: where the server or the disk fails in it, nobody knows whether it was done.

    Raises InDoubt.
    """
    try:
        yield
    except DBAPIError as fault:
        synced = getattr(fault.orig, "sqlite_errorcode", None) not in SYNC_FAILED
        if synced and not fault.connection_invalidated:
            raise
        raise InDoubt(in_one_line(fault), kind_of(fault)) from fault


def in_one_line(fault: BaseException) -> str:
    """Give the database's own words, without the statement and without the lines below it."""
    original = fault.orig if isinstance(fault, DBAPIError) and fault.orig is not None else fault
    return (str(original).strip() or type(original).__name__).splitlines()[0].strip()
