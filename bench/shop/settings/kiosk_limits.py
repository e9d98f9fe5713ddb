"""What a terminal may use of its computer: on a kiosk only what files that root owns list."""

from __future__ import annotations

import os
import shlex
import stat
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from bench.process.refusals.refusal import Refusal
from bench.process.wording.text_rules import command_fault

FOLDER = Path("/etc/paintbench")
FILES = ("kiosk.env", "kiosk.local.env")
"""What the installer writes, and what whoever looks after the computer writes. The second wins."""

WHERE = str(FOLDER / FILES[-1])
COMMAND = "PAINTBENCH_ALARM_COMMAND"
PROBE_ROOTS, BACKUP_ROOTS = "PAINTBENCH_PROBE_ROOTS", "PAINTBENCH_BACKUP_ROOTS"
MOST_BYTES = 64 * 1024


@dataclass(frozen=True)
class AllowedFolders:
    """Folders below which a path that was typed, or is in the shop's data, may lie.

    name: of the line in root's file that lists them.
    """

    name: str
    folders: tuple[str, ...] = ()

    def hold(self, path: str | Path) -> bool:
        """Say whether a path lies in them once every link and ``..`` in it is followed."""
        try:
            real = Path(os.path.realpath(path))
            return any(real.is_relative_to(os.path.realpath(folder)) for folder in self.folders)
        except (OSError, ValueError):
            return False

    def __str__(self) -> str:
        return ", ".join(self.folders) or "none is listed"

    def refusal(self, path: str) -> Refusal:
        """Say that a path lies elsewhere, where it may lie, and who changes that."""
        rule = f"a kiosk uses no file in {path}"
        return Refusal(rule, "", f"allowed: {self}; {self.name} in {WHERE} lists them")


@dataclass(frozen=True)
class KioskLimits:
    """What a terminal may use. probes, backups: None for any place.

    command: of an alarm, on a kiosk. faults: what is wrong with root's files.
    """

    kiosk: bool = False
    command: tuple[str, ...] = ()
    probes: AllowedFolders | None = None
    backups: AllowedFolders | None = None
    faults: tuple[Refusal, ...] = ()


ANYTHING = KioskLimits()
"""Off a kiosk: who sits there has a shell anyway."""

NOTHING = KioskLimits(
    True, probes=AllowedFolders(PROBE_ROOTS), backups=AllowedFolders(BACKUP_ROOTS)
)
"""On a kiosk of which root's files say nothing."""


def kiosk_limits(folder: Path = FOLDER, owner: int = 0) -> KioskLimits:
    """Read what root lets a kiosk use. A file that somebody else could change is ignored.

    owner: the user whose files count. Never raises.
    """
    values: dict[str, str] = {}
    faults: list[Refusal] = []
    for path in (folder / name for name in FILES):
        try:
            values |= _lines(path, owner)
        except FileNotFoundError:
            continue
        except OSError as fault:
            why = fault.strerror or str(fault)
            faults.append(Refusal(f"{path} is not used", why.lower(), _RIGHT))
    command = _command(values.get(COMMAND, ""))
    if isinstance(command, Refusal):
        faults.append(command)
        command = ()
    probes, backups = (
        AllowedFolders(name, _folders(values.get(name, ""))) for name in (PROBE_ROOTS, BACKUP_ROOTS)
    )
    return KioskLimits(True, command, probes, backups, tuple(faults))


_RIGHT = "only root may own and change it: chown root, chmod 644"


def _lines(path: Path, owner: int) -> dict[str, str]:
    with path.open("rb") as file:
        for status in (os.fstat(file.fileno()), path.parent.stat()):
            if status.st_uid != owner or status.st_mode & (stat.S_IWGRP | stat.S_IWOTH):
                raise PermissionError(0, "somebody else could change it")
        text = file.read(MOST_BYTES).decode("utf-8", errors="replace")
    rows = (row.strip() for row in text.splitlines())
    pairs = (row.partition("=") for row in rows if row[:1] not in ("#", ";"))
    return {name.strip(): value.strip() for name, equals, value in pairs if equals}


def _folders(value: str) -> tuple[str, ...]:
    return tuple(folder for folder in value.split(":") if folder.startswith("/"))


def _command(value: str) -> tuple[str, ...] | Refusal:
    if not value:
        return ()
    try:
        words = shlex.split(value)
    except ValueError as fault:
        return Refusal(f"{COMMAND} cannot be read", str(fault), f"close its quotes in {WHERE}")
    if refused := command_fault(words) or _no_program(words[0]):
        return Refusal(f"{COMMAND}: {refused.rule}", refused.read, refused.remedy)
    return tuple(words)


def _no_program(path: str) -> Refusal | None:
    if os.path.isfile(path) and os.access(path, os.X_OK):
        return None
    return Refusal(f"{path} is no program", "", f"give one that is there in {WHERE}")


def first_outside(places: AllowedFolders | None, paths: Iterable[str]) -> Refusal | None:
    """Say which path lies outside the places; none where all lie inside, or any may be used."""
    if places is None:
        return None
    outside = next((path for path in paths if path and not places.hold(path)), None)
    return None if outside is None else places.refusal(outside)


@dataclass(frozen=True)
class AlarmCommand:
    """The command an alarm runs, and why the one in the shop's data is not run, if there is one."""

    words: tuple[str, ...] = ()
    not_run: Refusal | None = None


def alarm_command_to_run(allowed: KioskLimits, stored_words: Sequence[str]) -> AlarmCommand:
    """Choose what an alarm runs. stored_words: in the shop's data, which no kiosk runs."""
    words = tuple(stored_words)
    if not allowed.kiosk:
        if not words or (fault := command_fault(words)) is None:
            return AlarmCommand(words)
        rule = f"alarm command not run: {fault.rule}"
        return AlarmCommand(not_run=Refusal(rule, fault.read, fault.remedy))
    if not words:
        return AlarmCommand(allowed.command)
    rule = "an alarm command from the shop's data: not run on a kiosk"
    return AlarmCommand(allowed.command, Refusal(rule, "", f"it belongs in {WHERE}"))
