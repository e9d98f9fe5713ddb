"""The shop's data at a place: opening it, and whether it is whole."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from bench.clock import Clock, ServerClock
from bench.disk import is_open_to_others
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import day_words
from bench.settings import on_a_server
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data.missing_entries import missing_entries
from bench.store.copies import backup
from bench.store.copies.backup import BackupFault, made_whole
from bench.store.databases.database import (
    CannotOpen,
    NothingHere,
    Store,
    open_store,
    unopened_store,
)
from bench.store.databases.faults import StoreFault
from bench.store.log import consistency_check as store_check
from bench.store.log.checksum_chain import Break
from bench.zones import computers_zone

WHAT_TO_DO = "paintbench backups lists what can be put back in its place; this file is kept"

WHICH_ARE_WHOLE = "paintbench backups says which backups have it whole"
"""What to do about a damaged entry of the log."""


NOT_NEW = (
    "paintbench backups lists them, paintbench restore puts one back; for a new shop "
    "name another place with --db, or move them away first"
)
"""What to do where a shop was."""


def open_data(place: str, clock: Clock, terminal: str, *, may_be_new: bool) -> Shop | Refusal:
    """Open the shop whose data is at a place, or say why it cannot be opened.

    place: a path, or the address of a PostgreSQL database. may_be_new: make the data if there is
    none. Otherwise a mistyped place is refused and left alone.
    """
    if may_be_new and (refused := why_not_new(place)):
        return refused
    try:
        return Shop(_open(place, clock, may_be_new=may_be_new), clock, terminal)
    except NothingHere as fault:
        return _cut_off(place) or Refusal(
            "no shop's data here", str(fault), "give its place with --db, or open a shop first"
        )
    except CannotOpen as fault:
        return Refusal(str(fault), "", WHAT_TO_DO if fault.kind == "damaged" else "")


def why_not_new(place: str) -> Refusal | None:
    """Say why no new shop is made at a place, None where one may be, or where there is one."""
    if has_only_backups(place):
        return Refusal("a shop was here: there are copies of it", str(Path(place).parent), NOT_NEW)
    return _cut_off(place)


def _cut_off(place: str) -> Refusal | None:
    """Say that a shop was being written here, and is not whole."""
    if on_a_server(place) or Path(place).exists():
        return None
    half = backup.unfinished_file(Path(place))
    if half is None:
        return None
    remedy = f"import again, or remove {half} before you open a new shop"
    return Refusal("an import was cut off here", place, remedy)


def fill_new(
    place: str, clock: Clock, terminal: str, fill: Callable[[Shop], Outcome | Refusal]
) -> Outcome | Refusal:
    """Make a shop in a new place: it is there whole, or not at all.

    Where there is an empty one, and on a server, it is filled as it lies.
    """
    if on_a_server(place) or Path(place).exists():
        return _fill(place, clock, terminal, fill)
    path, answer = Path(place).absolute(), None
    try:
        backup.make_folder(path.parent)
        with made_whole(path) as part:
            answer = _fill(str(part), clock, terminal, fill)
            if isinstance(answer, Refusal):
                raise BackupFault(str(answer))
            backup.contents(part)
            if path.exists():
                raise BackupFault("another program has made a shop there meanwhile")
        return answer
    except BackupFault as fault:
        if isinstance(answer, Refusal):
            return answer
        return Refusal(f"{place}: cannot be made", str(fault), "nothing was changed")


def _fill(
    place: str, clock: Clock, terminal: str, fill: Callable[[Shop], Outcome | Refusal]
) -> Outcome | Refusal:
    shop = open_data(place, clock, terminal, may_be_new=True)
    if isinstance(shop, Refusal):
        return shop
    try:
        return fill(shop)
    finally:
        shop.store.close()


def _open(place: str, clock: Clock, *, may_be_new: bool) -> Store:
    return open_store(place, may_be_new=may_be_new, hear=_who_hears(clock))


def _who_hears(clock: Clock) -> Callable[[datetime], None]:
    """Who hears the time of a server: only a clock that goes by it."""
    return clock.hear if isinstance(clock, ServerClock) else lambda _: None


def data_file(shop: Shop) -> str | None:
    """Give the file the shop's data is in, None where it is on a server."""
    return shop.store.place


def open_for_screen(place: str, clock: Clock, terminal: str) -> Shop | Refusal:
    """Open the shop for the full screen; where its data cannot be opened now, a shut one.

    A shut one raises why at every use, so that a program that goes on can say so and try again.
    """
    if has_only_backups(place):
        fault = StoreFault(f"{place} is gone; there are backups of it", "gone")
        return Shop(unopened_store(place, fault), clock, terminal)
    if half := _cut_off(place):
        return Shop(unopened_store(place, StoreFault(str(half), "gone")), clock, terminal)
    try:
        store = _open(place, clock, may_be_new=True)
        if missing := missing_entries(store.place):
            store.close()
            store = unopened_store(place, StoreFault(missing.words, "behind"))
        return Shop(store, clock, terminal)
    except CannotOpen as fault:
        if fault.kind is None or (on_a_server(place) and fault.kind != "away"):
            return Refusal(str(fault))
        why = StoreFault(str(fault), fault.kind)
        return Shop(unopened_store(place, why, hear=_who_hears(clock)), clock, terminal)


def has_only_backups(place: str) -> bool:
    """Say whether there is no file at a path, but backups of one."""
    if on_a_server(place) or Path(place).exists():
        return False
    try:
        return bool(backup.copies_of(place))
    except BackupFault:
        return False


LOOK_S = 0.2
"""An action on the command line looks through the file for so long: tens of megabytes of it."""


def damage_refusal(shop: Shop) -> Refusal | None:
    """Say what is damaged in the file, as far as ``LOOK_S`` goes, before anything is written."""
    place = shop.store.place
    if place is None or not (damage := backup.damage(place, LOOK_S)):
        return None
    return Refusal("the data is damaged", damage, WHAT_TO_DO)


NOTHING_IN_IT = "there is no entry in its log: no shop was opened in it, or the log is gone"


@dataclass(frozen=True)
class CheckResult:
    """How many log entries were replayed, and what was found wrong.

    rights: who else could read or change it, each in a line.
    """

    lines: int
    faults: tuple[str, ...]
    rights: tuple[str, ...] = ()


def check(shop: Shop) -> CheckResult:
    """Look through the whole file and replay the journal. Changes nothing."""
    faults = (*_in_the_log(shop), *_behind(shop), *store_check.faults(shop.store))
    lines = 0 if faults else store_check.journal_lines(shop.store)
    faults = faults if faults or lines else (NOTHING_IN_IT,)
    return CheckResult(lines, faults, _open_to_others(shop.store.place))


def _in_the_log(shop: Shop) -> list[str]:
    """What the checksums of the log say. What cannot be read at all the other looks say."""
    with suppress(StoreFault):
        if break_point := store_check.first_break(shop.store):
            return [f"{broken_words(break_point)}; {WHICH_ARE_WHOLE}"]
    return []


def _behind(shop: Shop) -> list[str]:
    missing = missing_entries(shop.store.place, everywhere=True)
    return [f"{missing.words}: {missing.remedy}"] if missing else []


def broken_words(break_point: Break) -> str:
    """Say which entry of the log is the first that is damaged, and its hour on this computer."""
    hour = break_point.at and day_words(break_point.at.astimezone(computers_zone()))
    hour_words = f"written {hour}" if hour else "its hour cannot be read"
    return f"log entry {break_point.number} ({hour_words}) is not as it was written"


def _open_to_others(place: str | None) -> tuple[str, ...]:
    """What of a file's shop others than its owner have rights to, and what to do."""
    if place is None:
        return ()
    folder, copies = backup.folder_of(place), backup.folder_beside(place)
    rights = {folder: "700", copies: "700", Path(place).absolute(): "600"}
    return tuple(
        f"others have rights to {path}: chmod {right} {shlex.quote(str(path))}"
        for path, right in rights.items()
        if is_open_to_others(path)
    )
