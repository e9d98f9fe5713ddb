"""What a terminal can show is told by the environment alone, and may be forced."""

from __future__ import annotations

import pytest

from bench.settings import FORCED, TRUE_COLOUR, Profile, terminal_profile

UTF8 = {"LANG": "de_DE.UTF-8"}

TOLD: dict[str, tuple[dict[str, str], Profile]] = {
    "the Linux console": ({"TERM": "linux", **UTF8}, Profile(16, "console")),
    "the console in C": ({"TERM": "linux", "LANG": "C"}, Profile(16, "ascii")),
    "xterm": ({"TERM": "xterm", **UTF8}, Profile(16, "full")),
    "xterm-256color": ({"TERM": "xterm-256color", **UTF8}, Profile(256, "full")),
    "a desktop's terminal": (
        {"TERM": "xterm-256color", "COLORTERM": "truecolor", **UTF8},
        Profile(TRUE_COLOUR, "full"),
    ),
    "tmux": ({"TERM": "tmux-256color", "TMUX": "x", **UTF8}, Profile(256, "full")),
    "tmux of old": ({"TERM": "screen", **UTF8}, Profile(16, "full")),
    "over SSH": ({"TERM": "xterm-256color", "SSH_TTY": "/dev/pts/1", **UTF8}, Profile(256, "full")),
    "a vt220": ({"TERM": "vt220", **UTF8}, Profile(0, "full")),
    "a dumb one": ({"TERM": "dumb", **UTF8}, Profile(0, "full")),
    "nothing said": ({}, Profile(0, "ascii")),
    "no colour wanted": ({"TERM": "xterm-256color", "NO_COLOR": "1", **UTF8}, Profile(0, "full")),
    "an empty NO_COLOR": ({"TERM": "linux", "NO_COLOR": "", **UTF8}, Profile(16, "console")),
    "LANG=C": ({"TERM": "xterm-256color", "LANG": "C"}, Profile(256, "ascii")),
    "LANG=C as Python leaves it": (
        {"TERM": "xterm-256color", "LANG": "C", "LC_CTYPE": "C.UTF-8"},
        Profile(256, "ascii"),
    ),
    "LC_ALL=C over all": ({"TERM": "xterm-256color", "LC_ALL": "C", **UTF8}, Profile(256, "ascii")),
    "C.UTF-8": ({"TERM": "xterm-256color", "LANG": "C.UTF-8"}, Profile(256, "full")),
    "signs of their own": (
        {"TERM": "xterm-256color", "LANG": "C", "LC_CTYPE": "en_GB.UTF-8"},
        Profile(256, "full"),
    ),
}


@pytest.mark.parametrize("terminal", TOLD)
def test_a_terminal_is_known_by_its_environment(terminal: str) -> None:
    environment, profile = TOLD[terminal]
    assert terminal_profile(environment, "utf-8") == profile


@pytest.mark.parametrize("terminal", TOLD)
@pytest.mark.parametrize("word", FORCED)
def test_what_is_forced_stands_above_everything(terminal: str, word: str) -> None:
    environment = {**TOLD[terminal][0], "PAINTBENCH_TERMINAL": f" {word.upper()} "}
    assert terminal_profile(environment, "UTF-8") == FORCED[word]


@pytest.mark.parametrize("word", ["", *FORCED])
def test_outside_utf_8_nothing_but_ascii_is_drawn(word: str) -> None:
    environment = {"TERM": "xterm-256color", **UTF8, "PAINTBENCH_TERMINAL": word}
    assert terminal_profile(environment, "iso-8859-1").glyphs == "ascii"
    assert terminal_profile(environment, "").glyphs == "ascii"


def test_a_word_that_means_nothing_is_handed_on_to_be_told() -> None:
    environment = {"TERM": "linux", **UTF8, "PAINTBENCH_TERMINAL": "Hall"}
    assert terminal_profile(environment, "utf-8") == Profile(16, "console", "hall")
