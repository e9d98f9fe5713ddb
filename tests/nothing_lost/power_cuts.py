"""The disk after a power cut, rebuilt from what was noted: only what was synced is sure.

A strict model of a disk, after fsync(2) and POSIX:

- of a file, what was written before its last sync is there; of what was written since, any part may
  be, in any order, and one write may be torn between sectors;
- of a folder, the names are there that it had when it was last brought to the disk; of what was done
  to its names since, the beginning may be there, as far as it goes (file systems that keep a journal
  keep it in order).

Each state is opened as any start opens it: every acknowledged action is there, the file is whole, the
checksums of the log agree, nobody meets a traceback.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from .filework import Note
from .recording import Recording, recorded
from .report import Row
from .scenarios import SCENARIOS, Answers

SECTOR_BYTES = 512

HOW = ("none", "all", "some", "torn")
"""What of that which was not synced is on the disk."""

MOST_TRIES = 30
"""So often another state is looked for, and it is always one that was seen."""


@dataclass(eq=False)
class File:
    """What of a file is sure to be on the disk, and what was done to it since: write or cut."""

    sure: bytes = b""
    since: list[Note] = field(default_factory=list)

    def sync(self) -> None:
        """Bring all of it to the disk."""
        self.sure, self.since = _with(self.sure, self.since), []

    def after_a_cut(self, draw: Random, how: str) -> bytes:
        """Draw what may be there."""
        if how == "none":
            return self.sure
        if how == "all":
            return _with(self.sure, self.since)
        kept = [note for note in self.since if draw.random() < 0.5]
        if how == "torn" and kept:
            number = draw.randrange(len(kept))
            kept[number : number + 1] = _torn(kept[number], draw)
        return _with(self.sure, kept)


@dataclass(eq=False)
class Folder:
    """The names of a folder that are sure to be on the disk, and what was done to names since.

    Each thing that was done is one step that is there or not: what became of some names.
    """

    sure: dict[str, File | Folder] = field(default_factory=dict)
    since: list[dict[str, File | Folder | None]] = field(default_factory=list)

    def now(self, steps: int | None = None) -> dict[str, File | Folder]:
        """The names after so many steps, or all."""
        names: dict[str, File | Folder | None] = {**self.sure}
        for step in self.since[:steps]:
            names |= step
        return {name: node for name, node in names.items() if node is not None}

    def sync(self) -> None:
        """Bring the names to the disk."""
        self.sure, self.since = self.now(), []

    def after_a_cut(self, draw: Random, how: str) -> dict[str, File | Folder]:
        """Draw the names that may be there."""
        steps = {"none": 0, "all": len(self.since)}.get(how)
        return self.now(draw.randint(0, len(self.since)) if steps is None else steps)


def _with(content: bytes, notes: Sequence[Note]) -> bytes:
    held = bytearray(content)
    for note in notes:
        if note.what == "cut":
            held = held[: note.at].ljust(note.at, b"\0")
        else:
            held.extend(bytes(max(note.at - len(held), 0)))
            held[note.at : note.at + len(note.second)] = note.second
    return bytes(held)


def _torn(note: Note, draw: Random) -> list[Note]:
    """Of one write some sectors."""
    if note.what == "cut":
        return []
    starts = range(0, len(note.second), SECTOR_BYTES)
    kept = [start for start in starts if draw.random() < 0.5]
    return [
        Note("write", note.file, note.at + s, b"", note.second[s : s + SECTOR_BYTES]) for s in kept
    ]


class Disk:
    """The folder of a job on the disk, as the job goes on."""

    def __init__(self, recording: Recording) -> None:
        self._root = Folder()
        self._at = recording.folder
        self._by_number: dict[int, File | Folder] = {}
        for name, (number, content) in recording.before.items():
            node = Folder() if content is None else File(content)
            if name == ".":
                node = self._root
            else:
                self._folder_of(self._at / name).sure[Path(name).name] = node
            self._by_number[number] = node

    def do(self, note: Note) -> None:
        """Do what was done."""
        if note.what in ("create", "folder"):
            made = File() if note.what == "create" else Folder()
            self._by_number[note.file] = made
            self._step(note.name, made)
        elif note.what in ("write", "cut"):
            file = self._by_number[note.file]
            assert isinstance(file, File)
            file.since.append(note)
        elif note.what == "sync":
            self._by_number[note.file].sync()
        elif note.what == "remove":
            self._step(note.name, None)
        else:
            node = self._folder_of(note.name).now()[note.name.name]
            self._step(note.new_name, node, gone=note.name if note.what == "rename" else None)

    def _step(self, name: Path, node: File | Folder | None, gone: Path | None = None) -> None:
        step = {name.name: node}
        if gone is not None:
            assert gone.parent == name.parent, "from one folder into another"
            step = {gone.name: None, **step}
        self._folder_of(name).since.append(step)

    def _folder_of(self, path: Path) -> Folder:
        folder = self._root
        for name in path.relative_to(self._at).parts[:-1]:
            below = folder.now()[name]
            assert isinstance(below, Folder)
            folder = below
        return folder

    def after_a_cut(self, draw: Random, how: str) -> dict[str, bytes | None]:
        """Draw what may be there: by path what a file holds, None for a folder."""
        return dict(_below(self._root, "", draw, how))


def _below(folder: Folder, at: str, draw: Random, how: str) -> Iterator[tuple[str, bytes | None]]:
    for name, node in folder.after_a_cut(draw, how).items():
        if isinstance(node, File):
            yield f"{at}{name}", node.after_a_cut(draw, how)
        else:
            yield f"{at}{name}", None
            yield from _below(node, f"{at}{name}/", draw, how)


def states_of(
    recording: Recording, draw: Random, wanted: int
) -> Iterator[tuple[str, dict[str, bytes | None], Answers]]:
    """Draw so many different states, at moments from the first to the last, with what was answered."""
    seen = set()
    steps = len(recording.notes)
    moments = [*sorted(draw.randint(1, steps) for _ in range(wanted - 1)), steps]
    disk, answers = Disk(recording), Answers(recording.scenario, recording.lines)
    done = 0
    for moment in moments:
        for note in recording.notes[done:moment]:
            if note.what == "say":
                answers.take(*json.loads(note.first))
            else:
                disk.do(note)
        done = moment
        for _ in range(MOST_TRIES):
            how = draw.choice(HOW)
            state = disk.after_a_cut(draw, how)
            mark = (_digest(state), str(answers))
            if mark not in seen:
                seen.add(mark)
                yield f"{recording.scenario.name}, {moment} of {steps}, {how}", state, answers
                break


def _digest(state: dict[str, bytes | None]) -> bytes:
    total = hashlib.blake2b()
    for name, content in sorted(state.items()):
        total.update(f"{name}\0{None if content is None else len(content)}\0".encode())
        total.update(content or b"")
    return total.digest()


def put(state: dict[str, bytes | None], folder: Path) -> None:
    """Write a state into a new folder."""
    folder.mkdir(0o700)
    for name, content in state.items():
        if content is None:
            (folder / name).mkdir(0o700)
        else:
            with open(os.open(folder / name, os.O_CREAT | os.O_WRONLY, 0o600), "wb") as file:
                file.write(content)


def rows(folder: Path, tries: int, seed: int) -> Iterator[Row]:
    """Have each job done, rebuild so many states of all together, and open each."""
    draw, each = Random(seed), -(-tries // len(SCENARIOS))
    for recording in recorded(folder):
        row = Row(f"power cut: {recording.scenario.name}")
        for moment, state, answers in states_of(recording, draw, each):
            work = folder / "state"
            put(state, work)
            row.look(moment, answers.fault_of(work))
            shutil.rmtree(work)
        row.notes = f"of {len(recording.notes)} operations"
        yield row
