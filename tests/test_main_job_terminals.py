"""The main job in real terminals, by the bytes that their keypads send, NumLock on and off.

The table of stages is played in this process first. Then the real program plays it in a
pseudo-terminal of two kinds, with --long of each, and after every single key that terminal must
show the same picture. What every keypad's bytes are read as is held key by key in test_keys.py.
What each keypad sends, with its sources, is in ``tests/keypads.py``. That a terminal stays with its
application keypad, or with cursor keys as SS3, although it was told not to, is assumed; tmux sets
the terminal around it to both, whatever the program in it wants (3.3a, seen).
"""

from __future__ import annotations

import asyncio
import difflib
import os
import re
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager, nullcontext
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from shutil import which
from tempfile import TemporaryDirectory

import pytest

from bench.process.refusals.refusal import Refusal
from bench.screens.core.keys import KEYS_REPEAT, NUMERIC_KEYPAD
from bench.screens.core.scanner import SCAN_GAP_S
from bench.settings import FORCED, FULL, Profile, terminal_profile
from bench.shop.core.transaction import Shop
from bench.shop.seeds.first_start import open_shop
from bench.shop.seeds.seed_files import Seeds
from bench.store.databases.database import open_store
from bench.testing import ManualClock
from bench.widgets.theme import look_of

from . import clock_on_file
from .commands.running import run_main
from .conftest import MONDAY
from .keypads import APPLICATION, CONSOLE, NUMLOCK, TMUX, XTERM, XTERM_CURSOR
from .main_job import CURED_FOR_SURE, HEATED, STAGES
from .screens.driving import Hands, at_the_bench
from .screens.test_main_job import moment, play
from .simulation import LONG
from .terminal import Terminal, terminal

SHOP, HOUR = "shop.db", "hour"
"""Files of each terminal: its shop's data, and its clock."""

PROGRAM = (sys.executable, "-m", "tests.clock_on_file")

TMUX_IS_THERE = which("tmux") is not None

TMUX_CONF = """
set -g default-terminal tmux-256color
set -g status off
set -g destroy-unattached on
"""

UTF8 = {"LANG": "en_GB.UTF-8", "LC_ALL": "C.UTF-8"}
C = {"LANG": "C", "LC_ALL": "C"}
NO_MORE = {"COLORTERM": "", "TMUX": "", "PAINTBENCH_NAME": "test"}
"""Nothing of the terminal that the tests run in."""

SIGNS = "▀▄█"
CONSOLE_SIGNS = "■█"
"""Those that the kernel's own font has (code page 437), and those of Debian too."""

SIXTEEN = re.compile(r"(?:;?(?:[017]|[34][0-7]|9[0-7]))*")
"""Bold, reverse, eight colours to draw on and sixteen to draw with (console_codes(4), from memory)."""

MANY = re.compile(r"(?:;?(?:[34]8;5;\d+|[017]|[34][0-79]|9[0-7]|10[0-7]))*")
"""The 256 of xterm besides (ctlseqs, from memory)."""


@dataclass(frozen=True)
class Kind:
    """A kind of terminal: what its keypad sends, what the environment says of it, what it has."""

    keypad: dict[str, str]
    term: str
    locale: dict[str, str] = field(default_factory=lambda: UTF8)
    in_tmux: bool = False

    @property
    def environment(self) -> dict[str, str]:
        return {"TERM": self.term, **self.locale}

    @property
    def in_ascii(self) -> bool:
        return self.locale is C

    @property
    def signs(self) -> str:
        if self.in_ascii:
            return ""
        return CONSOLE_SIGNS if self.term == "linux" else SIGNS

    @property
    def styles(self) -> re.Pattern[str]:
        return SIXTEEN if self.term == "linux" else MANY

    def shown(self, picture: str) -> str:
        """A picture with the signs it has here."""
        return look_of(terminal_profile(self.environment, "utf-8"), "dark").shown(picture)


KINDS = {
    "console, NumLock": Kind(NUMLOCK, "linux"),
    "console": Kind(CONSOLE, "linux"),
    "xterm, application keypad": Kind(APPLICATION, "xterm-256color"),
    "xterm": Kind(XTERM, "xterm-256color"),
    "xterm, cursor keys as SS3": Kind(XTERM_CURSOR, "xterm-256color"),
    "tmux, told by TERM": Kind(TMUX, "tmux-256color"),
    "tmux in an xterm": Kind(XTERM_CURSOR, "xterm-256color", in_tmux=True),
    "tmux in an xterm, application keypad": Kind(APPLICATION, "xterm-256color", in_tmux=True),
    "C, NumLock": Kind(NUMLOCK, "xterm-256color", C),
    "C on the console": Kind(CONSOLE, "linux", C),
}

TRIED = KINDS if LONG else ("console, NumLock", "tmux in an xterm")
"""In the normal run the plainest keypad, on the kernel's console with its few signs and colours, and
the one furthest from it, through tmux. What is drawn in ASCII is held in test_theme.py."""


@dataclass(frozen=True)
class Move:
    """A key by its cap, or "" when only time goes by; when it is, and the picture after it."""

    cap: str
    now: datetime
    elapsed_s: float
    picture: str


@dataclass
class Stage:
    """What a stage of the table is, and what it comes to on the screen, move by move."""

    told: str
    word: str
    moves: list[Move] = field(default_factory=list)


class Noted(Hands):
    """Hands whose every key is kept; one that changes nothing but the hour is not worth a press."""

    stages: list[Stage]

    def note(self, cap: str) -> None:
        """Keep the picture after a key."""
        clock = self.clock
        self.stages[-1].moves.append(Move(cap, clock.now(), clock.monotonic(), self.picture()))

    async def press(self, keys: str) -> None:
        for key in keys.split():
            before = self.picture()
            await super().press(key)
            if self.picture() != before:
                self.note(key)
            else:
                assert key == "0", f"{self.stages[-1].told}: {key} did nothing"


async def in_this_process(shop: Shop, clock: ManualClock, profile: Profile) -> list[Stage]:
    """Play the main job, and keep what was seen."""
    async with at_the_bench(shop, clock, profile=profile) as plain:
        hands = Noted(plain.pilot, clock)
        hands.stages = [Stage("the bench is empty", "EMPTY")]
        hands.note("")
        for told, action, shown in STAGES:
            hands.stages.append(Stage(told, shown["state"].upper()))
            clock.set(moment(action["at"]))
            await hands.let_pass(seconds=0)
            hands.note("")
            await play(hands, told, action, shown)
        hands.stages.append(Stage("the air once more, with a point in it", "EMPTY"))
        # A second 0 at once would ask for a tag.
        clock.hold(5)
        await hands.press("0 / 2 + 1 7 . 9 enter 4 8 enter 1 6 enter 0")
        assert "air 17.9 C  48 %  surface 16 C" in hands.picture()
    return hands.stages


def expect(window: Terminal, picture: str, told: str) -> None:
    """Wait until the terminal shows exactly this."""
    want = picture.rstrip("\n")
    try:
        window.wait_until(lambda p: p.rstrip("\n") == want)
    except AssertionError:
        rows = window.picture().splitlines()
        raise AssertionError("\n".join([told, *difflib.ndiff(want.splitlines(), rows)])) from None


def opened(folder: Path, seeds: Seeds, clock: ManualClock) -> Shop:
    """A shop opened just now: painters Kit and Mo, six empty stands, in London."""
    folder.mkdir(0o700)  # else each would be told to close it, by its own name
    shop = Shop(open_store(str(folder / SHOP)), clock, "test")
    answer = open_shop(shop, seeds, ("Kit", "Mo"), 6, {"zone": "Europe/London", **HEATED})
    assert not isinstance(answer, Refusal), answer
    return shop


def recorded(folder: Path, seeds: Seeds, in_ascii: bool) -> list[Stage]:
    """What the main job looks like, with or without signs outside ASCII."""
    clock = ManualClock(MONDAY)
    shop = opened(folder, seeds, clock)
    stages = asyncio.run(in_this_process(shop, clock, FORCED["plain"] if in_ascii else FULL))
    shop.store.close()
    assert {move.cap for stage in stages for move in stage.moves} == {"", *NUMLOCK}
    return stages


@contextmanager
def in_its_terminal(kind: Kind, folder: Path, seeds: Seeds) -> Iterator[Terminal]:
    """The real program in a terminal, on a shop of its own."""
    opened(folder, seeds, ManualClock(MONDAY)).store.close()
    clock_on_file.put(MONDAY, 0.0, folder / HOUR)
    environment = {**NO_MORE, **kind.environment, clock_on_file.PLACE: str(folder / HOUR)}
    with (
        tmux_around(PROGRAM) if kind.in_tmux else nullcontext(PROGRAM) as program,
        terminal(folder / SHOP, program=program, **environment) as window,
    ):
        # pexpect would wait a little before each key, for programs that ask for passwords.
        window.child.delaybeforesend = None
        yield window


@contextmanager
def tmux_around(program: Sequence[str]) -> Iterator[Sequence[str]]:
    """A tmux of its own with a program in it, which ends with its window."""
    # The name of a socket may have 107 signs, and pytest's folders are deep.
    with TemporaryDirectory() as folder:
        settings = Path(folder) / "conf"
        settings.write_text(TMUX_CONF, encoding="ascii")
        yield ["tmux", "-S", f"{folder}/s", "-f", str(settings), "new-session", "--", *program]


def play_again(window: Terminal, kind: Kind, stages: list[Stage], folder: Path) -> None:
    """The main job by what the keypad sends, with a look after every key."""
    for stage in stages:
        for move in stage.moves:
            clock_on_file.put(move.now, move.elapsed_s, folder / HOUR)
            if move.cap == "enter":
                time.sleep(2 * SCAN_GAP_S)  # a hand, not a scanner
            if move.cap:
                window.child.send(kind.keypad[move.cap])
            expect(window, kind.shown(move.picture), f"{stage.told}, after {move.cap!r}")
        assert stage.word in window.picture(), stage.told
    assert window.leave() == 0


def told_by(folder: Path) -> dict[str, str]:
    """What the command line says of a shop's whole past."""
    told = {}
    clock = ManualClock(moment((CURED_FOR_SURE + 1, 10, 0)))
    for words in ("check", "journal --last 1000 --json", "sheet --tag 1"):
        ran = run_main(clock, "--db", str(folder / SHOP), *words.split())
        assert (ran.code, ran.err) == (0, ""), words
        told[words] = ran.out
    return told


def beyond(kind: Kind, written: str) -> set[str]:
    """Signs and colours that the terminal was sent and has not."""
    signs = {sign for sign in written if not sign.isascii()} - set(kind.signs)
    styles = set(re.findall(r"\x1b\[([\d;:]*)m", written))
    return signs | {style for style in styles if not kind.styles.fullmatch(style)}


def test_the_main_job_by_every_keypad_in_its_terminal(
    seeds: Seeds, tmp_path: Path, subtests: pytest.Subtests
) -> None:
    there = [name for name in TRIED if TMUX_IS_THERE or not KINDS[name].in_tmux]
    kinds = {name: KINDS[name] for name in there}
    # In ASCII the numbers are drawn otherwise.
    stages = {
        in_ascii: recorded(tmp_path / f"recorded {in_ascii}", seeds, in_ascii)
        for in_ascii in {kind.in_ascii for kind in kinds.values()}
    }
    want = told_by(tmp_path / f"recorded {False}")
    # All at once: most of the time each waits for the tick that shows it a new hour.
    with ExitStack() as stack, ThreadPoolExecutor(len(kinds)) as pool:
        windows = {
            name: stack.enter_context(in_its_terminal(kind, tmp_path / name, seeds))
            for name, kind in kinds.items()
        }
        played = {
            name: pool.submit(
                play_again, windows[name], kind, stages[kind.in_ascii], tmp_path / name
            )
            for name, kind in kinds.items()
        }
        for name, kind in kinds.items():
            with subtests.test(name):
                played[name].result()
                written = windows[name].written.decode("utf-8")
                assert beyond(kind, written) == set()
                if not kind.in_tmux:
                    assert NUMERIC_KEYPAD in written
                    assert KEYS_REPEAT in written
                assert told_by(tmp_path / name) == want
    for name in set(TRIED) - set(there):
        with subtests.test(name):
            if os.environ.get("CI"):
                pytest.fail("tmux is not installed: apt-get install tmux")
            pytest.skip("tmux is not installed (Debian's package tmux)")
