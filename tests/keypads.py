"""What a numeric keypad sends, terminal by terminal, as the bytes that reach the program.

Sources, seen: the entries linux, xterm and tmux of terminfo in Debian's ncurses 6.4 (``infocmp -x``)
for everything that is a function key there. From memory: Linux' console_codes(4) and the kernel's
keyboard.c for figures with NumLock and the 5 without; xterm's control sequences (ctlseqs), table of
PC-style and VT220-style function keys, for both keypad modes; the keyboard protocol of the terminals
that send CSI u.
"""

from __future__ import annotations

CAPS = "0123456789+-*/."

_PLAIN = {cap: cap for cap in "+-*/"} | {"enter": "\r"}

NUMLOCK = {cap: cap for cap in CAPS} | {"enter": "\r"}
"""With NumLock every terminal sends what is printed on the cap."""

CONSOLE = _PLAIN | {
    "0": "\x1b[2~",
    "1": "\x1b[4~",
    "2": "\x1b[B",
    "3": "\x1b[6~",
    "4": "\x1b[D",
    "5": "\x1b[G",
    "6": "\x1b[C",
    "7": "\x1b[1~",
    "8": "\x1b[A",
    "9": "\x1b[5~",
    ".": "\x1b[3~",
}
"""The Linux console without NumLock: kich1 kend kcud1 knp kcub1 kb2 kcuf1 khome kcuu1 kpp kdch1."""

XTERM = CONSOLE | {"1": "\x1b[F", "5": "\x1b[E", "7": "\x1b[H"}
"""xterm without NumLock, as we set it up: numeric keypad, arrows as arrows."""

XTERM_CURSOR = CONSOLE | {
    "1": "\x1bOF",
    "2": "\x1bOB",
    "4": "\x1bOD",
    "5": "\x1bOE",
    "6": "\x1bOC",
    "7": "\x1bOH",
    "8": "\x1bOA",
}
"""xterm without NumLock where arrows send SS3: kend kcud1 kcub1 kbeg kcuf1 khome kcuu1."""

APPLICATION = {
    **dict(zip("0123456789", (f"\x1bO{letter}" for letter in "pqrstuvwxy"), strict=True)),
    "+": "\x1bOk",
    "-": "\x1bOm",
    "*": "\x1bOj",
    "/": "\x1bOo",
    ".": "\x1bOn",
    "enter": "\x1bOM",
}
"""The application keypad of a vt220: kpZRO kc1 kc2 kc3 kb1 kb2 kb3 ka1 ka2 ka3 kpADD kpSUB kpMUL
kpDIV kpDOT kent."""

TMUX = CONSOLE | {"5": "\x1b[E"}
"""Inside tmux without NumLock: Home and End as on the console, the 5 handed on as it came."""

TMUX_APPLICATION = NUMLOCK | {"enter": "\n"}
"""What tmux makes of an application keypad, to which it sets the terminal around it, for a program
that wants figures (tmux 3.3a, seen)."""

CSI_U = {
    **{digit: f"\x1b[{57399 + int(digit)};129;{ord(digit)}u" for digit in "0123456789"},
    ".": f"\x1b[57409;129;{ord('.')}u",
    "/": f"\x1b[57410;129;{ord('/')}u",
    "*": f"\x1b[57411;129;{ord('*')}u",
    "-": f"\x1b[57412;129;{ord('-')}u",
    "+": f"\x1b[57413;129;{ord('+')}u",
    "enter": "\x1b[57414;129u",
}
"""Terminals that name every key, with NumLock: each with the text it gives."""

CSI_U_WITHOUT = {
    **dict(zip("4682930", (f"\x1b[{57417 + n}u" for n in (0, 1, 2, 3, 4, 5, 8)), strict=True)),
    "7": "\x1b[57423u",
    "1": "\x1b[57424u",
    "5": "\x1b[57427~",
    ".": "\x1b[57426u",
    "/": "\x1b[57410u",
    "*": "\x1b[57411u",
    "-": "\x1b[57412u",
    "+": "\x1b[57413u",
    "enter": "\x1b[57414u",
}
"""The same without NumLock and without the text."""

KEYPADS = {
    "NumLock": NUMLOCK,
    "Linux console": CONSOLE,
    "xterm": XTERM,
    "xterm, cursor keys as SS3": XTERM_CURSOR,
    "application keypad": APPLICATION,
    "tmux": TMUX,
    "tmux, application keypad": TMUX_APPLICATION,
    "CSI u": CSI_U,
    "CSI u, no NumLock": CSI_U_WITHOUT,
}
