"""Writing the files that people are given: whole or not at all, and never over the shop's data."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from bench.disk import ANYBODYS_FILE, ANYBODYS_FOLDER, make_folder
from bench.process.refusals.refusal import Refusal
from bench.shop.core.mappers import settings_of
from bench.shop.core.transaction import Shop
from bench.shop.data.backup_retention import SecondPlace
from bench.shop.settings.paper import Paper
from bench.store.copies.backup import SIDE_FILES, folder_beside, made_whole
from bench.store.copies.exchange import FORM

HEAD_BYTES = 4096
"""So much of a file is looked at to tell what it is."""

DATABASE = (
    b"SQLite format 3\0",
    b"\x37\x7f\x06\x82",  # a write-ahead log, in both orders of bytes
    b"\x37\x7f\x06\x83",
    b"\xd9\xd5\x05\xf9\x20\xa1\x63\xd7",  # a rollback journal
)
"""How SQLite's files begin (https://www.sqlite.org/fileformat2.html, from memory)."""

EXPORT = re.compile(rf'\{{\s*"form":\s*"{FORM}"'.encode())
"""How the whole shop as one text begins."""

NAME_ANOTHER = "name another file"

Same = Callable[[str], bool]
"""Whether the beginning of a file says that it is an earlier one of the same kind."""


@dataclass(frozen=True)
class ProtectedFiles:
    """What no file for people is written over. data: the shop's file, None on a server."""

    data: str | None
    second: SecondPlace | None = None

    def files(self) -> Iterator[Path]:
        """Give the data and the files that SQLite keeps beside it, there or not."""
        if self.data is not None:
            real = os.path.realpath(self.data)
            yield from (Path(real + side) for side in ("", *SIDE_FILES))

    def folders(self) -> Iterator[Path]:
        """Give the folders of backups, there or not."""
        if self.data is not None:
            yield folder_beside(self.data).resolve()
        if self.second is not None:
            yield Path(self.second.path).resolve()


def protected_files(shop: Shop) -> ProtectedFiles:
    """Find what is kept of a shop. Raises StoreFault."""
    with shop.store.reading() as session:
        return ProtectedFiles(shop.store.place, settings_of(session).second_place)


def paper_of_shop(shop: Shop) -> Paper:
    """Find what the shop prints on. Raises StoreFault."""
    with shop.store.reading() as session:
        return settings_of(session).paper


def write_file(
    path: Path,
    content: str | bytes,
    protected: ProtectedFiles,
    same: Same,
    *,
    force: bool | None = None,
) -> Refusal | None:
    """Write a file whole, or leave what was there; answers why it could not be written.

    An earlier file is written over only if ``same`` knows it, or with ``force`` any other file
    that is neither the shop's data nor a backup of it; None: nobody can ask for that here.
    Folders that are missing are made.
    """
    try:
        path = path.resolve()
        if refused := _why_not(path, protected, same, force=force):
            return refused
        make_folder(path.parent, ANYBODYS_FOLDER)
        if isinstance(content, str):
            content = content.encode("utf-8", "backslashreplace")
        with made_whole(path, ANYBODYS_FILE) as part, part.open("wb") as out:
            out.write(content)
    except (OSError, ValueError, RuntimeError) as fault:
        return _cannot(path, fault)
    return None


def may_write(path: Path, protected: ProtectedFiles, same: Same) -> Refusal | None:
    """Say why ``write_file`` would refuse a path, None where it would not. Nothing is written."""
    try:
        return _why_not(path.resolve(), protected, same, force=None)
    except (OSError, ValueError, RuntimeError) as fault:
        return _cannot(path, fault)


def earlier_text(path: Path, protected: ProtectedFiles, same: Same) -> str:
    """Return the text of an earlier file of ours at a path, empty where ``same`` knows none there.

    Only what ``write_file`` would write over is opened at all.
    """
    try:
        path = path.resolve()
        if not path.exists() or _why_not(path, protected, same, force=None):
            return ""
        return path.read_bytes().decode("utf-8", errors="replace")
    except (OSError, ValueError, RuntimeError):
        return ""


def _why_not(
    path: Path, protected: ProtectedFiles, same: Same, *, force: bool | None
) -> Refusal | None:
    """Why a file may not be written at a path, None where it may. Raises OSError."""
    if refused := _protected_by_shop(path, protected):
        return refused
    if not path.exists():
        return None
    head = _head(path)
    if head.startswith(DATABASE) or EXPORT.match(head):
        right = f"{NAME_ANOTHER}; it is never written over"
        return Refusal(f"{path} is a database or a whole shop", "", right)
    if force or same(head.decode("utf-8", errors="replace")):
        return None
    right = (
        "move it away first" if force is None else f"{NAME_ANOTHER}, or --force to write over it"
    )
    return Refusal(f"{path} is there and is not an earlier file of this form", "", right)


def refuse_old_file(path: Path, protected: ProtectedFiles) -> Refusal | None:
    """Say why no new file can be made at a path, None where one can: nothing is written over."""
    try:
        refused = _protected_by_shop(path.resolve(), protected)
        if refused is None and path.exists():
            refused = Refusal("there is a file already", str(path), "give another name")
    except (OSError, ValueError, RuntimeError) as fault:
        return _cannot(path, fault)
    return refused


def _cannot(path: Path, fault: Exception) -> Refusal:
    why = getattr(fault, "strerror", None) or str(fault)
    return Refusal("the file cannot be written", f"{path}: {why.lower()}", "name another place")


def _protected_by_shop(path: Path, protected: ProtectedFiles) -> Refusal | None:
    """Why nobody writes here. Nothing is opened: see ``store.copies.backup`` on SQLite's locks."""
    if any(path == file or _same_file(path, file) for file in protected.files()):
        return Refusal(f"{path} is the shop's data", "", f"{NAME_ANOTHER}; data is never replaced")
    if not path.exists():
        return None
    if any(path.is_relative_to(folder) for folder in protected.folders()):
        remedy = f"{NAME_ANOTHER}; nothing there is written over"
        return Refusal(f"{path} is among the backups", "", remedy)
    if not stat.S_ISREG(path.stat().st_mode):
        what = "a folder" if path.is_dir() else "a pipe or a device"
        return Refusal(f"{path} is {what}", "", f"{NAME_ANOTHER}, or - for the terminal")
    return None


def _same_file(path: Path, other: Path) -> bool:
    """Whether both are one file by device and number, as hard links are."""
    try:
        return os.path.samestat(path.stat(), other.stat())
    except FileNotFoundError:
        return False


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(HEAD_BYTES)
