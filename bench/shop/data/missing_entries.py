"""Whether a backup goes further than the data: then what was done last is missing in the data.

A log that was removed while the shop was closed, or an older file that was put over the
data, leave data that is whole and too short. Until somebody says which of the two is right nothing
is written: a restore and ``accept_shorter_data`` say so, and a setting remembers it.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import day_words
from bench.shop.core.transaction import Outcome, Shop, Transaction
from bench.shop.settings.shop_settings import second_place
from bench.store.copies import backup
from bench.store.copies.backup import BackupFault, CopiedEntry
from bench.store.databases.write_ahead_log import SAVED_AS
from bench.store.log.journal import DATA_KEPT
from bench.store.schema.tables import SettingRow
from bench.zones import computers_zone

SETTING = "backups answered"
"""The last entries of the backups that go further than the data with somebody's knowledge."""


@dataclass(frozen=True)
class MissingEntries:
    """A backup whose last entry the data has not got.

    further: how many entries it goes on after the data's newest, None where it has not got that.
    """

    file: Path
    last: CopiedEntry
    further: int | None

    @property
    def words(self) -> str:
        """What is wrong, for a painter."""
        upto = f"up to {day_words(self.last.at.astimezone(computers_zone()))}"
        if self.further is None:
            return f"{self.file.name} has entries that the data has not, {upto}"
        entries = "entry" if self.further == 1 else "entries"
        return f"{self.file.name} goes {self.further} {entries} further than the data, {upto}"

    @property
    def remedy(self) -> str:
        """What to do, on a command line."""
        file = shlex.quote(str(self.file))
        return f"paintbench restore {file}, or to go on without them: paintbench keep-data"


def missing_entries(place: str | None, *, everywhere: bool = False) -> MissingEntries | None:
    """Find the newest backup that goes further than the data; None where none does, or on a server.

    everywhere: in the second place too, which can be as slow as a stick. What cannot be read is no
    backup.
    """
    if place is None:
        return None
    copies = _further(place, everywhere=everywhere)
    return max(copies, key=lambda each: each.last.number, default=None)


def _further(place: str, *, everywhere: bool) -> Iterator[MissingEntries]:
    try:
        answered = backup.setting(place, SETTING) or []
        folders = [backup.folder_beside(place)]
        house = backup.setting(place, "house") if everywhere else None
        if isinstance(house, dict) and (second := second_place(house)):
            folders.append(Path(second.path))
        for file in (file for folder in folders for file in _newest(folder, place)):
            last = backup.newest_line(file)
            if last is None or _mark(last) in answered:
                continue
            if not last.is_same(backup.line_at(place, last.number)):
                yield MissingEntries(file, last, entries_beyond(place, file))
    except BackupFault:
        return


def _newest(folder: Path, place: str) -> Iterator[Path]:
    """The newest backup of a folder that can be read, and what was saved of a log that was lost."""
    for file in reversed(backup.hourly(folder, place).values()):
        try:
            backup.newest_line(file)
        except BackupFault:
            continue
        yield file
        break
    yield from (file for file in backup.every_copy(folder, place) if SAVED_AS in file.name)


def entries_beyond(place: str, file: Path) -> int | None:
    """Count the entries a backup has after the data's newest, None where it has not got that.

    Raises BackupFault.
    """
    newest = backup.newest_line(place)
    if newest is None:
        return backup.count_after(file, 0)
    if not newest.is_same(backup.line_at(file, newest.number)):
        return None
    return backup.count_after(file, newest.number)


def _mark(last: CopiedEntry) -> str:
    """What tells the last entry of a backup from any other."""
    return last.checksum or f"{last.number} {last.at.isoformat()}"


def mark_data_accepted(act: Transaction) -> None:
    """Remember, with the action, that the data is right as it is, whatever backups there are."""
    place = act.shop.store.place
    if place is None:
        return
    row = act.session.get(SettingRow, SETTING)
    before = list(row.value) if row is not None else []
    marks = [_mark(each.last) for each in _further(place, everywhere=True)]
    if not marks:
        return
    if row is None:
        act.session.add(SettingRow(key=SETTING, value=marks))
    else:
        row.value = [*before, *marks]


def accept_shorter_data(shop: Shop) -> Outcome | Refusal:
    """Go on with the data as it is, though a backup goes further."""
    missing = missing_entries(shop.store.place, everywhere=True)
    if missing is None:
        return Refusal("no backup goes further than the data", "", "nothing was changed")
    with shop.act(DATA_KEPT, "") as act:
        mark_data_accepted(act)
        return act.write("", "", f"the data is kept as it is, though {missing.words}")


def refuse_if_missing(shop: Shop) -> Refusal | None:
    """Say why nothing is written before somebody answered, None where all is well."""
    missing = missing_entries(shop.store.place)
    return Refusal(missing.words, "", missing.remedy) if missing else None
