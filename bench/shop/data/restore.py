"""Which copies of the data there are, what each would leave out, and putting one in its place."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from bench.clock import Clock
from bench.process.refusals.refusal import Refusal
from bench.process.wording.time_text import day_words
from bench.shop.core.transaction import Outcome, StoreFault
from bench.shop.data.backup_retention import MEGABYTE
from bench.shop.data.backups import room_words
from bench.shop.data.missing_entries import entries_beyond, mark_data_accepted
from bench.shop.data.opening import broken_words, open_data
from bench.shop.settings.kiosk_limits import AllowedFolders, first_outside
from bench.shop.settings.setting_list import DEFAULTS
from bench.shop.settings.shop_settings import second_place
from bench.store.copies import backup
from bench.store.copies import restore as restoring
from bench.store.copies.backup import BackupFault, Contents, CopiedEntry
from bench.store.log.journal import RESTORED
from bench.zones import computers_zone

NEVER = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True)
class RestoreOffer:
    """A good copy, and what the data has that it has not.

    missing: the journal lines newer than it; known: whether those are all, or only what could be
    read of damaged data; other: it is a copy of some other shop, or of another story of this one;
    further: how many lines it goes on after the newest of the data.
    """

    file: Path
    contents: Contents
    missing: tuple[CopiedEntry, ...]
    known: bool
    other: bool
    further: int = 0

    @property
    def loses(self) -> bool:
        """Whether entries would or might be lost."""
        return bool(self.missing) or not self.known or self.other or bool(self.contents.broken)


def offer_of(place: str, file: Path) -> RestoreOffer | Refusal:
    """Say what putting this copy in place would mean, or why it cannot be."""
    try:
        contents = backup.contents(file.absolute())
    except BackupFault as fault:
        return Refusal(
            f"{file} cannot be restored", str(fault), "give another; nothing was changed"
        )
    return _offer(place, file.absolute(), contents)


def too_large(place: str, file: Path) -> Refusal | None:
    """Say that a file is larger than copies may be; one of the shop's own is never too large."""
    copies = offers(place)
    most = {**DEFAULTS, **_house_of(place, copies)}["backup_mb"]
    try:
        size = file.stat().st_size
    except OSError:
        return None
    if size <= most * MEGABYTE or file.absolute() in copies:
        return None
    sizes = f"{size / MEGABYTE:.0f} MB, copies take up to {most:g}"
    right = "give another file, or more room: paintbench shop --backup-room MB"
    return Refusal(f"{file} is too large", sizes, right)


def _offer(place: str, file: Path, contents: Contents) -> RestoreOffer:
    last = contents.last
    if not Path(place).exists():
        return RestoreOffer(file, contents, (), known=False, other=False)
    lines, in_log = backup.lines_after(place, last.number if last else 0)
    if last is None:
        return RestoreOffer(file, contents, tuple(lines), in_log, other=False)
    if lines and lines[0].number == last.number:
        return RestoreOffer(
            file, contents, tuple(lines[1:]), in_log, other=not lines[0].is_same(last)
        )
    # The copy goes further than the data, which is older or was itself put back to an older one.
    try:
        further = entries_beyond(place, file)
    except BackupFault:
        further = None
    return RestoreOffer(file, contents, (), in_log, in_log and further is None, further or 0)


def offers(place: str, places: AllowedFolders | None = None) -> list[Path]:
    """Find all copies, those written last first; damaged ones at the end.

    They are in both places, and beside the data, where a restore keeps what was there.
    places: where the second place may lie; None: anywhere.
    """
    with suppress(BackupFault):
        restoring.settle(place)
    here = backup.copies_of(place)
    second = second_place(_house_of(place, here))
    if second and first_outside(places, [second.path]):
        second = None
    try:
        there = backup.every_copy(Path(second.path), place) if second else []
    except BackupFault:
        there = []
    return _newest_first([*here, *there])


def _newest_first(copies: list[Path]) -> list[Path]:
    return sorted(copies, key=lambda path: (_written_at(path), path.name), reverse=True)


def _written_at(path: Path) -> datetime:
    """When its newest line was written: numbers start again where an older copy was put back."""
    try:
        newest = backup.newest_line(path)
        return newest.at if newest else NEVER
    except BackupFault:
        return NEVER


def room_of(place: str, copies: list[Path]) -> str:
    """Say how much room the copies take, and how much each place may; empty if nobody knows."""
    house = {**DEFAULTS, **_house_of(place, copies)}
    try:
        return room_words(copies, house["backup_mb"] * MEGABYTE)
    except BackupFault:
        return ""


def _house_of(place: str, copies: list[Path]) -> dict[str, Any]:
    """The settings as the data has them, or where that cannot be read, as the copies do."""
    for source in (Path(place), *_newest_first(copies)):
        try:
            if source.exists() and isinstance(house := backup.setting(source, "house"), dict):
                return house
        except BackupFault:
            continue
    return {}


def newest_good(place: str, places: AllowedFolders | None = None) -> RestoreOffer | None:
    """Find the copy with the most in its journal that is whole. places: as of ``offers``.

    One with a damaged entry only where there is no other.
    """
    damaged_copy = None
    for path in offers(place, places):
        copy = offer_of(place, path)
        if isinstance(copy, RestoreOffer):
            if not copy.contents.broken:
                return copy
            damaged_copy = damaged_copy or copy
    return damaged_copy


def restore(place: str, file: Path, clock: Clock, terminal: str) -> Outcome | Refusal:
    """Put a copy over the data; what is there is kept under a dated name."""
    try:
        restoring.settle(place)
        is_damaged = bool(backup.damage(place))
        if not is_damaged and Path(place).exists():
            backup.contents(Path(place))  # of some other program it is left alone
        contents = backup.contents(file.absolute())
        aside = restoring.put_in_place(file.absolute(), place, clock.now(), damaged=is_damaged)
    except BackupFault as fault:
        return Refusal(f"{file} cannot be restored", str(fault), "nothing was changed")
    shop = open_data(place, clock, terminal, may_be_new=False)
    if isinstance(shop, Refusal):
        return shop
    last = f"up to entry {contents.last.number} of the log" if contents.last else "its log is empty"
    words = f"restored from {file.name}, {last}"
    words += f"; what was there is kept as {aside}" if aside else ""
    try:
        with shop.act(RESTORED, "") as act:
            mark_data_accepted(act)
            return act.write("", "", words)
    except StoreFault as fault:
        return Outcome(words, notes=(f"that could not be written down: {fault}",))
    finally:
        shop.store.close()


def upto_words(offer: RestoreOffer) -> str:
    """Say up to when a copy goes, on the computer's own clock face."""
    last = offer.contents.last
    if last is None:
        return "empty"
    return f"up to entry {last.number}, {day_words(last.at.astimezone(computers_zone()))}"


def missing_words(offer: RestoreOffer) -> str:
    """Say what would be missing with this copy in place, and the first of it."""
    first = f", the first: {offer.missing[0].text}" if offer.missing and not offer.other else ""
    return f"{count_words(offer)}{first}"


def count_words(offer: RestoreOffer) -> str:
    """Say how much would be missing with this copy in place, and which entry of it is damaged."""
    if offer.contents.broken:
        return f"{broken_words(offer.contents.broken)}; {_count_missing(offer)}"
    return _count_missing(offer)


def _count_missing(offer: RestoreOffer) -> str:
    if offer.other:
        return "its log is not that of the data that is there"
    if not offer.missing:
        return "nothing would be lost" if offer.known else "cannot tell what would be lost"
    count = len(offer.missing)
    lines = f"{count} log entr{'ies' if count > 1 else 'y'} would be lost"
    return lines if offer.known else f"{lines}, or more"
