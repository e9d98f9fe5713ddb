"""The shop's time zone: one by its name, or this computer's own. The only place that makes one."""

from __future__ import annotations

import os
import struct
import time
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import UTC, datetime, timedelta, tzinfo
from difflib import get_close_matches
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from zoneinfo import TZPATH, ZoneInfo, available_timezones

LOCAL = "local"
"""What people type for the computer's own zone; the setting itself is then empty."""

LOCALTIME, TIMEZONE = Path("/etc/localtime"), Path("/etc/timezone")

_UNREADABLE = (
    OSError,
    ValueError,
    LookupError,
    EOFError,
    ArithmeticError,
    AssertionError,
    MemoryError,
    struct.error,
)
"""What zoneinfo raises on a name it does not have or a file that is damaged."""

MOST_NEAR = 4
"""As many names as one line offers."""


def zone_of(setting: str) -> tzinfo:
    """Give the zone of a setting, such as "Europe/Dublin"; empty or not known here: computers_zone.

    A name of the IANA time zone database, as zoneinfo finds it on this computer or in tzdata.
    """
    return _named(setting) or computers_zone()


def zone_words(setting: str) -> str:
    """Say which zone a setting means on this computer."""
    if _named(setting):
        return setting
    own = f"the computer's own, {computers_zone()}"
    return f"{setting}, not known here: {own}" if setting else own


def spelled(typed: str) -> str | None:
    """Give the setting for what was typed, capitals as they are; None where no zone is called so.

    >>> spelled("europe/dublin"), spelled("local"), spelled("Dublin")
    ('Europe/Dublin', '', None)
    """
    asked = _plain(typed)
    if asked in ("", LOCAL):
        return ""
    return next((name for name in available_timezones() if _plain(name) == asked), None)


def near(typed: str, known: Iterable[str] | None = None) -> list[str]:
    """Offer up to MOST_NEAR names that look like what was typed, the nearest first.

    known: the names there are; None: all that zoneinfo has. A city alone finds its zone.

    >>> near("Dublinn", ["Europe/Dublin", "Europe/London"])
    ['Europe/Dublin']
    """
    names = sorted(available_timezones() if known is None else known)
    by_city = {_plain(name.rpartition("/")[2]): name for name in reversed(names)}
    asked = {**by_city, **{_plain(name): name for name in names}}
    found = get_close_matches(_plain(typed), asked, 2 * MOST_NEAR)
    return list(dict.fromkeys(asked[close] for close in found))[:MOST_NEAR]


def _plain(name: str) -> str:
    return "_".join(name.casefold().split())


def computers_zone() -> tzinfo:
    """Give this computer's own zone as it is set now, the same value until it is set otherwise.

    Cheap enough for every second: two files are looked at, and read only when they have changed.
    """
    files = (LOCALTIME, TIMEZONE)
    return _own(os.environ.get("TZ"), *((file, _stamp(file)) for file in files))


def _stamp(file: Path) -> tuple[int, int, int] | None:
    """What changes when a file is written or a link is put elsewhere."""
    try:
        its = os.lstat(file)
    except OSError:
        return None
    return its.st_ino, its.st_mtime_ns, its.st_size


@lru_cache(maxsize=8)
def _own(told: str | None, *_: object) -> tzinfo:
    """By its name, where TZ, the link or the file says one; else as the computer works it out."""
    if hasattr(time, "tzset"):
        time.tzset()
    paths = _links(LOCALTIME) if told is None else _links(told.removeprefix(":") or "UTC")
    found = (_named(_name_in(path)) for path in paths)
    named = next((zone for zone in found if zone), None)
    return named or (_of_a_copy() if told is None else None) or _Unnamed()


def _links(path: str | Path) -> Iterator[str]:
    """A path, where it leads at first, and where in the end: some zones are links to others."""
    yield str(path)
    if os.path.isabs(path):
        with suppress(OSError):
            yield os.readlink(path)
        yield os.path.realpath(path)


def _name_in(path: str) -> str:
    """The zone's name in where it is kept, as /usr/share/zoneinfo/Europe/Dublin."""
    name = path.rpartition("zoneinfo/")[2]
    return name.removeprefix("posix/").removeprefix("right/")


def _of_a_copy() -> ZoneInfo | None:
    """The zone in a file that is no link, by the name in the other file if both mean the same."""
    try:
        named = _named(TIMEZONE.read_text(encoding="utf-8").strip())
    except (OSError, ValueError):
        named = None
    try:
        copied = _read(LOCALTIME)
    except _UNREADABLE:
        return named
    return named if named and _alike(named, copied) else copied


def _read(file: Path) -> ZoneInfo:
    """The zone in a file. Raises one of _UNREADABLE."""
    return ZoneInfo.from_file(_Ends(file.read_bytes()), key=str(file))


class _Ends(BytesIO):
    """A file that raises at its end: zoneinfo would read on for ever in one that is cut short."""

    def read(self, size: int | None = -1, /) -> bytes:
        """Read as any file; EOFError where nothing is left."""
        found = super().read(size)
        if size and not found:
            raise EOFError
        return found


def _alike(a: tzinfo, b: tzinfo) -> bool:
    """Whether two zones show the same hour, each week of ten years."""
    weeks = (datetime(2025, 1, 1, tzinfo=UTC) + timedelta(weeks=n) for n in range(520))
    return all(at.astimezone(a).utcoffset() == at.astimezone(b).utcoffset() for at in weeks)


@lru_cache(maxsize=16)
def _named(name: str) -> ZoneInfo | None:
    """The zone with a name; None where zoneinfo has none, or the name is none.

    Read once: a file that is replaced under the program counts from its next start.
    """
    if not name or os.path.isabs(name):
        return None
    try:
        for file in (Path(folder, name) for folder in TZPATH):
            if file.is_file():
                _read(file)  # raises where ZoneInfo would not come to an end
                break
        return ZoneInfo(name)
    except _UNREADABLE:
        return None


class _Unnamed(tzinfo):
    """The computer's zone where it has no name, such as TZ="GMT0BST,M3.5.0/1,M10.5.0".

    Every answer is the C library's (``datetime.astimezone`` without a zone), which knows of each
    instant what holds then; nothing is concluded from whether it is summer time.
    """

    def __init__(self) -> None:
        self._words = "/".join(filter(None, dict.fromkeys(time.tzname))) or "without a name"

    def __str__(self) -> str:
        return self._words

    def utcoffset(self, at: datetime | None) -> timedelta | None:
        """How far ahead of UTC its clocks are."""
        return None if at is None else at.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, at: datetime | None) -> timedelta | None:
        """Not known: what is summer time and what is not makes no difference to an hour."""
        del at
        return None

    def tzname(self, at: datetime | None) -> str | None:
        """What it is called at an hour."""
        return None if at is None else at.replace(tzinfo=None).astimezone().tzname()

    def fromutc(self, at: datetime) -> datetime:
        """An instant on its clocks; the second time round in the hour that comes twice."""
        there = at.replace(tzinfo=UTC).astimezone()
        first = there.replace(tzinfo=self, fold=0)
        return first.replace(fold=int(first.utcoffset() != there.utcoffset()))
