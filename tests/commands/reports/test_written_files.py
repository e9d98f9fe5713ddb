"""What the program writes for people goes over an earlier file of its kind and over nothing else.

That SQLite's files begin as they do: https://www.sqlite.org/fileformat2.html (from memory); here the
database itself makes them.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bench.process.stock.mixing import MixStart
from bench.records.forms import FORMS
from bench.shop.core.transaction import Shop
from bench.shop.parts import placement
from bench.shop.stock import pots
from tests.living import done_once
from tests.shop.doing import done
from tests.simulation import LONG

from ..running import Paintbench, Ran

pytestmark = pytest.mark.sqlite

FORM_WRITERS = [
    *((form, ("sheet", "1", "--form", form, "-o")) for form in FORMS),
    ("calendar", ("calendar", "-o")),
    ("calendar as JSON", ("calendar", "--json", "-o")),
]
WRITERS = [*FORM_WRITERS, ("export", ("export",)), ("backup", ("backup",))]
forms = pytest.mark.parametrize(
    "words", [w for _, w in FORM_WRITERS], ids=[n for n, _ in FORM_WRITERS]
)
writers = pytest.mark.parametrize("words", [w for _, w in WRITERS], ids=[n for n, _ in WRITERS])
one_of_each = pytest.mark.parametrize(
    "words", {w[0]: w for _, w in reversed(WRITERS)}.values(), ids=lambda words: words[0]
)
"""Every form of a command goes to its file by the same road."""


@done_once
def work(shop: Shop) -> None:
    """A frame on stand 1, and a pot to be binned."""
    done(placement.place(shop, 1, "Kit", route="zinc-new", shape="frame"))
    done(pots.mix(shop, "etch-primer", "Kit", known=MixStart(need_ml=600)))


@pytest.fixture
def worked(shop: Shop, paintbench: Paintbench) -> Paintbench:
    work(shop)
    return paintbench


def refused(ran: Ran) -> str:
    """One line of why, and what to do."""
    assert (ran.code, ran.out, ran.err.count("\n")) == (1, "", 1), ran
    return ran.err


def ways_to_the_data(data: Path, folder: Path) -> list[Path]:
    """The data, what SQLite keeps beside it, there or not yet, and other names of these."""
    (data.parent / "x").mkdir()
    (folder / "link.txt").symlink_to(data)
    os.link(data, folder / "hard.txt")
    os.link(f"{data}-wal", folder / "log.txt")
    sides = [Path(f"{data}{side}") for side in ("", "-wal", "-shm", "-journal")]
    assert [side.exists() for side in sides] == [True, True, True, False]
    names = [folder / name for name in ("link.txt", "hard.txt", "log.txt")]
    return [*sides, *names, data.parent / "x" / ".." / data.name]


def with_force(words: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Nothing more, and --force where there is such a thing."""
    return [(), ("--force",)] if words[-1] == "-o" else [()]


@one_of_each
def test_nothing_is_written_over_the_shops_data(
    worked: Paintbench, words: tuple[str, ...], data: Path, tmp_path: Path
) -> None:
    before = worked("journal", "--json").json()
    for target in ways_to_the_data(data, tmp_path):
        for more in with_force(words):
            told = refused(worked(*words, str(target), *more))
            assert "is the shop's data: name another file" in told
    assert worked("journal", "--json").json() == before
    assert "whole" in worked("check").out


@one_of_each
def test_nothing_is_written_over_a_backup_nor_over_another_shop(
    worked: Paintbench, words: tuple[str, ...], data: Path, tmp_path: Path
) -> None:
    assert worked("backup").code == 0
    (backup,) = (data.parent / "backups").iterdir()
    os.link(backup, tmp_path / "hard.db")
    (data.parent / "backups" / "note.txt").write_text("mine")
    (tmp_path / "link.db").symlink_to(backup)
    whole = tmp_path / "whole.json"
    assert worked("export", str(whole)).code == 0
    stick = tmp_path / "stick"
    stick.mkdir()
    assert worked("shop", "--backup-to", str(stick), "--by", "Kit").code == 0
    (stick / "old.txt").write_text("old")
    kept = [backup, backup.parent / "note.txt", stick / "old.txt"]
    kept += [tmp_path / name for name in ("hard.db", "link.db", "whole.json")]
    before = [file.read_bytes() for file in kept]
    for file in kept:
        for more in with_force(words):
            told = refused(worked(*words, str(file), *more))
            assert "among the backups" in told or "never written over" in told or "already" in told
    assert [file.read_bytes() for file in kept] == before


@forms
def test_a_files_own_earlier_output_is_written_over_and_nothing_is_left_beside_it(
    worked: Paintbench, words: tuple[str, ...], tmp_path: Path
) -> None:
    file = tmp_path / "out" / "given"
    assert worked(*words, str(file)).code == 0
    first = file.read_bytes()
    file.write_bytes(b"old\n" + first if "label" in words else first + b"old\n")
    (tmp_path / "link").symlink_to(file)
    assert worked(*words, str(tmp_path / "link")).code == 0
    assert (tmp_path / "link").is_symlink()
    assert file.read_bytes() == first == worked(*words[:-1]).out.encode()
    assert list(file.parent.iterdir()) == [file]


def test_each_form_knows_its_own_files_and_no_other(worked: Paintbench, tmp_path: Path) -> None:
    for name, words in FORM_WRITERS:
        assert worked(*words, str(tmp_path / name)).code == 0
    for at, (name, _) in enumerate(FORM_WRITERS):
        kept = (tmp_path / name).read_bytes()
        others = [*FORM_WRITERS[at + 1 :], *FORM_WRITERS[:at]]
        for other, words in others if LONG else others[:: len(others) // 3]:
            told = refused(worked(*words, str(tmp_path / name)))
            assert "is not an earlier file of this form" in told, (name, other)
            assert "or --force to write over it" in told
        assert (tmp_path / name).read_bytes() == kept


@writers
def test_somebody_elses_file_is_written_over_only_with_force(
    worked: Paintbench, words: tuple[str, ...], tmp_path: Path
) -> None:
    file = tmp_path / "mine"
    for text in ("", "my notes\n", "JOB RECORD, tag 1, by hand\n", "{}\n"):
        file.write_text(text)
        refused(worked(*words, str(file)))
        assert file.read_text() == text
        if words[-1] == "-o":
            assert worked(*words, str(file), "--force").code == 0
            assert file.read_text() != text


@one_of_each
def test_only_a_plain_file_is_written(
    worked: Paintbench, words: tuple[str, ...], tmp_path: Path
) -> None:
    os.mkfifo(tmp_path / "pipe")
    for target, what in (
        (tmp_path / "pipe", "a pipe or a device"),
        (Path("/dev/null"), "a pipe or a"),
    ):
        assert what in refused(worked(*words, str(target)))
    assert (tmp_path / "pipe").is_fifo()
    if words[0] != "backup":  # which makes a file in a folder
        assert "is a folder" in refused(worked(*words, str(tmp_path)))
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    refused(worked(*words, str(tmp_path / "loop")))


@forms
def test_the_terminal_can_be_named(worked: Paintbench, words: tuple[str, ...]) -> None:
    for name in ("-", "/dev/stdout"):
        assert worked(*words, name).out == worked(*words[:-1]).out != ""


def full_for(name: str, really: Callable[..., Any]) -> Callable[..., Any]:
    """A call of the system to which the disk is full where a file of that name is meant."""

    def call(what: object, *more: object, **how: object) -> Any:
        if isinstance(what, int) or name in str(what):
            raise OSError(28, "No space left on device")
        return really(what, *more, **how)

    return call


@one_of_each
def test_a_fault_before_the_new_file_is_in_place_leaves_the_old_one_whole(
    worked: Paintbench,
    words: tuple[str, ...],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    file = tmp_path / "out" / "given"
    file.parent.mkdir()
    if words[-1] == "-o":
        assert worked(*words, str(file)).code == 0
    before = file.read_bytes() if file.exists() else None
    for where in ("open", "fsync", "replace"):
        with monkeypatch.context() as disk:
            disk.setattr(os, where, full_for("given", getattr(os, where)))
            told = refused(worked(*words, str(file)))
        assert "no space left on device" in told
        assert (file.read_bytes() if file.exists() else None) == before
        assert list(file.parent.iterdir()) == ([file] if before is not None else [])


@one_of_each
def test_a_folder_that_takes_no_file_is_said(worked: Paintbench, words: tuple[str, ...]) -> None:
    """Whoever runs the tests may be root, whom no right of a folder stops: /proc takes nobody's."""
    told = refused(worked(*words, "/proc/given"))
    assert (
        "cannot be written" in told or "could not be written" in told or "no backup could" in told
    )
