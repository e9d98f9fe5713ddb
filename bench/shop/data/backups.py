"""Copies of the shop's data, by the hour or by hand, and the whole shop as one text, out and in."""

from __future__ import annotations

import io
import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any, TextIO

from bench.disk import why_no_path
from bench.process.refusals.refusal import Refusal
from bench.shop.core.transaction import Outcome, Shop
from bench.shop.data import import_check, missing_entries
from bench.shop.data.backup_retention import (
    MEGABYTE,
    SecondPlace,
    copies_over_room,
    copies_to_delete,
    is_due,
)
from bench.shop.data.opening import WHICH_ARE_WHOLE, broken_words
from bench.shop.data.output_files import ProtectedFiles, protected_files, refuse_old_file
from bench.shop.settings.kiosk_limits import AllowedFolders, first_outside
from bench.store.copies import backup, exchange
from bench.store.copies.backup import BackupFault, made_whole
from bench.store.copies.exchange import NotReadable, Whole
from bench.store.log import checksum_chain, consistency_check
from bench.store.log.checksum_chain import Break
from bench.store.log.pin_marks import PAINTERS

MOST_PATH = 400
"""Longest path that is kept."""

ON_A_SERVER = Refusal(
    "the data is on a server", "", "paintbench export FILE, or the server's own backup"
)

OUTSIDE = "not in a place that root lists"
"""Of a second folder in the shop's data, on a kiosk."""


def set_second_place(
    values: dict[str, Any], path: str | None, data: str | None, places: AllowedFolders | None
) -> list[str] | Refusal:
    """Put a folder into the settings; an empty path takes it away. Answers what to say.

    places: where it may lie; None: anywhere.
    """
    if path is None:
        return []
    if data is None:
        return ON_A_SERVER
    if not path:
        values["backup_to"] = {}
        return ["no second place for backups"]
    if len(path) > MOST_PATH or not path.isprintable() or not path.startswith("/"):
        return Refusal("the second place", path[:40], "a folder's whole path, plain, from / on")
    if why := why_no_path(path):
        return Refusal(f"the second place: {why}", f"{path[:40]}..", "type another folder")
    if Path(path) == backup.folder_beside(data):
        return Refusal("the second place", path, "a folder elsewhere: there they are already")
    if refused := first_outside(places, [path]):
        return refused
    same = _same_disk(Path(path), Path(data).absolute().parent)
    values["backup_to"] = {"path": path, "other_disk": not same}
    words = f"backups also in {path}"
    if same:
        return [f"{words} (the disk that the data is on: if it breaks, both are gone)"]
    return [words if os.path.isdir(path) else f"{words} (it is not there now)"]


def _same_disk(path: Path, other: Path) -> bool:
    try:
        return os.stat(path).st_dev == os.stat(other).st_dev
    except OSError:
        return False


# -- by the hour ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class BackupPlace:
    """Copies to look after in one folder.

    may_thin: not while the clock is wrong, or good ones would be let go for their age. most_bytes:
    what the copies in it may take. thorough: look through the data also when no copy is due.
    places: where a second folder may lie.
    """

    place: str
    folder: Path
    second: bool
    other_disk: bool
    now: datetime
    zone: tzinfo
    may_thin: bool
    most_bytes: int
    places: AllowedFolders | None
    thorough: bool = False


@dataclass(frozen=True)
class BackupState:
    """How the copies in a folder stand: when the newest was made, and what is wrong.

    damaged: with the shop's own data. broken: with an entry of its log, None where nobody looked.
    room: how many bytes the copies take, and how many they may, in words.
    """

    newest: datetime | None = None
    fault: str = ""
    damaged: str = ""
    broken: str | None = None
    room: str = ""


def backup_places(
    place: str,
    second: SecondPlace | None,
    now: datetime,
    zone: tzinfo,
    *,
    may_thin: bool,
    most_bytes: int,
    places: AllowedFolders | None = None,
) -> list[BackupPlace]:
    """List the folders to look after: the one beside the data, and the second one."""
    now = now.replace(microsecond=0)
    folders = [(backup.folder_beside(place), False, False)]
    if second is not None:
        folders.append((Path(second.path), True, second.other_disk))
    return [
        BackupPlace(place, *folder, now, zone, may_thin, most_bytes, places) for folder in folders
    ]


def back_up_if_due(what: BackupPlace) -> BackupState:
    """Make a copy if one is due and let go of those no longer wanted. As slow as a disk."""
    newest = broken = None
    try:
        if why := _not_there(what):
            return BackupState(fault=why)
        copies = backup.hourly(what.folder, what.place)
        newest = max(copies, default=None)
        if is_due(what.now, copies, written_since=_work_since(what.place, copies, newest)):
            target = what.folder / backup.dated_name(what.place, what.now)
            broken = _damaged_entry(backup.copy(what.place, target).broken)
            copies[what.now], newest = target, what.now
        elif what.thorough:
            if damage := backup.damage(what.place):
                return BackupState(newest, damaged=damage)
            broken = _damaged_entry(backup.broken_in(what.place))
        # The copies that have a damaged entry whole are older: none is let go.
        if what.may_thin and not broken:
            _thin(what, copies)
    except BackupFault as fault:
        damage = backup.damage(what.place) if fault.damaged else ""
        return BackupState(newest, str(fault), damage)
    return BackupState(newest, broken=broken, room=_room_in(what))


def _thin(what: BackupPlace, copies: dict[datetime, Path]) -> None:
    """Let go of the copies that are too old, then of the oldest while they take too much room."""
    for at in copies_to_delete(copies, what.zone):
        backup.delete_copy(copies.pop(at))
    sizes = {at: backup.size(path) for at, path in copies.items()}
    everything = sum(map(backup.size, backup.every_copy(what.folder, what.place)))
    for at in copies_over_room(sizes, everything - sum(sizes.values()), what.most_bytes):
        backup.delete_copy(copies.pop(at))


def _room_in(what: BackupPlace) -> str:
    try:
        return room_words(backup.every_copy(what.folder, what.place), what.most_bytes)
    except BackupFault:
        return ""


def room_words(copies: Iterable[Path], most_bytes: float) -> str:
    """Say how much room some copies take, and how much each place may. Raises BackupFault."""
    took = sum(map(backup.size, copies))
    most = f"at most {most_bytes / MEGABYTE:g} MB in each place, then the oldest go"
    return f"{took / MEGABYTE:.1f} MB of backups; {most}"


def _damaged_entry(break_point: Break | None) -> str:
    return f"{broken_words(break_point)}; {WHICH_ARE_WHOLE}" if break_point else ""


def _not_there(what: BackupPlace) -> str:
    if not what.second:
        backup.make_folder(what.folder)
        return ""
    if first_outside(what.places, [str(what.folder)]):
        return OUTSIDE
    if not os.path.isdir(what.folder):
        return "it is not there"
    if what.other_disk and _same_disk(what.folder, Path(what.place).absolute().parent):
        return "it is not there, only its empty folder"
    return ""


def _work_since(place: str, copies: dict[datetime, Path], newest: datetime | None) -> bool:
    """Whether a painter did anything since the newest copy; a probe's reading is no work."""
    try:
        return newest is None or backup.newest_work(place) != backup.newest_work(copies[newest])
    except BackupFault:
        return True


# -- by hand --------------------------------------------------------------------------------------


def back_up(shop: Shop, to: str, second: SecondPlace | None) -> Outcome | Refusal:
    """Make a copy now: in ``to``, a folder or a new file, or else in both of the shop's places."""
    place = shop.store.place
    if place is None:
        return ON_A_SERVER
    if waits := missing_entries.refuse_if_missing(shop):
        return waits
    name = backup.dated_name(place, shop.clock.now())
    if to:
        target = Path(to) / name if os.path.isdir(to) else Path(to)
        if refused := refuse_old_file(target, ProtectedFiles(place, second)):
            return refused
        targets = [target.absolute()]
    else:
        targets = [backup.folder_beside(place) / name]
        targets += [Path(second.path) / name] if second else []
    copies, failures, break_point = [], [], None
    if not to and second and first_outside(shop.allowed.backups, [second.path]):
        targets.pop()
        failures.append(f"{second.path}: {OUTSIDE}")
    for target in targets:
        try:
            if not to and target.parent == backup.folder_beside(place):
                backup.make_folder(target.parent)
            contents = backup.copy(place, target)
            last, break_point = contents.last, contents.broken
            copies.append(f"{target}, up to entry {last.number if last else 0} of the log")
        except BackupFault as fault:
            failures.append(f"{target.parent}: {fault}")
    if not copies:
        return Refusal("no backup could be made", "; ".join(failures), "give another place")
    notes = (
        *copies[1:],
        *(f"NOT in {failure}" for failure in failures),
        _damaged_entry(break_point),
    )
    return Outcome(f"backed up: {copies[0]}", notes=tuple(filter(None, notes)))


def export_shop(
    shop: Shop, out: TextIO, *, without_names: bool = False, damaged_too: bool = False
) -> Refusal | None:
    """Write the whole shop, journal included; answers why not where an entry of that is damaged.

    damaged_too: then it is written as it is.
    """
    damage = _damaged_log(shop, damaged_too=damaged_too)
    if isinstance(damage, Refusal):
        return damage
    exchange.write(shop.store, out, without_names=without_names)
    return None


def export_to(
    shop: Shop, file: Path, *, without_names: bool = False, damaged_too: bool = False
) -> Outcome | Refusal:
    """Write the whole shop, as ``export_shop``, to a file that is not there yet."""
    if refused := refuse_old_file(file, protected_files(shop)):
        return refused
    damage = _damaged_log(shop, damaged_too=damaged_too)
    if isinstance(damage, Refusal):
        return damage
    try:
        with (
            made_whole(file.absolute()) as part,
            part.open("w", encoding="ascii", newline="\n") as out,
        ):
            lines = exchange.write(shop.store, out, without_names=without_names)
    except BackupFault as fault:
        return Refusal("the export could not be written", f"{file}: {fault}", "give another path")
    notes = [damage] if damage else []
    notes += [exchange.STAND_INS] if without_names else []
    return Outcome(f"the whole shop is in {file}: {lines} log entries", notes=tuple(notes))


def _damaged_log(shop: Shop, *, damaged_too: bool) -> str | Refusal:
    """Which entry of the log is damaged; that it may not go out is a refusal."""
    damage = _damaged_entry(consistency_check.first_break(shop.store))
    if not damage or damaged_too:
        return damage
    right = "--damaged-too writes it all the same"
    return Refusal("the log is damaged: nothing was written", damage, right)


MOST_EXPORT_BYTES = 1_000_000_000
"""An export of ten busy years is about so long. Longer ones are refused before they fill memory."""


USE_AN_EARLIER = "if there is an earlier export or backup, use that"
"""What to do about an export with a damaged entry."""


def may_be_export(head: bytes) -> bool:
    """Say whether a file that begins so may be an export."""
    return exchange.FORM.encode() in head[: exchange.LIKE_OURS]


def read_export(raw: bytes, name: str) -> Whole | Refusal:
    """Read an export from somewhere. name: where from."""
    try:
        whole = exchange.read(io.TextIOWrapper(io.BytesIO(raw), encoding="utf-8-sig").read())
        import_check.check_rows(whole)
    except (NotReadable, UnicodeDecodeError) as fault:
        why = str(fault) if isinstance(fault, NotReadable) else "it is no text"
        return Refusal(f"{name} cannot be brought in", why, "nothing was changed")
    return whole


def import_shop(shop: Shop, whole: Whole, *, damaged_too: bool = False) -> Outcome | Refusal:
    """Fill an empty shop with an export, all of it or nothing.

    Nothing is kept before the bench and every job record were read from it. damaged_too: also one
    in whose log an entry is damaged.
    """
    try:
        with shop.store.writing() as session:
            if not exchange.is_empty(session):
                return Refusal(
                    "there is a shop here already",
                    "",
                    "give a new place with --db; nothing was changed",
                )
            exchange.fill(session, whole)
            break_point = checksum_chain.break_of(session)
            if break_point and not damaged_too:
                right = f"{USE_AN_EARLIER}; --damaged-too brings it in; nothing was changed"
                return Refusal("its log is damaged", broken_words(break_point), right)
            import_check.read_everything(session, shop)
            session.commit()
    except NotReadable as fault:
        return Refusal("it cannot be brought in", str(fault), "nothing was changed")
    notes = []
    if had_pin := [row["name"] for row in whole.rows[PAINTERS] if row["pin"]]:
        notes.append(f"no PIN travels in an export: {', '.join(had_pin)} set a new one")
    if break_point:
        notes.append(f"{broken_words(break_point)}; {USE_AN_EARLIER}")
    if consistency_check.faults(shop.store):
        notes.append("its journal and its tables differ: paintbench check")
    words = f"the shop is brought in: {whole.lines} log entries"
    return Outcome(words, notes=tuple(notes))
