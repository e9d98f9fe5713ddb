"""Making files and folders so that a power cut does not take them, with their owner's rights only.

A new name is on the disk once the folder it stands in was brought there (fsync(2): "Calling fsync()
does not necessarily ensure that the entry in the directory containing the file has also reached
disk").
"""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path

OWNERS_FILE, OWNERS_FOLDER = 0o600, 0o700
"""Rights of what holds a shop."""

ANYBODYS_FILE, ANYBODYS_FOLDER = 0o666, 0o777
"""Rights of what is given to people, less what the umask takes."""

OTHERS, GROUP, GROUP_WRITES = 0o077, 0o070, 0o020
"""The rights of everybody but the owner, of the group, and to write as one of it."""


def make_folder(folder: Path, rights: int = OWNERS_FOLDER) -> None:
    """Make a folder and those above it that are missing. Raises OSError."""
    missing, there = [], folder
    while not there.exists():
        missing.append(there)
        there = there.parent
    if not there.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(there))
    for each in reversed(missing):
        with suppress(FileExistsError):
            each.mkdir(rights)
        sync_folder(each.parent)


def why_no_path(path: str) -> str:
    """Say why nothing can ever be at a path; empty where something is, or may come.

    Its name is too long, or its links lead round.
    """
    try:
        os.stat(path)
    except OSError as fault:
        never = fault.errno in (errno.ENAMETOOLONG, errno.ELOOP)
        return str(fault.strerror).lower() if never else ""
    except ValueError as fault:
        return str(fault)
    return ""


def make_file(path: str | Path, rights: int = OWNERS_FILE) -> None:
    """Make a file of no length. Raises FileExistsError, or another OSError.

    Where there is one it is not opened: closing it would let go of SQLite's locks on it.
    """
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, rights))


def owners_rights(mode: int) -> int:
    """Take away the rights of others from a file's; a group that may write to it keeps its own."""
    mode = stat.S_IMODE(mode) | OWNERS_FILE
    return mode & ~OTHERS | (mode & GROUP if mode & GROUP_WRITES else 0)


def shut_to_others(path: Path) -> None:
    """Take away the rights of others from a file, as far as whoever does it owns it."""
    with suppress(OSError):
        os.chmod(path, owners_rights(path.stat().st_mode))


def is_open_to_others(path: Path) -> bool:
    """Say whether others than the owner, and a group that may write, have rights to it."""
    try:
        mode = stat.S_IMODE(path.stat().st_mode)
    except OSError:
        return False
    return bool(mode & OTHERS & ~owners_rights(mode))


def bring_to_disk(path: Path) -> None:
    """Write a file out, and forget it: what is read back then comes from the disk, not memory."""
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
        if hasattr(os, "posix_fadvise"):
            os.posix_fadvise(handle, 0, 0, os.POSIX_FADV_DONTNEED)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Bring the names in a folder to the disk. Some file systems of sticks cannot, and need not.

    A folder whose list of names may not be read is not brought there either.
    """
    with suppress(PermissionError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            with suppress(OSError):
                os.fsync(handle)
        finally:
            os.close(handle)
