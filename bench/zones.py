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
    return _zone_named(setting) or computers_zone()


def zone_words(setting: str) -> str:
    """Say which zone a setting means on this computer."""
    if _zone_named(setting):
        return setting
    own = f"the computer's own, {computers_zone()}"
    return f"{setting}, not known here: {own}" if setting else own


def setting_of(typed: str) -> str | None:
    """Give the setting for what was typed, capitals as they are; None where no zone is called so.

    >>> setting_of("europe/dublin"), setting_of("local"), setting_of("Dublin")
    ('Europe/Dublin', '', None)
    """
    plain = _plain(typed)
    if plain in ("", LOCAL):
        return ""
    return next((name for name in available_timezones() if _plain(name) == plain), None)


def near(typed: str, names: Iterable[str] | None = None) -> list[str]:
    """Offer up to MOST_NEAR names that look like what was typed, the nearest first.

    names: those there are; None: all that zoneinfo has. A city alone finds its zone.

    >>> near("Dublinn", ["Europe/Dublin", "Europe/London"])
    ['Europe/Dublin']
    """
    every = sorted(available_timezones() if names is None else names)
    by_city = {_plain(name.rpartition("/")[2]): name for name in reversed(every)}
    by_word = {**by_city, **{_plain(name): name for name in every}}
    close_words = get_close_matches(_plain(typed), by_word, 2 * MOST_NEAR)
    return list(dict.fromkeys(by_word[word] for word in close_words))[:MOST_NEAR]


def _plain(name: str) -> str:
    return "_".join(name.casefold().split())


def computers_zone() -> tzinfo:
    """Give this computer's own zone as it is set now, the same value until it is set otherwise.

    Cheap enough for every second: two files are looked at, and read only when they have changed.
    """
    files = (LOCALTIME, TIMEZONE)
    return _own(os.environ.get("TZ"), *((file, _stamp(file)) for file in files))


def _stamp(file: Path) -> tuple[int, int, int] | None:
    """Return what changes when a file is written or a link is put elsewhere."""
    try:
        its = os.lstat(file)
    except OSError:
        return None
    return its.st_ino, its.st_mtime_ns, its.st_size


@lru_cache(maxsize=8)
def _own(tz_variable: str | None, *_: object) -> tzinfo:
    """Find it by name, where TZ, the link or the file has one; else by what the computer shows."""
    if hasattr(time, "tzset"):
        time.tzset()
    paths = (
        _links(LOCALTIME) if tz_variable is None else _links(tz_variable.removeprefix(":") or "UTC")
    )
    zones = (_zone_named(_name_in(path)) for path in paths)
    named = next((zone for zone in zones if zone), None)
    return named or (_of_a_copy() if tz_variable is None else None) or _Unnamed()


def _links(path: str | Path) -> Iterator[str]:
    """Yield a path, where it leads at first, and where in the end: some zones link to others."""
    yield str(path)
    if os.path.isabs(path):
        with suppress(OSError):
            yield os.readlink(path)
        yield os.path.realpath(path)


def _name_in(path: str) -> str:
    """Return the zone's name in its path, such as /usr/share/zoneinfo/Europe/Dublin."""
    name = path.rpartition("zoneinfo/")[2]
    return name.removeprefix("posix/").removeprefix("right/")


def _of_a_copy() -> ZoneInfo | None:
    """Read a file that is no link, under the name in the other file if both mean the same."""
    try:
        by_name = _zone_named(TIMEZONE.read_text(encoding="utf-8").strip())
    except (OSError, ValueError):
        by_name = None
    try:
        copy = _zone_in(LOCALTIME)
    except _UNREADABLE:
        return by_name
    return by_name if by_name and _alike(by_name, copy) else copy


def _zone_in(file: Path) -> ZoneInfo:
    """Read the zone in a file. Raises one of _UNREADABLE."""
    return ZoneInfo.from_file(_Ends(file.read_bytes()), key=str(file))


class _Ends(BytesIO):
    """Raise at a file's end: zoneinfo would read on for ever in one that is cut short."""

    def read(self, size: int | None = -1, /) -> bytes:
        """Read as any file; EOFError where nothing is left."""
        content = super().read(size)
        if size and not content:
            raise EOFError
        return content


def _alike(a: tzinfo, b: tzinfo) -> bool:
    """Say whether two zones show the same hour, each week of ten years."""
    weeks = (datetime(2025, 1, 1, tzinfo=UTC) + timedelta(weeks=n) for n in range(520))
    return all(at.astimezone(a).utcoffset() == at.astimezone(b).utcoffset() for at in weeks)


@lru_cache(maxsize=16)
def _zone_named(name: str) -> ZoneInfo | None:
    """Return the zone with a name; None where zoneinfo has none, or the name is none.

    Read once: a file that is replaced under the program counts from its next start.
    """
    if not name or os.path.isabs(name):
        return None
    try:
        for file in (Path(folder, name) for folder in TZPATH):
            if file.is_file():
                _zone_in(file)  # raises where ZoneInfo would not come to an end
                break
        return ZoneInfo(name)
    except _UNREADABLE:
        return None


class _Unnamed(tzinfo):
    """Stand for a zone of the computer without a name, such as TZ="GMT0BST,M3.5.0/1,M10.5.0".

    Every answer is the C library's (``datetime.astimezone`` without a zone), which knows of each
    instant what holds then; nothing is concluded from whether it is summer time.
    """

    def __init__(self) -> None:
        self._words = "/".join(filter(None, dict.fromkeys(time.tzname))) or "without a name"

    def __str__(self) -> str:
        return self._words

    def utcoffset(self, at: datetime | None) -> timedelta | None:
        """Return how far ahead of UTC its clocks are."""
        return None if at is None else at.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, at: datetime | None) -> timedelta | None:
        """Return None: what is summer time and what is not makes no difference to an hour."""
        del at
        return None

    def tzname(self, at: datetime | None) -> str | None:
        """Return what it is called at an instant."""
        return None if at is None else at.replace(tzinfo=None).astimezone().tzname()

    def fromutc(self, at: datetime) -> datetime:
        """Return an instant on its clocks; the second time round in the hour that comes twice."""
        local = at.replace(tzinfo=UTC).astimezone()
        first = local.replace(tzinfo=self, fold=0)
        return first.replace(fold=int(first.utcoffset() != local.utcoffset()))
