"""What a person typed, made fit to store: names in plain letters, PINs, commands of alarms."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from itertools import groupby
from pathlib import PurePosixPath

from bench.process.refusals.refusal import Refusal

MOST_NAME = 60
"""Longest name or reason kept; longer ones do not fit a stand."""

MOST_MARKS = 3
"""Most marks on one letter: no living script has more; others climb into the lines above."""


def clean_name(text: str, what: str, most: int = MOST_NAME) -> str | Refusal:
    """Return the text without stray spaces, or why not: empty, too long, control characters.

    Letters come composed (Unicode's NFC), and none wears more than MOST_MARKS marks.
    """
    name = unicodedata.normalize("NFC", " ".join(word for word in text.split(" ") if word))
    if not name:
        return Refusal(f"{what} is empty", "", "type at least one letter")
    if len(name) > most:
        return Refusal(f"{what} is too long", f"{len(name)} characters", f"at most {most}")
    odd = [c for c in name if not c.isprintable()]
    if odd:
        return Refusal(
            f"{what} has a control character", repr(odd[0]), "use letters and figures only"
        )
    marks = [len(list(run)) for on, run in groupby(name, unicodedata.combining) if on]
    if max(marks, default=0) > MOST_MARKS:
        return Refusal(f"{what} has letters that cannot be shown", "", "use plain letters")
    return name


# --- commands ------------------------------------------------------------------------------------

MOST_WORDS, LONGEST_WORD = 20, 400

SHELLS = frozenset({"sh", "ash", "bash", "busybox", "csh", "dash", "fish", "ksh", "tcsh", "zsh"})
SHELL_SIGNS = ("|", ";", "<", ">", "`", "$(", "&&")
SCRIPT = "write it as a script and type the script's path, e.g. /usr/local/bin/siren --loud"


def command_fault(words: Sequence[str]) -> Refusal | None:
    """Say why an alarm's command is not run, None where it may be.

    words: the program and its arguments, at most 20 of 400 letters. A ``&`` inside a word is taken
    as it stands (an address has them); at a word's end it is the shell's.
    """
    plain = all(word and word.isprintable() and len(word) <= LONGEST_WORD for word in words)
    if not words or not plain or len(words) > MOST_WORDS:
        right = f"1 to {MOST_WORDS} plain words of up to {LONGEST_WORD} letters"
        return Refusal("that is no command", f"{len(words)} words", right)
    if sign := next((sign for word in words if (sign := _shell_sign(word))), ""):
        return Refusal(f"a command with {sign} needs a shell, and none is used", "", SCRIPT)
    program = PurePosixPath(words[0])
    if program.name in SHELLS:
        return Refusal(f"{program.name} is a shell, and none is used", "", SCRIPT)
    if not program.is_absolute():
        whole = "type the program's whole path, from / on, e.g. /usr/local/bin/siren --loud"
        return Refusal(f"{words[0][:40]} is no whole path", "", whole)
    return None


def _shell_sign(word: str) -> str:
    sign_inside = next((sign for sign in SHELL_SIGNS if sign in word), "")
    return sign_inside or ("&" if word.endswith("&") else "")
