"""The files that a command line names to be read: regular ones or standard input, up to a size."""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import Callable
from typing import BinaryIO

from bench.disk import why_no_path
from bench.process.refusals.refusal import Refusal

STANDARD = "-"
"""Instead of a file: the standard output, or input."""

CHUNK_BYTES = 1 << 16

RIGHT = "name a regular file"


def no_regular_file(path: str) -> Refusal | None:
    """Say why a path is no regular file, None where it is one or nothing. Opens nothing."""
    try:
        kind = os.stat(path).st_mode
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as fault:
        return _cannot(path, fault)
    return None if stat.S_ISREG(kind) else _not_regular(path, kind)


def no_path(path: str) -> Refusal | None:
    """Say why nothing can be at a path: its name is too long, or its links lead round."""
    why = why_no_path(path)
    return Refusal(f"{_short(path)} cannot be read", why, RIGHT) if why else None


def bytes_of(
    file: str, most: int, fits: Callable[[bytes], bool] = lambda _: True
) -> bytes | Refusal:
    """Read a file or standard input whole, and no further than it can be right.

    most: so many bytes; fits: whether what came first can be the beginning of what is wanted.
    """
    if file == STANDARD:
        return _read(sys.stdin.buffer, "what came in", most, fits)
    try:
        # Without waiting: a pipe is opened at once though nobody writes into it.
        handle = os.open(file, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
        try:
            kind = os.fstat(handle).st_mode
            if not stat.S_ISREG(kind):
                return _not_regular(file, kind)
            with open(handle, "rb", closefd=False) as opened:
                return _read(opened, file, most, fits)
        finally:
            os.close(handle)
    except (OSError, ValueError) as fault:
        return _cannot(file, fault)


def text_of(file: str, most: int) -> str | Refusal:
    """Read a UTF-8 text of up to ``most`` bytes; a byte order mark before it is dropped."""
    raw = bytes_of(file, most)
    if isinstance(raw, Refusal):
        return raw
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        return Refusal(f"{_short(file)} cannot be read", "it is no UTF-8 text", "a UTF-8 text file")


def _read(opened: BinaryIO, name: str, most: int, fits: Callable[[bytes], bool]) -> bytes | Refusal:
    content = bytearray()
    while chunk := opened.read(CHUNK_BYTES):
        if not content and not fits(chunk):
            break
        content += chunk
        if len(content) > most:
            problem = f"{_short(name)} is too large"
            return Refusal(problem, f"over {size_words(most)}", f"at most {size_words(most)}")
    return bytes(content or chunk)


def size_words(size: int) -> str:
    """Say a size in the largest unit that it has at least one of.

    >>> size_words(20_000), size_words(1_000_000_000)
    ('20 kB', '1 GB')
    """
    for unit, factor in (("GB", 10**9), ("MB", 10**6), ("kB", 10**3)):
        if size >= factor:
            return f"{size / factor:g} {unit}"
    return f"{size} bytes"


def _not_regular(path: str, kind: int) -> Refusal:
    kind_words = "a folder" if stat.S_ISDIR(kind) else "a pipe or a device"
    return Refusal(f"{_short(path)} cannot be read", f"it is {kind_words}", RIGHT)


def _cannot(path: str, fault: Exception) -> Refusal:
    why = (getattr(fault, "strerror", None) or str(fault)).lower()
    return Refusal(f"{_short(path)} cannot be read", why, RIGHT)


def _short(path: str) -> str:
    return path if len(path) <= 80 else f"{path[:60]}..{path[-18:]}"
