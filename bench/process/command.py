"""Which alarm commands are run: a program by its whole path, with arguments, and never a shell."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePosixPath

from bench.process.refusal import Refusal

MOST_WORDS, LONGEST_WORD = 20, 400

SHELLS = frozenset({"sh", "ash", "bash", "busybox", "csh", "dash", "fish", "ksh", "tcsh", "zsh"})
SHELL_SIGNS = ("|", ";", "<", ">", "`", "$(", "&&")
SCRIPT = "write it as a script and type the script's path, e.g. /usr/local/bin/siren --loud"


def command_fault(words: Sequence[str]) -> Refusal | None:
    """Say why a command is not run, None where it may be.

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
    found = next((sign for sign in SHELL_SIGNS if sign in word), "")
    return found or ("&" if word.endswith("&") else "")
