"""Pictures of screens, kept as text. UPDATE_GOLDEN=1 writes them again: look at the difference."""

from __future__ import annotations

import importlib
import os
import pkgutil
from collections.abc import Iterator
from difflib import unified_diff
from fcntl import LOCK_EX, flock
from pathlib import Path
from typing import Any

import bench.screens
from bench.screens.core.base import BenchScreen
from bench.screens.menus.palette import Palette

from .driving import Hands
from .invariants import holds

GOLDEN = Path(__file__).parent / "golden"
SIZES = {"80x24": (80, 24), "132x40": (132, 40)}

SHOWN = GOLDEN / "shown.csv"
"""Which screen each picture shows, so that none is without: a picture and a screen to a line."""

Kind = type[BenchScreen[Any]] | type[Palette]


def name_of(kind: Kind) -> str:
    """A screen by its module and name: two of them are called alike."""
    return f"{kind.__module__.removeprefix('bench.screens.')}.{kind.__name__}"


SHARED = (
    *("core.pages.PagedScreen", "core.pages.LongList", "setup.painters.Sections"),
    *("parts.record_pages.WrittenPage", "dialogs.typed_line.TypedLine"),
)
"""What only lends others its lines."""


def every_screen() -> list[Kind]:
    """All there are, and the palette."""
    for module in pkgutil.walk_packages(bench.screens.__path__, "bench.screens."):
        importlib.import_module(module.name)
    found = [kind for kind in _below(BenchScreen) if name_of(kind) not in SHARED]
    return [Palette, *found]


def _below(kind: type[BenchScreen[Any]]) -> Iterator[type[BenchScreen[Any]]]:
    for each in kind.__subclasses__():
        if each.__module__.startswith("bench."):
            yield each
        yield from _below(each)


def shown() -> dict[str, str]:
    """The kept pictures, each with its screen."""
    rows = SHOWN.read_text(encoding="utf-8").splitlines() if SHOWN.exists() else []
    return {picture: screen for picture, _, screen in (row.partition(",") for row in rows)}


def compare(name: str, hands: Hands, folder: str = "") -> None:
    """The picture, and what screen it is of, against those that were kept.

    folder: a name in it that is another one every time, as long as the one that is kept.
    """
    file, picture = GOLDEN / f"{name}.txt", hands.picture() + "\n"
    picture = picture.replace(folder, "/home/bench/shop-1") if folder else picture
    screen = name_of(type(hands.app.screen))  # type: ignore[arg-type]
    holds(hands)
    assert hands.drawn().rstrip() == hands.picture().rstrip(), "what is on the canvas is drawn"
    if os.environ.get("UPDATE_GOLDEN"):
        file.parent.mkdir(exist_ok=True)
        file.write_text(picture, encoding="utf-8")
        _keep(name, screen)
    assert file.exists(), f"no picture {file}: look at the screen, then run with UPDATE_GOLDEN=1"
    kept = file.read_text(encoding="utf-8")
    assert picture == kept, f"not as {file} has it:\n{difference(kept, picture)}"
    assert shown().get(name) == screen, f"{name} shows {screen}, not {shown().get(name)}"


async def compare_at_both_sizes(name: str, hands: Hands, folder: str = "") -> None:
    """The picture at each size, the one that the terminal has first; it has the other afterwards."""
    for size in sorted(SIZES, key=lambda size: SIZES[size] != hands.app.size):
        await resize(hands, size)
        fits(hands, SIZES[size])
        compare(f"{name}-{size}", hands, folder)


async def resize(hands: Hands, size: str) -> None:
    """The terminal gets another size."""
    if hands.app.size != SIZES[size]:
        await hands.pilot.resize_terminal(*SIZES[size])
        await hands.settled()


def difference(kept: str, now: str) -> str:
    """The rows in which two pictures differ: those of the kept one after -, of the other after +."""
    rows = unified_diff(kept.splitlines(), now.splitlines(), "kept", "now", n=0, lineterm="")
    return "\n".join(rows)


def _keep(name: str, screen: str) -> None:
    # Several processes write pictures.
    with SHOWN.open("a") as lock:
        flock(lock, LOCK_EX)
        kept = sorted({**shown(), name: screen}.items())
        SHOWN.write_text("".join(f"{a},{b}\n" for a, b in kept), encoding="utf-8")


def fits(hands: Hands, size: tuple[int, int]) -> None:
    """Nothing is wider or longer than the terminal, and every sign is on the console's font.

    The line of keys is whole: it ends with the key that names them all.
    """
    rows = hands.picture().splitlines()
    assert len(rows) <= size[1]
    assert max(len(row) for row in rows) <= size[0]
    odd = {c for row in rows for c in row if not c.isascii()} - set("▀▄█")
    assert not odd
    assert not rows[-1].endswith(".."), rows[-1]
